package day

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"headcut/sync/register"
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

// Undo of a new mark closes its form: what she would add to it would go to an item that is
// struck out, with no word about it.
func TestUndoOfANewMarkClosesItsForm(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	p.Tap("Mark")
	p.At(here)
	p.WaitFor(placed)
	p.Tap("Gate")
	p.WaitSaid("Gate saved")
	p.TapSelector("summary")
	p.Type("Name", "Ghost gate")
	p.TapSelector("#said ~ button")
	p.WaitSaid("Undone")
	p.WaitHeading("Stony Block")
	p.WaitText("added, struck out")
	p.Screenshot("undone-mark")
	if strings.Contains(p.Text(), "Ghost gate") {
		t.Errorf("what was typed into the form is still offered: %s", p.Text())
	}
	gates := held(p)
	if len(gates) != 1 || gates[0]["struck"] != true {
		t.Errorf("the phone has %v, want one gate that is struck out", gates)
	}
}

// A form that is open on an item which another phone strikes out says so, and restores it
// with what it saves; so does the form of an edit. Going back leaves it struck out, and says so.
func TestFormOfAnItemStruckOutElsewhere(t *testing.T) {
	t.Parallel()
	p := enrolled(t)
	struckTimes := uint64(0)
	strike := func(id string) {
		struckTimes++
		struck := true
		property := p.Office.Property("Stony Block").ID
		p.Office.Plant("Stony Block", register.Entry{
			Version: register.Version, ID: register.ID(fmt.Sprintf("0198c0de-0000-7000-8000-00000000da7%d", struckTimes)), Property: property, Feature: id, Device: "desk",
			DeviceSeq: struckTimes, Stamp: register.StampAt(time.Now().Add(time.Duration(struckTimes) * time.Minute)), SeenAt: time.Now().Format(time.RFC3339), Author: "A. Desk", Strike: &struck,
		})
	}
	p.Tap("Mark")
	p.At(here)
	p.WaitFor(placed)
	p.Tap("Gate")
	p.WaitSaid("Gate saved")
	p.TapSelector("summary")
	p.Type("Name", "Ghost gate")
	strike(held(p)[0]["id"].(string))
	p.WaitText("struck out while the form was open")
	p.CheckFit("the form of a struck item")
	p.Screenshot("struck-form")
	p.Tap("Restore and save")
	p.WaitHeading("Stony Block")
	p.WaitSaid("Gate: restored, details saved")
	if gate := held(p)[0]; gate["struck"] != false || gate["fields"].(map[string]any)["name"] != "Ghost gate" {
		t.Errorf("the phone has %v, want the gate restored with its name", gate)
	}
	p.Go("#/thing/" + held(p)[0]["id"].(string) + "/edit")
	p.Type("Name", "North gate")
	strike(held(p)[0]["id"].(string))
	p.WaitText("struck out while the form was open")
	p.Tap("Back")
	p.WaitSaid("Ghost gate edited, still struck out")
	if gate := held(p)[0]; gate["struck"] != true || gate["fields"].(map[string]any)["name"] != "North gate" {
		t.Errorf("the phone has %v, want the gate struck out, with the name that was typed", gate)
	}
}
