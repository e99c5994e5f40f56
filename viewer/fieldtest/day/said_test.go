package day

import (
	"math"
	"slices"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// shown is how long the page shows words.
const shown = 30 * time.Second

// The words for what was saved come unasked, and go after half a minute, while the officer
// presses something else: no control makes room for them or moves into theirs.
func TestSavedWordsMoveNothing(t *testing.T) {
	t.Parallel()
	for _, c := range append(slices.Clip(phone.Hands), phone.Hand{Name: "smallest-big-text", Width: 320, Height: 640, Big: true}) {
		t.Run(c.Name, func(t *testing.T) {
			t.Parallel()
			p := enrolled(t, phone.Size(c.Width, c.Height))
			if c.Big {
				p.BigText()
			}
			p.Go("#/status")
			p.WaitHeading("Sync status")
			p.WaitText("the browser only guesses")
			p.WaitText("Everything recorded here is sent")
			top := stripTop(p)
			still := func(when string) {
				t.Helper()
				p.CheckFit(when)
				if now := stripTop(p); math.Abs(now-top) > 0.5 {
					t.Errorf("%s: the strip begins at %.0f px, and at %.0f without words", when, now, top)
				}
			}
			p.Go("#/mark")
			p.WaitFor(placed)
			still("no words yet")
			p.Tap("Peg")
			p.WaitSaid("Peg saved")
			p.WaitHeading("Peg")
			still("saved, with a way to undo it")
			p.Screenshot(c.Name + "-said")
			p.Tap("Undo")
			p.WaitSaid("Undone")
			still("taken back")

			p.Go("#/status")
			p.WaitHeading("Sync status")
			p.WaitText("Check for a newer version")
			p.WatchNow()
			phone.Eval[bool](p.Page, `([...document.querySelectorAll("button")].find(b => b.innerText === "Check for a newer version").click(), true)`)
			p.WaitSaid("Checking for a newer version")
			still("words alone")
			wantSilent(t, p)
			still("words gone")
			p.Screenshot(c.Name + "-silent")
			p.WantStill()
		})
	}
}

// Words too long for their place take more of it, and leave that to the screen when they go.
func TestLongWordsLeaveTheirRoom(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.Size(320, 640))
	p.Tap("Mark")
	p.WaitFor(placed)
	p.Tap("Peg")
	p.WaitSaid("Peg saved")
	p.TapSelector("summary")
	p.Type("Name", "Peg at the big red gum below the second fence of the lower flat, the old one")
	p.Tap("Save")
	p.WaitHeading("Stony Block")
	top := stripTop(p)
	p.TapSelector(".list a")
	p.Tap("Strike out")
	p.WaitSaid("the old one struck out")
	p.WaitText("This is struck out")
	if stripTop(p) >= top {
		t.Fatal("the words have room enough: they are not long")
	}
	p.WatchNow()
	wantSilent(t, p)
	p.WaitGone("the old one struck out")
	p.WantStill()
	p.CheckFit("long words gone")
	p.Tap("Back")
	p.WaitHeading("Stony Block")
	if now := stripTop(p); now != top {
		t.Errorf("on the next screen the strip begins at %.0f px, want %.0f", now, top)
	}
}

// wantSilent waits until the words are gone, which nobody takes away.
func wantSilent(t *testing.T, p *phone.Phone) {
	t.Helper()
	if !p.Comes(`document.getElementById("said").innerText.trim() === ""`, shown+phone.Patience) {
		t.Fatalf("the page says %q for ever", p.Said())
	}
}

func stripTop(p *phone.Phone) float64 {
	return phone.Eval[float64](p.Page, `document.querySelector(".strip").getBoundingClientRect().top`)
}
