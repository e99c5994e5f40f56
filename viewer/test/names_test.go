package pages

import (
	"fmt"
	"image"
	"image/color"
	"testing"

	"headcut/sync/register"
)

// Names of works at the edge of the map are in sight whole, at first and when the whole property
// is asked for.
func TestNamesOnTheMapAreWhole(t *testing.T) {
	var all []register.Folded
	for id, f := range map[string]fields{
		"west": {"kind": "whoa-boy", "name": "Whoa-boy at Mill Track", "status": "built", "geometry": point(at(-60, 20))},
		"east": {"kind": "check-dam", "name": "Dam below the crossing", "status": "built", "geometry": point(at(60, 0))},
		"foot": {"kind": "check-dam", "name": "Dam 1", "status": "built", "geometry": point(at(0, -90))},
	} {
		all = append(all, feature(t, id, f))
	}
	for _, size := range []screen{{390, 844}, small, desktop} {
		p := open(t, newSite(t, landOf(t, "Stony Block", all...)), size)
		p.waitForMap()
		check := func(when string) {
			t.Helper()
			eval[bool](p, `(document.querySelector(".map").scrollIntoView({block: "center"}), true)`)
			rect, picture := p.mapRect().Inset(1), p.picture()
			p.Screenshot(fmt.Sprint(when, " ", size.width))
			for side, strip := range map[string]image.Rectangle{
				"left":  image.Rect(rect.Min.X, rect.Min.Y, rect.Min.X+3, rect.Max.Y),
				"right": image.Rect(rect.Max.X-3, rect.Min.Y, rect.Max.X, rect.Max.Y),
				"lower": image.Rect(rect.Min.X, rect.Max.Y-3, rect.Max.X, rect.Max.Y),
			} {
				if n := darkIn(picture, strip); n > 0 {
					t.Errorf("%v, %s: %d dark pixels at the %s edge of the map: a name is cut", size, when, n, side)
				}
			}
			if darkIn(picture, rect) < 1000 {
				t.Errorf("%v, %s: no names are on the map", size, when)
			}
		}
		check("names at first")
		eval[bool](p, `(document.querySelector('[aria-label="Zoom in"]').click(), true)`)
		p.WaitStill()
		eval[bool](p, `(document.querySelector('[aria-label="Show the whole property"]').click(), true)`)
		p.WaitStill()
		check("names of the whole")
		p.WantQuiet(nil)
	}
}

// darkIn counts pixels as dark as a name.
func darkIn(picture image.Image, within image.Rectangle) (n int) {
	for y := within.Min.Y; y < within.Max.Y; y++ {
		for x := within.Min.X; x < within.Max.X; x++ {
			if c := color.NRGBAModel.Convert(picture.At(x, y)).(color.NRGBA); int(c.R)+int(c.G)+int(c.B) < 240 {
				n++
			}
		}
	}
	return n
}

// broken lists the words of a table, but for its dams' names, that are parted over two lines.
const broken = `[...document.querySelectorAll(".numbers thead th, .numbers td:not(:empty)")].flatMap(th => [...th.textContent.matchAll(/\S+/g)].filter(m => {
	const range = document.createRange();
	range.setStart(th.firstChild, m.index);
	range.setEnd(th.firstChild, m.index + m[0].length);
	return new Set([...range.getClientRects()].map(r => Math.round(r.top))).size !== 1;
}).map(m => m[0]))`

// The table of spacings keeps its words whole on a phone, headings too, and the page its width.
func TestSpacingsKeepTheirWords(t *testing.T) {
	for _, size := range []screen{{390, 844}, small} {
		p := open(t, newSite(t, landOf(t, "Stony Block", gully(t, 0)...)), size)
		p.WaitFor(`document.querySelector(".numbers") !== null`)
		eval[bool](p, `(document.querySelector(".numbers").open = true, document.querySelector(".numbers").scrollIntoView(), true)`)
		p.Screenshot(fmt.Sprint("headings ", size.width))
		if words := eval[[]string](p, broken); len(words) > 0 {
			t.Errorf("%v: parted in the table: %q", size, words)
		}
		p.CheckWidth("spacings")
		p.WantQuiet(nil)
	}
}
