package desktest

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// paddock is a property with two built dams six metres apart, and a third far from both.
const paddock = "Dry Paddock"

const degreesPerM = 1 / 111_320.0 // of latitude

func damsApart() []map[string]any {
	dam := func(name string, eastM, northM float64) map[string]any {
		return map[string]any{"kind": "check-dam", "name": name, "status": "built", "geometry": point(eastM*degreesPerM, northM*degreesPerM)}
	}
	return []map[string]any{dam("Dam A", 0, 0), dam("Dam B", 0, 6), dam("Dam C at the crossing", 200, 300)}
}

// What lies over the map: its scale and its buttons.
const overMap = `[...document.querySelectorAll(".mapfoot, .mapbuttons")].map(e => (r => [r.left, r.top, r.right, r.bottom])(e.getBoundingClientRect()))`

// The whole property is shown clear of the scale and the buttons, names and all; the highlight of
// a dam that is chosen hides no dam beside it.
func TestDeskMapHidesNoDam(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	code := office.InviteFor("A. Desk", paddock)
	office.PlantFeatures(paddock, damsApart()...)
	p := phone.New(t, office, phone.Desk(1280, 800), phone.Durable())
	p.Open("/desk/#/enrol/" + code)
	p.Tap("Enrol this computer")
	p.WaitHeading(paddock)
	p.WaitText("3 items")
	p.WaitStill()
	whole := func(when string) {
		t.Helper()
		over := phone.Eval[[][4]float64](p.Page, overMap)
		p.Screenshot(when)
		phone.Eval[bool](p.Page, `(document.querySelectorAll(".mapover").forEach(e => e.style.visibility = "hidden"), true)`)
		picture := shot(t, p.Page, "bare")
		phone.Eval[bool](p.Page, `(document.querySelectorAll(".mapover").forEach(e => e.style.visibility = ""), true)`)
		if n := inked(picture, mapOf(p.Page)); n < 3*symbolInk/2 {
			t.Errorf("%s: %d pixels of dams are on the map", when, n)
		}
		for _, r := range over {
			if n := inked(picture, image.Rect(int(r[0]), int(r[1]), int(r[2]), int(r[3]))); n > 0 {
				t.Errorf("%s: %d pixels of a dam or its name lie under what is at %v", when, n, r)
			}
		}
	}
	whole("whole-at-first")
	p.Tap("Zoom in")
	p.WaitStill()
	p.Tap("Show the whole property")
	p.WaitStill()
	whole("whole-asked-for")

	choose := func(name string) int {
		p.Tap(name + ", Check dam")
		p.WaitFor(`document.querySelector(".panel h2")?.innerText === "` + name + `"`)
		p.WaitStill()
		return solid(shot(t, p.Page, "chosen "+name), mapOf(p.Page))
	}
	alone := choose("Dam C at the crossing")
	for _, name := range []string{"Dam A", "Dam B"} {
		if n := choose(name); n < alone*19/10 {
			t.Errorf("with %s chosen %d pixels of its symbol and its neighbour's are seen, of one alone %d", name, n, alone)
		}
	}
}

const symbolInk = 500 // pixels, at least, of a built dam's symbol

func mapOf(p *phone.Page) image.Rectangle {
	r := phone.Eval[[4]float64](p, `(r => [r.left, r.top, r.right, r.bottom])(document.querySelector(".map").getBoundingClientRect())`)
	return image.Rect(int(r[0]), int(r[1]), int(r[2]), int(r[3]))
}

func shot(t *testing.T, p *phone.Page, name string) image.Image {
	t.Helper()
	picture, err := png.Decode(bytes.NewReader(p.Screenshot(name)))
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

// count counts the pixels inside that are like this.
func count(picture image.Image, inside image.Rectangle, like func(c color.NRGBA) bool) (n int) {
	for y := inside.Min.Y; y < inside.Max.Y; y++ {
		for x := inside.Min.X; x < inside.Max.X; x++ {
			if like(color.NRGBAModel.Convert(picture.At(x, y)).(color.NRGBA)) {
				n++
			}
		}
	}
	return n
}

// inked counts what is dark: symbols and names, not the pale crosses of the grid.
func inked(picture image.Image, inside image.Rectangle) int {
	return count(picture, inside, func(c color.NRGBA) bool { return int(c.R)+int(c.G)+int(c.B) < 330 })
}

// solid counts the pixels of a built dam's colour.
func solid(picture image.Image, inside image.Rectangle) int {
	return count(picture, inside, func(c color.NRGBA) bool { return c == color.NRGBA{0x37, 0x54, 0x6b, 0xff} })
}
