package book

import (
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// typeIn puts text into the n-th box of the spacing table, counted along its rows.
func typeIn(p *phone.Phone, n int, text string) {
	phone.Eval[bool](p.Page, `(e => (e.scrollIntoView({block: "center"}), e.focus(), e.select(), true))(document.querySelectorAll(".spacings input")[`+string(rune('0'+n))+`])`)
	press(p, text)
}

// The officer's own table, typed on the phone: what is wrong with a row is told at the row,
// and the spacing advised is the row's own. On a fall of 5 % the row "up to 6" holds.
func TestLocalTable(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	setUp(p)
	p.Tap("Peg out")
	p.Tap("Whoa-boys down a track")
	p.Tap("Local table")
	p.WaitText("The local table has no row yet.")
	p.CheckFit("whoa-boys without rows")
	p.Screenshot("whoa-boys-no-rows")
	p.Tap("Rows of the local table")
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
	p.WaitText("The 2 rows hold up to a fall of 6 %")
	p.CheckFit("local table")
	p.Screenshot("local-table")
	p.Tap("Done")
	p.WaitHeading("Whoa-boys")
	key(p, "0.5")
	enter(p)
	p.WaitSaid("Top of the slope booked at 101.342")
	key(p, "1.5")
	p.Tap("Taped down the track from there")
	key(p, "20") // a metre in 20: 5 %
	guided(p, "Go 13 m down the track")
	p.WaitText("The track falls 5.0 %: banks at most 33 m apart by the local table (Shire office, sheet 4).")
	p.CheckFit("whoa-boys by the local table")
	p.Screenshot("whoa-boys-local")
	clear(p)
	key(p, "10") // a metre in 10: steeper than the table
	p.WaitText("The track falls by 10 %")
	p.WaitText("local ends at 6 %")
	if got := text(p, ".guide"); got != "" {
		t.Errorf("on a fall that the table does not have the page advises %q", got)
	}
	p.Open("/field/?anew#/peg/local-table") // it is the property's, and outlives the page
	p.WaitHeading("Local table")
	p.WaitText("The 2 rows hold up to a fall of 6 %")
	if got := phone.Eval[[]string](p.Page, `[...document.querySelectorAll(".spacings input")].map(e => e.value)`); strings.Join(got, " ") != "4 60 6,0 33" {
		t.Errorf("the table came back as %q, want what was typed", got)
	}
}
