package book

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/viewer/fieldtest/phone"
)

// setUp is a book with the level set up: a line of sight at 101.842.
func setUp(p *phone.Phone) {
	newBook(p)
	bookReading(p, "1.842")
	bookReading(p, "100")
	p.WaitText("sight 101.842")
}

// guided waits for what the page tells to do, and returns its state: up, down or hold.
func guided(p *phone.Phone, words string) string {
	p.WaitFor(fmt.Sprintf(`document.querySelector(".go")?.innerText.trim() === %q`, words))
	return phone.Eval[string](p.Page, `document.querySelector(".guide").dataset.guide`)
}

func clear(p *phone.Phone) {
	for range 6 {
		p.TapSelector(".pad .rub")
	}
}

// rowsAtOffice are the rows of the one level run as the office has them.
func rowsAtOffice(t *testing.T, p *phone.Phone) []model.LevelRow {
	t.Helper()
	var rows []model.LevelRow
	for _, e := range p.Office.Entries(property) {
		if raw, ok := e.Set.Value("rows"); ok {
			rows = nil
			if err := json.Unmarshal(raw, &rows); err != nil {
				t.Fatalf("rows %s: %v", raw, err)
			}
		}
	}
	return rows
}

// waitSent waits until the office has the book with so many rows, the last struck or not.
func waitSent(t *testing.T, p *phone.Phone, rows int, struck bool) []model.LevelRow {
	t.Helper()
	deadline := time.Now().Add(phone.Patience)
	for {
		got := rowsAtOffice(t, p)
		if len(got) == rows && got[rows-1].Struck == struck {
			return got
		}
		if time.Now().After(deadline) {
			t.Fatalf("the office has the book as %+v, want %d rows, the last struck: %t", got, rows, struck)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// Dams are pegged up a gully: the wanted reading is the line of sight less the crest below,
// and a staff that shows more stands too low.
func TestNextDamToe(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	pegOut(p, "Check dams, toe by toe")
	p.WaitText("no crest: the first dam")
	p.Stand(here)
	p.WaitText("Position ±4 m")
	key(p, "1.835") // the first dam where the officer wants it: its toe at 100.007
	p.WaitText("Level here 100.007")
	enter(p)
	p.WaitSaid("Dam 1 pegged, toe at 100.007")
	p.WaitText("Position ±4 m")
	// 0.4 m high, so the next toe is at 100.407 and the staff reads 101.842 - 100.407.
	p.WaitText("Staff 1.435")
	p.WaitText("Dam 1, crest 100.407")
	key(p, "1.62")
	if got := guided(p, "Go up 0.19 m"); got != "up" {
		t.Errorf("read 1.62 where 1.435 is wanted: the page tells %q, want up", got)
	}
	p.Screenshot("peg-up")
	clear(p)
	key(p, "1.25")
	if got := guided(p, "Go down 0.19 m"); got != "down" {
		t.Errorf("read 1.25 where 1.435 is wanted: the page tells %q, want down", got)
	}
	clear(p)
	key(p, "1.44")
	if got := guided(p, "Hold: 0.005 m low"); got != "hold" {
		t.Errorf("read 1.44 where 1.435 is wanted: the page tells %q, want hold", got)
	}
	p.CheckFit("dams")
	p.Screenshot("peg-hold")
	enter(p)
	p.WaitSaid("Dam 2 pegged, toe at 100.402")
	p.WaitText("Dam 2, crest 100.802")
	rows := waitSent(t, p, 3, false)
	if len(rows) != 3 || rows[1].Point != "Dam 1 toe" || rows[2].Point != "Dam 2 toe" || rows[1].Spot != model.ToeSpot || *rows[2].IS != 1.44 {
		t.Fatalf("the book at the office is %+v, want the benchmark and two toes", rows)
	}
	for i, name := range []string{"Dam 1", "Dam 2"} {
		dam := fieldsAtOffice(p, rows[i+1].Feature)
		if dam["name"] != name || dam["kind"] != "check-dam" || dam["status"] != "pegged" || dam["crestHeightM"] != nil || math.Abs(dam["targetCrestLevelM"].(float64)-dam["toeLevelM"].(float64)-0.4) > 1e-9 || dam["geometry"] == nil {
			t.Errorf("%s at the office is %v, want a pegged check dam with its place, its toe and the crest it is pegged for, and no height that nobody measured", name, dam)
		}
	}
	p.Tap("Strike out the last peg")
	p.WaitSaid("The last peg is struck out")
	waitSent(t, p, 3, true)
	p.WaitText("Dam 1, crest 100.407")
}

// A cold thumb presses the key that pegs twice: one dam is pegged, and one reading booked.
func TestPegPressedTwice(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	pegOut(p, "Check dams, toe by toe")
	p.WaitText("no crest: the first dam")
	key(p, "1.835")
	p.WaitText("Level here 100.007")
	phone.Eval[bool](p.Page, `((key) => { key.click(); key.click(); setTimeout(() => key.click(), 5); return true; })(document.querySelector(".pad .enter"))`)
	p.WaitSaid("Dam 1 pegged, toe at 100.007")
	p.WaitText("0 not sent")
	if rows := waitSent(t, p, 2, false); rows[1].Point != "Dam 1 toe" {
		t.Errorf("the book has %+v", rows)
	}
	dams := map[string]bool{}
	for _, e := range p.Office.Entries(property) {
		if string(e.Set.Get("kind")) == `"check-dam"` {
			dams[e.Feature] = true
		}
	}
	if len(dams) != 1 {
		t.Errorf("the office has %d dams, want the one", len(dams))
	}
}

// struckAtOffice tells whether a feature is struck out.
func struckAtOffice(p *phone.Phone, feature string) (struck bool) {
	for _, e := range p.Office.Entries(property) {
		if e.Feature == feature && e.Strike != nil {
			struck = *e.Strike
		}
	}
	return struck
}

// fieldsAtOffice are the values of a feature's fields in the order they arrived.
func fieldsAtOffice(p *phone.Phone, feature string) map[string]any {
	fields := map[string]any{}
	for _, e := range p.Office.Entries(property) {
		if e.Feature != feature {
			continue
		}
		for name, raw := range e.Set.All() {
			var v any
			_ = json.Unmarshal(raw, &v) // the office checked it
			fields[name] = v
		}
	}
	return fields
}

// pick opens what is pegged from, in or on, with a fingertip.
func pick(p *phone.Phone) {
	const picked = ".picked:not(.asked *)" // not the question that may stand above it
	p.WaitFor(`document.querySelector("` + picked + `") !== null && document.querySelector(".pad .enter") !== null`)
	p.Tap(text(p, picked))
}

// chooseLine picks a recorded line to peg.
func chooseLine(p *phone.Phone, name string) {
	pick(p)
	p.WaitFor(`document.querySelector(".picking .list button.entry") !== null`)
	phone.Eval[bool](p.Page, fmt.Sprintf(`([...document.querySelectorAll(".picking .list button.entry")].find(b => b.querySelector(".name").innerText === %q).click(), true)`, name))
	p.WaitFor(`document.querySelector(".picking") === null`)
}

// SO2 of survey.csv is a graded line; its first reading, kept, is the contour.
func TestContourPegs(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	pegOut(p, "A contour: rip line or windrow")
	chooseLine(p, "Top line")
	key(p, "1.655")
	enter(p) // the chainage 0 m is proposed: nobody taped it yet
	p.WaitText("Peg at 0 m takes this distance.")
	enter(p)
	p.WaitSaid("Peg 1 of Top line saved")
	p.WaitText("Staff 1.655")
	key(p, "1.715") // the next of SO2, 60 mm lower down: off by more than the line's 30 mm
	if got := guided(p, "Go up 0.060 m"); got != "up" {
		t.Errorf("the page tells %q, want up", got)
	}
	clear(p)
	key(p, "1.67")
	if got := guided(p, "Hold: 0.015 m low"); got != "hold" {
		t.Errorf("15 mm low where 30 are allowed: the page tells %q, want hold", got)
	}
	p.TapSelector(".boxes .numberbox:last-child input")
	clear(p)
	key(p, "20")
	p.CheckFit("contour")
	p.Screenshot("peg-contour")
	enter(p)
	p.WaitSaid("Peg 2 of Top line saved")
	p.WaitText("All 2 pegs are within 0.03 m of their mean level; Peg 1 is 0.007 m high. Not yet checked by a closed level run.")
	if at := phone.Eval[string](p.Page, `document.querySelector(".boxes .numberbox:last-child input").value`); at != "40" {
		t.Errorf("the next peg is foreseen at %q, want 40", at)
	}
	rows := waitSent(t, p, 3, false)
	if len(rows) != 3 || rows[2].Feature != ripLine || rows[2].Spot != model.PegSpot || *rows[2].ChainageM != 20 {
		t.Fatalf("the book at the office is %+v, want two pegs of the line", rows)
	}
}

// The spacing is Packer's printed one: on 5 % and general soil 40 m (table 9.1 in Roads for
// Water, as model/track cites it).
func TestWhoaBoySpacing(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	chooseTable(p, "Whoa-boys, two soils, Packer 1967", "general")
	pegOut(p, "Whoa-boys down a track")
	key(p, "0.5")
	enter(p)
	p.WaitSaid("Top of the slope booked at 101.342")
	key(p, "1.5") // a metre lower
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "20") // 5 %
	if got := guided(p, "Go 20 m down the track"); got != "down" {
		t.Errorf("20 m down a fall of 5 %%: the page tells %q, want down", got)
	}
	p.WaitText("The track falls 5.0 %: whoa-boys at most 40 m apart")
	p.CheckFit("whoa-boys")
	p.Screenshot("peg-whoa-boys")
	clear(p)
	p.TapSelector(".boxes .large input")
	clear(p)
	key(p, "2.75")
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "45")
	if got := guided(p, "Come back 5 m up the track"); got != "up" {
		t.Errorf("45 m down a fall of 5 %%: the page tells %q, want up", got)
	}
	clear(p)
	p.TapSelector(".boxes .large input")
	clear(p)
	key(p, "2.5")
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "40")
	guided(p, "Here: peg the whoa-boy")
	enter(p)
	p.WaitSaid("Whoa-boy 1 pegged")
	if !strings.Contains(p.Text(), "Last level 99.342") {
		t.Errorf("the next is not measured from the bank pegged:\n%s", p.Text())
	}
}

// The gully of a dam, the line of a contour and the track of a whoa-boy are chosen from the
// one list of items: the nearest first, with how far off it is, and none where it is none.
func TestPeggingChoosesTheNearest(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t,
		"gully-far", map[string]any{"kind": "thalweg", "name": "Far gully", "geometry": line([2]float64{146.52, -20.25}, [2]float64{146.52, -20.249})},
		"track-near", map[string]any{"kind": "track", "name": "House track", "geometry": line([2]float64{146.5, -20.2502}, [2]float64{146.503, -20.2502})}))
	setUp(p)
	p.Tap("Peg out")
	book := openBook(p)
	p.Go("#/peg/whoa-boys/" + book)
	p.WaitHeading("Whoa-boys")
	p.At(here)
	p.WaitText("Position ±4 m")
	p.WaitText("on no track") // the nearest is 22 m off: too far to be told without asking
	pick(p)
	listed := `[...document.querySelectorAll(".picking .list .entry")].map(e => e.innerText.replace(/\s+/g, " ").trim())`
	p.WaitFor(listed + `.length === 2`)
	if got := phone.Eval[[]string](p.Page, listed); !strings.HasPrefix(got[0], "House track") || !strings.Contains(got[0], "22 m south") || !strings.HasPrefix(got[1], "Ridge track") {
		t.Errorf("the tracks are listed %q, want the house track first, 22 m south", got)
	}
	p.CheckFit("choosing a track")
	p.Screenshot("choose-track")
	p.Tap("Close")
	chooseLine(p, "Ridge track")
	key(p, "0.5")
	p.WaitText("level 101.342, on Ridge track")
	pick(p)
	p.Tap("On none")
	p.At(phone.Fix{Lon: here.Lon, Lat: here.Lat - 0.0002, AccuracyM: 4}) // on the house track
	p.WaitText("Position ±4 m")
	p.WaitText("on no track")
	listed = `[...document.querySelectorAll(".chooser .list .entry")].map(e => e.innerText.replace(/\s+/g, " ").trim())`
	p.Go("#/")
	p.Go("#/peg/dams/" + book)
	p.WaitHeading("Next dam toe")
	p.At(here)
	p.WaitText("in Main gully (nearest")
	p.TapSelector(".fold:not(.mind) summary")
	phone.Eval[bool](p.Page, `(document.querySelector(".chooser > .entry").click(), true)`)
	p.WaitFor(listed + `.length === 2`)
	if got := phone.Eval[[]string](p.Page, listed); !strings.HasPrefix(got[0], "Main gully") || !strings.HasPrefix(got[1], "Far gully") {
		t.Errorf("the gullies are listed %q, want the main gully first", got)
	}
	p.Tap("In no gully")
	p.WaitText("in no gully (choose it below)")
}

// An officer opens the screen, walks 16 m up the gully, stands three seconds, reads the
// staff, and walks on before she presses: the peg is where the staff was read. A fix a
// second by the receiver's clock, given in quicker time.
func TestPegStandsWhereTheStaffWasRead(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	p.TakeReceiver()
	p.Reload()
	p.WaitHeading(property)
	pegOut(p, "Check dams, toe by toe")
	p.WaitText("no crest: the first dam")
	const metre = 1 / 110_700.0 // of latitude at 20° S
	at := time.Now()
	north := func(m float64) {
		p.Give(phone.Fix{Lon: here.Lon, Lat: here.Lat + m*metre, AccuracyM: 6}, at)
		at = at.Add(time.Second)
	}
	for range 3 {
		north(0)
	}
	for m := 1.3; m < 16; m += 1.3 {
		north(m)
	}
	for range 4 {
		north(16)
	}
	key(p, "1.835")
	for m := 17.3; m < 30; m += 1.3 {
		north(m)
	}
	p.WaitText("where the staff was read")
	enter(p)
	p.WaitSaid("Dam 1 pegged")
	rows := waitSent(t, p, 2, false)
	saved := fieldsAtOffice(p, rows[1].Feature)["geometry"].(map[string]any)["coordinates"].([]any)
	if offM := (saved[1].(float64)-here.Lat)/metre - 16; math.Abs(offM) > 1.5 {
		t.Errorf("the peg is saved %.1f m up the gully from where the staff was read", offM)
	}
}

// A peg off the level called for is asked about, and so is a reading that was keyed before
// the screen was left; what was pegged last can be struck out after it, too.
func TestPegOffItsLevelIsAskedAbout(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t), phone.Size(320, 640))
	setUp(p)
	p.Tap("Peg out")
	book := openBook(p)
	p.Tap("Check dams, toe by toe")
	key(p, "1.835")
	enter(p)
	p.WaitSaid("Dam 1 pegged")
	p.WaitText("Staff 1.435")
	key(p, "2")
	p.WaitFor(`document.querySelector(".numberbox.large input").value === "2"`)
	p.Go("#/")
	p.WaitHeading(property)
	p.Go("#/peg/dams/" + book)
	p.WaitText("kept from")
	enter(p)
	p.WaitText("If the staff stands elsewhere now, key what it shows.")
	p.CheckFit("a reading kept")
	key(p, "0.935") // the first key replaces what was kept
	p.WaitFor(`document.querySelector(".numberbox.large input").value === "0.935"`)
	enter(p)
	p.WaitText("0.50 m too high for Dam 1's crest, where 0.05 m is allowed. Move the staff, or peg it here.")
	if rows := rowsAtOffice(t, p); len(rows) > 2 {
		t.Errorf("the office has %d rows before the answer", len(rows))
	}
	p.Tap("Peg it here")
	p.WaitSaid("Dam 2 pegged, toe at 100.907")
	rows := waitSent(t, p, 3, false)
	p.Go("#/thing/" + rows[2].Feature)
	p.WaitText("the upper toe stands 0.50 m above the lower crest to be built, a gap.")
	p.Go("#/peg/dams/" + book)
	p.WaitText("Dam 2, crest")
	phone.Eval[bool](p.Page, `([...document.querySelectorAll("button")].find(b => b.innerText === "Strike out the last peg").click(), true)`)
	p.WaitSaid("The last peg is struck out")
	waitSent(t, p, 3, true)
}

// What was read and taped of a whoa-boy is in the register, and one farther down than the
// table allows is asked about, and so is a chainage beyond the end of its track.
func TestWhoaBoyKeepsWhatWasTaped(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t, "track-near", map[string]any{"kind": "track", "name": "House track", "geometry": line([2]float64{146.5, -20.25}, [2]float64{146.5006, -20.25})}))
	chooseTable(p, "Whoa-boys, two soils, Packer 1967", "general")
	pegOut(p, "Whoa-boys down a track")
	p.At(here)
	p.WaitText("on House track (nearest")
	key(p, "0.5")
	enter(p)
	p.WaitSaid("Top of the slope booked at 101.342")
	if saves := text(p, ".saves"); saves != "Peg needs the distance taped from the top: key it." {
		t.Errorf("nothing is taped yet, and the page says %q of Peg", saves)
	}
	key(p, "2.7")
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "44") // 5 %: 40 m are allowed
	guided(p, "Come back 4 m up the track")
	enter(p)
	p.WaitText("44 m is 4 m more than the 40 m allowed on this fall. Come back up the track, or peg it here.")
	p.Tap("Peg it here")
	p.WaitSaid("Whoa-boy 1 pegged")
	rows := waitSent(t, p, 3, false)
	if rows[2].Remark != "taped 44 m from the top of the slope" || rows[2].Feature != "track-near" || rows[2].ChainageM != nil {
		t.Errorf("the book has %+v, want the track and what was taped, and no chainage that nobody taped", rows[2])
	}
	var bank map[string]any
	for _, e := range p.Office.Entries(property) {
		if string(e.Set.Get("kind")) == `"whoa-boy"` {
			bank = fieldsAtOffice(p, e.Feature)
			p.Go("#/thing/" + e.Feature)
		}
	}
	if bank["fromAboveM"] != 44.0 || bank["fromAboveBasis"] != "taped" || bank["levelM"] != 99.142 || bank["levelRun"] == nil || bank["trackSlopePct"] != 5.0 || bank["track"] != "track-near" || bank["chainageM"] != nil || bank["fromAboveTo"] != "the top of the slope" || !strings.Contains(fmt.Sprint(bank["spacedBy"]), "Packer 1967") {
		t.Errorf("the whoa-boy at the office is %v", bank)
	}
	p.WaitText("Down from the bank or top above")
	p.WaitText("44 m, by tape")
	p.WaitText("the top of the slope")
	p.WaitText("Pegged 44 m down, 4 m farther than that.")
	p.WaitText("99.142 m, not yet checked by a closed level run, so its ± is not known") // the run is open
	p.WaitText("Its levels are not yet checked by a closed level run.")
	p.CheckFit("the page of a whoa-boy")
	p.Screenshot("whoa-boy-page")
	p.Go("#/")
	p.Go("#/peg/whoa-boys/" + fmt.Sprint(bank["levelRun"]))
	p.WaitText("Last level 99.142")
	phone.Eval[bool](p.Page, `([...document.querySelectorAll("button")].find(b => b.innerText === "Start at another top").click(), true)`)
	p.WaitText("Chainage from the upper end, taped")
	key(p, "0.5")
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "86") // on a track of 63 m
	enter(p)
	p.WaitText("House track was recorded 63 m long. Chainage 86 m is beyond its end: is it right?")
	p.Screenshot("whoa-boy-beyond")
}
