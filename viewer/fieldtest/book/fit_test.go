package book

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// Every screen of the level book and of pegging, as an eye and a gloved thumb meet it.
func TestScreensFitTheHand(t *testing.T) {
	t.Parallel()
	for _, c := range phone.Hands {
		t.Run(c.Name, func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(c.Width, c.Height))
			if c.Big {
				p.BigText()
			}
			look := func(name string) {
				t.Helper()
				kept(p)
				p.CheckFit(name)
				p.Screenshot(c.Name + "-" + name)
			}
			p.Go("#/level")
			p.WaitHeading("Level")
			p.CheckFit("books")
			p.Screenshot(c.Name + "-books")
			p.Tap("New level book")
			p.WaitText("First a backsight")
			look("first")
			p.Tap("Staff on nothing marked")
			p.CheckFit("stand")
			p.Screenshot(c.Name + "-stand")
			p.Tap("Gate post, mark")
			bookReading(p, "1.842")
			for _, r := range []struct{ up, read string }{{"0", "1.655"}, {"10", "1.31"}, {"20", "0.902"}, {"30", "0.61"}} {
				if r.up == "0" {
					staffOn(p, "Main gully, bed")
				}
				if r.up == "0" || r.up == "10" { // the pace is known after two
					key(p, r.read)
					enter(p)
					bookReading(p, r.up)
					continue
				}
				bookReading(p, r.read)
				enter(p) // the chainage is proposed: a second press takes it
			}
			key(p, "1.435")
			p.WaitText("fall")
			look("sight")
			p.Tap("Section")
			p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
			look("section")
			p.Tap("Write")
			p.Tap("Foresight")
			enter(p)
			p.WaitText("Move the level")
			look("turning")
			p.Tap("This is Gate post, 100.000")
			p.Tap("Page (6)")
			phone.Eval[bool](p.Page, `(document.querySelector(".bookrow").click(), true)`)
			p.WaitText("Strike out and write again")
			look("page")
			// A reading has the width of its row, whatever stands at the right of it.
			if narrow := phone.Eval[int](p.Page, `[...document.querySelectorAll(".bookrow")].filter(r => r.querySelector(".cells").parentElement.getBoundingClientRect().width < .7 * r.getBoundingClientRect().width).length`); narrow > 0 {
				t.Errorf("the readings of %d rows have less than most of the width of their row", narrow)
			}
		})
	}
}

// Pegging at the smallest size and with large text; TestNextDamToe and its neighbours look at
// the usual one.
func TestPeggingFitsTheHand(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name          string
		width, height int64
		big           bool
	}{{"smallest", 320, 640, false}, {"big-text", 412, 800, true}} {
		t.Run(c.name, func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(c.width, c.height))
			if c.big {
				p.BigText()
			}
			setUp(p)
			p.Tap("Peg out")
			book := openBook(p)
			p.WaitHeading("Peg out")
			p.CheckFit("tasks")
			p.Screenshot(c.name + "-tasks")
			p.Tap("Check dams, toe by toe")
			bookReading(p, "1.835")
			p.WaitText("Staff 1.435")
			key(p, "1.62")
			guided(p, "Go up 0.19 m")
			p.CheckFit("dams")
			p.TapSelector(".numberbox.large input")
			p.Screenshot(c.name + "-dams")
			p.Go("#/") // so that each opens from the start
			for task, heading := range map[string]string{"dams": "Next dam toe", "contour": "Contour pegs", "whoa-boys": "Whoa-boys"} {
				p.Go("#/peg/" + task + "/" + book)
				p.WaitHeading(heading)
				p.WaitFor(`document.querySelector(".padbar") !== null`)
				dangersNamed(t, p, task)
				p.CheckFit(task)
				p.Screenshot(c.name + "-" + task + "-opened")
			}
			p.Go("#/peg/local-table")
			p.WaitText("Row 1")
			p.CheckFit("local table")
			p.Screenshot(c.name + "-local-table")
		})
	}
}

// dangersNamed checks that what is dangerous on the ground is named where a set-out opens, without
// scrolling, and in full behind a press of it.
func dangersNamed(t *testing.T, p *phone.Phone, task string) {
	t.Helper()
	glance := text(p, ".mind summary")
	// Its first line at the least: with large text its last may lie under what was said last.
	p.Screenshot("dangers-" + task)
	if !phone.Eval[bool](p.Page, `(() => { const line = document.querySelector(".mind summary span")?.getClientRects()[0], first = parseFloat(getComputedStyle(document.querySelector(".mind summary")).lineHeight);
		return line.top >= 0 && line.top + first <= document.querySelector(".strip").getBoundingClientRect().top; })()`) {
		t.Errorf("%s: the line that names the dangers is out of sight when the screen opens", task)
	}
	phone.Eval[bool](p.Page, `(document.querySelector(".mind summary").click(), true)`)
	p.WaitFor(`document.querySelector(".mind").open && document.querySelector(".pad").offsetHeight === 0`)
	full := text(p, ".dangers")
	p.Screenshot("dangers-" + task)
	phone.Eval[bool](p.Page, `(document.querySelector(".mind summary").click(), true)`)
	p.WaitFor(`!document.querySelector(".mind").open && document.querySelector(".pad")?.offsetHeight > 0`)
	if glance == "" {
		t.Errorf("%s: no line at the top names the dangers", task)
		return
	}
	for _, danger := range []string{"walls", "services", "heritage", "permits"} {
		if !strings.Contains(glance, danger) {
			t.Errorf("%s: the line at the top says %q, want %s in it", task, glance, danger)
		}
		if !strings.Contains(strings.ToLower(full), danger+":") {
			t.Errorf("%s: nothing is said of %s in %q", task, danger, full)
		}
	}
}

// What a peg saves, what was read and which way to go stand in sight together, on the phones
// that officers carry, while a reading is keyed.
func TestWhatAPegSavesIsInSight(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name          string
		width, height int64
	}{{"usual", 390, 844}, {"smallest", 320, 640}, {"desk", 1280, 800}} {
		t.Run(c.name, func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(c.width, c.height))
			setUp(p)
			p.Tap("Peg out")
			book := openBook(p)
			seen := func(task, saves string) {
				t.Helper()
				p.WaitFor(`document.querySelector(".saves")?.innerText.includes(` + strconv.Quote(saves) + `)`)
				p.CheckFit(task)
				p.Screenshot(c.name + "-" + task)
				for _, part := range []string{".saves", ".guide, .padbar a.button", ".numberbox.active", ".numberbox.large", ".pad .enter"} {
					if !whole(p, part) {
						t.Errorf("%s: %s is not wholly in sight", task, part)
					}
				}
			}
			p.Go("#/peg/dams/" + book)
			p.WaitHeading("Next dam toe")
			p.At(here)
			p.WaitText("Position ±4 m")
			key(p, "1.835")
			seen("dam-first", "Peg saves Dam 1 as pegged today, toe 100.007")
			enter(p)
			p.WaitSaid("Dam 1 pegged")
			p.At(here)
			p.WaitText("Staff 1.435")
			key(p, "1.62")
			guided(p, "Go up 0.19 m")
			seen("dam-next", "Peg saves Dam 2 as pegged today, toe 100.222, crest to build to 100.622")
			p.Go("#/")
			p.Go("#/peg/contour/" + book)
			p.WaitHeading("Contour pegs")
			key(p, "1.25")
			seen("contour", "Peg saves peg 1, level 100.592, at 0 m of the line, and Rip line 1 as pegged today")
			p.Go("#/")
			p.Go("#/peg/whoa-boys/" + book)
			p.WaitHeading("Whoa-boys")
			key(p, "0.5")
			seen("top", "Top saves the top of the slope, level 101.342")
			enter(p)
			p.WaitSaid("Top of the slope booked")
			key(p, "1.5")
			p.TapSelector(`.boxes .numberbox:last-child input`)
			key(p, "20")
			seen("whoa-boys", "Peg saves Whoa-boy 1 as pegged today, level 100.342")
		})
	}
}

// wantNothingBehindPad checks that what stands above a pad that has no room beside it does so in full, and is
// there when it is scrolled to; then the pad is scrolled to.
func wantNothingBehindPad(t *testing.T, p *phone.Phone, when string) {
	t.Helper()
	for _, above := range []string{".mind > summary", ".sheet > .picked", ".asked .picked"} {
		if !phone.Eval[bool](p.Page, fmt.Sprintf(`document.querySelector(%q) !== null`, above)) {
			continue
		}
		if why := phone.Eval[string](p.Page, fmt.Sprintf(`(() => {
			const e = document.querySelector(%q), pad = document.querySelector(".padbar"), words = e.innerText.slice(0, 40);
			const top = e.getBoundingClientRect().bottom - pad.getBoundingClientRect().top;
			if (top > .5) return words + " lies " + top + " px under the pad";
			e.scrollIntoView({block: "nearest"});
			return "";
		})()`, above)); why != "" {
			t.Errorf("%s: %s", when, why)
		} else if !whole(p, above) {
			t.Errorf("%s: %s is not wholly in sight when it is scrolled to", when, above)
		}
	}
	phone.Eval[bool](p.Page, `(document.querySelector(".padbar").scrollIntoView({block: "end"}), true)`)
}

// whole tells whether an element is wholly in sight, under no other part: its corners are what
// a tap there would meet.
func whole(p *phone.Phone, selector string) bool {
	return phone.Eval[bool](p.Page, fmt.Sprintf(`(() => {
		const e = document.querySelector(%q), r = e.getBoundingClientRect();
		return [[r.left + 6, r.top + 6], [r.right - 6, r.bottom - 6]].every(([x, y]) => { const met = document.elementFromPoint(x, y); return met && (e.contains(met) || met.contains(e)); });
	})()`, selector))
}
