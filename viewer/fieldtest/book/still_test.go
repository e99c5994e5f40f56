package book

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"

	"headcut/viewer/fieldtest/phone"
)

const dam = "0199a000-0000-7000-8000-000000000005"

// stillWhile opens a screen in a fresh page and fails for each control that moves while
// late things come. It gives what the screen showed on its first frame.
func stillWhile(t *testing.T, p *phone.Phone, route, heading string, come func()) (first string) {
	t.Helper()
	p.WatchFrom(heading)
	p.Open("/field/?again" + route) // another document, so that the computations load again
	p.WaitHeading(heading)
	come()
	return p.WantStill()
}

// What was begun and not saved is told on the first screen from the first picture on which
// there is anything to press in it: what is said of it pushes nothing down.
func TestUnfinishedWorkMovesNothingOnTheFirstScreen(t *testing.T) {
	t.Parallel()
	for _, c := range phone.Hands {
		t.Run(c.Name, func(t *testing.T) {
			_, entries := misread(t)
			p := enrolled(t, entries, phone.Size(c.Width, c.Height))
			p.Go("#/mark")
			p.WaitFor(`document.querySelector(".place b") !== null`)
			p.Tap("Peg")
			p.WaitSaid("Peg saved")
			p.Go("#/level/" + levelRun)
			p.WaitText("Page (5)")
			takeUp(p, 4)
			kept(p)
			p.Go("#/line/rip-line/line")
			p.At(here)
			p.Tap("Add where I stand")
			p.At(here) // where the fix was old by the time of the tap
			p.WaitSaid("1 point")
			peg := phone.Eval[string](p.Page, `(location.hash = "#/", new Promise(yes => setTimeout(function look() {
				const link = document.querySelector(".list a");
				if (link) yes(link.hash.split("/").pop()); else setTimeout(look, 30);
			})))`)
			p.Go("#/photo/" + peg)
			p.Do(phone.Command(page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true}))
			p.Tap("Take photo")
			p.WaitFor(`document.querySelector("input[type=file]") !== null`)
			p.Restart() // the phone needs its memory for the camera
			p.At(here)
			if c.Big {
				p.BigText()
			}
			stillWhile(t, p, "#/", property, func() {
				p.WaitText("Today: 1 entry")
				for _, unfinished := range []string{
					"You were writing row 4 of the level book North loop again.",
					"A rip line of 1 point is not saved yet.",
					"The photo of Peg did not come back from the camera",
				} {
					p.WaitText(unfinished)
				}
				p.WaitText("±4 m")
			})
			p.CheckFit("unfinished work")
			p.Screenshot(c.Name + "-unfinished")
		})
	}
}

// The figures and checks of a thing come seconds after its screen, and a position when it
// likes: nothing that can be pressed makes room for them.
func TestLateFiguresMoveNoControl(t *testing.T) {
	t.Parallel()
	planted := append(land(t), planted(t, dam, map[string]any{
		"kind": "check-dam", "name": "Dam 9", "status": "built", "crestHeightM": 0.5, "crestHeightBasis": "taped", "builtOn": "2026-10-01", "observedOn": "2026-10-01",
		"geometry": map[string]any{"type": "Point", "coordinates": [2]float64{146.5004, -20.2491}},
	})[0])
	planted[len(planted)-1].DeviceSeq = uint64(len(planted))
	for _, c := range phone.Hands {
		t.Run(c.Name, func(t *testing.T) {
			p := enrolled(t, planted, phone.Size(c.Width, c.Height))
			if c.Big {
				p.BigText()
			}
			first := stillWhile(t, p, "#/thing/"+dam, "Dam 9", func() {
				p.WaitText("Not levelled: see below")
				p.At(phone.Fix{Lon: here.Lon, Lat: here.Lat, AccuracyM: 12})
				p.WaitText("±12 m")
			})
			for _, late := range []string{"0.50 ±", "±12 m"} {
				if strings.Contains(first, late) {
					t.Fatalf("%q was there on the first frame, so nothing came late:\n%s", late, first)
				}
			}
			p.WaitText("0.50 ± 0.05 m by tape")
			p.CheckFit("thing")
			p.Screenshot(c.Name + "-thing")
		})
	}
}

// What can be visited is listed nearest first, and stays where it is as the officer walks.
func TestWalkingMovesNothingInTheListOfVisits(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	var names string
	order := `[...document.querySelectorAll(".nearlist .list .name")].map(e => e.innerText).join(", ")`
	stillWhile(t, p, "#/visit", "Visit", func() {
		p.WaitText("items, nearest first")
		if p.Has("Nearest first") {
			t.Error("a list that is ordered by what is nearest offers to be")
		}
		names = phone.Eval[string](p.Page, order)
		p.At(phone.Fix{Lon: 146.5, Lat: -20.252, AccuracyM: 5}) // where the track begins
		p.WaitText("here")
		p.At(phone.Fix{Lon: 146.5, Lat: -20.2502, AccuracyM: 5}) // at the gate post
		p.WaitFor(`[...document.querySelectorAll(".nearlist .list li")].some(e => e.innerText.includes("Gate post") && e.innerText.includes("here"))`)
		if now := phone.Eval[string](p.Page, order); now != names {
			t.Errorf("after a walk the list is %s, want it as it was: %s", now, names)
		}
	})
	p.WaitText("You have moved.")
	p.Screenshot("visits")
	p.Tap("Nearest first")
	p.WaitFor(order + `.startsWith("Gate post")`)
	p.CheckFit("visits")
}
