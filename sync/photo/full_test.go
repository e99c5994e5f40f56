package photo_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"net"
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
		Room: func(_ context.Context, _ string, _ register.Hash, size, _ int64) error {
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

// TestSlowPhotosKeepTheRoom: photos that a device sends at once are held to its room together, by what
// they have announced, while little of any has come.
func TestSlowPhotosKeepTheRoom(t *testing.T) {
	photos, err := boltstore.OpenPhotos(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	const room, each, atOnce = 250_000, 100_000, photo.PartsAtOnce
	asked := make(chan error, atOnce)
	mux := http.NewServeMux()
	mux.Handle("/{sha}", &photo.Handler{Photos: photos,
		Admit: func(context.Context, string) (string, error) { return "d-1", nil },
		Room: func(ctx context.Context, _ string, _ register.Hash, size, coming int64) (err error) {
			used, err := photos.Room(ctx, "d-1")
			if err == nil && used+size+coming > room {
				err = &model.Problem{Reason: "no room"}
			}
			asked <- err
			return err
		}})
	server := httptest.NewServer(mux)
	defer server.Close()
	taken := 0
	var finish []func() int
	for i := range atOnce {
		raw, sha := picture(uint64(20+i), each)
		conn, err := net.Dial("tcp", server.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if _, err := fmt.Fprintf(conn, "PATCH /%s HTTP/1.1\r\nHost: here\r\nAuthorization: Bearer a token\r\nUpload-Offset: 0\r\nUpload-Length: %d\r\nContent-Length: %d\r\n\r\n%s",
			sha, each, each, raw[:1000]); err != nil {
			t.Fatal(err)
		}
		if <-asked == nil {
			taken++
		}
		finish = append(finish, func() int {
			if _, err := conn.Write(raw[1000:]); err != nil {
				t.Fatal(err)
			}
			answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
			if err != nil {
				t.Fatal(err)
			}
			return answer.StatusCode
		})
	}
	if taken != room/each {
		t.Errorf("%d of %d slow photos of %d bytes began in a room of %d, want %d", taken, atOnce, each, room, room/each)
	}
	for i, end := range finish {
		want := http.StatusNoContent
		if i >= room/each {
			want = http.StatusInsufficientStorage
		}
		if got := end(); got != want {
			t.Errorf("photo %d is answered %d, want %d", i+1, got, want)
		}
	}
	if used, err := photos.Room(t.Context(), "d-1"); err != nil || used > room {
		t.Errorf("%d bytes are kept, %v, want at most %d", used, err, room)
	}
}
