package parity

import (
	"encoding/json"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"testing"
)

// mostBytes is what the program may weigh on its way to a phone, compressed by brotli: the
// computations, the fold, the figures and planning together. Planning is some 110 kB of it, and saves a day's
// drive: an officer plans where the gully is, with no signal. Of the same code laid out otherwise brotli makes
// up to 13 kB more or less.
const mostBytes = 1_390_000

// TestProgramIsLight asks the running server for the program as a browser does.
func TestProgramIsLight(t *testing.T) {
	list, err := os.ReadFile(filepath.Join(built, "compute.json"))
	if err != nil {
		t.Fatal(err)
	}
	var m struct{ Program string }
	if err := json.Unmarshal(list, &m); err != nil {
		t.Fatal(err)
	}
	if all, err := filepath.Glob(filepath.Join(built, "*.wasm")); err != nil || len(all) != 1 {
		t.Errorf("the programs are %v (%v), want one", all, err)
	}
	program := m.Program
	for coding, most := range map[string]int{"br": mostBytes, "gzip": 1_950_000, "": 10_100_000} {
		req, err := http.NewRequestWithContext(t.Context(), "GET", office+"/assets/"+program, nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Accept-Encoding", "zstd, "+coding)
		res, err := http.DefaultTransport.RoundTrip(req)
		if err != nil {
			t.Fatal(err)
		}
		size, err := io.Copy(io.Discard, res.Body)
		res.Body.Close()
		if got := res.Header.Get("Content-Encoding"); err != nil || res.StatusCode != http.StatusOK || got != coding || res.Header.Get("Content-Type") != "application/wasm" {
			t.Errorf("%s, asked for as %q: %s, encoding %q, %s, %v", program, coding, res.Status, got, res.Header.Get("Content-Type"), err)
		}
		t.Logf("%s as %q: %d bytes", program, coding, size)
		if int(size) > most || size == 0 {
			t.Errorf("%s as %q is %d bytes, want at most %d", program, coding, size, most)
		}
	}
}
