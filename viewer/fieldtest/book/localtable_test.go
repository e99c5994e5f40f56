package book

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/viewer/fieldtest/phone"
)

// typeIn puts text into the n-th box of the spacing table, counted along its rows.
func typeIn(p *phone.Phone, n int, text string) {
	phone.Eval[bool](p.Page, `(e => (e.scrollIntoView({block: "center"}), e.focus(), e.select(), true))(document.querySelectorAll(".spacings input")[`+string(rune('0'+n))+`])`)
	press(p, text)
}

// chooseTable chooses a published table for the property.
func chooseTable(p *phone.Phone, name, soil string) {
	p.Go("#/peg/spacing")
	p.WaitHeading("Spacing table")
	p.Tap(name)
	if soil != "" {
		p.Tap(soil)
	}
	p.Tap("Save for the property")
	p.WaitSaid("Spacing table saved")
}

// settingsAtOffice are the property's settings as the office has them, once they have a
// table of this name.
func settingsAtOffice(t *testing.T, p *phone.Phone, table string) map[string]any {
	t.Helper()
	id := model.SettingsID(p.Office.Property(property).ID)
	deadline := time.Now().Add(phone.Patience)
	for {
		fields := fieldsAtOffice(p, id)
		if fields["whoaBoyTable"] == table {
			return fields
		}
		if time.Now().After(deadline) {
			t.Fatalf("the office has the settings %v, want the table %s", fields, table)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// No table is chosen beforehand. One that is chosen on a phone belongs to the property: it
// reaches the office and every other phone, and is no item on any of them.
func TestSpacingTableBelongsToTheProperty(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t), phone.Size(390, 844))
	pegOut(p, "Whoa-boys down a track")
	p.WaitText("No spacing table chosen")
	key(p, "0.5")
	enter(p)
	p.WaitSaid("Top of the slope booked at 101.342")
	key(p, "1.5")
	p.Tap("Taped from the top")
	key(p, "20")
	p.WaitText("No spacing table is chosen for this property yet")
	wantSeen(t, p, `a[href="#/peg/spacing"]`) // and not behind the pad
	p.CheckFit("whoa-boys with no table")
	p.Screenshot("whoa-boys-no-table-390")
	p.Tap("Choose the spacing table")
	p.WaitHeading("Spacing table")
	if n := phone.Eval[int](p.Page, `document.querySelectorAll(".tables [aria-pressed=true]").length`); n != 0 {
		t.Errorf("%d tables are chosen beforehand, want none", n)
	}
	p.CheckFit("spacing tables")
	p.Screenshot("spacing-tables-390")
	p.Tap("Whoa-boys, two soils, Packer 1967")
	p.Tap("highly erodible")
	p.Screenshot("spacing-tables-picked-390")
	p.Tap("Save for the property")
	p.WaitHeading("Whoa-boys")
	p.WaitText("Whoa-boys, two soils, highly erodible")
	p.WaitText("The track falls 5.0 %")
	fields := settingsAtOffice(t, p, "water-bars-two-soils")
	if fields["whoaBoySoil"] != "highly erodible" || fields["kind"] != model.SettingsKind {
		t.Errorf("the office has the settings %v", fields)
	}
	p.Go("#/")
	p.WaitHeading(property)
	if strings.Contains(p.Text(), "Settings") {
		t.Errorf("the settings stand among what was recorded today:\n%s", p.Text())
	}

	second := withCode(t, p.Office, p.Office.Invite(property, "S. Field"), phone.Size(320, 640))
	second.Go("#/peg/spacing")
	second.WaitHeading("Spacing table")
	second.WaitFor(`document.querySelector(".tables [aria-pressed=true]")?.innerText.includes("Whoa-boys, two soils") === true`)
	second.CheckFit("spacing tables on the second phone")
	second.Screenshot("spacing-tables-320")
}

// The local table, entered on one phone: what is wrong with a row is told at the row, the
// spacing advised is the row's own (on a fall of 5 % the row "up to 6" holds), and once it
// is saved it is the property's, on every phone.
func TestLocalTable(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	p.Go("#/peg/spacing")
	p.WaitHeading("Spacing table")
	p.Tap("The local table, your own, for this property")
	p.WaitText("This property has no local table yet.")
	p.Tap("Enter the local table")
	p.WaitHeading("Local table")
	p.WaitText("Row 1")
	typeIn(p, 0, "4")
	typeIn(p, 1, "30")
	p.WaitText("The row covers grades up to 4 %")
	p.Tap("Another row")
	typeIn(p, 2, "6,0")
	typeIn(p, 3, "33")
	p.WaitText("33 m on the steeper grade is more than 30 m on the gentler: were two rows swapped?")
	if at := text(p, ".spacings:nth-of-type(2) .wrong"); !strings.HasPrefix(at, "33 m on the steeper") {
		t.Errorf("the second row says %q, want what is wrong with it", at)
	}
	p.CheckFit("local table with a wrong row")
	p.Screenshot("local-table-wrong")
	typeIn(p, 3, "x")
	p.WaitText(`"x" is not a number`)
	typeIn(p, 1, "60")
	typeIn(p, 3, "33")
	p.Type("Who the table comes from", "Shire office, sheet 4")
	p.WaitText("The 2 rows cover grades up to 6 %")
	p.WaitText("On this phone only until it is saved for the property.")
	p.CheckFit("local table")
	p.Screenshot("local-table")
	// A table that was left on the phone is offered for the property, and not lost.
	p.Open("/field/?again#/peg/spacing")
	p.WaitHeading("Spacing table")
	p.WaitText("A local table was entered on this phone and is not saved for the property yet.")
	p.CheckFit("table on one phone only")
	p.Screenshot("local-table-offered")
	p.Tap("Check it and save it")
	p.WaitHeading("Local table")
	p.WaitText("The 2 rows cover grades up to 6 %")
	if got := phone.Eval[[]string](p.Page, `[...document.querySelectorAll(".spacings input")].map(e => e.value)`); strings.Join(got, " ") != "4 60 6,0 33" {
		t.Errorf("the table came back as %q, want what was typed", got)
	}
	p.Tap("Save for the property")
	p.WaitSaid("Local table saved")
	fields := settingsAtOffice(t, p, "local")
	if fields["whoaBoySource"] != "Shire office, sheet 4" || fmt.Sprint(fields["whoaBoyRows"]) != "[map[spacingM:60 upToPct:4] map[spacingM:33 upToPct:6]]" {
		t.Errorf("the office has the settings %v, want the rows and who they come from", fields)
	}

	second := withCode(t, p.Office, p.Office.Invite(property, "S. Field"))
	setUp(second)
	second.Tap("Peg out")
	second.Tap("Whoa-boys down a track")
	key(second, "0.5")
	enter(second)
	second.WaitSaid("Top of the slope booked at 101.342")
	key(second, "1.5")
	second.Tap("Taped from the top")
	key(second, "20") // a metre in 20: 5 %
	guided(second, "Go 13 m down the track")
	second.WaitText("The track falls 5.0 %: whoa-boys at most 33 m apart by the local table (Shire office, sheet 4).")
	second.CheckFit("whoa-boys by the local table")
	second.Screenshot("whoa-boys-local")
	clear(second)
	key(second, "10") // a metre in 10: steeper than the table
	second.WaitText("The track falls by 10 %")
	second.WaitText("local ends at 6 %")
	if got := text(second, ".guide"); got != "Level here 100.342" {
		t.Errorf("on a fall that the table does not have the page advises %q", got)
	}
}
