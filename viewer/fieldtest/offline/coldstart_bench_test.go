package offline

import (
	"cmp"
	"flag"
	"fmt"
	"slices"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

var (
	coldBefore = flag.String("before", "", "measure cold starts beside those of the pages in this checkout of an earlier commit, in turns")
	coldPairs  = flag.Int("pairs", 7, "cold starts of each kind")
)

// The ways in which a phone that was switched off opens the page; a figure is the length of a
// line, which only the computations know.
var coldWays = []struct {
	name, address, done string
	network             bool // nothing of the page is left on the phone, and the server answers
	processor           bool // what is measured is the processor's time, at its own speed: others do not lengthen it
}{
	{"map", "/field/#/map", watchMap, false, false},
	{"figure", "/field/#/thing/thalweg-1", watchFigure, false, false},
	{"network map", "/field/#/map", watchMap, true, false},
	{"network figure", "/field/#/thing/thalweg-1", watchFigure, true, false},
	{"processor map", "/field/#/map", watchMap, false, true},
	{"processor figure", "/field/#/thing/thalweg-1", watchFigure, false, true},
}

// watchFigure notes when the page first shows the length of the gully, a thousandth of a degree
// of latitude.
const watchFigure = `new MutationObserver((_, me) => {
	if (document.body?.innerText.includes("110.7")) { me.disconnect(); globalThis.figureShown = performance.now(); }
}).observe(document, {subtree: true, childList: true, characterData: true})`

// BenchmarkColdStart opens the page on phones with 300 points and a gully, as slow as the budgets'.
// With -before the pages of the earlier commit take turns with these, on one machine in one run.
func BenchmarkColdStart(b *testing.B) {
	builds := []string{"now"}
	if *coldBefore != "" {
		builds = append(builds, "before")
	}
	phones := map[string]*phone.Phone{}
	for _, build := range builds {
		office := phone.NewOffice(b)
		if build == "before" {
			office.Kill()
			pages, computations := phone.BuildOf(b, *coldBefore)
			office.UsePages(pages)
			office.UseComputations(computations)
			office.Start()
		}
		code := office.Invite(property, "R. Field")
		office.PlantFeatures(property, coldLand...)
		all := points(office.Property(property).ID)
		for i := range all {
			all[i].Device = "desk-2" // PlantFeatures is the desk
		}
		office.Plant(property, all...)
		p := phone.New(b, office, phone.Durable())
		p.Expect("") // killed offices, and pages that find nothing of theirs
		p.At(here)
		p.Open("/field/#/enrol/" + code)
		p.Tap("Enrol this phone")
		p.WaitText("The property is on this phone")
		p.WaitFor(kept)
		office.Kill()
		phones[build] = p
	}
	for range b.N {
		took := map[string][]float64{}
		for pair := range *coldPairs {
			for _, way := range coldWays {
				for i := range builds {
					build := builds[(i+pair)%len(builds)]
					ms := coldStart(phones[build], way.address, way.done, way.network, way.processor)
					took[way.name+" "+build] = append(took[way.name+" "+build], ms)
				}
			}
		}
		for _, way := range coldWays {
			now := took[way.name+" now"]
			said := fmt.Sprintf("%s: median %.0f ms of %.0f", way.name, median(now), now)
			if before := took[way.name+" before"]; before != nil {
				ratios := make([]float64, len(now))
				for i := range now {
					ratios[i] = now[i] / before[i]
				}
				said += fmt.Sprintf("; before %.0f of %.0f; median ratio of pairs %.2f", median(before), before, median(ratios))
			}
			b.Log(said)
		}
	}
}

// coldStart switches the phone off and on, opens the address and gives the milliseconds until
// what the script waits for is there, or those of the processor.
func coldStart(p *phone.Phone, address, watch string, network, processor bool) float64 {
	if network {
		p.Office.Start()
		defer p.Office.Kill()
		phone.Eval[bool](p.Page, `(async () => {
			for (const r of await navigator.serviceWorker.getRegistrations()) await r.unregister();
			for (const name of await caches.keys()) if (name.startsWith("page-")) await caches.delete(name);
			return true;
		})()`)
	}
	p.Close()
	if network {
		p.EmptyHTTPCache()
	}
	p.Start()
	p.At(here)
	if !processor {
		p.Throttle(slower)
	}
	p.BeforeScripts(watch)
	before := p.Processor()
	p.Open(address)
	const when = "(globalThis.mapDrawn ?? globalThis.figureShown)"
	p.WaitFor(when + " !== undefined")
	if processor {
		return 1000 * (p.Processor() - before)
	}
	took := phone.Eval[float64](p.Page, when)
	if network { // the next start finds the page's files on the phone again
		p.Throttle(1)
		p.WaitFor(kept)
	}
	return took
}

func median[T cmp.Ordered](of []T) T {
	sorted := slices.Sorted(slices.Values(of))
	return sorted[len(sorted)/2]
}
