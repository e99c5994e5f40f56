package book

import (
	"fmt"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A gully's line is tapped on the map from the head, in the north, down; its bed is booked with
// chainage 0 at the foot. Nothing tells which end of the line that is, so the page says how far
// up by the tape alone, asks, and keeps what the officer answers; then the next dam is north.
func TestLineTappedFromTheHead(t *testing.T) {
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		t.Run(fmt.Sprint(size), func(t *testing.T) {
			t.Parallel()
			lineTappedFromTheHead(t, size[0], size[1])
		})
	}
}

func lineTappedFromTheHead(t *testing.T, wide, high int64) {
	t.Helper()
	shot := func(p *phone.Phone, name string) { p.Screenshot(fmt.Sprintf("linezero-%s-%d", name, wide)) }
	const gully = "0199a000-0000-7000-8000-000000000009"
	p := enrolled(t, planted(t,
		benchmark, map[string]any{"kind": "benchmark", "name": "Gate post", "levelM": 100, "geometry": map[string]any{"type": "Point", "coordinates": [2]float64{146.5, -20.2502}}},
		gully, map[string]any{"kind": "thalweg", "name": "Tapped gully", "accuracyM": 3, "positionBasis": "drawn on the map", "geometry": line([2]float64{146.5, -20.249}, [2]float64{146.5, -20.25})},
	), phone.Size(wide, high))
	newBook(p)
	p.Tap("Staff on nothing marked")
	p.Tap("Gate post, mark")
	bookReading(p, "3.5") // sight 103.5
	p.TapSelector("button.stand")
	p.Tap("Tapped gully, bed")
	for _, r := range []struct{ read, at string }{{"3.5", "0"}, {"2", "50"}, {"0.5", "100"}} { // 3 %
		key(p, r.read)
		enter(p)
		bookReading(p, r.at)
	}
	p.Tap("Peg out")
	p.Tap("Check dams, toe by toe")
	p.WaitText("no crest: the first dam")
	const metre = 1 / 110_700.0                                       // of latitude at 20° S
	at := phone.Fix{Lon: 146.5, Lat: -20.25 + 10*metre, AccuracyM: 2} // 10 m up from the foot
	p.At(at)
	p.WaitText("Position ±")
	key(p, "3.2") // its toe at 100.3
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "10")
	p.WaitText("chainage 10 m taped")
	enter(p)
	p.WaitSaid("Dam 1 pegged, toe at 100.300")
	p.At(at)
	p.WaitText("By the levelled bed: 13.3 m up from the toe of Dam 1.") // 0.4 m at 3 %
	p.WaitText("Which end of Tapped gully's line is chainage 0?")
	way := `document.querySelector(".way").innerText`
	if got := phone.Eval[string](p.Page, way); strings.Contains(got, "north") || strings.Contains(got, "south") {
		t.Fatalf("nobody said which end is chainage 0, and the page tells %q", got)
	}
	p.CheckFit("the question")
	shot(p, "asked")
	for _, part := range []string{".asked .picked", ".way", ".guide", ".pad .enter"} { // what is asked and where to go, while the pad is there to key in
		if !whole(p, part) {
			t.Errorf("the screen with the question: %s is not wholly in sight", part)
		}
	}
	wantNothingBehindPad(t, p, "the question")
	p.Tap("Which end of Tapped gully's line is chainage 0?")
	p.WaitFor(`document.querySelector("svg.linezero") !== null`)
	p.CheckFit("the line")
	shot(p, "drawing")
	p.Tap("B: south end")
	p.WaitSaid("Tapped gully: chainage 0 is at its south end")
	p.WaitFor(`/About 1[0-6](\.5)? m north: pace it, ±[3-6] m by GPS/.test(` + way + `)`) // from Dam 1, wherever the mean of its fixes lies, within what is said
	p.WaitText("0 not sent")
	if got := fieldsAtOffice(p, gully)["chainageZero"]; got != "end of the line" {
		t.Errorf("the office has chainage 0 at %v, want the end of the line", got)
	}
	shot(p, "answered")
	wantNothingBehindPad(t, p, "the answer")
	// The next dam is not taped: its toe at 100.7 meets the bed at 0.7/0.03 = 23.3 m, with an error
	// of 0.05 m of bed at 3 %, 1.7 m; its crest, 0.4 m up, at 36.7 m, which is 13.3 m on.
	p.Stand(phone.Fix{Lon: 146.5, Lat: -20.25 + 24*metre, AccuracyM: 2})
	p.WaitFor(`/13.3 m up from the toe of Dam 1. Within [4-6] m: pace it/.test(` + way + `)`) // a fix or two later: one alone may be wrong
	key(p, "2.8")
	enter(p)
	p.WaitSaid("Dam 2 pegged, toe at 100.700")
	p.WaitFor(`/By the levelled bed: 13.3 m up from the toe of Dam 2. 1[2-4] m north, ±4 m by GPS/.test(` + way + `)`)
	arrow := func(want string) {
		t.Helper()
		p.WaitFor(`document.querySelector(".wayarrow path:last-child")?.getAttribute("transform") + " " + document.querySelector(".wayarrow b")?.innerText === ` + want)
	}
	ahead := strings.Fields(phone.Eval[string](p.Page, way))[0] // drawn above the words
	arrow(`"rotate(0 24 24) ` + ahead + ` m"`)
	p.WaitText("North is up.")
	p.CheckFit("the arrow")
	if !whole(p, ".way") || !whole(p, ".pad .enter") {
		t.Error("the arrow and the keys are not both wholly in sight")
	}
	shot(p, "arrow")
	turned := `(dispatchEvent(new DeviceOrientationEvent("deviceorientationabsolute", {alpha: 270, beta: 0, gamma: 0, absolute: true})), true)` // lying flat, its top to the east
	phone.Eval[bool](p.Page, turned)
	arrow(`"rotate(-90 24 24) ` + ahead + ` m"`)
	p.WaitText("The arrow turns with the phone.")
	shot(p, "turned")
	p.WaitText("Taped up from the toe of Dam 2")
	p.CheckFit("the dam after one that was not taped")
	shot(p, "onward")
	p.WaitText("0 not sent")
	rows := rowsAtOffice(t, p)
	p.Go("#/thing/" + rows[len(rows)-1].Feature)
	p.WaitText("23.3 ± 1.7 m up from the downstream end")
	p.WaitText("Its chainage is calculated from levels: there its toe meets the levelled bed.")
	shot(p, "bylevel")
	p.Go("#/thing/" + gully)
	p.WaitHeading("Tapped gully")
	p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
	p.WaitText("The thalweg was drawn from the head down and has been turned.")
	if n := strings.Count(strings.Join(strings.Fields(p.Text()), " "), "The bed's levels are not yet checked by a closed level run."); n != 1 {
		t.Errorf("the gully's page says %d times that its levels are not yet checked, want once:\n%s", n, p.Text())
	}
	shot(p, "section")
	// Everywhere else it is asked and shown in the same way.
	p.WaitText("south end")
	p.Go("#/thing/" + gully + "/edit")
	p.WaitFor(`[...document.querySelectorAll("main .choice button[aria-pressed=true]")].some(b => b.innerText === "B: south end") && document.querySelector("svg.linezero") !== null`)
	p.CheckFit("the line in Edit")
	shot(p, "edit")
}
