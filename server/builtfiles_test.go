package server

import (
	"net/http"
	"sync"
	"testing"
	"testing/fstest"
)

// readings counts how often each file is read.
type readings struct {
	fstest.MapFS
	mu sync.Mutex
	of map[string]int
}

func (r *readings) ReadFile(name string) ([]byte, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.of[name]++
	return r.MapFS.ReadFile(name)
}

// However often the pages' files are asked for, a file is read once to be sent and once for its hash: a
// stranger who asked for scripts and read none of them used to hold up everybody's acknowledgements.
func TestBuiltFilesAreReadOnce(t *testing.T) {
	pages, computations := builtPages()
	s := newSite(t)
	read := &readings{MapFS: pages, of: map[string]int{}}
	computing := &readings{MapFS: computations, of: map[string]int{}}
	s.pages, s.computations = keepBuilt(read), keepBuilt(computing)
	for range 5 {
		for _, path := range []string{"/field/", "/field/worker.js", "/field/assets/field-AAAA.js", "/field/assets/compute-EEEE.wasm", "/assets/landholder-DDDD.js"} {
			if res, _ := fetch(t, s.web.URL+path, "Accept-Encoding", "br"); res.StatusCode != http.StatusOK {
				t.Fatalf("%s: %s", path, res.Status)
			}
		}
		if res, _ := fetch(t, s.web.URL+"/assets/no-such.js"); res.StatusCode != http.StatusNotFound {
			t.Fatalf("a file that is not there: %s", res.Status)
		}
	}
	for _, r := range []*readings{read, computing} {
		for name, n := range r.of {
			if n > 2 && name != "no-such.js" {
				t.Errorf("%s is read %d times", name, n)
			}
		}
	}
	if n := computing.of["compute-EEEE.wasm"]; n != 1 { // for its hash: what is sent is the packed one
		t.Errorf("the program is read %d times beside its packed file, want once", n)
	}
}
