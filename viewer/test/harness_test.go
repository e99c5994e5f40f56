// Package pages tests the built pages in a real browser: the bundle as it is embedded,
// under the strictest content policy, with answers as the server gives them.
package pages

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"

	"headcut/viewer"
	"headcut/viewer/tab"
)

// browser is one Chromium for all tests; each test opens a tab of its own.
var browser context.Context

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	profile, err := os.MkdirTemp("", "pages-profile")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(profile)
	ctx, leave, err := tab.Launch(profile)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer leave()
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

// page is the landholder's page in a tab.
type page struct {
	*tab.Tab
	t *testing.T
}

// open loads the landholder's page of a site and waits until it shows something. When
// the test ends, the page must have asked for nothing outside the site.
func open(t *testing.T, s *site, size screen, setUp ...func(*page)) *page {
	t.Helper()
	ctx, stop := chromedp.NewContext(browser)
	t.Cleanup(stop)
	p := &page{tab.New(t, ctx, size.width, size.height), t}
	for _, one := range setUp {
		one(p)
	}
	p.Do(chromedp.Navigate(s.URL + linkPath))
	p.WaitFor(`document.querySelector("h1") !== null`)
	t.Cleanup(func() { p.WantOnly(strings.TrimPrefix(s.URL, "http://") + "/") })
	return p
}

// eval runs an expression in the page and returns what it gives.
func eval[T any](p *page, expression string) T {
	p.t.Helper()
	return tab.Eval[T](p.Tab, expression)
}
