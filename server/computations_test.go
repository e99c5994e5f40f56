package server

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"

	"headcut/model/compute"
	"headcut/viewer"
)

// TestComputationsFiles: as small as the browser can take them, for ever when the name
// carries a hash, and under the policy that lets a worker compile.
func TestComputationsFiles(t *testing.T) {
	s := newSite(t)
	s.computations = keepBuilt(fstest.MapFS{
		"compute.json": {Data: []byte(`{}`)}, "p-1.wasm": {Data: []byte("whole")}, "p-1.wasm.br": {Data: []byte("br")}, "p-1.wasm.gz": {Data: []byte("gz")}, "w-2.js": {Data: []byte("plain")},
	})
	const forever = "public, max-age=31536000, immutable"
	for _, test := range []struct{ name, file, accept, body, coding, kind, keep string }{
		{"brotli", "p-1.wasm", "gzip, deflate, br, zstd", "br", "br", "application/wasm", forever},
		{"gzip", "p-1.wasm", "gzip;q=0.5", "gz", "gzip", "application/wasm", forever},
		{"brotli-refused", "p-1.wasm", "br;q=0, gzip", "gz", "gzip", "application/wasm", forever},
		{"brotli-refused-at-length", "p-1.wasm", "br; q=0.000", "whole", "", "application/wasm", forever},
		{"none", "p-1.wasm", "identity", "whole", "", "application/wasm", forever},
		{"not-packed", "w-2.js", "br", "plain", "", "text/javascript; charset=utf-8", forever},
		{"list", "compute.json", "br", "{}", "", "application/json", "no-cache"},
	} {
		t.Run(test.name, func(t *testing.T) {
			req, err := http.NewRequestWithContext(t.Context(), "GET", s.web.URL+"/assets/"+test.file, nil)
			if err != nil {
				t.Fatal(err)
			}
			req.Header.Set("Accept-Encoding", test.accept)
			res, err := http.DefaultTransport.RoundTrip(req)
			if err != nil {
				t.Fatal(err)
			}
			defer res.Body.Close()
			body, err := io.ReadAll(res.Body)
			if err != nil {
				t.Fatal(err)
			}
			h := res.Header
			if string(body) != test.body || h.Get("Content-Encoding") != test.coding || h.Get("Content-Type") != test.kind || h.Get("Cache-Control") != test.keep {
				t.Errorf("%s as %q: %q with %v, want %q, %q, %q, %q", test.file, test.accept, body, h, test.body, test.coding, test.kind, test.keep)
			}
			if h.Get("Vary") != "Accept-Encoding" || h.Get("Content-Security-Policy") != viewer.ComputingPolicy {
				t.Errorf("%s: %v, want Vary and the policy for computing", test.file, h)
			}
		})
	}
	if status, _ := ask(t, "GET", s.web.URL+"/assets/p-1.wasm.br", ""); status != http.StatusNotFound {
		t.Errorf("the packed file by its own name: %d, want 404", status)
	}
}

func TestServerWithoutComputationsSaysSo(t *testing.T) {
	s := newSite(t)
	s.computations = keepBuilt(fstest.MapFS{})
	status, body := ask(t, "GET", s.web.URL+"/assets/compute.json", "")
	if p := problemIn(t, body); status != http.StatusNotFound || !strings.Contains(p.Fix, "make") {
		t.Errorf("compute.json of a server without: %d %s, want 404 and how to build it", status, body)
	}
}

func TestComputeDescribes(t *testing.T) {
	s := newSite(t)
	status, body := ask(t, "GET", s.web.URL+"/compute", "")
	if status != http.StatusOK || body != string(compute.Catalogue()) {
		t.Errorf("GET /compute answered %d with %d bytes, want the catalogue of %d", status, len(body), len(compute.Catalogue()))
	}
	for _, c := range compute.All() {
		status, body := ask(t, "GET", s.web.URL+"/compute/"+c.Name, "")
		var got struct {
			Name          string
			Input, Output struct {
				Dialect    string `json:"$schema"`
				Properties map[string]any
			}
		}
		if err := json.Unmarshal([]byte(body), &got); err != nil || status != http.StatusOK || got.Name != c.Name ||
			got.Input.Dialect != compute.Dialect || len(got.Input.Properties) != len(c.Inputs()) || len(got.Output.Properties) != len(c.Outputs()) {
			t.Errorf("GET /compute/%s answered %d %.200s, %v", c.Name, status, body, err)
		}
	}
	status, body = ask(t, "GET", s.web.URL+"/compute/dam-chek", "")
	if p := problemIn(t, body); status != http.StatusNotFound || !strings.Contains(p.Fix, "dam-check") {
		t.Errorf("GET /compute/dam-chek answered %d %s, want 404 and the nearest name", status, body)
	}
}

func TestInputThatIsTooLong(t *testing.T) {
	s := newSite(t)
	status, body := ask(t, "POST", s.web.URL+"/compute/line", strings.Repeat(" ", compute.MaxInput+1))
	if want, _ := compute.Answer("line", make([]byte, compute.MaxInput+1)); status != http.StatusRequestEntityTooLarge || body != string(want) {
		t.Errorf("an input of MaxInput+1 bytes: %d %s, want 413 %s", status, body, want)
	}
}

// TestLongBodiesAreAnswered: who sends a body whole before reading finds what is wrong with it, and not
// a connection that broke.
func TestLongBodiesAreAnswered(t *testing.T) {
	s := newSite(t)
	body := bytes.Repeat([]byte(" "), 40<<20)
	for _, path := range []string{"/compute/line", "/enrol"} {
		conn, err := net.Dial("tcp", s.web.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		fmt.Fprintf(conn, "POST %s HTTP/1.1\r\nHost: %s\r\nContent-Length: %d\r\n\r\n", path, s.web.Listener.Addr(), len(body))
		if _, err := conn.Write(body); err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		res, err := http.ReadResponse(bufio.NewReader(conn), nil)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		answer, _ := io.ReadAll(res.Body)
		if p := problemIn(t, string(answer)); res.StatusCode < 400 || !strings.Contains(p.Reason, "longer than") {
			t.Errorf("%s answered %d %s", path, res.StatusCode, answer)
		}
	}
}
