package pages

import (
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
