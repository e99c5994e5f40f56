package offline

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"

	"headcut/model"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// The field page's share of the budgets; all on a phone whose processor is four times slower.
const (
	scriptBudget    = 150 << 10 // bytes of script before the first screen, gzip
	scriptStartMS   = 400       // from the script's beginning to the first screen
	coldStartMS     = 2000      // from opening to the map drawn with 300 points, server dead
	budgetTries     = 4         // on a machine that does other things, the best of so many
	slower          = 4
	pointsOnTheMap  = 300
	farApartDegrees = 0.0004
)

// What a page's script imports at once, and the workers it may start, by the addresses in its text.
var (
	imported = regexp.MustCompile(`(?:import|export)\s*(?:[\w${},*\s]+from)?\s*"(\.\/[^"]+\.js)"`)
	worker   = regexp.MustCompile(`"(/field/assets/field-[^"]+\.js)"`)
)

func TestScriptIsSmall(t *testing.T) {
	office := phone.NewOffice(t)
	html := string(fetched(t, office.URL+"/field/"))
	first := regexp.MustCompile(`src="(/field/assets/[^"]+\.js)"`).FindStringSubmatch(html)
	if first == nil {
		t.Fatalf("the page has no script: %s", html)
	}
	total, seen := 0, map[string]bool{}
	for waiting := []string{first[1]}; len(waiting) > 0; waiting = waiting[1:] {
		if seen[waiting[0]] {
			continue
		}
		seen[waiting[0]] = true
		script := fetched(t, office.URL+waiting[0])
		total += packed(t, script)
		for _, part := range imported.FindAllStringSubmatch(string(script), -1) {
			waiting = append(waiting, "/field/assets/"+strings.TrimPrefix(part[1], "./"))
		}
		for _, other := range worker.FindAllStringSubmatch(string(script), -1) {
			waiting = append(waiting, other[1])
		}
	}
	t.Logf("%d bytes, gzip, in %d files before the first screen", total, len(seen))
	if total > scriptBudget {
		t.Errorf("the script of the first load is %d bytes, gzip, and may be %d", total, scriptBudget)
	}
	p := phone.New(t, office)
	p.Open("/field/")
	p.WaitHeading("Enrol")
	for _, url := range p.Requests() {
		if path := strings.TrimPrefix(url, office.URL); strings.HasSuffix(path, ".js") && strings.Contains(path, "/field-") && !seen[path] {
			t.Errorf("the first screen loads %s too, which was not counted", path)
		}
	}
}

func fetched(t *testing.T, url string) []byte {
	t.Helper()
	res, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != http.StatusOK {
		t.Fatalf("%s: %s %v", url, res.Status, err)
	}
	return body
}

func packed(t *testing.T, body []byte) int {
	t.Helper()
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := z.Write(body); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Len()
}

// From the moment that the script is there to the first screen.
func TestScriptStartsSoon(t *testing.T) {
	p := enrolled(t, phone.NewOffice(t))
	p.Throttle(slower)
	p.BeforeScripts(`new MutationObserver((_, me) => { if (document.querySelector("h1")) { me.disconnect(); globalThis.firstScreen = performance.now(); } }).observe(document, {subtree: true, childList: true})`)
	best := 1e9
	for range budgetTries {
		p.Open("/field/")
		p.Reload()
		p.WaitFor("globalThis.firstScreen !== undefined")
		took := phone.Eval[float64](p.Page, `firstScreen - Math.max(...performance.getEntriesByType("resource").filter(r => /field-.*\.js$/.test(r.name) && r.responseEnd < firstScreen).map(r => r.responseEnd))`)
		if best = min(best, took); best <= scriptStartMS {
			break
		}
	}
	t.Logf("the first screen %.0f ms after its script", best)
	if best > scriptStartMS {
		t.Errorf("the first screen came %.0f ms after its script, want %d at %dx", best, scriptStartMS, slower)
	}
}

// A phone that was switched off is opened at the map where there is no signal and no server.
func TestColdStartOfflineDrawsTheMap(t *testing.T) {
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	office.Plant(property, points(office.Property(property).ID)...)
	p := phone.New(t, office, phone.Durable())
	p.At(here)
	p.Open("/field/#/enrol/" + code)
	p.Tap("Enrol this phone")
	p.WaitText("The property is on this phone")
	p.WaitFor(kept)
	office.Kill()
	best := 1e9
	for range budgetTries {
		p.Close()
		p.Start()
		p.At(here)
		busy := others(t)
		if !busy {
			p.Throttle(slower)
		}
		p.BeforeScripts(watchMap)
		work := mainThread(t, p)
		p.Open("/field/#/map")
		p.WaitFor("globalThis.mapDrawn !== undefined")
		worked, took := work(), phone.Eval[float64](p.Page, "mapDrawn")
		t.Logf("drawn after %.0f ms, of which the page worked %.0f", took, worked)
		if busy { // the clock says little then: what a slower, idle phone would work
			took = slower * worked
		}
		if best = min(best, took); best <= coldStartMS {
			break
		}
	}
	p.Screenshot("cold-start")
	t.Logf("the map with %d points drawn after %.0f ms", pointsOnTheMap, best)
	if best > coldStartMS {
		t.Errorf("the map with %d points was drawn %.0f ms after opening, want %d at %dx", pointsOnTheMap, best, coldStartMS, slower)
	}
	if got := phone.Eval[string](p.Page, `document.querySelector(".map").dataset.drawn`); got != fmt.Sprintf("%d 0", pointsOnTheMap) {
		t.Errorf("the map says that it has drawn %s things and groups, want each of the %d", got, pointsOnTheMap)
	}
	p.Tap("List of items")
	p.WaitText(fmt.Sprintf("%d items", pointsOnTheMap))
}

// mainThread measures the processor's time of the page's main thread, in milliseconds from
// now until it is asked.
func mainThread(t *testing.T, p *phone.Phone) func() float64 {
	t.Helper()
	p.Do(phone.Command(performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks}))
	now := func() float64 {
		metrics := phone.Ask(p.Page, func(ctx context.Context, target *chromedp.Target) (performance.GetMetricsResult, error) {
			return cdp.Call(ctx, target, performance.GetMetrics, cdp.Empty{})
		})
		for _, m := range metrics.Metrics {
			if m.Name == "TaskDuration" {
				return 1000 * m.Value
			}
		}
		t.Fatal("the browser does not tell how long it worked")
		return 0
	}
	before := now()
	return func() float64 { return now() - before }
}

// others tells whether so much else runs on this machine that its clock says little about
// the page: more than one and a half things for each processor.
func others(t *testing.T) bool {
	t.Helper()
	raw, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		t.Fatal(err)
	}
	var load float64
	if _, err := fmt.Sscan(string(raw), &load); err != nil {
		t.Fatal(err)
	}
	return load > 1.5*float64(runtime.NumCPU())
}

// watchMap notes when the map first says that it has drawn all that is in sight.
const watchMap = `new MutationObserver((_, me) => {
	const map = document.querySelector(".map[data-drawn]");
	if (map && map.dataset.drawn !== "0 0") { me.disconnect(); globalThis.mapDrawn = performance.now(); }
}).observe(document, {subtree: true, childList: true, attributes: true, attributeFilter: ["data-drawn"]})`

// points are that many works of a property, in a grid, as a desk page would have made them.
func points(property string) []register.Entry {
	kinds := []string{"check-dam", "gully-head", "peg", "photo-point"}
	var all []register.Entry
	for i := range pointsOnTheMap {
		at := time.Date(2026, 1, 1, 9, 0, i, 0, time.UTC)
		place := fmt.Sprintf(`{"type":"Point","coordinates":[%.6f,%.6f]}`, here.Lon+farApartDegrees*float64(i%20), here.Lat+farApartDegrees*float64(i/20))
		all = append(all, register.Entry{
			Version: register.Version, ID: register.ID(fmt.Sprintf("019abc00-0000-7000-8000-%012x", i+1)), Property: property, Feature: fmt.Sprint("f-", i),
			Device: "desk", DeviceSeq: uint64(i + 1), Stamp: register.StampAt(at), SeenAt: at.Format(time.RFC3339), Author: "A. Desk",
			Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": fmt.Appendf(nil, "%q", kinds[i%len(kinds)]), "name": fmt.Appendf(nil, `"Work %d"`, i+1), "geometry": json.RawMessage(place)}),
		})
	}
	return all
}
