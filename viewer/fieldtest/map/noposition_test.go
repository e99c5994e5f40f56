package fieldmap

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// cold starts the browser again with no server and a receiver that has no fix.
func cold(p *phone.Phone, office *phone.Office) {
	p.Close()
	office.Kill()
	p.EmptyHTTPCache()
	p.Start()
	p.NoFix()
}

// A line under way is seen on a property that has no item yet, when there is no position: the
// map shows where its points are. Where it shows no place, no point is put down.
func TestLineUnderWayWithNoPosition(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	p.WaitText("The property is on this phone")
	p.WaitFor(`navigator.serviceWorker.controller !== null`)
	cold(p, office)
	p.Open("/field/#/line/rip-line/line")
	p.WaitSaid("Nothing recorded yet")
	p.WaitText("Nothing on the map yet, and no GPS position.")
	p.Tap("Add at the cross")
	p.WaitSaid("The map shows no place yet. Wait for a GPS position.")
	p.WaitText("Nothing recorded yet") // neither at the cross nor anywhere
	p.At(start)
	x, y, _ := mapMiddle(p)
	for i, dx := range []float64{-60, 60} {
		p.TapAt(x+dx, y)
		p.WaitSaid(positions(i + 1))
	}
	p.WaitFor(`document.querySelector(".standing")?.dataset.kept !== "false"`)
	p.Go("#/") // leaving keeps what was put down
	p.WaitText("A rip line of 2 points is not saved yet.")
	p.Restart()
	p.NoFix()
	p.Open("/field/#/line/rip-line/line")
	p.WaitText("2 points")
	p.WaitFor(`document.querySelector(".map canvas") !== null && document.querySelector(".scale svg") !== null`)
	p.Screenshot("line-no-position")
	p.Tap("Add at the cross") // there is a cross now, between the two
	p.WaitSaid("3 points")
}

// The items of a property are on the map after a cold start with no position at all.
func TestItemsOnTheMapWithNoPosition(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	office.Invite(property, "A. Desk") // makes it
	office.PlantFeatures(property,
		map[string]any{"id": "head-1", "kind": "gully-head", "name": "Lip", "geometry": map[string]any{"type": "Point", "coordinates": []float64{146.5, -20.25}}},
		map[string]any{"id": "track-1", "kind": "track", "name": "Ridge track", "geometry": map[string]any{"type": "LineString", "coordinates": [][]float64{{146.5, -20.252}, {146.503, -20.252}}}},
	)
	p := enrolled(t, office)
	p.WaitText("The property is on this phone")
	p.WaitFor(`navigator.serviceWorker.controller !== null`)
	cold(p, office)
	for _, screen := range []string{"#/map", "#/line/rip-line/line", "#/line/scald/area"} {
		p.Open("/field/" + screen)
		p.WaitFor(`document.querySelector(".map")?.dataset.drawn === "2 0" && document.querySelector(".scale svg") !== null`)
	}
	p.Screenshot("items-no-position")
}

// The items come into sight when they are read, though a position far off was known before.
func TestItemsReadAfterThePosition(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	p := phone.New(t, office, phone.Durable())
	p.Enrol(property, code, start)
	p.WaitText("The property is on this phone")
	p.Go("#/map")
	p.At(start)
	mapMiddle(p)
	office.PlantFeatures(property, map[string]any{"id": "head-1", "kind": "gully-head", "name": "Lip", "geometry": map[string]any{"type": "Point", "coordinates": []float64{146.53, -20.25}}})
	p.WaitFor(`document.querySelector(".map").dataset.drawn === "1 0"`)
}
