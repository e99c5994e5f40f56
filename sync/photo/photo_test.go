package photo_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// album is a server with a photo store in a folder.
type album struct {
	dir    string
	photos *boltstore.Photos
	server *httptest.Server
}

func newAlbum(t testing.TB, dir string) *album {
	t.Helper()
	photos, err := boltstore.OpenPhotos(dir)
	if err != nil {
		t.Fatal(err)
	}
	mux := http.NewServeMux()
	mux.Handle("/photos/{sha}", &photo.Handler{Photos: photos, Logger: slog.New(slog.DiscardHandler), Admit: func(_ context.Context, token string) (string, error) {
		switch token {
		case "a token":
			return "d-1", nil
		case "another token":
			return "d-2", nil
		}
		return "", &model.Problem{Path: "token", Reason: "is not known here", Fix: "enrol the device"}
	}})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return &album{dir: dir, photos: photos, server: server}
}

func (a *album) client(through http.RoundTripper) *photo.Client {
	return &photo.Client{Base: a.server.URL, Token: "a token", HTTP: &http.Client{Transport: through}}
}

// picture is bytes that nothing compresses or repeats, and their name.
func picture(seed uint64, size int) ([]byte, register.Hash) {
	raw := make([]byte, size)
	source := rand.NewChaCha8([32]byte{byte(seed), byte(seed >> 8)})
	_, _ = source.Read(raw)
	return raw, register.HashOf(raw)
}

// cutter is an HTTP transport on which the body of chosen parts is cut or spoilt.
type cutter struct {
	parts int
	cut   func(part int, off int64) int // bytes to let through before the cut, -1: all
	flip  func(part int) int            // byte to flip, -1: none
	lose  func(part int) bool           // the answer
	sent  int64                         // bytes of parts let through
}

var errCut = errors.New("the line was cut")

func (c *cutter) RoundTrip(r *http.Request) (*http.Response, error) {
	if r.Method != http.MethodPatch {
		return http.DefaultTransport.RoundTrip(r)
	}
	c.parts++
	part, off := c.parts, int64(0)
	_, _ = fmt.Sscan(r.Header.Get("Upload-Offset"), &off)
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return nil, err
	}
	if c.flip != nil {
		if at := c.flip(part); at >= 0 {
			body[at] ^= 0x10
		}
	}
	r = r.Clone(r.Context())
	r.Body = io.NopCloser(bytes.NewReader(body))
	if c.cut != nil {
		if pass := c.cut(part, off); pass >= 0 && pass < len(body) {
			c.sent += int64(pass)
			r.Body = io.NopCloser(io.MultiReader(bytes.NewReader(body[:pass]), failing{}))
			_, err := http.DefaultTransport.RoundTrip(r)
			return nil, errors.Join(errCut, err)
		}
	}
	c.sent += int64(len(body))
	answer, err := http.DefaultTransport.RoundTrip(r)
	if err == nil && c.lose != nil && c.lose(part) {
		_ = answer.Body.Close()
		return nil, errCut
	}
	return answer, err
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errCut }

// whole checks that the album has the photo, byte for byte.
func whole(t *testing.T, a *album, sha register.Hash, want []byte) {
	t.Helper()
	f, err := a.photos.Open(t.Context(), sha)
	if err != nil {
		t.Fatalf("after the upload: %v", err)
	}
	defer f.Close()
	got, err := io.ReadAll(f)
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("the photo that arrived has %d bytes (%v), want the %d sent", len(got), err, len(want))
	}
}

// TestRule11Cuts cuts an upload at every part boundary and in the middle of every part,
// and changes the server in between: what had arrived is not sent again.
func TestRule11Cuts(t *testing.T) {
	raw, sha := picture(11, 3<<20+12345)
	for name, pass := range map[string]int{"at-the-boundary": 0, "after-a-byte": 1, "mid-part": 200_000, "answer-lost": -1} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			line := &cutter{cut: func(part int, _ int64) int {
				if part%2 == 1 { // every part, once: the even ones are the second try
					return pass
				}
				return -1
			}}
			if pass < 0 {
				line.cut, line.lose = nil, func(part int) bool { return part%2 == 1 }
			}
			tries := 0
			for {
				a := newAlbum(t, dir) // the server was stopped and another started on the same folder
				err := a.client(line).Send(t.Context(), sha, bytes.NewReader(raw), int64(len(raw)))
				a.server.Close()
				tries++
				if err == nil {
					whole(t, a, sha, raw)
					break
				}
				if !errors.Is(err, errCut) || tries > 100 {
					t.Fatalf("try %d: %v", tries, err)
				}
			}
			if tries < 3 {
				t.Errorf("the upload took %d tries: it was hardly cut", tries)
			}
			// A part cut short may have been lost whole, on its way or before its flush.
			if most := int64(len(raw)) + int64(tries*max(pass, 0)); line.sent > most {
				t.Errorf("%d bytes were sent of a photo of %d in %d tries, want at most %d", line.sent, len(raw), tries, most)
			}
		})
	}
}

// TestRule11DiedBeforeTheReceipt: the server had every byte on its disk and died before it had
// verified them. Nothing is sent again where they are good, all of it where they are not.
func TestRule11DiedBeforeTheReceipt(t *testing.T) {
	raw, sha := picture(12, 300_000)
	spoilt := bytes.Clone(raw)
	spoilt[77] ^= 1
	for name, test := range map[string]struct {
		there []byte
		sent  int64
	}{"whole": {raw, 0}, "spoilt": {spoilt, int64(len(raw))}} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			a, line := newAlbum(t, dir), &cutter{}
			if err := os.Mkdir(filepath.Join(dir, "parts", "d-1"), 0o700); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, "parts", "d-1", sha.String()), test.there, 0o600); err != nil {
				t.Fatal(err)
			}
			if err := a.client(line).Send(t.Context(), sha, bytes.NewReader(raw), int64(len(raw))); err != nil {
				t.Fatal(err)
			}
			whole(t, a, sha, raw)
			if line.sent != test.sent {
				t.Errorf("%d bytes were sent, want %d", line.sent, test.sent)
			}
		})
	}
}

// TestRule11FlippedByte: a photo that arrives damaged is refused, only it is sent again,
// and a photo that is damaged at home is told.
func TestRule11FlippedByte(t *testing.T) {
	a := newAlbum(t, t.TempDir())
	good, goodSHA := picture(1, 300_000)
	line := &cutter{}
	if err := a.client(line).Send(t.Context(), goodSHA, bytes.NewReader(good), int64(len(good))); err != nil {
		t.Fatal(err)
	}
	raw, sha := picture(12, 3<<20)
	line.sent, line.parts = 0, 0
	line.flip = func(part int) int {
		if part == 2 {
			return 777
		}
		return -1
	}
	if err := a.client(line).Send(t.Context(), sha, bytes.NewReader(raw), int64(len(raw))); err != nil {
		t.Fatalf("a photo with a byte flipped on its way, once: %v", err)
	}
	whole(t, a, sha, raw)
	whole(t, a, goodSHA, good)
	if line.sent != 2*int64(len(raw)) {
		t.Errorf("%d bytes were sent, want the photo of %d twice and nothing else", line.sent, len(raw))
	}
	spoilt, wanted := picture(13, 100_000)
	spoilt[5]++
	err := a.client(http.DefaultTransport).Send(t.Context(), wanted, bytes.NewReader(spoilt), int64(len(spoilt)))
	if err == nil {
		t.Error("a photo damaged at home was accepted")
	}
	if missing, err := photo.Missing(t.Context(), a.photos, []register.Hash{sha, wanted, goodSHA}); err != nil || !slices.Equal(missing, []register.Hash{wanted}) {
		t.Errorf("missing: got %v, %v, want the damaged one alone", missing, err)
	}
}

// TestBadRequests are refused with what is at fault, and nothing is kept.
func TestBadRequests(t *testing.T) {
	a := newAlbum(t, t.TempDir())
	raw, sha := picture(2, 1000)
	there, thereSHA := picture(3, 1000)
	if err := a.client(http.DefaultTransport).Send(t.Context(), thereSHA, bytes.NewReader(there), 1000); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		method, sha, token, offset, length string
		body                               []byte
		status                             int
		path                               string
	}{
		"no-token":         {"PATCH", sha.String(), "", "0", "1000", raw, 401, "Authorization"},
		"wrong-token":      {"PATCH", sha.String(), "guessed", "0", "1000", raw, 403, "token"},
		"short-name":       {"PATCH", "abc", "a token", "0", "1000", raw, 400, "sha"},
		"upper-case-name":  {"PATCH", strings.ToUpper(sha.String()), "a token", "0", "1000", raw, 400, "sha"},
		"dots":             {"GET", "..%2f..%2fregister.db", "a token", "", "", nil, 400, "sha"},
		"no-offset":        {"PATCH", sha.String(), "a token", "", "1000", raw, 400, "Upload-Offset"},
		"negative-offset":  {"PATCH", sha.String(), "a token", "-1", "1000", raw, 400, "Upload-Offset"},
		"offset-not-there": {"PATCH", sha.String(), "a token", "500", "1000", raw[500:], 409, "Upload-Offset"},
		"no-length":        {"PATCH", sha.String(), "a token", "0", "", raw, 400, "Upload-Length"},
		"length-zero":      {"PATCH", sha.String(), "a token", "0", "0", nil, 400, "Upload-Length"},
		"length-huge":      {"PATCH", sha.String(), "a token", "0", "99999999999", raw, 413, "Upload-Length"},
		"part-too-long":    {"PATCH", sha.String(), "a token", "0", "999", raw, 400, "Content-Length"},
		"beyond-length":    {"PATCH", sha.String(), "a token", "1001", "1000", nil, 400, "Upload-Offset"},
		"not-come-yet":     {"GET", sha.String(), "a token", "", "", nil, 404, "photo"},
		"delete":           {"DELETE", thereSHA.String(), "a token", "", "", nil, 405, ""},
	} {
		t.Run(name, func(t *testing.T) {
			r, err := http.NewRequest(c.method, a.server.URL+"/photos/"+c.sha, bytes.NewReader(c.body))
			if err != nil {
				t.Fatal(err)
			}
			for header, value := range map[string]string{"Upload-Offset": c.offset, "Upload-Length": c.length} {
				if value != "" {
					r.Header.Set(header, value)
				}
			}
			if c.token != "" {
				r.Header.Set("Authorization", "Bearer "+c.token)
			}
			answer, err := http.DefaultClient.Do(r)
			if err != nil {
				t.Fatal(err)
			}
			defer answer.Body.Close()
			var problem model.Problem
			if err := json.NewDecoder(answer.Body).Decode(&problem); err != nil {
				t.Fatalf("the answer %s is not a Problem: %v", answer.Status, err)
			}
			if answer.StatusCode != c.status || problem.Path != c.path || problem.Reason == "" {
				t.Errorf("got %s with %+v, want %d at %q", answer.Status, problem, c.status, c.path)
			}
		})
	}
	if off, err := a.photos.Offset(t.Context(), store.Sending{Device: "d-1", SHA: sha}); err != nil || off != 0 {
		t.Errorf("after bad requests %d bytes are there (%v), want none", off, err)
	}
	whole(t, a, thereSHA, there)
}

// TestReadBack: what was sent can be read, in ranges too.
func TestReadBack(t *testing.T) {
	a := newAlbum(t, t.TempDir())
	raw, sha := picture(4, 700_000)
	client := a.client(http.DefaultTransport)
	if have, err := client.Has(t.Context(), sha); err != nil || have != (photo.Progress{}) {
		t.Errorf("before: got %+v, %v", have, err)
	}
	for range 2 { // the second time nothing is sent
		if err := client.Send(t.Context(), sha, bytes.NewReader(raw), int64(len(raw))); err != nil {
			t.Fatal(err)
		}
	}
	if have, err := client.Has(t.Context(), sha); err != nil || have != (photo.Progress{Offset: 700_000, Complete: true}) {
		t.Errorf("afterwards: got %+v, %v", have, err)
	}
	r, err := http.NewRequest("GET", a.server.URL+"/photos/"+sha.String(), nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer a token")
	r.Header.Set("Range", "bytes=600000-600009")
	r.Header.Set("If-Range", `"`+sha.String()+`"`) // by its ETag it is the same photo
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	got, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode != http.StatusPartialContent || !bytes.Equal(got, raw[600_000:600_010]) || answer.Header.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("a range: got %s, %x (%v), want %x", answer.Status, got, err, raw[600_000:600_010])
	}
}

// FuzzParseSHA: a name that is accepted is written back the same.
func FuzzParseSHA(f *testing.F) {
	_, sha := picture(5, 10)
	f.Add(sha.String())
	f.Add(strings.ToUpper(sha.String()))
	f.Add("../register.db")
	f.Fuzz(func(t *testing.T, name string) {
		if sha, err := photo.ParseSHA(name); err == nil && sha.String() != name {
			t.Errorf("ParseSHA(%q) is %s", name, sha)
		}
	})
}
