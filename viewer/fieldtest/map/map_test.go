package fieldmap

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// things makes n works spread over a property of so many metres, the same for every run:
// of ten, six points, three lines of 8 positions and one area.
func things(n int, acrossM float64) []map[string]any {
	rnd := rand.New(rand.NewPCG(4, 2))
	at := func(eastM, northM float64) [2]float64 {
		f := off(eastM, northM)
		return [2]float64{f.Lon, f.Lat}
	}
	all := make([]map[string]any, n)
	for i := range all {
		x, y := (rnd.Float64()-0.5)*acrossM, (rnd.Float64()-0.5)*acrossM
		set := map[string]any{"name": fmt.Sprintf("Thing %d", i+1)}
		switch i % 10 {
		case 6, 7, 8:
			var line [][2]float64
			for j := range 8 {
				line = append(line, at(x+float64(j)*9, y+rnd.Float64()*6))
			}
			set["kind"], set["status"] = "rip-line", []string{"proposed", "pegged", "built"}[i%3]
			set["geometry"] = map[string]any{"type": "LineString", "coordinates": line}
		case 9:
			set["kind"], set["status"] = "exclosure", "built"
			set["geometry"] = map[string]any{"type": "Polygon", "coordinates": [][][2]float64{{at(x, y), at(x+30, y), at(x+30, y+20), at(x, y+20), at(x, y)}}}
		default:
			set["kind"], set["status"], set["crestHeightM"] = "check-dam", []string{"proposed", "pegged", "built", "failed"}[i%4], 0.4
			set["geometry"] = map[string]any{"type": "Point", "coordinates": at(x, y)}
		}
		all[i] = set
	}
	return all
}

// loaded is a phone that has the things of a property.
func loaded(t *testing.T, all []map[string]any, options ...phone.Option) (*phone.Phone, []string) {
	t.Helper()
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	ids := office.PlantFeatures(property, all...)
	p := phone.New(t, office, append([]phone.Option{phone.Durable()}, options...)...)
	p.At(start)
	p.Open("/field/#/enrol/" + code)
	p.Tap("Enrol this phone")
	p.WaitFor(fmt.Sprintf(`document.body.innerText.replaceAll(",", "").includes("%d item")`, len(all)))
	return p, ids
}

// The map shows what is on the phone; a tap chooses the thing under it, and the list beside
// it chooses the same.
func TestMapChooses(t *testing.T) {
	t.Parallel()
	place := func(eastM, northM float64) map[string]any {
		f := off(eastM, northM)
		return map[string]any{"type": "Point", "coordinates": [2]float64{f.Lon, f.Lat}}
	}
	p, ids := loaded(t, []map[string]any{
		{"kind": "check-dam", "name": "Lowest", "status": "built", "geometry": place(59.7, 0)},
		{"kind": "gully-head", "name": "Top head", "geometry": place(-60, 0)},
		{"kind": "hazard", "danger": "old fence wire", "geometry": place(0, 120)},
		{"kind": "peg", "name": "struck", "geometry": nil},
	})
	p.Go("#/map")
	p.WaitHeading("Map")
	p.At(start)
	p.Tap("List of items")
	p.WaitText("4 items, nearest first")
	p.WaitText("no position")
	rows := phone.Eval[[]string](p.Page, `[...document.querySelectorAll(".list .word")].map(e => e.innerText.replace(/\s+/g, " "))`)
	want := []string{"Lowest Check dam, 60 m east", "Top head Gully head, 60 m west", "Hazard 120 m north", "struck Peg, no position"}
	if strings.Join(rows, "; ") != strings.Join(want, "; ") {
		t.Errorf("the list reads %q, want %q", rows, want)
	}
	p.TapSelector(".list li:nth-child(2) button")
	p.WaitSaid("Top head")
	p.Screenshot("map-chosen")
	p.Tap("Deselect")
	p.Tap("Show where I am")
	p.WaitStill()
	x, y, pxPerM := mapMiddle(p)
	if r := 60 * pxPerM; r > 190 {
		p.Tap("Zoom out")
		p.WaitStill()
		x, y, pxPerM = mapMiddle(p)
	}
	p.TapAt(x+60*pxPerM, y)
	p.WaitSaid("Lowest")
	p.Tap("Open")
	p.WaitFor(`location.hash === "#/thing/` + ids[0] + `"`)
}

// What was captured a moment ago is on the map.
func TestMapHasTheDaysCaptures(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/mark/gully-head")
	p.At(start)
	p.WaitText("±4 m")
	p.Tap("Mark it here")
	p.WaitSaid("Gully head saved")
	p.Go("#/map")
	p.WaitHeading("Map")
	p.At(start)
	x, y, _ := mapMiddle(p)
	p.TapAt(x, y)
	p.WaitSaid("Gully head")
}

// Every screen fits the hand and the sun, on a wide phone, on a narrow one, and in large text.
func TestFit(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name          string
		width, height int64
		big           bool
	}{{"wide", 412, 800, false}, {"narrow", 320, 640, false}, {"large-text", 412, 800, true}} {
		t.Run(c.name, func(t *testing.T) {
			p, ids := loaded(t, things(12, 300), phone.Size(c.width, c.height))
			if c.big {
				p.BigText()
				p.Reload()
			}
			look := func(name string) {
				t.Helper()
				p.CheckFit(name)
				p.Screenshot(c.name + "-" + name)
			}
			p.Go("#/map/" + ids[0])
			p.At(start)
			p.WaitSaid("Thing 1")
			look("map")
			p.Tap("List of items")
			p.WaitText("12 items")
			look("map-list")
			p.Go("#/line")
			p.WaitHeading("Record a line or area")
			look("line-choose")
			p.Go("#/line/thalweg/line")
			p.At(start)
			p.WaitSaid("Nothing recorded yet")
			look("line-empty")
			p.Tap("Walk")
			walk(p, 0, off(0, 0), off(12, 3), off(24, 9))
			look("line-walking")
			p.Tap("Pause")
			p.At(off(60, 20))
			p.Tap("Continue")
			p.WaitText("not recorded from")
			walk(p, 4, off(70, 20))
			p.Tap("Pause")
			look("line-gap")
			p.Go("#/line")
			p.WaitHeading("Record a line or area")
			p.Go("#/line/thalweg/line")
			p.WaitText("Nothing is recorded now.")
			look("line-left")
			p.Tap("Edit a point")
			look("line-position")
		})
	}
}
