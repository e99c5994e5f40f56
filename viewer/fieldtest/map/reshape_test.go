package fieldmap

import (
	"fmt"
	"math"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A saved line is reshaped: a point is dragged, one is added on a side, one is moved by
// buttons alone and one removed. It is one entry that says it was drawn, and one undo.
func TestSavedLineIsReshaped(t *testing.T) {
	t.Parallel()
	place := func(eastM, northM float64) [2]float64 { f := off(eastM, northM); return [2]float64{f.Lon, f.Lat} }
	p, ids := loaded(t, []map[string]any{{
		"kind": "rip-line", "name": "Rip line 1", "accuracyM": 4, "positionBasis": "GPS",
		"geometry": map[string]any{"type": "LineString", "coordinates": [][2]float64{place(-60, 0), place(0, 0), place(60, 0), place(90, 0)}},
	}})
	p.Go("#/shape/" + ids[0])
	p.WaitHeading("Rip line 1")
	p.WaitFor(`document.querySelector(".map").dataset.drawn !== undefined`)
	x, y, pxPerM := mapMiddle(p)
	x -= 15 * pxPerM // the middle of the line is 15 m east of its second point
	drag(p, x, y, x, y-30*pxPerM)
	p.WaitText("Point 2 of 4")
	p.Screenshot("reshape-dragged")
	p.CheckFit("reshaping a line")
	p.Tap("Done")
	p.TapAt(x+75*pxPerM, y) // on the side between the last two
	p.WaitText("Point 4 of 5")
	p.Tap("2 m south")
	p.Tap("Later")
	p.WaitText("Point 5 of 5")
	p.Tap("Remove")
	p.Tap("Save")
	p.WaitSaid("Rip line 1: shape edited")
	f := saved(t, p, "rip-line")
	line := coordinates[[][2]float64](t, f, "LineString")
	if len(line) != 4 {
		t.Fatalf("the line has %d points: %v, want 4", len(line), line)
	}
	want := [][2]float64{place(-60, 0), place(0, 30), place(60, 0), place(75, -2)}
	for i, at := range want {
		eastM := (line[i][0] - at[0]) * 111_000 * math.Cos(start.Lat*math.Pi/180)
		northM := (line[i][1] - at[1]) * 111_000
		if off := math.Hypot(eastM, northM); off > 3 {
			t.Errorf("point %d is %.1f m from where it was put, at %v", i+1, off, line[i])
		}
	}
	if line[0] != rounded8(want[0]) || line[2] != rounded8(want[2]) {
		t.Errorf("points that were not touched moved: %v", line)
	}
	if basis := textIn(p, ids[0], "positionBasis"); basis != "drawn on the map" {
		t.Errorf("the basis is %q", basis)
	}
}

// A point is moved on the map without any drag: tapped where it is, nudged, undone.
func TestPointIsMovedOnTheMap(t *testing.T) {
	t.Parallel()
	p, ids := loaded(t, []map[string]any{{
		"kind": "peg", "name": "Peg 1", "accuracyM": 4, "gpsHeightM": 212,
		"geometry": map[string]any{"type": "Point", "coordinates": [2]float64{start.Lon, start.Lat}},
	}})
	p.Go("#/map/" + ids[0])
	p.WaitSaid("Peg 1")
	p.Tap("Move")
	p.WaitHeading("Peg 1")
	p.WaitFor(`document.querySelector(".map").dataset.drawn !== undefined`)
	x, y, pxPerM := mapMiddle(p)
	p.TapAt(x+60, y)
	p.Tap("Undo")
	p.TapAt(x-80, y)
	p.Screenshot("move-point")
	p.CheckFit("moving a point")
	p.Tap("Save")
	p.WaitSaid("Peg 1: position edited")
	at := coordinates[[2]float64](t, saved(t, p, "peg"), "Point")
	eastM := (at[0] - start.Lon) * 111_000 * math.Cos(start.Lat*math.Pi/180)
	if want := -80 / pxPerM; math.Abs(eastM-want) > 3 {
		t.Errorf("the peg went %.1f m east, want %.1f", eastM, want)
	}
	if height := phone.Eval[bool](p.Page, fmt.Sprintf(`(async () => (await %s)["gpsHeightM"] === undefined)()`, fieldsOf(ids[0]))); !height {
		t.Error("the height of the earlier place is kept")
	}
	p.WaitHeading("Map")
	p.Tap("Undo")
	p.WaitSaid("Undone")
	if at := coordinates[[2]float64](t, saved(t, p, "peg"), "Point"); at != [2]float64{start.Lon, start.Lat} {
		t.Errorf("after undo the peg is at %v", at)
	}
}

// drag moves a finger from one place to another.
func drag(p *phone.Phone, fromX, fromY, toX, toY float64) {
	phone.Eval[bool](p.Page, fmt.Sprintf(`new Promise(async (done) => {
		const map = document.querySelector(".map .ol-viewport"), steps = 8;
		const at = (i) => ({clientX: %[1]g + (%[3]g - %[1]g) * i / steps, clientY: %[2]g + (%[4]g - %[2]g) * i / steps});
		const send = (type, i) => map.dispatchEvent(new PointerEvent(type, {...at(i), pointerId: 7, pointerType: "touch", isPrimary: true, bubbles: true, button: 0, buttons: type === "pointerup" ? 0 : 1}));
		send("pointerdown", 0);
		for (let i = 1; i <= steps; i++) { await new Promise(requestAnimationFrame); send("pointermove", i); document.dispatchEvent(new PointerEvent("pointermove", {...at(i), pointerId: 7, pointerType: "touch", isPrimary: true, bubbles: true, button: 0, buttons: 1})); }
		send("pointerup", steps);
		done(true);
	})`, fromX, fromY, toX, toY))
}

func rounded8(at [2]float64) [2]float64 {
	return [2]float64{math.Round(at[0]*1e8) / 1e8, math.Round(at[1]*1e8) / 1e8}
}

// fieldsOf is the script for the fields of a feature on the phone.
func fieldsOf(id string) string {
	return fmt.Sprintf(`new Promise((yes, no) => { const open = indexedDB.open("headcut"); open.onerror = () => no(open.error);
		open.onsuccess = () => { const get = open.result.transaction("features").objectStore("features").get(%q); get.onsuccess = () => { open.result.close(); yes(get.result.fields); }; }; })`, id)
}

func textIn(p *phone.Phone, id, field string) string {
	return phone.Eval[string](p.Page, fmt.Sprintf(`%s.then(f => String(f[%q] ?? ""))`, fieldsOf(id), field))
}
