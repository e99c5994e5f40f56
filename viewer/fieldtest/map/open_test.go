package fieldmap

import (
	"math"
	"strings"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// A boundary that is not closed is told by what was drawn, and apart from that by what
// closing it would add; what is saved is the line, and has its length.
func TestOpenBoundaryTellsItsLength(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/line/scald/area")
	p.WaitSaid("Nothing recorded yet")
	p.At(start)
	x, y, pxPerM := mapMiddle(p)
	for i, c := range [][2]float64{{-60, -40}, {60, -40}, {60, 40}} {
		p.TapAt(x+c[0], y+c[1])
		p.WaitSaid(positions(i + 1))
	}
	const big = `document.querySelector(".course .big").innerText.replace(/\s+/g, " ")`
	p.WaitFor(`/ ± [\d.]+ m as drawn, open$/.test(` + big + `)`)
	p.WaitFor(`/Joining the ends adds \d+ m: perimeter [\d.]+ ± [\d.]+ m, area/.test(document.querySelector(".course").innerText)`)
	got := phone.Eval[[3]float64](p.Page, `(() => { const text = document.querySelector(".course").innerText;
		return [parseFloat(text.match(/([\d.]+) ±/)[1]), parseFloat(text.match(/adds (\d+)/)[1]), parseFloat(text.match(/perimeter ([\d.]+)/)[1])]; })()`)
	for i, want := range []float64{200, math.Hypot(120, 80), 200 + math.Hypot(120, 80)} { // px
		if metres := want / pxPerM; math.Abs(got[i]-metres) > metres*0.03+1 {
			t.Errorf("length, closing side and perimeter are told as %v m; number %d should be %.1f", got, i+1, metres)
		}
	}
	p.CheckFit("an open boundary")
	p.Screenshot("open-boundary")
	p.Tap("Save open")
	p.WaitSaid("Scald saved open")
	if said := p.Said(); !strings.Contains(said, "as drawn, no area") {
		t.Errorf("said %q, want that it has no area", said)
	}
	id := saved(t, p, "scald").ID
	p.WaitFor(`location.hash.endsWith("/fill")`) // where saving leads
	p.Go("#/thing/" + id)
	p.WaitText("Its boundary is not closed: it has a length and no area.")
	p.WaitFor(`/Length\s+[\d.]+ ± [\d.]+ m/.test(document.body.innerText)`)
	p.Tap("Reshape")
	p.WaitText("m as drawn, open")
}

// What was said of the last save, with its Undo, neither covers the figures of a drawing nor
// stands beside the drawing's own.
func TestSavedWordsStayOffADrawing(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/mark/gully-head")
	p.At(start)
	p.WaitText("±4 m")
	p.Tap("Mark it here")
	p.WaitSaid("Gully head saved")
	p.Go("#/line/exclosure/area")
	p.WaitSaid("Nothing recorded yet")
	p.At(start)
	x, y, _ := mapMiddle(p)
	p.TapAt(x-40, y-20)
	p.WaitSaid("1 point")
	if p.Has("Undo") || phone.Eval[bool](p.Page, `document.querySelector(".said.news") !== null`) {
		t.Errorf("beside the drawing stands %q", p.Said())
	}
	over := phone.Eval[string](p.Page, `(() => { const r = document.querySelector(".course .big").getBoundingClientRect();
		return document.elementFromPoint(r.x + 4, r.y + r.height / 2).className; })()`)
	if over != "big" {
		t.Errorf("over the length lies %q", over)
	}
}

// Recorded while walking, "where I stand" is where she stands: not a mean of the way there,
// and not a place of some seconds ago.
func TestAddWhereIStandOnAWalk(t *testing.T) {
	t.Parallel()
	p := phone.New(t, phone.NewOffice(t), phone.Durable())
	p.TakeReceiver()
	give := func(metres float64, ago time.Duration) {
		p.Give(phone.Fix{Lon: 146.5 + metres/104400, Lat: -20.25, AccuracyM: 4}, time.Now().Add(-ago))
	}
	p.Open("/field/#/enrol/" + p.Office.Invite(property, "R. Field"))
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
	p.Go("#/line/fence/line")
	p.WaitSaid("Nothing recorded yet")
	// A minute's walk at 1.3 m/s, a fix a second, in quicker time.
	walked := 0.0
	for s := range 61 {
		walked = 1.3 * float64(s)
		give(walked, time.Duration(60-s)*10*time.Millisecond)
	}
	p.WaitSaid("GPS ±4 m")
	p.Tap("Add where I stand")
	give(78, 0) // she stands there
	p.WaitSaid("1 point")
	// Then nothing comes for a while as she walks on: the next fix is what is added.
	p.WaitFor(`/GPS ±4 m, \d+ s ago/.test(document.body.innerText)`)
	p.Tap("Add where I stand")
	p.WaitText("Waiting for GPS")
	p.Screenshot("waiting-for-gps")
	for range 3 { // one alone might be astray
		give(110, 0)
	}
	p.WaitSaid("2 points")
	p.Tap("Save")
	p.WaitSaid("Fence saved")
	line := coordinates[[][2]float64](t, saved(t, p, "fence"), "LineString")
	at := func(i int) phone.Fix { return phone.Fix{Lon: line[i][0], Lat: line[i][1]} }
	for i, wantM := range []float64{walked, 110} {
		if off := geodesicM(t, at(i), phone.Fix{Lon: 146.5 + wantM/104400, Lat: -20.25}); off > 5 {
			t.Errorf("point %d is %.1f m from where the officer stood, of a receiver good to 4 m", i+1, off)
		}
	}
}

// Visits and photos that have a place are on the map when they are asked for.
func TestMapShowsVisitsAndPhotos(t *testing.T) {
	t.Parallel()
	at := func(eastM float64) map[string]any {
		f := off(eastM, 0)
		return map[string]any{"type": "Point", "coordinates": [2]float64{f.Lon, f.Lat}}
	}
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	office.PlantFeatures(property, map[string]any{"kind": "check-dam", "name": "Dam 3", "geometry": at(-60)}, map[string]any{"kind": "peg", "geometry": at(60)},
		map[string]any{"kind": "visit", "name": "After the storm", "observedOn": "2026-05-13", "condition": "sound", "geometry": at(0)})
	p := phone.New(t, office, phone.Durable())
	p.At(start)
	p.Open("/field/#/enrol/" + code)
	p.Tap("Enrol this phone")
	p.WaitText("2 items of the property")
	p.Go("#/map")
	p.WaitFor(`document.querySelector(".map").dataset.drawn === "2 0"`)
	p.Tap("Show where I am") // and the visit, which is then in the middle
	p.WaitStill()
	x, y, _ := mapMiddle(p)
	p.Tap("Visits and photos: 1")
	p.WaitFor(`document.querySelector(".map").dataset.drawn === "3 0"`)
	p.Screenshot("map-visits")
	p.CheckFit("a map with visits")
	p.TapAt(x, y)
	p.WaitText("After the storm")
	p.WaitText("13 May 2026")
	p.Tap("Open")
	p.WaitHeading("After the storm")
}
