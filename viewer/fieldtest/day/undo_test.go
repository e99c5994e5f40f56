package day

import (
	"fmt"
	"regexp"
	"strconv"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// Undo undoes the save that it stands beside: the details of an item and not the item, an
// edit and not what was there before. What is listed as of today, not sent yet and on the
// phone are the same entries.
func TestUndoUndoesWhatItStandsBeside(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	before, _, _ := counts(p)
	p.Office.Stop()
	p.Tap("Mark")
	p.At(here)
	p.WaitFor(placed)
	p.Tap("Peg")
	p.WaitSaid("Peg saved")
	p.TapSelector("summary")
	p.Type("Name", "Toe 7")
	p.Tap("Save")
	p.WaitHeading("Stony Block")
	p.WaitText("Toe 7")
	p.Screenshot("today")
	p.CheckFit("today")
	onPhone, unsent, today := counts(p)
	if today == 0 || today != unsent || today != onPhone-before {
		t.Errorf("today has %d entries, %d are not sent yet, and %d came to the phone", today, unsent, onPhone-before)
	}
	p.TapSelector("#said ~ button") // beside the words of the last save
	p.WaitSaid("Undone")
	p.WaitGone("Toe 7")
	if struck := phone.Eval[int](p.Page, `document.querySelectorAll(".list .struck").length`); struck != 0 {
		t.Errorf("undoing the details struck out %d items", struck)
	}
	p.WaitText(fmt.Sprintf("Today: %d entries", today+1))
	if onPhone, unsent, today := counts(p); today != unsent || today != onPhone-before {
		t.Errorf("after undo today has %d entries, %d are not sent yet, and %d came to the phone", today, unsent, onPhone-before)
	}
}

// counts are the entries on the phone, those not sent yet, and those of today's list.
func counts(p *phone.Phone) (onPhone, unsent, today int) {
	p.WaitFor(`/\d+ entr(y|ies) on phone/.test(document.body.innerText.replace(/\s+/g, " "))`)
	text := regexp.MustCompile(`\s+`).ReplaceAllString(p.Text(), " ")
	number := func(pattern string) int {
		found := regexp.MustCompile(pattern).FindStringSubmatch(text)
		if found == nil {
			return 0
		}
		n, err := strconv.Atoi(found[1])
		if err != nil {
			panic(fmt.Sprintf("%q: %v", found[1], err))
		}
		return n
	}
	return number(`(\d+) entr(?:y|ies) on phone`), number(`(\d+) not sent yet`), number(`Today: (\d+) entr`)
}
