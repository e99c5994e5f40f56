package pages

import (
	"fmt"
	"image"
	"testing"

	"github.com/chromedp/chromedp"

	"headcut/sync/register"
)

// A hazard at a gully head that moves: neither covers the other, and each can be pressed.
func TestMarksAtOnePlaceAreBothSeenAndPressed(t *testing.T) {
	all := []register.Folded{
		feature(t, "dam", fields{"kind": "check-dam", "name": "Dam", "status": "built", "geometry": point(at(-90, -70))}),
		feature(t, "head", fields{"kind": "gully-head", "name": "Main head", "headDepthM": 1.6, "geometry": point(at(0, 0))}),
		feature(t, "look", fields{"kind": "visit", "of": "head", "observedOn": "2026-05-12", "condition": "needs work"}),
		feature(t, "tunnel", fields{"kind": "hazard", "name": "Tunnel", "danger": "Hollow rim: stay back.", "geometry": point(at(1, 1))}),
	}
	for _, size := range []screen{desktop, {390, 844}} {
		p := open(t, newSite(t, landOf(t, "Stony Block", all...)), size)
		p.waitForMap()
		img, frame := p.picture(), p.mapRect()
		n, triangle := coloured(img, frame, kindColour(t, "hazard"))
		m, mark := coloured(img, frame, kindColour(t, "gully-head"))
		if n < 20 || m < 20 {
			t.Fatalf("%v: %d pixels of the triangle and %d of the head's mark: one covers the other", size, n, m)
		}
		// A place is a dot below its symbol, so that boxes may touch there: middles may not.
		if x, y := middle(triangle); image.Pt(int(x), int(y)).In(mark) {
			t.Errorf("%v: the triangle at %v lies over the head's mark at %v", size, triangle, mark)
		}
		for _, c := range []struct {
			box  image.Rectangle
			name string
		}{{triangle, "Tunnel"}, {mark, "Main head"}} {
			x, y := middle(c.box)
			top := eval[float64](p, `scrollY`)
			p.Do(chromedp.MouseClickXY(x, y-top))
			p.WaitFor(`document.querySelector("#chosen")?.textContent === "` + c.name + `"`)
			eval[bool](p, `(scrollTo(0, 0), true)`)
		}
		p.WantQuiet(nil)
	}
}

// A built dam a metre from a pegged one, and a built bank beside a hazard: each is drawn as a
// symbol, whatever lies beside it; what is chosen has its symbol and its name.
func TestBuiltWorksAreDrawnBesideOthers(t *testing.T) {
	all := []register.Folded{
		feature(t, "dam-3", fields{"kind": "check-dam", "name": "Dam 3", "status": "pegged", "peggedOn": "2026-06-01", "geometry": point(at(0, 1))}),
		feature(t, "dam-2", fields{"kind": "check-dam", "name": "Dam 2", "status": "built", "geometry": point(at(0, 0))}),
		feature(t, "bank", fields{"kind": "whoa-boy", "name": "Bank 1", "status": "built", "geometry": point(at(-100, -40))}),
		feature(t, "pit", fields{"kind": "hazard", "name": "Pit", "danger": "Stay back.", "geometry": point(at(-110, -50))}),
		feature(t, "far", fields{"kind": "rip-line", "name": "Rip 1", "status": "pegged", "geometry": line(at(-30, 90), at(-25, 90))}),
	}
	site := newSite(t, landOf(t, "Stony Block", all...))
	for _, size := range []screen{desktop, phone} {
		p := open(t, site, size)
		p.waitForMap()
		eval[bool](p, `(document.querySelector("canvas").scrollIntoView({block: "center"}), true)`)
		p.Screenshot(fmt.Sprint("beside-", size.width))
		filled := func(kind string) int { // pixels of a built work's disc are many; a ring and a dot have few
			n, _ := coloured(p.picture(), p.mapRect(), kindColour(t, kind))
			return n
		}
		for _, kind := range []string{"check-dam", "whoa-boy"} {
			if n := filled(kind); n < 450 {
				t.Errorf("%v: %d pixels of the colour of a built %s, want those of its whole symbol", size, n, kind)
			}
		}
		for _, id := range []string{"dam-2", "dam-3", "bank", "pit"} {
			p.choose(id)
			p.waitForMap()
			eval[bool](p, `(document.querySelector("canvas").scrollIntoView({block: "center"}), true)`)
			p.Screenshot(fmt.Sprint("beside-", id, "-", size.width))
		}
		p.WantQuiet(nil)
	}
}

// Close in at one end of a gully and a track, their names stand along the part in sight.
func TestNamesStandAlongLinesCloseIn(t *testing.T) {
	all := []register.Folded{
		feature(t, "gully", fields{"kind": "thalweg", "name": "Stony Gully", "geometry": line(at(0, 0), at(1800, 0))}),
		feature(t, "track", fields{"kind": "track", "name": "River track", "geometry": line(at(0, 60), at(1800, 60))}),
		feature(t, "dam", fields{"kind": "check-dam", "name": "Dam", "status": "built", "geometry": point(at(60, 30))}),
		feature(t, "far", fields{"kind": "check-dam", "name": "Far", "status": "built", "geometry": point(at(1800, 30))}),
	}
	p := open(t, newSite(t, landOf(t, "Stony Block", all...)), desktop)
	p.waitForMap()
	p.choose("dam")
	p.waitForMap()
	img, frame := p.picture(), p.mapRect()
	for _, kind := range []string{"thalweg", "track"} {
		rows := map[int]int{} // pixels of its colour in each row of the map
		for y := frame.Min.Y; y < frame.Max.Y; y++ {
			n, _ := coloured(img, image.Rect(frame.Min.X, y, frame.Max.X, y+1), kindColour(t, kind))
			rows[y] = n
		}
		letters, lines := 0, 0
		for _, n := range rows {
			switch {
			case n > frame.Dx()/3:
				lines++
			case n > 1: // letters are mostly blended with the paper
				letters++
			}
		}
		if lines == 0 || letters < 5 {
			t.Errorf("%s: %d rows of its line and %d of letters beside it, want its name", kind, lines, letters)
		}
	}
	p.WantQuiet(nil)
}
