package pages

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"headcut/sync/register"
	"headcut/viewer/tab"
)

func TestEmptyRegister(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "")), small)
	text := eval[string](p, `document.body.innerText`)
	for _, want := range []string{"Property, unnamed", "Nothing with a place has been recorded here yet", "No works have been recorded here yet"} {
		wantIn(t, "the empty page", text, want)
	}
	p.CheckAxe("the empty page")
	p.WantQuiet(nil)
}

// Texts of the register are shown as they are: none becomes an element, a style or a
// script, and none breaks the layout.
func TestHostileTextsStayText(t *testing.T) {
	hostile := `<img src=x onerror="document.title='taken'"><script>document.title='taken'</script>'"&amp;{{x}}`
	long := strings.Repeat("Wirranooloola", 30)
	all := append(gully(t, 0),
		feature(t, "hostile", fields{"kind": "check-dam", "name": hostile, "status": "built", "builtOn": hostile, "thalweg": "gully", "chainageM": 110, "crestHeightM": 0.4, "geometry": point(at(0, 110))}),
		feature(t, "long", fields{"kind": "revegetation", "name": long, "status": "built", "seedMix": long, "geometry": ring(at(60, 0), at(160, 0), at(160, 80))}),
		feature(t, "rtl", fields{"kind": "windrow", "name": "\u202eslatted\u202c \u0000\u0007 name", "status": "built", "geometry": line(at(60, 100), at(160, 100))}),
		feature(t, "hazard", fields{"kind": "hazard", "name": hostile, "danger": hostile, "geometry": point(at(-50, 0))}),
		feature(t, `"><svg onload=alert(1)>`, fields{"kind": "track", "name": hostile, "geometry": line(at(-50, 0), at(-50, 90))}),
	)
	p := open(t, newSite(t, landOf(t, hostile, all...)), small)
	p.waitForMap()
	eval[bool](p, openAll)
	for _, id := range []string{"hostile", "long", "rtl"} {
		p.choose(id)
		p.waitForMap()
		p.CheckWidth("with " + id + " chosen")
	}
	if got := eval[string](p, `document.querySelector("h1").textContent`); got != hostile {
		t.Errorf("the property's name is shown as %q, want %q", got, hostile)
	}
	if got := eval[float64](p, `document.querySelectorAll("#page img, #page script, #page style, #page iframe, [onerror], [onload]").length`); got != 0 {
		t.Errorf("texts of the register became %v elements", got)
	}
	if got := eval[string](p, `document.title`); strings.HasPrefix(got, "taken") {
		t.Errorf("a text of the register ran as a script: the title is %q", got)
	}
	p.CheckAxe("the page with hostile texts")
	p.WantQuiet(nil)
}

// largestToSmall is how much longer than a property of one gully one of 1,000 works may take
// until its map is drawn.
const largestToSmall = 8

// A large property: drawn in a time that is to that of a small one on the same machine, and the
// list stays short.
func TestThousandWorks(t *testing.T) {
	all := gully(t, 0)
	for i := range 1000 {
		east, north := float64(i%40)*60, float64(i/40)*60
		set := fields{"kind": "check-dam", "name": fmt.Sprintf("Dam %d", i+100), "status": []string{"built", "proposed", "failed"}[i%3], "geometry": point(at(200+east, north))}
		switch i % 5 {
		case 0:
			set["kind"], set["geometry"] = "rip-line", line(at(200+east, north), at(240+east, north+4))
		case 1:
			set["kind"], set["geometry"] = "revegetation", ring(at(200+east, north), at(240+east, north), at(240+east, north+30))
		}
		all = append(all, feature(t, fmt.Sprintf("work-%d", i), set))
	}
	large := newSite(t, landOf(t, "A Thousand", all...))
	drawn := func(s *site) float64 {
		p := open(t, s, desktop)
		p.WaitFor(`performance.getEntriesByName("map drawn").length > 0`)
		return eval[float64](p, `performance.getEntriesByName("map drawn")[0].startTime`)
	}
	few, many, oneGully := math.Inf(1), math.Inf(1), newSite(t, landOf(t, "One Gully", gully(t, 0)...))
	for range 4 { // other programs make times longer, never shorter
		few, many = min(few, drawn(oneGully)), min(many, drawn(large))
		if many <= largestToSmall*few {
			break
		}
	}
	t.Logf("the map of 1,000 works was drawn after %.0f ms, that of one gully after %.0f: ratio %.1f", many, few, many/few)
	if many > largestToSmall*few {
		t.Errorf("1,000 works took %.1f times as long to draw as one gully, want at most %d", many/few, largestToSmall)
	}
	p := open(t, large, desktop)
	p.waitForMap()
	if n, _ := coloured(p.picture(), p.mapRect(), kindColour(t, "check-dam")); n < 1000 {
		t.Errorf("1,000 works: %d pixels of the dams' colour", n)
	}
	if got := eval[float64](p, `document.documentElement.scrollHeight`); got > 6000 {
		t.Errorf("the page is %v px high: long groups of the list should start shut", got)
	}
	p.choose("work-999")
	p.WaitFor(`document.querySelector("#chosen")?.textContent === "Dam 1099"`)
	p.WantQuiet(nil)
}

// A property across the antimeridian is drawn in one piece.
func TestAcrossTheAntimeridian(t *testing.T) {
	land := landOf(t, "Date Line",
		feature(t, "west", fields{"kind": "check-dam", "name": "West", "status": "built", "geometry": point(place{179.999, -16.8})}),
		feature(t, "east", fields{"kind": "batter", "name": "East", "status": "built", "geometry": point(place{-179.999, -16.8})}),
	)
	p := open(t, newSite(t, land), desktop)
	p.waitForMap()
	metres := eval[float64](p, `+document.querySelector(".scale svg").dataset.metres`)
	if metres > 100 {
		t.Errorf("two works 213 m apart over the antimeridian: the scale bar is %v m", metres)
	}
	img, frame := p.picture(), p.mapRect()
	_, west := coloured(img, frame, kindColour(t, "check-dam"))
	_, east := coloured(img, frame, kindColour(t, "batter"))
	if west.Max.X >= east.Min.X {
		t.Errorf("the western work is drawn at %v, the eastern at %v", west, east)
	}
	p.WantQuiet(nil)
}

// grey is a photo that shows nothing.
func grey(t *testing.T) []byte {
	t.Helper()
	var photo bytes.Buffer
	if err := jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 320, 240)), nil); err != nil {
		t.Fatal(err)
	}
	return photo.Bytes()
}

func TestPhotosOfAWork(t *testing.T) {
	sha := strings.Repeat("ab", 32)
	site := newSite(t, landOf(t, "Stony Block",
		feature(t, "dam", fields{"kind": "check-dam", "name": "Dam", "status": "built", "geometry": point(at(0, 0))}),
		feature(t, "look", fields{"kind": "visit", "of": "dam", "observedOn": "2026-10-01", "condition": "holding", "photos": []string{sha}}),
	))
	site.photos[sha] = grey(t)
	p := open(t, site, phone)
	p.waitForMap()
	p.choose("dam")
	eval[bool](p, `(document.querySelector(".photo img").scrollIntoView(), true)`)
	p.WaitFor(`document.querySelector(".photo img").naturalWidth === 320`)
	if got := eval[string](p, `document.querySelector(".photo img").alt`); plainSpaces(got) != "Dam, 1 October 2026" {
		t.Errorf("the photo is described as %q, want %q", got, "Dam, 1 October 2026")
	}
	wantIn(t, "the panel", eval[string](p, `document.querySelector(".panel").innerText`), "Last inspected 1 October 2026: sound.")
	p.WantQuiet(nil)
}

// Each sheet is one page: the map with what was done, two gullies, the complete list.
func TestPrintsASheetAPage(t *testing.T) {
	second := []register.Folded{feature(t, "arm", fields{"kind": "thalweg", "name": "Side arm", "geometry": line(at(30, 0), at(90, 60))})}
	for _, c := range []struct {
		name   string
		more   []register.Folded
		sheets int
	}{{"one-gully", nil, 3}, {"two-gullies", append(second, bedOf(t, "arm")), 3}} {
		t.Run(c.name, func(t *testing.T) {
			p := open(t, newSite(t, landOf(t, "Stony Block", append(append(property(t), feature(t, "head", fields{"kind": "gully-head", "name": "Main head", "headDepthM": 1.2, "geometry": point(at(0, 120))})), c.more...)...)), phone)
			p.waitForMap()
			pdf := tab.Ask(p.Tab, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
			if n := bytes.Count(pdf, []byte("/Type /Page\n")) + bytes.Count(pdf, []byte("/Type /Page ")); n != c.sheets {
				t.Errorf("the page prints on %d sheets, want %d", n, c.sheets)
			}
			rows := eval[[]string](p, `[...document.querySelectorAll(".printlist tbody th")].map(c => c.textContent)`)
			for _, name := range []string{"Dam 1", "Rip 5", "Main head", "Bluff"} {
				if !slices.Contains(rows, name) {
					t.Errorf("the printed list is %q, without %s", rows, name)
				}
			}
			if !bytes.Contains(pdf, []byte("/Subtype /Image")) {
				t.Error("the printed sheets have no picture of the map")
			}
			p.WantQuiet(nil)
		})
	}
}

// bedOf is a level run that books a bed and closes.
func bedOf(t *testing.T, thalweg string) register.Folded {
	t.Helper()
	return feature(t, "run-"+thalweg, fields{"kind": "level-run", "name": "Book 2", "rows": []fields{
		{"point": "BM", "bs": 3.0, "knownLevelM": 100.0},
		{"point": "bed", "is": 2.8, "feature": thalweg, "spot": "bed", "chainageM": 0},
		{"point": "bed", "is": 2.0, "feature": thalweg, "spot": "bed", "chainageM": 60},
		{"point": "BM", "fs": 3.0, "knownLevelM": 100.0},
	}})
}
