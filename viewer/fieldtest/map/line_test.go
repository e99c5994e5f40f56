package fieldmap

import (
	"encoding/json"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"headcut/viewer/fieldtest/phone"
)

// mapMiddle is the middle of the map on the screen, in CSS pixels.
func mapMiddle(p *phone.Phone) (x, y, pxPerM float64) {
	p.WaitFor(`document.querySelector(".map canvas") !== null && document.querySelector(".scale svg") !== null`)
	at := phone.Eval[[3]float64](p.Page, `(() => { document.querySelector(".map").scrollIntoView({block: "center"});
		const r = document.querySelector(".map").getBoundingClientRect(), s = document.querySelector(".scale svg");
		return [r.x + r.width / 2, r.y + r.height / 2, s.dataset.px / s.dataset.metres]; })()`)
	return at[0], at[1], at[2]
}

// A line put down point by point: tapped on the map, taken back, split in two.
func TestTappedLine(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/line/rip-line/line")
	p.WaitSaid("Nothing recorded yet")
	p.At(start)
	x, y, pxPerM := mapMiddle(p)
	for i, dx := range []float64{-120, -40, 40, 120} {
		p.TapAt(x+dx, y)
		p.WaitSaid(positions(i + 1))
	}
	p.TapAt(x, y+90)
	p.WaitSaid("5 points")
	p.Tap("Remove last point")
	p.WaitSaid("4 points")
	p.Screenshot("tapped")
	p.TapAt(x+40, y) // an existing position is chosen, not doubled
	p.WaitText("Point 3 of 4")
	p.Tap("2 m north")
	p.Tap("Split here")
	p.WaitText("Split here into lines 1 and 2")
	p.Screenshot("split")
	p.Tap("Save")
	p.WaitSaid("2 rip lines saved")
	p.WaitText("Part 1 of 2")
	p.CheckFit("the form of the first part")
	p.Screenshot("split-form")
	p.Tap("Pegged")
	p.Tap("Save")
	p.WaitText("Part 2 of 2") // each line has its own form
	p.WaitFor(`!document.querySelector("main .choice button[aria-pressed=true]")`)
	p.Tap("Built")
	p.Tap("Save")
	p.WaitFor(`!location.hash.includes("/fill")`)
	told := map[string]bool{}
	for _, f := range features(p) {
		if f.Fields.Kind == "rip-line" {
			told[f.Fields.Status] = true
		}
	}
	if !told["pegged"] || !told["built"] {
		t.Errorf("the two lines have the statuses %v, want pegged and built", told)
	}
	var lines [][][2]float64
	for _, f := range features(p) {
		if f.Fields.Kind == "rip-line" {
			lines = append(lines, coordinates[[][2]float64](t, f, "LineString"))
		}
	}
	if len(lines) != 2 {
		t.Fatalf("%d lines on the phone after a split, want 2", len(lines))
	}
	if len(lines[0]) < len(lines[1]) {
		lines[0], lines[1] = lines[1], lines[0]
	}
	if len(lines[0]) != 3 || len(lines[1]) != 2 || lines[0][2] != lines[1][0] {
		t.Errorf("lines %v, want 3 and 2 positions with the split in both", lines)
	}
	// 80 px apart, at the scale that the bar shows.
	a, b := lines[0][0], lines[0][1]
	got := geodesicM(t, phone.Fix{Lon: a[0], Lat: a[1]}, phone.Fix{Lon: b[0], Lat: b[1]})
	if want := 80 / pxPerM; math.Abs(got-want) > want*0.02 {
		t.Errorf("80 px on the map are %.2f m, the scale bar says %.2f", got, want)
	}
	north := geodesicM(t, phone.Fix{Lon: lines[0][2][0], Lat: lines[0][2][1]}, phone.Fix{Lon: lines[0][2][0], Lat: lines[0][1][1]})
	if math.Abs(north-2) > 0.05 {
		t.Errorf("the position moved 2 m north lies %.3f m north of the line", north)
	}
}

// With snapping on, what is put down near a gully's thalweg lies on it.
func TestSnapToThalweg(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office, phone.Durable())
	p.At(start)
	code := office.Invite(property, "R. Field")
	a, b := off(-60, 0), off(60, 0)
	thalweg := [][2]float64{{a.Lon, a.Lat}, {b.Lon, b.Lat}}
	office.PlantFeatures(property, map[string]any{"kind": "thalweg", "name": "Near Gully", "geometry": map[string]any{"type": "LineString", "coordinates": thalweg}})
	p.Open("/field/#/enrol/" + code)
	p.Tap("Enrol this phone")
	p.WaitText("1 item of the property")
	p.Go("#/line/check-dam/line")
	p.Tap("Snap to the thalweg")
	p.At(off(-20, 3)) // 3 m beside it, with a fix good to 4 m
	p.WaitSaid("GPS ±4 m")
	p.Tap("Add where I stand")
	p.At(off(-20, 3)) // where the fix was old by the time of the tap, the next one is added
	p.WaitSaid("1 point")
	p.Tap("Snap to the thalweg")
	far := off(-10, 12)
	p.At(far)
	p.Tap("Walk") // and off again: the mean of standing starts again
	p.WaitSaid("2 points")
	p.Tap("Pause")
	p.Screenshot("snap")
	if p.Has("Join straight across gap 1") {
		p.Tap("Join straight across gap 1")
	}
	p.Tap("Save")
	p.WaitSaid("Check dam saved")
	f := saved(t, p, "check-dam")
	line := coordinates[[][2]float64](t, f, "LineString")
	if math.Abs(line[0][1]-start.Lat) > 1e-7 {
		t.Errorf("a position snapped to the thalweg has latitude %v, the thalweg %v", line[0][1], start.Lat)
	}
	if math.Abs(line[1][1]-far.Lat) > 1e-7 {
		t.Errorf("a position recorded without snapping has latitude %v, the phone was at %v", line[1][1], far.Lat)
	}
	if how := f.Fields.Receiver.How; len(how) != 2 || how[0] != "snapped" || how[1] != "walked" {
		t.Errorf("how the positions came is kept as %q, want snapped and walked", how)
	}
}

// An area is measured as Planimeter of GeographicLib measures it; one that crosses itself
// is refused with words that say what to do, and loses nothing.
func TestArea(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/line/scald/area")
	p.WaitSaid("Nothing recorded yet")
	p.At(start)
	x, y, _ := mapMiddle(p)
	corners := [][2]float64{{-100, -60}, {100, 60}, {100, -60}, {-100, 60}} // a bow tie
	for i, c := range corners {
		p.TapAt(x+c[0], y+c[1])
		p.WaitSaid(positions(i + 1))
	}
	p.Tap("Join ends")
	p.WaitSaid("The boundary crosses itself")
	p.Screenshot("crossing")
	p.Tap("Remove last point")
	p.Tap("Remove last point")
	p.Tap("Remove last point")
	for i, c := range [][2]float64{{100, -60}, {100, 60}, {-100, 60}} {
		p.TapAt(x+c[0], y+c[1])
		p.WaitSaid(positions(i + 2))
	}
	p.Tap("Join ends")
	p.WaitSaid("Closed, 4 points")
	p.WaitFor(`/ ± [0-9.]+ (ha|m²)/.test(document.querySelector(".big").innerText)`)
	p.Screenshot("area")
	said := phone.Eval[[2]string](p.Page, `document.querySelector(".big").innerText.match(/([0-9.]+) ± [0-9.]+ (ha|m²)/).slice(1)`)
	p.Tap("Save")
	p.WaitSaid("Scald saved")
	f := saved(t, p, "scald")
	rings := coordinates[[][][2]float64](t, f, "Polygon")
	if len(rings) != 1 || len(rings[0]) != 5 || rings[0][0] != rings[0][4] {
		t.Fatalf("rings %v, want one closed ring of 4 corners", rings)
	}
	want := planimeterM2(t, rings[0])
	got, err := strconv.ParseFloat(said[0], 64)
	if err != nil {
		t.Fatal(err)
	}
	if said[1] == "ha" {
		got *= 10_000
	}
	if math.Abs(got-want) > want*0.03+1 {
		t.Errorf("the page says %s %s, Planimeter %.1f m²", said[0], said[1], want)
	}
}

func planimeterM2(t *testing.T, ring [][2]float64) float64 {
	t.Helper()
	var lines []string
	for _, c := range ring[:len(ring)-1] {
		lines = append(lines, number(c[1])+" "+number(c[0]))
	}
	measure := exec.Command("Planimeter")
	measure.Stdin = strings.NewReader(strings.Join(lines, "\n") + "\n")
	out, err := measure.Output()
	if err != nil {
		t.Fatalf("Planimeter: %v: run make test, which installs it", err)
	}
	fields := strings.Fields(string(out))
	m2, err := strconv.ParseFloat(fields[len(fields)-1], 64)
	if err != nil {
		t.Fatalf("Planimeter said %q", out)
	}
	return math.Abs(m2)
}

// The whole of a line by keyboard alone: the cross in the middle of the map takes the place
// of a finger.
func TestLineByKeyboard(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/line/windrow/line")
	p.WaitSaid("Nothing recorded yet")
	p.At(start)
	mapMiddle(p)
	press := func(selector, key string) {
		phone.Eval[bool](p.Page, `(() => { const e = `+selector+`; e.focus(); return document.activeElement === e; })()`)
		p.Do(chromedp.KeyEvent(key))
	}
	button := func(name string) string {
		text, _ := json.Marshal(name)
		return `[...document.querySelectorAll("button")].find(b => b.innerText.trim() === ` + string(text) + `)`
	}
	press(button("Add at the cross"), kb.Enter)
	p.WaitSaid("1 point")
	press(`document.querySelector(".map")`, kb.ArrowRight)
	p.WaitStill() // the map glides
	press(button("Add at the cross"), kb.Enter)
	p.WaitSaid("2 points")
	press(button("Save"), kb.Enter)
	p.WaitSaid("Timber windrow saved")
	line := coordinates[[][2]float64](t, saved(t, p, "windrow"), "LineString")
	if len(line) != 2 || !(line[1][0] > line[0][0]) || math.Abs(line[1][1]-line[0][1]) > 1e-7 {
		t.Errorf("line %v, want a second position due east of the first", line)
	}
}

// Nobody goes back to choose the kind of a line that is saved: back leads to where the choice began.
func TestBackFromASavedLine(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/")
	p.WaitHeading(property)
	p.Tap("Line or area")
	p.WaitHeading("Record a line or area")
	p.Tap("Fence")
	p.WaitSaid("Nothing recorded yet")
	p.At(start)
	x, y, _ := mapMiddle(p)
	p.TapAt(x-60, y)
	p.WaitSaid("1 point")
	p.TapAt(x+40, y)
	p.WaitSaid("2 points")
	p.Tap("Back") // left under way, it is taken up again
	p.WaitHeading("Record a line or area")
	p.WaitText("A fence of 2 points is not saved yet.")
	p.Tap("Continue the fence")
	p.WaitSaid("2 points")
	p.Tap("Save")
	p.WaitFor(`location.hash.includes("/fill")`)
	p.Tap("Save")
	p.WaitFor(`/^#.thing.[^/]+$/.test(location.hash)`)
	p.Tap("Back")
	p.WaitHeading(property)
}

// What was tapped stays in sight when the scale, the buttons or the words about it come to lie there.
func TestTappedPlaceStaysInSight(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t), phone.Size(390, 844))
	p.Expect("willReadFrequently") // the drawing is read off the map below
	p.Go("#/line/fence/line")
	p.WaitSaid("Nothing recorded yet")
	p.At(start)
	mapMiddle(p)
	// In the middle of the scale bar: what is put down there is moved out from under it.
	at := phone.Eval[[2]float64](p.Page, `(() => { const b = document.querySelector(".mapfoot").getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2]; })()`)
	p.TapAt(at[0], at[1])
	p.WaitSaid("1 point")
	p.Tap("Edit a point") // its place is then told by the ring that is drawn round it
	p.WaitText("Point 1 of 1")
	p.WaitFor(`(() => {
		const map = document.querySelector(".map").getBoundingClientRect(), canvas = [...document.querySelectorAll(".map canvas")];
		const seen = (c) => { const d = c.getContext("2d").getImageData(0, 0, c.width, c.height).data, k = c.width / map.width; let n = 0, w = c.width, e = 0, t = c.height, b = 0;
			for (let i = 0; i < d.length; i += 4) if (d[i + 3] > 200 && Math.abs(d[i] - 0x7a) < 12 && Math.abs(d[i + 1] - 0x14) < 12 && Math.abs(d[i + 2] - 0x70) < 12) { n++; const x = (i / 4) % c.width, y = Math.floor(i / 4 / c.width); w = Math.min(w, x); e = Math.max(e, x); t = Math.min(t, y); b = Math.max(b, y); }
			return n && Math.abs(e - w - (b - t)) < 4 * k ? [map.left + (w + e) / 2 / k, map.top + (t + b) / 2 / k] : null; }; // a whole ring
		const at = canvas.map(seen).find((p) => p);
		const over = at && [...document.querySelectorAll(".mapfoot, .mapbuttons, .maphead > *, .mapover .row > *")].some((e) => { const b = e.getBoundingClientRect(); return at[0] > b.left && at[0] < b.right && at[1] > b.top && at[1] < b.bottom; });
		return at && !over;
	})()`)
	p.Screenshot("tapped-in-sight")
}
