// Package pages tests the built pages in a real browser: the bundle as it is embedded,
// under the strictest content policy, with answers as the server gives them.
package pages

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"headcut/viewer"
)

// browser is one Chromium for all tests; each test opens a tab of its own.
var browser context.Context

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	path, err := exec.LookPath("chromium")
	if err != nil {
		fmt.Fprintln(os.Stderr, "chromium is not installed: run make test, which installs it")
		return 1
	}
	profile, err := os.MkdirTemp("", "pages-profile")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(profile)
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(path), chromedp.UserDataDir(profile),
		chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("hide-scrollbars", true),
	)
	defer stopAlloc()
	ctx, stop := chromedp.NewContext(alloc)
	defer stop()
	if err := chromedp.Do(ctx); err != nil {
		fmt.Fprintln(os.Stderr, "chromium does not start:", err)
		return 1
	}
	browser = ctx
	return m.Run()
}

// screen is the size of a window in CSS pixels.
type screen struct{ width, height int64 }

var (
	desktop = screen{1360, 900}
	phone   = screen{412, 800}
	small   = screen{320, 640}
)

// site serves one property's page as the server does.
type site struct {
	*httptest.Server
	mu     sync.Mutex
	status int
	land   []byte
	photos map[string][]byte
	asked  []string // paths, in order
}

const linkPath = "/map/a-long-random-link"

func newSite(t *testing.T, land []byte) *site {
	t.Helper()
	s := &site{status: http.StatusOK, land: land, photos: map[string][]byte{}}
	pages := http.FileServerFS(viewer.Pages())
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+linkPath, func(w http.ResponseWriter, r *http.Request) {
		http.ServeFileFS(w, r, viewer.Pages(), "landholder.html")
	})
	mux.HandleFunc("GET "+linkPath+"/land.json", func(w http.ResponseWriter, r *http.Request) {
		s.mu.Lock()
		defer s.mu.Unlock()
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(s.status)
		_, _ = w.Write(s.land)
	})
	mux.HandleFunc("GET "+linkPath+"/photos/{sha}", func(w http.ResponseWriter, r *http.Request) {
		photo, ok := s.photos[r.PathValue("sha")]
		if !ok {
			http.NotFound(w, r)
			return
		}
		_, _ = w.Write(photo)
	})
	mux.Handle("GET /assets/", http.StripPrefix("/assets/", pages))
	s.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.mu.Lock()
		s.asked = append(s.asked, r.URL.Path)
		s.mu.Unlock()
		w.Header().Set("Content-Security-Policy", viewer.ContentPolicy)
		w.Header().Set("X-Content-Type-Options", "nosniff")
		mux.ServeHTTP(w, r)
	}))
	t.Cleanup(s.Close)
	return s
}

func (s *site) answer(status int, land []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.status, s.land = status, land
}

// tab is one open page, with all that it complained of and asked for.
type tab struct {
	t   *testing.T
	ctx context.Context

	mu       sync.Mutex
	errors   []string
	requests []string
}

// open loads the landholder's page of a site and waits until it shows something. When
// the test ends, the page must have had no error and asked for nothing outside the site.
func open(t *testing.T, s *site, size screen, setUp ...chromedp.Action[chromedp.Void]) *tab {
	t.Helper()
	ctx, stop := chromedp.NewContext(browser)
	t.Cleanup(stop)
	p := &tab{t: t, ctx: ctx}
	err := chromedp.Listen(ctx, func(event any) {
		p.mu.Lock()
		defer p.mu.Unlock()
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			text := e.ExceptionDetails.Text
			if e.ExceptionDetails.Exception != nil {
				text += " " + e.ExceptionDetails.Exception.Description
			}
			p.errors = append(p.errors, text)
		case *runtime.EventConsoleAPICalled:
			if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
				p.errors = append(p.errors, fmt.Sprintf("console: %s", e.Args[0].Value))
			}
		case *log.EventEntryAdded:
			if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
				p.errors = append(p.errors, fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL))
			}
		case *network.EventRequestWillBeSent:
			p.requests = append(p.requests, e.Request.URL)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		if _, err := cdp.Call(ctx, target, network.Enable, network.EnableParams{}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, target, log.Enable, cdp.Empty{})
		return err
	}))
	p.do(chromedp.EmulateViewport(size.width, size.height))
	p.do(setUp...)
	p.do(chromedp.Navigate(s.URL + linkPath))
	p.waitFor(`document.querySelector("h1") !== null`)
	t.Cleanup(func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		for _, url := range p.requests {
			if !strings.HasPrefix(url, s.URL+"/") {
				t.Errorf("the page asked for %s, which is not on its own server", url)
			}
		}
	})
	return p
}

// wantQuiet fails the test when the page has logged an error or thrown one.
func (p *tab) wantQuiet() {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, e := range p.errors {
		p.t.Errorf("the page complained: %s", e)
	}
}

const patience = 30 * time.Second // for one step, on a busy machine

func (p *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, patience)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatal(err)
	}
}

// ask runs an action that gives something.
func ask[T any](p *tab, action chromedp.Action[T]) T {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, patience)
	defer stop()
	result, err := chromedp.Run(ctx, action)
	if err != nil {
		p.t.Fatal(err)
	}
	return result
}

// eval runs an expression in the page and returns what it gives.
func eval[T any](p *tab, expression string) T {
	p.t.Helper()
	return ask(p, chromedp.Evaluate[T](expression))
}

// waitFor waits until an expression is true in the page.
func (p *tab) waitFor(expression string) {
	p.t.Helper()
	_, err := chromedp.Run(p.ctx, chromedp.Poll[bool](expression, chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(10*time.Second)))
	if errors.Is(err, chromedp.ErrPollingTimeout) {
		p.t.Fatalf("never became true in the page: %s", expression)
	}
	if err != nil {
		p.t.Fatalf("%s: %v", expression, err)
	}
}
