package pages

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"headcut/sync/store"
	"headcut/sync/store/storetest"
	"headcut/viewer/tab"
)

// largeProperty is a property of rip lines, dams along gullies, heads and hazards on a real
// server, behind a link.
type largeProperty struct {
	*httptest.Server
	t     *testing.T
	link  string
	id    string
	store store.Register
	maker *storetest.Maker
	mu    sync.Mutex
	asked []string

	beforeBlocks func() // the first is given
}

func newLargeProperty(t *testing.T, features int) *largeProperty {
	t.Helper()
	s, store := realServer(t)
	property, _, err := s.PropertyOrNew(t.Context(), "Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	l := &largeProperty{t: t, id: property.ID, store: store, maker: &storetest.Maker{Property: property.ID, Device: "a"}}
	var raw []json.RawMessage
	for i := range features {
		id, gully := fmt.Sprint("f-", i), i/50
		east, north := 147.3+float64(gully%40)*2e-3, -22.6+float64(gully/40)*4e-3+float64(i%50)*6e-5
		place := fmt.Sprintf(`{"type":"Point","coordinates":[%f,%f]}`, east, north)
		switch k := i % 50; {
		case k == 0:
			raw = append(raw, l.maker.Entry(id, nil, "kind", `"thalweg"`, "name", fmt.Sprintf(`"Gully %d"`, gully), "geometry",
				fmt.Sprintf(`{"type":"LineString","coordinates":[[%f,%f],[%f,%f]]}`, east, north, east+2e-4, north+3e-3)))
		case k < 25:
			raw = append(raw, l.maker.Entry(id, nil, "kind", `"check-dam"`, "name", fmt.Sprintf(`"Dam %d-%d"`, gully, k), "geometry", place,
				"status", []string{`"built"`, `"built"`, `"built"`, `"pegged"`, `"failed"`}[gully%5], "thalweg", fmt.Sprintf(`"f-%d"`, gully*50), "chainageM", fmt.Sprint(8*k), "crestHeightM", "0.4"))
		case k < 28:
			raw = append(raw, l.maker.Entry(id, nil, "kind", `"gully-head"`, "name", fmt.Sprintf(`"Head %d"`, i), "headDepthM", "1.2", "geometry", place))
		default:
			raw = append(raw, l.maker.Entry(id, nil, "kind", `"rip-line"`, "name", fmt.Sprintf(`"Rip %d"`, i), "status", `"built"`, "geometry",
				fmt.Sprintf(`{"type":"LineString","coordinates":[[%f,%f],[%f,%f]]}`, east+3e-4, north, east+1.4e-3, north+1e-5)))
		}
	}
	raw = append(raw, l.maker.Entry("shaft", nil, "kind", `"hazard"`, "name", `"Old shaft"`, "danger", `"Open shaft: keep away."`, "geometry", `{"type":"Point","coordinates":[147.31,-22.59]}`))
	for page := range slices.Chunk(raw, 1000) {
		l.append(page...)
	}
	secret, err := s.Share(t.Context(), property, "", time.Now().Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	l.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		l.mu.Lock()
		l.asked = append(l.asked, r.URL.Path)
		if l.beforeBlocks != nil && strings.Contains(r.URL.Path, "/blocks/") {
			l.beforeBlocks()
			l.beforeBlocks = nil
		}
		l.mu.Unlock()
		s.Handler().ServeHTTP(w, r)
	}))
	t.Cleanup(l.Close)
	l.link = l.URL + "/map/" + secret
	return l
}

func (l *largeProperty) append(raw ...json.RawMessage) {
	l.t.Helper()
	if _, err := l.store.Append(l.t.Context(), l.id, raw); err != nil {
		l.t.Fatal(err)
	}
}

// blocksAsked is how many blocks were asked for since the last time.
func (l *largeProperty) blocksAsked() (n int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, path := range l.asked {
		if strings.Contains(path, "/blocks/") {
			n++
		}
	}
	l.asked = nil
	return n
}

// The page of a large property opens with its sums, fills itself in, and fetches after an
// entry the blocks in which something changed.
func TestLargePropertyOpensAndIsRefreshed(t *testing.T) {
	const features = 10_000
	l := newLargeProperty(t, features)
	for _, size := range []screen{{390, 844}, desktop} {
		ctx, stop := chromedp.NewContext(browser)
		t.Cleanup(stop)
		p := &page{tab.New(t, ctx, size.width, size.height), t}
		p.Do(chromedp.Navigate(l.link))
		p.WaitFor(`document.body.textContent.includes("works built") && document.querySelector(".dangers") !== null`)
		p.WaitFor(`[...document.querySelectorAll("header button")].some(b => b.textContent === "Refresh")`)
		p.waitForMap()
		p.Screenshot(fmt.Sprintf("large-%d", size.width))
		first := size.width == 390 // after that the browser has all but what changed
		if blocks := l.blocksAsked(); blocks > features/50 || first != (blocks > 20) {
			t.Errorf("%v: %d blocks were asked for", size, blocks)
		}
		if rows := eval[int](p, `document.querySelectorAll(".worklist li").length`); rows > 500 {
			t.Errorf("%v: the list shows %d rows at once", size, rows)
		}
		name := fmt.Sprintf("A dam %d", size.width) // first of those that failed
		l.append(l.maker.Entry("f-2001", nil, "name", `"`+name+`"`, "status", `"failed"`))
		eval[bool](p, `([...document.querySelectorAll("header button")].find(b => b.textContent === "Refresh").click(), true)`)
		p.WaitFor(`document.body.textContent.includes("` + name + `")`)
		p.WaitFor(`[...document.querySelectorAll("header button")].some(b => b.textContent === "Refresh")`)
		if blocks := l.blocksAsked(); blocks == 0 || blocks > 6 {
			t.Errorf("%v: after one entry %d blocks were asked for, want those in which the dam stands", size, blocks)
		}
		eval[bool](p, `([...document.querySelectorAll(".dangers .watchrow")][0].click(), true)`)
		p.WaitFor(`document.querySelector("#chosen")?.textContent === "Old shaft"`)
		p.waitForMap()
		p.Screenshot(fmt.Sprintf("large-chosen-%d", size.width))
		p.WantQuiet(nil)
		p.Do(chromedp.Navigate("about:blank"))
	}
}

// While a page loads its blocks something changes: it asks again and shows what is.
func TestLargePropertyChangesWhileItLoads(t *testing.T) {
	l := newLargeProperty(t, 3000)
	ctx, stop := chromedp.NewContext(browser)
	t.Cleanup(stop)
	p := &page{tab.New(t, ctx, desktop.width, desktop.height), t}
	p.Do(chromedp.Navigate("about:blank"))
	l.mu.Lock()
	l.beforeBlocks = func() { // every list has changed
		for i := range 50 {
			l.append(l.maker.Entry(fmt.Sprint("f-", 60*i), nil, "name", fmt.Sprintf(`"Moved %d"`, i)))
		}
	}
	l.mu.Unlock()
	p.Do(chromedp.Navigate(l.link))
	p.WaitFor(`[...document.querySelectorAll("header button")].some(b => b.textContent === "Refresh")`)
	p.waitForMap()
	if loaded := eval[bool](p, `document.querySelector(".message") === null && !document.body.textContent.includes("items loaded")`); !loaded {
		t.Error("the page says that something is missing")
	}
	p.WantQuiet(func(one tab.Trouble) bool { return strings.Contains(one.Text, "404") })
}
