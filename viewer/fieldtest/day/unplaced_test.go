package day

import (
	"fmt"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// An item that was saved without a position is flagged in today's list, and what gives it one
// stands beside it.
func TestItemWithoutAPositionIsFlagged(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.NoFix()
	p.Reload() // a fix of a moment ago counts
	p.WaitHeading("Stony Block")
	p.Tap("Mark")
	p.WaitText("No position")
	p.Tap("Gully head")
	p.WaitSaid("Gully head saved, without a position yet")
	p.Tap("Save")
	p.WaitHeading("Stony Block")
	p.WaitText("no position yet")
	p.CheckFit("an item without a position")
	p.Screenshot("today-unplaced")
	p.Tap("Set position of Gully head")
	p.WaitHeading("Edit gully head")
	p.At(here)
	p.WaitFor(`[...document.querySelectorAll("button")].some((b) => b.innerText === "It is where I stand" && !b.disabled)`)
	p.Screenshot("set-position")
	p.Tap("It is where I stand")
	p.WaitSaid("Position saved")
	p.Go("#/")
	p.WaitText("edited: position")
	if p.Has("Set position of Gully head") {
		t.Error("an item that has a position is still asked for one")
	}
}

// Today's list has room: on a usual phone for five saves, on the smallest for two, above the
// buttons, with the picture of the property over it.
func TestTodayHasRoom(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		width, height int64
		rows          int
	}{{390, 844, 5}, {320, 640, 2}} {
		t.Run(fmt.Sprint(c.width), func(t *testing.T) {
			p := enrolled(t, phone.Size(c.width, c.height))
			for range 6 {
				p.At(here)
				p.Go("#/mark/peg")
				p.WaitFor(placed)
				p.Tap("Mark it here")
				p.WaitSaid("Peg saved")
				p.Go("#/")
				p.WaitHeading("Stony Block")
			}
			p.WaitText("Today: 6 entries")
			seen := phone.Eval[int](p.Page, `(() => { const foot = document.querySelector(".doings").getBoundingClientRect().top;
				return [...document.querySelectorAll(".list li")].filter((li) => li.getBoundingClientRect().bottom <= foot).length; })()`)
			if seen < c.rows {
				t.Errorf("%d saves are in sight above the buttons, want %d", seen, c.rows)
			}
			p.CheckFit("today")
			p.Screenshot(fmt.Sprintf("today-%d", c.width))
		})
	}
}

// On the page of an item that the server has, an edit that waits is told as an edit; an item
// that waits itself is told so.
func TestEditNotSentIsToldOnTheItemsPage(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Tap("Mark")
	p.WaitFor(placed)
	p.Tap("Peg")
	p.WaitSaid("Peg saved")
	p.Tap("Save")
	p.WaitHeading("Stony Block")
	p.WaitText("0 not sent yet")
	p.Office.Kill()
	p.TapSelector(".list a")
	p.WaitHeading("Peg")
	const under = `(document.querySelector(".kindline")?.innerText ?? "")`
	p.WaitFor(`!` + under + `.includes("not sent")`)
	edit := func(name, told string) {
		t.Helper()
		p.Tap("Edit")
		p.WaitFor(`location.hash.endsWith("/edit")`)
		p.TapSelector("summary")
		p.Type("Name", name)
		p.Tap("Save")
		p.WaitFor(under + `.includes(` + fmt.Sprintf("%q", told) + `)`)
	}
	edit("Toe", ", 1 edit not sent yet")
	edit("Toe 8", ", 2 edits not sent yet")
	p.Screenshot("edit-not-sent")
	p.Office.Start()
	p.Go("#/status")
	p.Tap("Send now")
	p.WaitText("0 not sent yet")
	p.Office.Kill()
	p.Go("#/")
	p.Go("#/mark/benchmark")
	p.At(here)
	p.WaitFor(placed)
	p.Tap("Mark it here")
	p.WaitSaid("Benchmark saved")
	p.Tap("Save")
	p.WaitHeading("Stony Block")
	p.TapSelector(".list a")
	p.WaitFor(under + `.endsWith(", not sent yet")`)
}
