package photo_test

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// TestRights: of a photo that another device sent, a device learns what its rights say, whether there is
// room or not; and one for which nothing is wrong but the moment is asked to come back.
func TestRights(t *testing.T) {
	photos, err := boltstore.OpenPhotos(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	raw, sha := picture(8, 1000)
	if _, err := photos.WriteAt(t.Context(), store.Sending{Device: "d-1", SHA: sha}, 0, 1000, bytes.NewReader(raw)); err != nil {
		t.Fatal(err)
	}
	var rights photo.Rights
	var admits, room error
	handler := &photo.Handler{Photos: photos, Logger: slog.New(slog.DiscardHandler),
		Admit:  func(context.Context, string) (string, error) { return "d-2", admits },
		Rights: func(context.Context, string, register.Hash) (photo.Rights, error) { return rights, nil },
		Room:   func(context.Context, string, register.Hash, int64, int64) error { return room }}
	later := &model.Problem{Reason: "the server is busy", Fix: "later"}
	for name, c := range map[string]struct {
		method       string
		rights       photo.Rights
		admits, room error
		status       int
		complete     string
		retry        string
	}{
		"asks, may read":                         {"HEAD", photo.Rights{Read: true}, nil, nil, 204, "?1", ""},
		"asks, may read, no room":                {"HEAD", photo.Rights{Read: true}, nil, later, 204, "?1", ""},
		"asks, owes it":                          {"HEAD", photo.Rights{Read: true, Owes: true}, nil, nil, 204, "?0", ""},
		"asks, owes it, no room":                 {"HEAD", photo.Rights{Read: true, Owes: true}, nil, later, 507, "", "600"},
		"asks, may not know":                     {"HEAD", photo.Rights{}, nil, nil, 204, "?0", ""},
		"asks, may not know, no room":            {"HEAD", photo.Rights{}, nil, later, 507, "", "600"},
		"reads":                                  {"GET", photo.Rights{Read: true}, nil, later, 200, "", ""},
		"reads what it owes":                     {"GET", photo.Rights{Read: true, Owes: true}, nil, nil, 200, "", ""},
		"may not read":                           {"GET", photo.Rights{}, nil, nil, 404, "", ""},
		"may not read what it owes":              {"GET", photo.Rights{Owes: true}, nil, nil, 404, "", ""},
		"the moment is wrong":                    {"GET", photo.Rights{Read: true}, later, nil, 503, "", "600"},
		"the token is wrong, whatever it may do": {"GET", photo.Rights{Read: true}, &model.Problem{Path: "token", Reason: "is revoked"}, nil, 403, "", ""},
	} {
		rights, admits, room = c.rights, c.admits, c.room
		r := httptest.NewRequestWithContext(t.Context(), c.method, "/"+sha.String(), nil)
		r.SetPathValue("sha", sha.String())
		r.Header.Set("Authorization", "Bearer a token")
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, r)
		if w.Code != c.status || w.Header().Get("Upload-Complete") != c.complete || w.Header().Get("Retry-After") != c.retry {
			t.Errorf("%s: %d, complete %q, come back after %q; want %d, %q, %q", name, w.Code, w.Header().Get("Upload-Complete"), w.Header().Get("Retry-After"), c.status, c.complete, c.retry)
		}
		if c.status == http.StatusOK && !bytes.Equal(w.Body.Bytes(), raw) {
			t.Errorf("%s: %d bytes that are not the photo's", name, w.Body.Len())
		}
		if p := new(model.Problem); c.status >= 400 && (json.Unmarshal(w.Body.Bytes(), p) != nil || p.Reason == "") {
			t.Errorf("%s: answered %q, want a problem", name, w.Body)
		}
	}
}
