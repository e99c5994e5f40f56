package server

import (
	"compress/gzip"
	"io"
	"io/fs"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"headcut/viewer"
)

// fetch asks as a browser that takes these codings, and leaves the answer packed.
func fetch(t *testing.T, url string, header ...string) (*http.Response, string) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), "GET", url, nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Accept-Encoding", "identity")
	for i := 0; i < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	res, err := http.DefaultTransport.RoundTrip(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res, string(body)
}

func TestBuiltFilesTravelCompressed(t *testing.T) {
	s := newSite(t)
	s.pages = keepBuilt(fstest.MapFS{
		"p-12345678.js": {Data: []byte("whole")}, "p-12345678.js.br": {Data: []byte("br")}, "p-12345678.js.gz": {Data: []byte("gz")},
		"q-12345678.css": {Data: []byte("plain")},
	})
	tags := map[string]string{}
	for _, c := range []struct{ name, file, accept, body, coding, kind string }{
		{"brotli", "p-12345678.js", "gzip, deflate, br, zstd", "br", "br", "text/javascript; charset=utf-8"},
		{"gzip", "p-12345678.js", "gzip", "gz", "gzip", "text/javascript; charset=utf-8"},
		{"neither", "p-12345678.js", "identity", "whole", "", "text/javascript; charset=utf-8"},
		{"not-packed", "q-12345678.css", "br", "plain", "", "text/css; charset=utf-8"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res, body := fetch(t, s.web.URL+"/assets/"+c.file, "Accept-Encoding", c.accept)
			h := res.Header
			if body != c.body || h.Get("Content-Encoding") != c.coding || h.Get("Content-Type") != c.kind || h.Get("Vary") != "Accept-Encoding" {
				t.Errorf("%s for %q: %q with %v, want %q as %q", c.file, c.accept, body, h, c.body, c.coding)
			}
			tag := h.Get("ETag")
			if tag == "" || tags[tag] != "" {
				t.Errorf("%s for %q: entity tag %q, which stands for %q too", c.file, c.accept, tag, tags[tag])
			}
			tags[tag] = c.name
			again, body := fetch(t, s.web.URL+"/assets/"+c.file, "Accept-Encoding", c.accept, "If-None-Match", `"other", W/`+tag)
			if again.StatusCode != http.StatusNotModified || body != "" || again.Header.Get("ETag") != tag {
				t.Errorf("%s asked for again: %s %q %q, want 304 with the same tag", c.file, again.Status, body, again.Header.Get("ETag"))
			}
		})
	}
	for _, name := range []string{"p-12345678.js.br", "p-12345678.js.gz"} {
		if res, _ := fetch(t, s.web.URL+"/assets/"+name); res.StatusCode != http.StatusNotFound {
			t.Errorf("%s by its own name: %s, want not found", name, res.Status)
		}
	}
}

// What the server makes on demand is compressed for whoever takes it, and the same for
// whoever does not.
func TestAnswersTravelCompressed(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/map/" + secret, "/map/" + secret + "/land.json", "/map/" + secret + "/works.kml", "/map/" + secret + "/works.geojson", "/field/", "/field/worker.js", "/compute"} {
		plain, whole := fetch(t, s.web.URL+path)
		if plain.StatusCode != http.StatusOK || plain.Header.Get("Content-Encoding") != "" || plain.Header.Get("Vary") != "Accept-Encoding" {
			t.Errorf("%s for a browser that takes nothing: %s with %v", path, plain.Status, plain.Header)
		}
		packed, body := fetch(t, s.web.URL+path, "Accept-Encoding", "gzip")
		if packed.Header.Get("Content-Encoding") != "gzip" || packed.Header.Get("Content-Type") != plain.Header.Get("Content-Type") {
			t.Errorf("%s for a browser that takes gzip: %v", path, packed.Header)
			continue
		}
		z, err := gzip.NewReader(strings.NewReader(body))
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		if got, err := io.ReadAll(z); err != nil || string(got) != whole {
			t.Errorf("%s unpacks to %d bytes, %v; want the %d of the plain answer", path, len(got), err, len(whole))
		}
	}
}

// A handler that panics in the middle must not end in a whole archive: half a file would
// be taken for all of it.
func TestAnswerCutShortIsNotWholeWhenCompressed(t *testing.T) {
	s := newSite(t)
	h := s.caught(zipped(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = io.WriteString(w, strings.Repeat("half ", 100000))
		panic(http.ErrAbortHandler)
	}))
	s.web.Config.Handler = h
	req, err := http.NewRequestWithContext(t.Context(), "GET", s.web.URL, nil)
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.DefaultClient.Do(req)
	if err == nil {
		_, err = io.ReadAll(res.Body)
		res.Body.Close()
	}
	if err == nil {
		t.Error("an answer that was cut short reads as a whole one")
	}
}

// The pages as they are embedded have a compressed copy of each script and style.
func TestEmbeddedPagesAreCompressed(t *testing.T) {
	names, err := fs.Glob(viewer.Pages(), "*-*.js")
	if err != nil || len(names) == 0 {
		t.Fatalf("scripts of the pages: %v, %v", names, err)
	}
	for _, name := range names {
		if changesInPlace(name) {
			continue
		}
		for _, p := range packings {
			if _, err := fs.Stat(viewer.Pages(), name+p.ending); err != nil {
				t.Fatalf("%v: run go generate ./viewer", err)
			}
		}
	}
}
