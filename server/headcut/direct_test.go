package main

import (
	"context"
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"
)

// TestDirect: an answer comes whole, one that breaks off is seen to, closing early lets the admin
// API end, and nobody waits for what was taken back.
func TestDirect(t *testing.T) {
	mux := http.NewServeMux()
	mux.HandleFunc("POST /echo", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("X-Odd", "yes")
		w.WriteHeader(http.StatusTeapot)
		io.Copy(w, r.Body)
	})
	ended := make(chan error, 1)
	mux.HandleFunc("GET /long", func(w http.ResponseWriter, r *http.Request) {
		for {
			if _, err := w.Write(make([]byte, 1000)); err != nil {
				ended <- err
				return
			}
		}
	})
	mux.HandleFunc("GET /half", func(w http.ResponseWriter, r *http.Request) {
		io.WriteString(w, "half")
		panic(http.ErrAbortHandler)
	})
	mux.HandleFunc("GET /never", func(_ http.ResponseWriter, r *http.Request) { select {} })
	mux.HandleFunc("GET /nothing", func(http.ResponseWriter, *http.Request) {})
	client := &http.Client{Transport: direct{mux}}
	ask := func(method, path string) *http.Response {
		t.Helper()
		r, err := http.NewRequest(method, "http://office"+path, strings.NewReader("to and fro"))
		if err != nil {
			t.Fatal(err)
		}
		res, err := client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		return res
	}
	for _, c := range []struct {
		method, path, body string
		status             int
		err                error
	}{
		{"POST", "/echo", "to and fro", http.StatusTeapot, nil},
		{"GET", "/half", "half", http.StatusOK, io.ErrUnexpectedEOF},
		{"GET", "/nothing", "", http.StatusOK, nil},
	} {
		res := ask(c.method, c.path)
		body, err := io.ReadAll(res.Body)
		if string(body) != c.body || err != c.err || res.StatusCode != c.status || res.Body.Close() != nil {
			t.Errorf("%s answers %d %q, %v", c.path, res.StatusCode, body, err)
		}
	}
	if res := ask("POST", "/echo"); res.Header.Get("X-Odd") != "yes" || res.Body.Close() != nil {
		t.Errorf("the head of an answer is %v", res.Header)
	}
	res := ask("GET", "/long")
	res.Body.Close()
	if err := <-ended; !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("an admin API whose answer was closed met %v", err)
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	r, err := http.NewRequestWithContext(ctx, "GET", "http://office/never", nil)
	if err != nil {
		t.Fatal(err)
	}
	if res, err := client.Do(r); !errors.Is(err, context.Canceled) {
		t.Errorf("a question that was taken back is answered with %v, %v", res, err)
	}
}
