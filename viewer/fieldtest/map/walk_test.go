package fieldmap

import (
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A walk is saved with one press while it goes on, with no pause before.
func TestWalkIsSavedWithOnePress(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t), phone.Size(320, 640))
	p.At(off(0, 0))
	p.Go("#/line/track/line")
	p.WaitSaid("GPS ±")
	p.Tap("Walk")
	walk(p, 0, off(0, 0), off(6, 0), off(12, 0))
	p.CheckFit("a walk that goes on")
	p.Screenshot("walk-on")
	p.Tap("Save")
	p.WaitSaid("Track saved")
	p.WaitFor(`location.hash.includes("/fill")`) // its form, in place of the walk
	if line := coordinates[[][2]float64](t, saved(t, p, "track"), "LineString"); len(line) != 3 {
		t.Errorf("the track has %d positions, want the 3 that were walked", len(line))
	}
	p.Go("#/line")
	p.WaitHeading("Record a line or area")
	if strings.Contains(p.Text(), "is not saved yet") {
		t.Error("the walk that was saved is offered again")
	}
}

// The dot of who walks stays in the free part of the map, on any phone and however far she
// goes: under the heading or the caution nobody sees it.
func TestWalkerStaysInSight(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		t.Run(fmt.Sprintf("%d by %d", size[0], size[1]), func(t *testing.T) {
			p := phone.New(t, phone.NewOffice(t), phone.Durable(), phone.Size(size[0], size[1]))
			p.Expect("willReadFrequently") // the drawing is read off the map below
			p.BeforeScripts(`Object.defineProperty(navigator, "wakeLock", {value: {request: () => Promise.reject(new DOMException("no", "NotAllowedError"))}})`)
			p.Enrol(property, p.Office.Invite(property, "R. Field"), start)
			p.Go("#/line/gully-edge/line")
			p.Tap("Walk")
			for i := range 5 {
				walk(p, i, off(0, float64(i)*25))
				p.WaitFor(`(() => {
					const map = document.querySelector(".map").getBoundingClientRect();
					const seen = (c) => { const d = c.getContext("2d").getImageData(0, 0, c.width, c.height).data, k = c.width / map.width; let n = 0, x = 0, y = 0;
						for (let i = 0; i < d.length; i += 4) if (d[i + 3] > 200 && Math.abs(d[i] - 0x0a) < 8 && Math.abs(d[i + 1] - 0x4f) < 8 && Math.abs(d[i + 2] - 0xa3) < 8) { n++; x += (i / 4) % c.width; y += Math.floor(i / 4 / c.width); }
						return n > 100 ? [map.left + x / n / k, map.top + y / n / k] : null; };
					const at = [...document.querySelectorAll(".map canvas")].map(seen).find((p) => p);
					return at && at[1] > map.top + 9 && at[1] < map.bottom - 9 && ![...document.querySelectorAll(".mapfoot, .mapbuttons, .maphead > *, .mapnotes, .mapover .row > *")].some((e) => { const b = e.getBoundingClientRect(); return b.width && at[0] > b.left - 9 && at[0] < b.right + 9 && at[1] > b.top - 9 && at[1] < b.bottom + 9; });
				})()`)
			}
			p.WaitText("The screen may sleep")
			p.CheckFit("a walk that went far")
			p.Screenshot(fmt.Sprintf("walker-in-sight-%d", size[0]))
			for _, name := range []string{"Zoom in", "Zoom out", "Show the whole property", "Show where I am"} {
				free := phone.Eval[bool](p.Page, `(() => { const e = document.querySelector("button[aria-label='`+name+`']"), b = e.getBoundingClientRect();
					return document.elementFromPoint(b.left + b.width / 2, b.top + 4).closest("button") === e; })()`)
				if !free {
					t.Errorf("%s is covered", name)
				}
			}
		})
	}
}

// Ten places walked are ten positions in the line, each with its own accuracy, and the
// length is that of GeodSolve.
func TestWalkTakesEveryFix(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	height := 312.0
	var places []phone.Fix
	for i := range 10 {
		f := off(float64(i)*6, float64(i%3))
		f.AccuracyM, f.HeightM = 3+float64(i)/10, &height
		places = append(places, f)
	}
	p.At(places[0])
	p.Go("#/line/rip-line/line")
	p.WaitSaid("GPS ±3 m")
	p.Tap("Walk")
	walk(p, 0, places...)
	p.Screenshot("walk")
	p.WaitFor(`/^[0-9.]+ ± /.test(document.querySelector(".big").innerText)`) // the computations are there
	p.Tap("Pause")
	p.WaitSaid("Paused, 10 points")
	p.Tap("Save")
	p.WaitSaid("Rip line saved")
	f := saved(t, p, "rip-line")
	line := coordinates[[][2]float64](t, f, "LineString")
	if len(line) != len(places) {
		t.Fatalf("the line has %d positions of %d walked", len(line), len(places))
	}
	wantM := 0.0
	for i, place := range places {
		if math.Abs(line[i][0]-place.Lon) > 1e-8 || math.Abs(line[i][1]-place.Lat) > 1e-8 {
			t.Errorf("position %d is %v, the phone was at %v, %v", i, line[i], place.Lon, place.Lat)
		}
		if got := f.Fields.Receiver.AccuraciesM[i]; math.Abs(got-place.AccuracyM) > 0.051 {
			t.Errorf("accuracy of position %d: %v, want %v", i, got, place.AccuracyM)
		}
		if h := f.Fields.GPSHeightsM[i]; h == nil || *h != height {
			t.Errorf("height of position %d: %v, want %v", i, h, height)
		}
		if i > 0 {
			wantM += geodesicM(t, places[i-1], place)
		}
	}
	said := phone.Eval[string](p.Page, `document.body.innerText.match(/Rip line saved, ([0-9.]+)/)?.[1] ?? ""`)
	if got, err := strconv.ParseFloat(said, 64); err != nil || math.Abs(got-wantM) > 0.6 {
		t.Errorf("the page said %q m, GeodSolve has %.2f m", said, wantM)
	}
}

// geodesicM is the length between two places by GeodSolve of GeographicLib.
func geodesicM(t *testing.T, a, b phone.Fix) float64 {
	t.Helper()
	solve := exec.Command("GeodSolve", "-i", "-p", "4", "--input-string",
		strings.Join([]string{number(a.Lat), number(a.Lon), number(b.Lat), number(b.Lon)}, " "))
	out, err := solve.Output()
	if err != nil {
		t.Fatalf("GeodSolve: %v: run make test, which installs it", err)
	}
	fields := strings.Fields(string(out))
	m, err := strconv.ParseFloat(fields[len(fields)-1], 64)
	if err != nil {
		t.Fatalf("GeodSolve said %q", out)
	}
	return m
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', 10, 64) }

// A page that was out of sight has recorded nothing: what was walked meanwhile is a gap,
// with its times in the receiver's record, and is joined only when the officer says so.
func TestHiddenPageLeavesAGap(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, wantType, wantSaid string
		join                     bool
	}{
		{"left", "MultiLineString", "Its length leaves out a gap of", false},
		{"joined", "LineString", "were not recorded: they are joined straight across", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := enrolled(t, phone.NewOffice(t))
			p.Go("#/line/gully-edge/line")
			p.Tap("Walk")
			walk(p, 0, off(0, 0), off(6, 0), off(12, 0))
			p.Hide(true)
			walked := off(40, 30) // while hidden: must not be taken
			phone.Eval[bool](p.Page, `(navigator.geolocation.watchPosition(heard => globalThis.heard = heard.coords.longitude), true)`)
			p.At(walked)
			p.WaitFor(fmt.Sprintf(`Math.abs(globalThis.heard - %f) < 1e-6`, walked.Lon)) // the page has heard of it too
			p.At(off(60, 0))
			p.Hide(false)
			walk(p, 3, off(60, 0), off(66, 0))
			p.WaitText("not recorded from")
			p.Screenshot("gap")
			p.Tap("Pause")
			if c.join {
				p.Tap("Join straight across gap 1")
				p.WaitGone("not recorded from")
			}
			p.Tap("Save")
			p.WaitSaid("Gully edge saved")
			f := saved(t, p, "gully-edge")
			if got := f.Fields.Geometry.Type; got != c.wantType {
				t.Errorf("a walk with a gap, %s, is saved as %s, want %s: %s", c.name, got, c.wantType, f.Fields.Geometry.Coordinates)
			}
			if f.Fields.Notes != "" {
				t.Errorf("the program wrote notes in the officer's name: %q", f.Fields.Notes)
			}
			p.WaitFor(`location.hash.endsWith("/fill")`) // where saving leads
			p.Go("#/thing/" + f.ID)
			p.WaitText(c.wantSaid)
			if c.join {
				return
			}
			pieces := coordinates[[][][2]float64](t, f, c.wantType)
			if len(pieces) != 2 || len(pieces[0]) != 3 || len(pieces[1]) != 2 {
				t.Errorf("pieces %v, want one of 3 positions and one of 2", pieces)
			}
			if g := f.Fields.Receiver.Gaps; len(g) != 1 || g[0].Why != "hidden" || g[0].From >= g[0].To {
				t.Errorf("gaps are kept as %+v, want one that says hidden, with times", g)
			}
		})
	}
}

// A pause that ends where it began leaves no gap; one that ends elsewhere does.
func TestPause(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/line/track/line")
	p.Tap("Walk")
	walk(p, 0, off(0, 0), off(10, 0))
	p.Tap("Pause")
	p.At(off(12, 30)) // off to look at something
	p.WaitSaid("Paused, 2 points")
	p.At(off(13, 0))
	p.Tap("Continue")
	p.WaitSaid("Walking, 3 points")
	if text := p.Text(); strings.Contains(text, "Not recorded") {
		t.Errorf("a pause that ended 3 m on, with fixes good to 4 m, left a gap: %s", text)
	}
	p.Tap("Pause")
	p.At(off(80, 0))
	p.Tap("Continue")
	p.WaitText("not recorded from")
	p.WaitText("Gap of 67 m: not recorded from")
	p.WaitText("(paused).")
}

// The browser dies in a walk: every position that the page had taken is there again, the
// line goes on, and what was walked meanwhile is a gap.
func TestWalkSurvivesTheBrowser(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	for round := range phone.Campaign(1, 10) {
		p.Go("#/line/fence/line")
		p.At(off(0, 0)) // back to where the line begins
		p.Tap("Walk")
		walk(p, 0, off(0, 0), off(6, 0), off(12, 0), off(18, 0))
		p.WaitFor(keptPositions("fence") + ".then(n => n === 4)")
		p.Restart()
		p.At(off(60, 0))
		p.Open("/field/#/")
		p.Tap("Continue the fence")
		p.WaitSaid("Walking, 5 points") // by itself: who continues a walk is walking
		p.At(off(66, 0))
		p.WaitSaid("6 points")
		p.Tap("Pause")
		p.Tap("Save")
		p.WaitSaid("Fence saved")
		if round > 0 {
			continue
		}
		pieces := coordinates[[][][2]float64](t, saved(t, p, "fence"), "MultiLineString")
		if len(pieces) != 2 || len(pieces[0]) != 4 || len(pieces[1]) != 2 {
			t.Errorf("pieces %v, want the 4 positions from before the browser died and 2 after", pieces)
		}
		p.WaitFor(`location.hash.startsWith("#/thing/")`) // where saving leads
		p.Go("#/line")
		p.WaitHeading("Record a line or area")
		if p.Has("Continue the fence") {
			t.Error("the saved line is offered again as unfinished")
		}
	}
}

// keptPositions is an expression for how many positions of a line the phone's store has.
func keptPositions(kind string) string {
	return `new Promise((yes, no) => {
		const open = indexedDB.open("headcut");
		open.onerror = () => no(open.error);
		open.onsuccess = () => {
			const drafts = open.result.transaction("drafts").objectStore("drafts").getAll();
			drafts.onsuccess = () => { open.result.close(); yes(drafts.result.filter(d => d.kind === "` + kind + `").flatMap(d => d.course.pieces.flat()).length); };
		};
	})`
}

// The screen's lock may be had or refused; the officer is told when the screen may sleep.
func TestScreenMaySleep(t *testing.T) {
	t.Parallel()
	for name, refuse := range map[string]bool{"granted": false, "refused": true} {
		t.Run(name, func(t *testing.T) {
			p := phone.New(t, phone.NewOffice(t), phone.Durable())
			answer := `Object.assign(new EventTarget(), {released: false, release() { this.released = true; return Promise.resolve(); }})`
			if refuse {
				answer = `Promise.reject(new DOMException("no", "NotAllowedError"))`
			}
			p.BeforeScripts(`Object.defineProperty(navigator, "wakeLock", {value: {request: () => { globalThis.asked = (globalThis.asked ?? 0) + 1; return Promise.resolve(` + answer + `); }}})`)
			p.Enrol(property, p.Office.Invite(property, "R. Field"), start)
			p.Go("#/line/rip-line/line")
			p.Tap("Walk")
			walk(p, 0, off(0, 0))
			if refuse {
				p.WaitText("The screen may sleep")
			} else if strings.Contains(p.Text(), "may sleep") {
				t.Error("the page says that the screen may sleep although the lock was given")
			}
			before := phone.Eval[int](p.Page, "asked")
			p.Hide(true)
			p.Hide(false)
			if !refuse {
				return // a lock that was not released is not asked for again
			}
			p.WaitFor("asked > " + strconv.Itoa(before))
		})
	}
}
