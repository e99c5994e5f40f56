package offline

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"headcut/viewer/fieldtest/phone"
)

// What the office knows of the land before the phone enrols.
var coldLand = []map[string]any{
	{"id": "thalweg-1", "kind": "thalweg", "name": "Main gully", "geometry": line([2]float64{146.5, -20.25}, [2]float64{146.5, -20.249})},
	{"id": "rip-1", "kind": "rip-line", "name": "Top line", "status": "proposed", "toleranceM": 0.03, "geometry": line([2]float64{146.501, -20.25}, [2]float64{146.502, -20.25})},
	{"id": "mark-1", "kind": "benchmark", "name": "Gate post", "levelM": 100, "geometry": spot(146.5, -20.2502)},
	{"id": "track-1", "kind": "track", "name": "Ridge track", "geometry": line([2]float64{146.5, -20.252}, [2]float64{146.503, -20.252})},
	{"id": "head-1", "kind": "gully-head", "name": "Lip", "headDepthM": 1.6, "observedOn": "2024-08-02", "accuracyM": 3, "geometry": spot(146.5002, -20.2501)},
	{"id": "visit-1", "kind": "visit", "of": "head-1", "observedOn": "2024-11-26", "condition": "needs work", "headOffsetM": 12.4},
	{"id": "visit-2", "kind": "visit", "of": "head-1", "observedOn": "2025-05-14", "condition": "needs work", "headOffsetM": 11.85},
	{"id": "scald-1", "kind": "scald", "name": "Red scald", "geometry": spot(146.503, -20.251)},
}

func spot(lon, lat float64) any {
	return map[string]any{"type": "Point", "coordinates": []float64{lon, lat}}
}

func line(coordinates ...[2]float64) any {
	return map[string]any{"type": "LineString", "coordinates": coordinates}
}

// A whole day without signal after a cold start: the browser was closed, it has thrown away
// what it had cached of its own accord, and the server cannot be reached. Every screen that
// computes does, and goes on doing so when the page is loaded again.
func TestColdStartComputesOnEveryScreen(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	office.PlantFeatures(property, coldLand...)
	p := phone.New(t, office, phone.Durable())
	p.Enrol(property, code, here)
	p.WaitText("The property is on this phone")
	p.WaitFor(kept)
	p.Close()
	office.Kill()
	p.EmptyHTTPCache()
	p.Start()
	p.Stand(here)
	p.Open("/field/")
	p.WaitHeading(property)
	for _, again := range []bool{false, true} {
		if again {
			p.Go("#/")
			p.Reload()
			p.WaitHeading(property)
		}
		for _, screen := range coldScreens {
			p.Go("#/")
			p.WaitHeading(property)
			screen.walk(p, again)
			p.Screenshot(fmt.Sprintf("cold-%s-%t", screen.name, again))
		}
	}
	p.Go("#/")
	p.WaitHeading(property)
	office.Start()
	p.WaitText("0 not sent yet")
}

// The status says that the page works with no signal only while it does: a file of the
// computations that is gone or damaged is noticed, told, and fetched again when it can be.
func TestStatusTriesBeforeItClaims(t *testing.T) {
	t.Parallel()
	const works, fails = "Checked now: the page is on this phone", "The page does not work with no signal."
	for name, spoil := range map[string]string{
		"gone":    `cache.delete(wasm)`,
		"damaged": `cache.put(wasm, new Response("no program", {headers: {"Content-Type": "application/wasm"}}))`,
	} {
		t.Run(name, func(t *testing.T) {
			office := phone.NewOffice(t)
			p := enrolled(t, office)
			p.Expect("504")
			p.Expect("wasm") // the browser logs what it cannot compile
			p.Expect("WebAssembly")
			spoilt := func() {
				phone.Eval[bool](p.Page, `caches.keys().then(async names => {
					const cache = await caches.open(names.find(n => n.startsWith("page-")));
					const wasm = (await cache.keys()).find(k => /compute-.*\.wasm$/.test(k.url));
					await `+spoil+`;
					return true;
				})`)
			}
			spoilt()
			p.Go("#/status")
			p.WaitText(works) // what was missing has been fetched again
			office.Kill()
			p.Go("#/")
			p.WaitHeading(property)
			spoilt()
			p.Go("#/status")
			p.WaitText(fails)
			if strings.Contains(p.Text(), works) {
				t.Errorf("the status claims what it has just found not to be so:\n%s", p.Text())
			}
			p.Screenshot("does-not-work-" + name)
			p.CheckFit("a phone on which the page does not work")
			office.Start()
			p.Tap("Check again")
			p.WaitText(works)
		})
	}
}

const coldBook = "0199a000-0000-7000-8000-00000000000b"

// coldScreens are the screens that compute, each with what only the computations can know.
// What is written the first time stands there when the page is loaded again.
var coldScreens = []struct {
	name string
	walk func(p *phone.Phone, again bool)
}{
	{"level-book", func(p *phone.Phone, again bool) {
		p.Go("#/level/" + coldBook)
		if !again {
			p.WaitText("First a backsight")
			keyIn(p, "1.842")
			keyIn(p, "100")
			p.WaitText("sight 101.842")
			p.Tap("Staff on nothing marked")
			p.Tap("Main gully, bed")
			for _, r := range []string{"1.655", "0", "1.31", "10"} {
				keyIn(p, r)
			}
			p.WaitFor(`document.querySelector(".standing")?.dataset.kept === "true"`)
		}
		p.WaitText("sight 101.842")
	}},
	{"long-section", func(p *phone.Phone, _ bool) {
		p.Go("#/level/" + coldBook)
		p.Tap("Section")
		p.WaitText("100.532") // 101.842 less 1.31
	}},
	{"dam-pegging", func(p *phone.Phone, again bool) {
		p.Go("#/peg/dams/" + coldBook)
		if !again {
			typed(p, "1.835")
			p.WaitText("Level here 100.007")
			enter(p)
			p.WaitSaid("Dam 1 pegged")
			p.Tap("Which end of Main gully's line is chainage 0?")
			p.Tap("A: south end")
			p.WaitSaid("Main gully: chainage 0 is at its south end")
		}
		p.WaitText("Staff 1.435") // 101.842 less the crest at 100.407
	}},
	{"contour-pegging", func(p *phone.Phone, again bool) {
		p.Go("#/peg/contour/" + coldBook)
		if !again {
			p.WaitFor(`document.querySelector(".pad .enter") !== null`)
			p.Tap("Line new rip line")
			p.WaitFor(`document.querySelector(".picking .list button.entry") !== null`)
			phone.Eval[bool](p.Page, `([...document.querySelectorAll(".picking .list button.entry")].find(b => b.querySelector(".name").innerText === "Top line").click(), true)`)
			keyIn(p, "1.655") // the chainage 0 m is proposed:
			enter(p)          // a second press takes it
			p.WaitSaid("Peg 1 of Top line saved")
		}
		p.WaitText("Staff 1.655")
	}},
	{"whoa-boys", func(p *phone.Phone, again bool) {
		if !again {
			p.Go("#/peg/spacing")
			p.WaitHeading("Spacing table")
			p.Tap("Whoa-boys, two soils, Packer 1967")
			p.Tap("general")
			p.Tap("Save for the property")
			p.WaitSaid("Spacing table saved")
		}
		p.Go("#/peg/whoa-boys/" + coldBook)
		if !again {
			keyIn(p, "0.5")
			p.WaitSaid("Top of the slope booked at 101.342")
			typed(p, "1.5")
			p.Tap("Taped from the top")
			typed(p, "20")
		}
		p.WaitText("The track falls 5.0 %")
	}},
	{"spacing-table", func(p *phone.Phone, _ bool) {
		p.Go("#/peg/spacing")
		p.WaitFor(`document.querySelector(".tables [aria-pressed=true]")?.innerText.includes("Whoa-boys, two soils") === true`)
	}},
	{"local-table", func(p *phone.Phone, again bool) {
		p.Go("#/peg/local-table")
		p.WaitHeading("Local table")
		if !again {
			for i, figure := range []string{"4", "30"} {
				p.WaitFor(fmt.Sprintf(`document.querySelectorAll(".spacings input").length > %d`, i))
				phone.Eval[bool](p.Page, fmt.Sprintf(`(document.querySelectorAll(".spacings input")[%d].focus(), true)`, i))
				p.Do(chromedp.KeyEvent(figure))
			}
		}
		p.WaitText("The row covers grades up to 4 %")
	}},
	{"cover", func(p *phone.Phone, again bool) {
		p.Go("#/visit/scald-1")
		if !again {
			p.Tap("Count cover")
			p.Tap("Cover")
			p.Tap("Cover")
			p.Tap("Bare")
			p.WaitText("2 of 3 points on cover between")
			p.Tap("Done")
		}
		p.WaitText("67 %, between")
	}},
	{"head-retreat", func(p *phone.Phone, _ bool) {
		p.Go("#/visit/head-1")
		p.Type("Taped from the hub peg", "11.55")
		p.WaitText("m back since 14 May 2025")
	}},
	{"line-length", func(p *phone.Phone, again bool) {
		p.Go("#/line/rip-line/line")
		tapThree(p, again)
		p.WaitFor(`/^[1-9][\d.]* ± [\d.]+ m$/.test(document.querySelector(".course .big")?.innerText.trim())`)
	}},
	{"area", func(p *phone.Phone, again bool) {
		p.Go("#/line/scald/area")
		tapThree(p, again)
		p.WaitFor(`/perimeter [1-9][\d.]* ± [\d.]+ m, area .*m²/.test(document.querySelector(".course")?.innerText)`)
	}},
	{"item", func(p *phone.Phone, _ bool) {
		p.Go("#/thing/thalweg-1")
		p.WaitText("110.7") // its length: a thousandth of a degree of latitude
		p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
		p.WaitFor(`document.querySelector(".section svg [data-dam]") !== null`)
		p.Tap("Levels of the bed: 2")
		p.WaitText("100.532") // 101.842 less 1.31
	}},
	{"dam", func(p *phone.Phone, _ bool) {
		p.Go("#/thing/thalweg-1")
		p.Tap("Dam 1")
		p.WaitHeading("Dam 1")
		p.WaitText("100.007") // the level of its toe
	}},
	{"property-begun", func(p *phone.Phone, again bool) {
		if !again {
			p.Go("#/property/new")
			p.Type("Name of the property", second)
			p.Tap("Begin")
			p.WaitHeading(second)
		} else {
			openProperty(p, second)
		}
		p.Go("#/line/rip-line/line")
		tapThree(p, again)
		p.WaitFor(`/^[1-9][\d.]* ± [\d.]+ m$/.test(document.querySelector(".course .big")?.innerText.trim())`)
		p.Screenshot("cold-line-on-a-property-begun")
		openProperty(p, property)
	}},
	{"status", func(p *phone.Phone, _ bool) {
		p.Go("#/status")
		p.WaitText("Checked now: the page is on this phone, opens and computes with no signal.")
	}},
}

// tapThree puts three points down on the map of a line under way.
func tapThree(p *phone.Phone, again bool) {
	p.WaitFor(`document.querySelector(".map canvas") !== null && document.querySelector(".scale svg") !== null`)
	if again {
		return
	}
	at := phone.Eval[[2]float64](p.Page, `(() => { document.querySelector(".map").scrollIntoView({block: "center"});
		const r = document.querySelector(".map").getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`)
	for i, d := range [][2]float64{{-60, 0}, {0, 40}, {60, 0}} {
		p.TapAt(at[0]+d[0], at[1]+d[1])
		p.WaitSaid([]string{"1 point", "2 points", "3 points"}[i])
	}
}

// keyIn presses keys of the pad and books what they say.
func keyIn(p *phone.Phone, number string) {
	typed(p, number)
	enter(p)
}

func typed(p *phone.Phone, number string) {
	for _, k := range strings.Split(number, "") {
		if k == "." {
			k = "point"
		}
		p.TapSelector(".pad .k" + k)
	}
}

func enter(p *phone.Phone) { p.TapSelector(".pad .enter") }
