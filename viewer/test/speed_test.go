package pages

import (
	"encoding/json"
	"io/fs"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"headcut/server"
	"headcut/server/demo"
	"headcut/sync/store/boltstore"
	"headcut/sync/store/storetest"
	"headcut/viewer"
	"headcut/viewer/tab"
)

// How soon the landholder's map must be drawn: on a phone whose processor is four times
// slower, over a line of 4 Mbit/s and 50 ms, with nothing kept. On a busy machine the time
// is of the machine, so what is held to is the ratio to a page that only loads and starts
// the same script, in the same run.
const (
	mapDrawnMS    = 1500
	ratioToScript = 4.8       // 2.9 on the machine of the goal; 3.8 to 4.2 on one whose processor draws worse
	wireBudget    = 140 << 10 // bytes over the line until the map is drawn
	speedTries    = 5
)

// realServer is a server of an empty register.
func realServer(t *testing.T) (*server.Server, *boltstore.Store) {
	t.Helper()
	dir, now := t.TempDir(), time.Now
	store, err := boltstore.Open(filepath.Join(dir, "register.bolt"), boltstore.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, "photos"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := server.New(t.Context(), server.Config{
		Store: store, Photos: photos, Pages: viewer.Pages(), Computations: fstest.MapFS{}, Log: slog.New(slog.DiscardHandler), Now: now,
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = s.Close(t.Context())
		_ = store.Close()
	})
	return s, store
}

// demoLink serves the demo's scene on a real server and returns the address of its link.
func demoLink(t *testing.T) (base, link string) {
	t.Helper()
	s, store := realServer(t)
	property, _, err := s.PropertyOrNew(t.Context(), demo.PropertyName)
	if err != nil {
		t.Fatal(err)
	}
	maker := storetest.Maker{Property: property.ID, Device: "a"}
	var entries []json.RawMessage
	for _, c := range demo.Scene() {
		var set []string
		for name, v := range c.Set {
			raw, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			set = append(set, name, string(raw))
		}
		entries = append(entries, maker.Entry(c.Feature, nil, set...))
	}
	if _, err := store.Append(t.Context(), property.ID, entries); err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), property, "", time.Now().Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	html, err := fs.ReadFile(viewer.Pages(), "landholder.html")
	if err != nil {
		t.Fatal(err)
	}
	script := regexp.MustCompile(`<script[^>]* src="[^"]+"[^>]*></script>`).Find(html)
	mux := http.NewServeMux()
	mux.Handle("/", s.Handler())
	// The script finds no place to draw in and ends: what it costs to load and start it.
	mux.HandleFunc("GET /script", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		_, _ = w.Write(append([]byte("<!doctype html><title>Script</title>"), script...))
	})
	web := httptest.NewServer(mux)
	t.Cleanup(web.Close)
	return web.URL, web.URL + "/map/" + secret
}

// cold opens an address with nothing kept, as a slow phone on a slow line does.
func cold(p *page, url string) {
	p.t.Helper()
	line := network.Conditions{Latency: 50, DownloadThroughput: 4e6 / 8, UploadThroughput: 1e6 / 8}
	p.Do(
		chromedp.Navigate("about:blank"),
		tab.Command(network.ClearBrowserCache, cdp.Empty{}),
		tab.Command(network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{&line}}),
		tab.Command(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4}),
		chromedp.Navigate(url),
	)
}

// TestMapIsDrawnSoon opens the demo's map on a phone slowed four times, at 4 Mbit/s and 50 ms, with
// nothing kept. Measured 2026-11-29 on an AMD EPYC: 1.08 s and 98 KB, 2.9 times what loading and
// starting the script alone takes.
func TestMapIsDrawnSoon(t *testing.T) {
	base, link := demoLink(t)
	ctx, stop := chromedp.NewContext(browser)
	t.Cleanup(stop)
	p := &page{tab.New(t, ctx, 390, 844), t}
	best, script := 1e9, 1e9
	for range speedTries {
		cold(p, base+"/script")
		script = min(script, eval[float64](p, `new Promise(done => { const when = () => { const n = performance.getEntriesByType("navigation")[0]; n.domContentLoadedEventEnd > 0 ? done(n.domContentLoadedEventEnd) : setTimeout(when, 20) }; when() })`))
		cold(p, link)
		p.WaitFor(`performance.getEntriesByName("map drawn").length > 0`)
		best = min(best, eval[float64](p, `performance.getEntriesByName("map drawn")[0].startTime`))
	}
	wire := eval[float64](p, `performance.getEntries().filter(e => e.transferSize && e.responseEnd < performance.getEntriesByName("map drawn")[0].startTime).reduce((sum, e) => sum + e.transferSize, 0)`)
	t.Logf("the map was drawn after %.0f ms, %.0f KB over the line; the script alone takes %.0f ms: ratio %.2f", best, wire/1024, script, best/script)
	if best > mapDrawnMS && best > ratioToScript*script {
		t.Errorf("the map was drawn after %.0f ms, %.2f times the script alone; want %d ms or a ratio of %.1f", best, best/script, mapDrawnMS, ratioToScript)
	}
	for _, url := range p.Requests() {
		if strings.HasSuffix(url, "/land.json") {
			t.Errorf("the page asks for %s, which it came with", url)
		}
	}
	if wire > wireBudget || wire < 50<<10 {
		t.Errorf("%.0f bytes came over the line before the map was drawn, want at most %d", wire, wireBudget)
	}
}
