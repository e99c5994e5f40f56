package server

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"

	"headcut/viewer"
)

// builtSite is a server of these built files.
func builtSite(t *testing.T, pages, computations fstest.MapFS) *site {
	t.Helper()
	s := newSite(t)
	s.pages, s.computations = keepBuilt(pages), keepBuilt(computations)
	return s
}

func builtPages() (pages, computations fstest.MapFS) {
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	return fstest.MapFS{
			"field.html": file("<p>page"), "field.webmanifest": file("{}"), "field-worker.js": file("work()"), "field-AAAA.js": file("a"),
			"field-part-BBBB.js": file("b"), "field-CCCC.css": file("c"), "landholder-DDDD.js": file("d"), "landholder.html": file("<p>"),
			"desk.html": file("<p>desk"), "desk.webmanifest": file("[]"), "desk-worker.js": file("toil()"), "desk-FFFF.js": file("f"),
		}, fstest.MapFS{
			"compute.json": file("{}"), "compute-EEEE.wasm": file("e"), "compute-EEEE.wasm.br": file("x"), "compute-EEEE.wasm.gz": file("y"),
		}
}

// workerList reads the list that stands before the worker's own script.
func workerList(t *testing.T, s *site, page string) (keptFiles, string) {
	t.Helper()
	res, body := get(t, s.web.URL+page+"worker.js", "")
	if res.StatusCode != http.StatusOK || !strings.HasPrefix(res.Header.Get("Content-Type"), "text/javascript") || res.Header.Get("Cache-Control") != "no-cache" {
		t.Fatalf("the worker: %s of %q, %q", res.Status, res.Header.Get("Content-Type"), res.Header.Get("Cache-Control"))
	}
	list, script, ok := strings.Cut(strings.TrimPrefix(string(body), "self.shelved="), ";\n")
	var files keptFiles
	if err := json.Unmarshal([]byte(list), &files); err != nil || !ok {
		t.Fatalf("the worker's list %q: %v", list, err)
	}
	return files, script
}

// The worker of each page is given every file that the page can need, each with the hash of the
// bytes that the server gives for it, and no other: nothing of another page.
func TestWorkerListsWhatThePageNeeds(t *testing.T) {
	pages, computations := builtPages()
	s := builtSite(t, pages, computations)
	for _, c := range []struct{ page, script, urls string }{
		{"/field/", "work()", "/field/ /field/manifest.webmanifest /field/assets/field-AAAA.js /field/assets/field-CCCC.css /field/assets/field-part-BBBB.js /field/assets/compute-EEEE.wasm /field/assets/compute.json"},
		{"/desk/", "toil()", "/desk/ /desk/manifest.webmanifest /desk/assets/desk-FFFF.js /desk/assets/compute-EEEE.wasm /desk/assets/compute.json"},
	} {
		files, script := workerList(t, s, c.page)
		if script != c.script {
			t.Errorf("the worker's own script of %s: got %q", c.page, script)
		}
		var urls []string
		for _, f := range files.Files {
			urls = append(urls, f.URL)
			_, body := get(t, s.web.URL+f.URL, "")
			sum := sha256.Sum256(body)
			if want := "sha256-" + base64.StdEncoding.EncodeToString(sum[:]); f.Integrity != want {
				t.Errorf("%s: got %s, want %s of the bytes %q", f.URL, f.Integrity, want, body)
			}
		}
		if got := strings.Join(urls, " "); got != c.urls {
			t.Errorf("files of %s: got %s, want %s", c.page, got, c.urls)
		}
	}
}

// A version is another whenever a file is that the page or its worker is made of, and the
// same otherwise.
func TestVersionFollowsTheFiles(t *testing.T) {
	version := func(change func(pages, computations fstest.MapFS)) string {
		pages, computations := builtPages()
		change(pages, computations)
		files, _ := workerList(t, builtSite(t, pages, computations), "/field/")
		return files.Version
	}
	first := version(func(_, _ fstest.MapFS) {})
	for _, c := range []struct {
		name   string
		change func(pages, computations fstest.MapFS)
		same   bool
	}{
		{"nothing", func(_, _ fstest.MapFS) {}, true},
		{"another-page", func(p, _ fstest.MapFS) { p["landholder-DDDD.js"].Data = []byte("z") }, true},
		{"the-desk-page", func(p, _ fstest.MapFS) { p["desk-FFFF.js"].Data = []byte("z") }, true},
		{"a-compressed-copy", func(_, c fstest.MapFS) { delete(c, "compute-EEEE.wasm.br") }, true},
		{"the-page", func(p, _ fstest.MapFS) { p["field.html"].Data = []byte("z") }, false},
		{"a-part", func(p, _ fstest.MapFS) { p["field-part-BBBB.js"].Data = []byte("z") }, false},
		{"one-part-more", func(p, _ fstest.MapFS) { p["field-part-FFFF.js"] = &fstest.MapFile{} }, false},
		{"the-worker", func(p, _ fstest.MapFS) { p["field-worker.js"].Data = []byte("z") }, false},
		{"the-manifest", func(p, _ fstest.MapFS) { p["field.webmanifest"].Data = []byte("z") }, false},
		{"the-program", func(_, c fstest.MapFS) { c["compute-EEEE.wasm"].Data = []byte("z") }, false},
		{"no-computations", func(_, c fstest.MapFS) { clear(c) }, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := version(c.change); (got == first) != c.same {
				t.Errorf("version: got %s and %s before, want the same: %t", got, first, c.same)
			}
		})
	}
}

func TestDevicePagesAreServedAsTheyMustBe(t *testing.T) {
	pages, computations := builtPages()
	s := builtSite(t, pages, computations)
	for _, c := range []struct{ name, path, kind, policy, cache string }{
		{"page", "/field/", "text/html; charset=utf-8", viewer.DevicePolicy, "no-cache"},
		{"page-without-its-slash", "/field", "text/html; charset=utf-8", viewer.DevicePolicy, "no-cache"},
		{"worker", "/field/worker.js", "text/javascript; charset=utf-8", viewer.DevicePolicy, "no-cache"},
		{"manifest", "/field/manifest.webmanifest", "application/manifest+json", viewer.ContentPolicy, "no-cache"},
		{"desk", "/desk/", "text/html; charset=utf-8", viewer.DevicePolicy, "no-cache"},
		{"desk-without-its-slash", "/desk", "text/html; charset=utf-8", viewer.DevicePolicy, "no-cache"},
		{"its-worker", "/desk/worker.js", "text/javascript; charset=utf-8", viewer.DevicePolicy, "no-cache"},
		{"its-manifest", "/desk/manifest.webmanifest", "application/manifest+json", viewer.ContentPolicy, "no-cache"},
		{"its-addresses", "/desk/addresses.json", "application/json", viewer.ContentPolicy, "no-store"},
		{"its-part", "/desk/assets/desk-FFFF.js", "text/javascript; charset=utf-8", viewer.ContentPolicy, "public, max-age=31536000, immutable"},
		{"part", "/field/assets/field-part-BBBB.js", "text/javascript; charset=utf-8", viewer.ContentPolicy, "public, max-age=31536000, immutable"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res, _ := get(t, s.web.URL+c.path, "")
			h := res.Header
			if res.StatusCode != 200 || h.Get("Content-Type") != c.kind || h.Get("Content-Security-Policy") != c.policy || h.Get("Cache-Control") != c.cache {
				t.Errorf("%s: %s of %q under %q, kept %q", c.path, res.Status, h.Get("Content-Type"), h.Get("Content-Security-Policy"), h.Get("Cache-Control"))
			}
		})
	}
	// Under a hashed name's promise to stay the same for ever these would never be new.
	for _, path := range []string{"/assets/field-worker.js", "/assets/field.webmanifest", "/assets/field.html", "/desk/assets/desk-worker.js", "/desk/assets/desk.webmanifest"} {
		if res, _ := get(t, s.web.URL+path, ""); res.StatusCode != http.StatusNotFound {
			t.Errorf("%s: %s, want not found", path, res.Status)
		}
	}
	for _, forbidden := range []string{"unsafe-inline", "'unsafe-eval'", "data:", "*", "http"} {
		if strings.Contains(viewer.DevicePolicy, forbidden) {
			t.Errorf("the officer's pages' policy allows %s: %s", forbidden, viewer.DevicePolicy)
		}
	}
}
