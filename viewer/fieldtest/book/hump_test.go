package book

import (
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A bed that rises between two dams above what the lower one can fill is seen on the phone
// as soon as the run is closed, before anything is sent. Booked from the head down it is the
// same bed: its chainages run up the gully, and each dam fills what lies above it.
func TestAHumpShowsInTheBook(t *testing.T) {
	t.Parallel()
	type reading struct{ read, at string }
	for _, c := range []struct {
		name        string
		lowM, highM float64
		bed         []reading
	}{
		{"up", 5, 25, []reading{{"1.9", "0"}, {"0.642", "15"}, {"0.5", "40"}}},
		{"down", 35, 15, []reading{{"0.5", "0"}, {"0.642", "25"}, {"1.9", "40"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dam := func(name string, chainageM float64) map[string]any {
				return map[string]any{"kind": "check-dam", "name": name, "status": "built", "thalweg": thalweg, "chainageM": chainageM,
					"geometry": map[string]any{"type": "Point", "coordinates": [2]float64{146.5, -20.2499}}}
			}
			p := enrolled(t, land(t, "dam-low", dam("Low dam", c.lowM), "dam-top", dam("Top dam", c.highM)), phone.Size(390, 844))
			newBook(p)
			staffOn(p, "Gate post, mark")
			bookReading(p, "1.842")
			stand := func(on string) {
				p.TapSelector("button.stand")
				p.Tap(on)
			}
			for _, dam := range []struct{ name, toe, crest string }{{"Low dam", "1.842", "1.342"}, {"Top dam", "1.342", "0.842"}} {
				stand(dam.name + ", toe")
				bookReading(p, dam.toe)
				p.WaitText("Staff on " + dam.name + ", crest") // which the book turns to by itself
				bookReading(p, dam.crest)
			}
			stand("Main gully, bed")
			for _, r := range c.bed {
				key(p, r.read)
				enter(p)
				bookReading(p, r.at)
			}
			p.Tap("Foresight")
			bookReading(p, "1.842")
			p.Tap("This is Gate post, 100.000")
			p.WaitFor(`document.querySelector(".standing").dataset.standing === "closed"`)
			p.Tap("Section")
			p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
			p.WaitFor(`document.querySelector(".section svg").textContent.includes("hump 0.70 m")`)
			if got := text(p, ".bedlevels"); !strings.HasPrefix(got, "Chainage up from the downstream end, m Bed, m 0 99.942 15 101.200 40 101.342") {
				t.Errorf("the bed is listed as %q", got)
			}
			drawn := phone.Eval[string](p.Page, `[...document.querySelectorAll(".section .name text")].sort((a, b) => a.getAttribute("x") - b.getAttribute("x")).map(e => e.textContent).join()`)
			if drawn != "Low dam ?,Top dam ?" {
				t.Errorf("from left to right the dams are %s, want the low one first, with what it fills behind it", drawn)
			}
			p.CheckFit("a hump")
			p.Screenshot("hump-" + c.name)
		})
	}
}
