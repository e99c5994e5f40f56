package book

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A bed that rises between two dams above what the lower one can fill is seen on the phone
// as soon as the run is closed, before anything is sent.
func TestAHumpShowsInTheBook(t *testing.T) {
	t.Parallel()
	dam := func(name string, chainageM float64) map[string]any {
		return map[string]any{"kind": "check-dam", "name": name, "status": "built", "thalweg": thalweg, "chainageM": chainageM,
			"geometry": map[string]any{"type": "Point", "coordinates": [2]float64{146.5, -20.2499}}}
	}
	p := enrolled(t, land(t, "dam-low", dam("Low dam", 5), "dam-top", dam("Top dam", 25)), phone.Size(390, 844))
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
	for _, r := range []struct{ read, at string }{{"1.9", "0"}, {"0.642", "15"}, {"0.5", "40"}} {
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
	p.CheckFit("a hump")
	p.Screenshot("hump")
}
