package photo_test

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"strconv"
	"testing"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store/boltstore"
)

// TestOffsetBeforeRoom: a part that begins at the wrong byte is told so also where there is no room for
// it; one at the right byte, and an empty one, which asks for the words, are told that there is none.
func TestOffsetBeforeRoom(t *testing.T) {
	photos, err := boltstore.OpenPhotos(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	room := int64(1000)
	mux := http.NewServeMux()
	mux.Handle("/{sha}", &photo.Handler{Photos: photos,
		Admit: func(context.Context, string) (string, error) { return "d-1", nil },
		Room: func(_ context.Context, _ string, _ register.Hash, size int64) error {
			if size > room {
				return &model.Problem{Reason: "no room"}
			}
			return nil
		}})
	server := httptest.NewServer(mux)
	defer server.Close()
	bytesOf, sha := picture(7, 1000)
	for _, part := range []struct {
		room, at, n int64
		status      int
		offset      string
	}{
		{1000, 0, 400, http.StatusNoContent, "400"},
		{10, 400, 300, http.StatusInsufficientStorage, ""},
		{10, 0, 400, http.StatusConflict, "400"},
		{10, 500, 100, http.StatusConflict, "400"},
		{10, 0, 0, http.StatusInsufficientStorage, ""},
		{1000, 400, 600, http.StatusNoContent, "1000"},
	} {
		room = part.room
		r, _ := http.NewRequestWithContext(t.Context(), http.MethodPatch, server.URL+"/"+sha.String(), bytes.NewReader(bytesOf[part.at:part.at+part.n]))
		r.Header.Set("Authorization", "Bearer a token")
		r.Header.Set("Upload-Offset", strconv.FormatInt(part.at, 10))
		r.Header.Set("Upload-Length", "1000")
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		_ = answer.Body.Close()
		if got := answer.Header.Get("Upload-Offset"); answer.StatusCode != part.status || got != part.offset {
			t.Errorf("%d bytes at %d with room for %d: %d and offset %q, want %d and %q", part.n, part.at, part.room, answer.StatusCode, got, part.status, part.offset)
		}
	}
}
