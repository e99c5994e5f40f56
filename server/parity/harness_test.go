package parity

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"headcut/model/compute"
	"headcut/viewer"
	"headcut/viewer/tab"
)

// What TestMain makes ready: the command as make builds it, a server that it runs, and a
// browser.
var (
	built    = filepath.Join("..", "..", "viewer", "wasm", "built") // what the command has embedded
	headcut  string                                                 // the command's file
	office   string                                                 // the running server's address
	chromium context.Context                                        // one browser; each test opens a tab
)

func TestMain(m *testing.M) {
	code, err := prepared(m)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

// build makes the command, with the computations in it.
func build(root string) error {
	for _, step := range [][]string{
		{"go", "run", "-C", "viewer/bundle", ".", "-computations", "wasm/built"},
		{"go", "build", "-tags", "wasm_embedded", "-o", headcut, "./server/headcut"},
	} {
		run := exec.Command(step[0], step[1:]...)
		run.Dir = root
		if said, err := run.CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w\n%s", strings.Join(step, " "), err, said)
		}
	}
	return nil
}

func prepared(m *testing.M) (code int, err error) {
	dir, err := os.MkdirTemp("", "parity")
	if err != nil {
		return 1, err
	}
	defer os.RemoveAll(dir)
	root := filepath.Join("..", "..")
	headcut = filepath.Join(dir, "headcut")
	if tab.Built() {
		if headcut, err = filepath.Abs(filepath.Join(root, "bin", "headcut")); err != nil {
			return 1, err
		}
	} else if err := build(root); err != nil {
		return 1, err
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	serve := exec.CommandContext(ctx, headcut, "serve", "--data", filepath.Join(dir, "data"), "--listen", "127.0.0.1:0")
	serve.Cancel = func() error { return serve.Process.Signal(os.Interrupt) }
	serve.WaitDelay = 15 * time.Second
	stdout, err := serve.StdoutPipe()
	if err != nil {
		return 1, err
	}
	if err := serve.Start(); err != nil {
		return 1, err
	}
	defer serve.Wait()
	defer stop() // before waiting
	first, err := bufio.NewReader(stdout).ReadString('\n')
	if err != nil {
		return 1, fmt.Errorf("headcut serve said %q: %w", first, err)
	}
	_, office, _ = strings.Cut(strings.TrimSpace(first), " on ")
	browsing, leave, err := tab.Launch(filepath.Join(dir, "profile"))
	if err != nil {
		return 1, err
	}
	defer leave()
	chromium = browsing
	return m.Run(), nil
}

// entryPoint gives what comes out for an input, and whether it is a refusal.
type entryPoint func(t *testing.T, name string, in []byte) (text []byte, refused bool)

func commandLine(t *testing.T, name string, in []byte) ([]byte, bool) {
	t.Helper()
	run := exec.CommandContext(t.Context(), headcut, "compute", name, "--json")
	run.Stdin = bytes.NewReader(in)
	var stderr bytes.Buffer
	run.Stderr = &stderr
	out, err := run.Output()
	failed, ended := errors.AsType[*exec.ExitError](err)
	if err != nil && (!ended || failed.ExitCode() != 1) || stderr.Len() > 0 {
		t.Fatalf("headcut compute %s --json: %v, %s", name, err, stderr.String())
	}
	return out, err != nil
}

func overHTTP(t *testing.T, name string, in []byte) ([]byte, bool) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), "POST", office+"/compute/"+name, bytes.NewReader(in))
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	out, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	want := http.StatusOK
	if _, known := compute.Named(name); !known {
		want = http.StatusNotFound
	} else if _, refused := compute.Answer(name, in); refused {
		want = http.StatusUnprocessableEntity
	}
	if res.StatusCode != want || res.Header.Get("Content-Type") != "application/json" {
		t.Errorf("POST /compute/%s answered %s of %s, want %d", name, res.Status, res.Header.Get("Content-Type"), want)
	}
	return out, res.StatusCode != http.StatusOK
}

// browser opens a page of the office's own address, which holds nothing, under a policy.
// A page that computes is yet to come; the files it will load are the server's.
func browser(t testing.TB, policy string) *page {
	t.Helper()
	address, err := url.Parse(office)
	if err != nil {
		t.Fatal(err)
	}
	behind := httputil.NewSingleHostReverseProxy(address)
	web := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/page" {
			behind.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Content-Security-Policy", policy)
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = io.WriteString(w, `<!doctype html><html lang="en"><title>Computing</title>`)
	}))
	t.Cleanup(web.Close)
	ctx, stop := chromedp.NewContext(chromium)
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil { // without a time limit, which would close the tab with it
		t.Fatal(err)
	}
	p := &page{t: t, ctx: ctx}
	p.do(chromedp.Navigate(web.URL + "/page"))
	return p
}

type page struct {
	t   testing.TB
	ctx context.Context
}

func (p *page) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, time.Minute)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatal(err)
	}
}

// eval runs an expression in the page and waits for what it promises.
func eval[T any](p *page, expression string) T {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, 2*time.Minute)
	defer stop()
	result, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%.300s: %v", expression, err)
	}
	return result
}

// loaded opens a computing page and loads the program in it; the page then has a global c
// of type Computations.
func loaded(t testing.TB) *page {
	t.Helper()
	p := browser(t, viewer.ComputingPolicy)
	eval[int](p, importing+`.then(m => m.load()).then(c => { globalThis.c = c; return 1 })`)
	return p
}

// importing gives the module that the server says pages import.
const importing = `fetch("/assets/compute.json").then(r => r.json()).then(built => import("/assets/" + built.module))`
