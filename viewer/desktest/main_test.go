// Package desktest uses the desk page as an officer does at her computer: a real Chromium with a
// mouse and a keyboard, the real server, and a phone that records meanwhile.
package desktest

import (
	"fmt"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m) }

const (
	property = "Stony Block"
	second   = "Far Paddock"
)

// Ids of what the office has before anybody enrols.
const (
	thalweg   = "0199a000-0000-7000-8000-000000000001"
	benchmark = "0199a000-0000-7000-8000-000000000002"
	dam1      = "0199a000-0000-7000-8000-000000000003"
	dam2      = "0199a000-0000-7000-8000-000000000004"
)

// here is where the phone stands: nowhere in particular.
var here = phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4}

func point(eastDeg, northDeg float64) any {
	return map[string]any{"type": "Point", "coordinates": [2]float64{here.Lon + eastDeg, here.Lat + northDeg}}
}

func line(coords ...[2]float64) any {
	return map[string]any{"type": "LineString", "coordinates": coords}
}

// land is a gully with two levelled dams, of which the upper one leaves a gap of 0.08 m, and
// what else an officer has on a property. The names are invented.
func land() []map[string]any {
	return []map[string]any{
		{"id": thalweg, "kind": "thalweg", "name": "Main gully", "geometry": line([2]float64{146.5, -20.25}, [2]float64{146.5002, -20.2498}, [2]float64{146.5003, -20.2496})},
		{"id": benchmark, "kind": "benchmark", "name": "Gate post", "levelM": 100, "geometry": point(-0.0003, 0)},
		{"id": dam1, "kind": "check-dam", "name": "Dam 1", "status": "built", "thalweg": thalweg, "chainageM": 0, "geometry": point(0, 0)},
		{"id": dam2, "kind": "check-dam", "name": "Dam 2", "status": "built", "thalweg": thalweg, "chainageM": 10, "geometry": point(0.0001, 0.0001)},
		{"kind": "check-dam", "name": "Dam 10", "status": "proposed", "thalweg": thalweg, "geometry": point(0.0002, 0.0003)},
		{"kind": "gully-head", "name": "Main head", "headDepthM": 1.6, "headDepthBasis": "taped", "active": true, "geometry": point(0.0003, 0.0004)},
		{"kind": "hazard", "danger": "old fence wire in the grass", "geometry": point(-0.0004, 0.0003)},
		{"kind": "peg", "notes": "no position yet"},
		{"kind": "visit", "of": dam2, "observedOn": "2025-12-12", "condition": "needs work", "sedimentDepthM": 0.12},
		{"kind": "level-run", "name": "Run 1", "observedOn": "2025-11-20", "perRootKmMm": 12, "rows": []map[string]any{
			{"point": "Gate post", "distanceM": 0, "bs": 1.5, "knownLevelM": 100, "feature": benchmark, "spot": "mark"},
			{"point": "bed", "distanceM": 8, "is": 3.0, "feature": thalweg, "spot": "bed", "chainageM": 0},
			{"point": "toe", "distanceM": 16, "is": 3.0, "feature": dam1, "spot": "toe", "chainageM": 0},
			{"point": "crest", "distanceM": 24, "is": 2.6, "feature": dam1, "spot": "crest", "chainageM": 0},
			{"point": "bed", "distanceM": 32, "is": 2.52, "feature": thalweg, "spot": "bed", "chainageM": 10},
			{"point": "toe", "distanceM": 40, "is": 2.52, "feature": dam2, "spot": "toe", "chainageM": 10},
			{"point": "crest", "distanceM": 48, "is": 2.12, "feature": dam2, "spot": "crest", "chainageM": 10},
			{"point": "bed", "distanceM": 56, "is": 1.9, "feature": thalweg, "spot": "bed", "chainageM": 22},
			{"point": "Gate post", "distanceM": 64, "fs": 1.5, "knownLevelM": 100, "feature": benchmark, "spot": "mark"},
		}},
	}
}

// office is a server with a property that is full of work, and another with one item.
func newOffice(t *testing.T) (office *phone.Office, code string) {
	t.Helper()
	office = phone.NewOffice(t)
	code = office.InviteFor("A. Desk", property, second)
	office.PlantFeatures(property, land()...)
	office.PlantFeatures(second, map[string]any{"kind": "scald", "name": "Bare patch", "geometry": point(0.02, 0)})
	return office, code
}

// seated is a computer that has enrolled and shows the list of properties.
func seated(t *testing.T, office *phone.Office, code string, options ...phone.Option) *phone.Phone {
	t.Helper()
	p := phone.New(t, office, append([]phone.Option{phone.Desk(1280, 800), phone.Durable()}, options...)...)
	p.Open("/desk/#/enrol/" + code)
	p.Tap("Enrol this computer")
	p.WaitHeading("Properties")
	return p
}

// open chooses a property of the list, and waits for its items and its map.
func open(p *phone.Page) {
	openNamed(p, property)
	p.WaitText("9 items")
}

func openNamed(p *phone.Page, name string) {
	p.Tap(name)
	p.WaitHeading(name)
}

// row is true in the page when the table has a row with these words.
func row(words string) string {
	return fmt.Sprintf(`[...document.querySelectorAll(".items tbody tr")].some(r => r.innerText.replace(/\s+/g, " ").includes(%q))`, words)
}

// link is true when the line at the foot says this of the server.
func link(words string) string {
	return fmt.Sprintf(`document.querySelector("#link").innerText.includes(%q)`, words)
}

// kept is true once the page's files are on the computer.
const kept = `navigator.serviceWorker.getRegistration("/desk/").then(r => r?.active?.state === "activated" && !r.installing)`

// mark records a gully head where the phone stands.
func mark(officer *phone.Phone) {
	officer.Go("#/")
	officer.At(here)
	officer.Tap("Mark")
	officer.WaitText("±")
	officer.Tap("Gully head")
	officer.WaitSaid("Gully head saved")
}
