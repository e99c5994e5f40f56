package pages

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/tidwall/geodesic"

	"headcut/model"
	"headcut/viewer/tab"
)

// mapRect is where the map is on the screen.
func (p *page) mapRect() image.Rectangle {
	p.t.Helper()
	r := eval[[4]float64](p, `(() => { const r = document.querySelector(".map").getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom] })()`)
	return image.Rect(int(r[0]), int(r[1]), int(r[2]), int(r[3]))
}

func (p *page) picture() *image.RGBA {
	p.t.Helper()
	shot := tab.Ask(p.Tab, chromedp.CaptureScreenshot())
	img, err := png.Decode(bytes.NewReader(shot))
	if err != nil {
		p.t.Fatal(err)
	}
	out := image.NewRGBA(img.Bounds())
	draw.Draw(out, out.Bounds(), img, img.Bounds().Min, draw.Src)
	return out
}

// waitForMap waits until the map has drawn itself and stands still.
func (p *page) waitForMap() {
	p.t.Helper()
	p.WaitFor(`document.querySelector(".scale") !== null`)
	p.WaitStill()
}

// choose clicks a work in the list, opening its group when that is shut.
func (p *page) choose(id string) {
	p.t.Helper()
	eval[bool](p, `(document.getElementById("item-`+id+`").closest("details").open = true)`)
	p.Do(chromedp.Click(chromedp.CSS("#item-" + id)))
	p.WaitFor(`document.querySelector("#item-` + id + `").getAttribute("aria-pressed") === "true"`)
	eval[bool](p, `(scrollTo(0, 0), true)`)
}

// coloured finds the pixels of exactly this colour and returns their number and the
// smallest box around them.
func coloured(img *image.RGBA, within image.Rectangle, c color.RGBA) (n int, box image.Rectangle) {
	box = image.Rectangle{Min: within.Max, Max: within.Min}
	for y := within.Min.Y; y < within.Max.Y; y++ {
		for x := within.Min.X; x < within.Max.X; x++ {
			if img.RGBAAt(x, y) == c {
				n++
				box.Min.X, box.Min.Y = min(box.Min.X, x), min(box.Min.Y, y)
				box.Max.X, box.Max.Y = max(box.Max.X, x+1), max(box.Max.Y, y+1)
			}
		}
	}
	return n, box
}

func kindColour(t *testing.T, kind string) color.RGBA {
	t.Helper()
	k, ok := model.KindNamed(kind)
	if !ok {
		t.Fatalf("no kind %q", kind)
	}
	return hexColour(t, k.Colour)
}

func middle(box image.Rectangle) (x, y float64) {
	return float64(box.Min.X+box.Max.X) / 2, float64(box.Min.Y+box.Max.Y) / 2
}

// Two works of different colours at a known distance: the map must put their colours on
// the screen that far apart by its own scale bar, in the right direction. The distance on
// the ellipsoid comes from the geodesic library, which the page does not share.
func TestWorksLieAtTheirPlaceAndScale(t *testing.T) {
	west, east := at(0, 0), at(430, 150)
	land := landOf(t, "Two Works",
		feature(t, "west", fields{"kind": "check-dam", "name": "West dam", "status": "built", "geometry": point(west)}),
		feature(t, "east", fields{"kind": "batter", "name": "East bank", "status": "built", "geometry": point(east)}),
	)
	for _, size := range []screen{desktop, phone} {
		p := open(t, newSite(t, land), size)
		p.waitForMap()
		img, frame := p.picture(), p.mapRect()
		n, box := coloured(img, frame, kindColour(t, "check-dam"))
		m, other := coloured(img, frame, kindColour(t, "batter"))
		if n < 300 || m < 300 {
			t.Fatalf("%v: %d and %d pixels of the works' colours on the map, want a disc of each", size, n, m)
		}
		x1, y1 := middle(box)
		x2, y2 := middle(other)
		bar := eval[[2]float64](p, `(() => { const d = document.querySelector(".scale svg").dataset; return [+d.metres, +d.px] })()`)
		metresPerPx := bar[0] / bar[1]
		drawn := eval[float64](p, `document.querySelector(".scale rect:last-of-type").getBoundingClientRect().right - document.querySelector(".scale rect").getBoundingClientRect().left`)
		if math.Abs(drawn-bar[1]) > 2.5 {
			t.Errorf("%v: the scale bar is drawn %.1f px long and says %.1f", size, drawn, bar[1])
		}
		var wantM, azimuth float64
		geodesic.WGS84.Inverse(west[1], west[0], east[1], east[0], &wantM, &azimuth, nil)
		gotM := math.Hypot(x2-x1, y2-y1) * metresPerPx
		if tolerance := 1.5*metresPerPx + 0.005*wantM; math.Abs(gotM-wantM) > tolerance {
			t.Errorf("%v: the works are drawn %.1f m apart by the scale bar, want %.1f ± %.1f", size, gotM, wantM, tolerance)
		}
		if got := math.Atan2(x2-x1, y1-y2) * 180 / math.Pi; math.Abs(got-azimuth) > 1 {
			t.Errorf("%v: the second work is drawn at %.1f° from north, want %.1f°", size, got, azimuth)
		}
		p.WantQuiet(nil)
	}
}

func TestMapAndListSelectEachOther(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "Stony Block", property(t)...)), desktop)
	p.waitForMap()
	colour := kindColour(t, "revegetation")
	_, box := coloured(p.picture(), p.mapRect(), colour)
	x, y := middle(box)
	p.Do(chromedp.MouseClickXY(x, y))
	p.WaitFor(`document.querySelector("#chosen")?.textContent === "Sown flat"`)
	text := eval[string](p, `document.querySelector(".panel").innerText`)
	for _, want := range []string{
		"Sown area, built", "Ground sown so that plants cover and hold it.", "Built 2 June 2026.", "Not inspected yet.",
		"Area", "8 000 ± 400 m², by GPS", "grass and herbs",
		"What to look after", "Keep stock off until it has seeded once.",
	} {
		wantIn(t, "the panel of the sown ground", text, want)
	}
	if !eval[bool](p, `document.querySelector("#item-sown").getAttribute("aria-pressed") === "true"`) {
		t.Error("a click on the map does not press the work in the list")
	}
	if got := eval[string](p, `document.querySelector(".beside [role=status]").textContent`); got != "Chosen: Sown flat" {
		t.Errorf("said to a screen reader after the click: got %q, want %q", got, "Chosen: Sown flat")
	}
	if !eval[bool](p, `getComputedStyle(document.querySelector("#item-sown")).fontWeight >= 600`) {
		t.Error("the chosen work looks like the others in the list")
	}

	disc := hexColour(t, "#ffecb4") // the halo's yellow on white
	for _, id := range []string{"dam-5", "dam-1"} {
		p.choose(id)
		p.waitForMap()
		if n, _ := coloured(p.picture(), p.mapRect(), disc); n < 40 {
			t.Errorf("choosing %s in the list draws %d pixels of halo on the map, want a ring", id, n)
		}
	}
	text = eval[string](p, `document.querySelector(".panel").innerText`)
	for _, want := range []string{"Check dam, built", "Built 12 May 2026", "Needs attention", "a gap of 0.2 m up to the next dam", "loose rock"} {
		wantIn(t, "the panel of Dam 1", text, want)
	}
	p.WantQuiet(nil)
}

func TestLegendCountsAndToggles(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "Stony Block", property(t)...)), desktop)
	p.waitForMap()
	rows := eval[map[string]string](p, `Object.fromEntries([...document.querySelectorAll(".legend label, .legend li")].map(r => [r.querySelector(".word").textContent, r.querySelector(".count").textContent]))`)
	for word, want := range map[string]string{
		"Check dams": "5", "Whoa-boys": "1", "Rip lines": "5", "Timber windrows": "1", "Sown areas": "1",
		"Proposed": "1", "Pegged": "1", "Built": "10", "Failed": "1",
		"Tracks": "1", "Fences": "1", "Hazards": "1", "Gully beds": "1",
	} {
		if rows[word] != want {
			t.Errorf("legend of %s: got %q, want %q", word, rows[word], want)
		}
	}
	colour := kindColour(t, "revegetation")
	shown := func() int { n, _ := coloured(p.picture(), p.mapRect(), colour); return n }
	if n := shown(); n < 300 {
		t.Fatalf("sown ground: %d pixels of its colour, want its outline and symbol", n)
	}
	toggle := func(word string) {
		eval[bool](p, `([...document.querySelectorAll(".legend label")].find(l => l.querySelector(".word").textContent === "`+word+`").click(), true)`)
		p.waitForMap()
	}
	toggle("Sown areas")
	if n := shown(); n != 0 {
		t.Errorf("sown ground after its kind was taken off: %d pixels of its colour, want none", n)
	}
	if eval[bool](p, `document.querySelector("#item-sown") !== null`) {
		t.Error("sown ground stays in the list after its kind was taken off")
	}
	toggle("Sown areas")
	if n := shown(); n < 300 {
		t.Errorf("sown ground after it was put back: %d pixels of its colour", n)
	}
	toggle("Built")
	if n := shown(); n != 0 {
		t.Errorf("sown ground after built works were taken off: %d pixels of its colour, want none", n)
	}
	if got := eval[float64](p, `document.querySelectorAll(".work .status, .work .sign.failed").length`); got != 3 {
		t.Errorf("works in the list without the built ones: got %v, want 3", got)
	}
	p.WantQuiet(nil)
}
