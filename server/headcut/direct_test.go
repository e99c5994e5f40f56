package main

import (
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"
)

// TestDirect: an answer comes whole by either way of reading it, an admin API that breaks off is
// seen to, a writer that fails stops the admin API, and closing early lets it end.
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
	for _, way := range []func(io.Reader) (string, error){
		func(r io.Reader) (string, error) {
			var b strings.Builder
			_, err := io.Copy(&b, r)
			return b.String(), err
		},
		func(r io.Reader) (string, error) { b, err := io.ReadAll(struct{ io.Reader }{r}); return string(b), err },
	} {
		res := ask("POST", "/echo")
		if body, err := way(res.Body); body != "to and fro" || err != nil || res.StatusCode != http.StatusTeapot || res.Header.Get("X-Odd") != "yes" || res.Body.Close() != nil {
			t.Errorf("the answer is %d %q, %v", res.StatusCode, body, err)
		}
		res = ask("GET", "/half")
		if body, err := way(res.Body); body != "half" || !errors.Is(err, io.ErrUnexpectedEOF) {
			t.Errorf("an answer that broke off is %q, %v", body, err)
		}
		res = ask("GET", "/nothing")
		if body, err := way(res.Body); body != "" || err != nil || res.StatusCode != 200 {
			t.Errorf("an empty answer is %d %q, %v", res.StatusCode, body, err)
		}
	}
	res := ask("GET", "/long")
	if _, err := io.Copy(closed{}, res.Body); !errors.Is(err, io.ErrClosedPipe) || !errors.Is(<-ended, io.ErrClosedPipe) {
		t.Errorf("copying to a writer that fails gives %v", err)
	}
	res = ask("GET", "/long")
	res.Body.Close()
	if err := <-ended; !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("an admin API whose answer was closed met %v", err)
	}
}
