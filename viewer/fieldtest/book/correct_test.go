package book

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/model/levelling"
	"headcut/model/modeltest"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

const levelRun = "0199a000-0000-7000-8000-000000000009"

// longBook is a book of so many rows: set-ups of ten rows, each with its line of sight at
// 101.842.
func longBook(rows int) []map[string]any {
	book := []map[string]any{{"point": "BM1", "bs": 1.842, "knownLevelM": 100}}
	for i := 1; i < rows; i++ {
		point, reading := fmt.Sprintf("P%d", i), 0.5+float64(i%7)/4
		if i%10 == 0 {
			book = append(book, map[string]any{"point": point, "fs": reading, "bs": reading})
			continue
		}
		book = append(book, map[string]any{"point": point, "is": reading})
	}
	return book
}

// misread is the printed book LB7 of survey.csv with the third foresight booked 0.396 too
// high, as a run that the office has.
func misread(t *testing.T) (c modeltest.Case, entries []register.Entry) {
	c = modeltest.Named(t, "survey", "LB7")
	along := modeltest.Input[[]float64](t, c, "cumulative_m")
	var rows []map[string]any
	printed := modeltest.Input[[]printedRow](t, c, "rows")
	for i, r := range printed {
		row := map[string]any{"point": r.Pt, "distanceM": along[i]}
		for name, read := range map[string]*float64{"bs": r.BS, "is": r.IS, "fs": r.FS} {
			if read != nil {
				row[name] = *read
			}
		}
		rows = append(rows, row)
	}
	rows[0]["knownLevelM"] = c.Number(t, "start_rl")
	rows[len(rows)-1]["knownLevelM"] = c.Number(t, "closing_known_rl")
	rows[3]["fs"] = 2.8
	rows[3]["bookedLevelM"] = 90.0
	return c, planted(t, levelRun, map[string]any{"kind": "level-run", "name": "North loop", "observedOn": "2026-11-20", "perRootKmMm": 12, "rows": rows})
}

// takeUp takes a row of the book up, to write it again.
func takeUp(p *phone.Phone, row int) {
	p.Tap("Page (5)")
	p.WaitFor(`document.querySelector(".bookrow .reduced b") !== null`) // what stands above the rows is as high as it will be
	p.TapSelector(fmt.Sprintf(".bookrows > li:nth-child(%d) .bookrow", row))
	p.Tap("Strike out and write again")
	p.WaitText("is struck out when you book this")
}

// A line of a run that was closed and is in the register is written again: the wrong figure
// stays readable, everything is worked out again, and the office has both entries.
func TestSavedLineIsWrittenAgain(t *testing.T) {
	t.Parallel()
	c, entries := misread(t)
	p := enrolled(t, entries)
	p.Go("#/level/" + levelRun)
	p.WaitFor(`document.querySelector(".standing")?.dataset.standing === "out"`)
	if got := text(p, ".standing"); got != "Does not close: out by 408.0 mm" {
		t.Fatalf("the misread run stands as %q", got)
	}
	takeUp(p, 4)
	if got := text(p, ".next"); !strings.Contains(got, "FS 2.800 BS 0.650") {
		t.Errorf("while it is written again the line is told as %q", got)
	}
	key(p, "2.404")
	p.WaitFor(`document.querySelector(".standing").innerText === "Does not close: out by 12.0 mm"`) // before it is booked
	kept(p)
	if n := len(p.Office.Entries(property)); n != 1 {
		t.Errorf("the office has %d entries before the line is booked, want 1", n)
	}
	p.Screenshot("correcting")
	enter(p)
	p.WaitSaid("North loop saved")
	at := phone.Eval[string](p.Page, `document.activeElement.closest(".bookrows > li").querySelector(".cells").innerText`)
	if !strings.HasPrefix(at, "FS 2.404") {
		t.Errorf("the focus is on the line %q, want the one written just now", at)
	}
	p.Screenshot("corrected")
	rows := pageOf(p, 6)
	if !rows[3].Struck || !strings.HasPrefix(rows[3].Cells, "FS 2.800") || rows[4].Struck || !strings.HasPrefix(rows[4].Cells, "FS 2.404") {
		t.Errorf("rows 4 and 5 are %+v and %+v, want the misread figure struck and the right one below", rows[3], rows[4])
	}
	standing := append(rows[:3:3], rows[4:]...)
	for i, want := range modeltest.Want[[]printedLevel](t, c, "rows") {
		if level := fmt.Sprintf("%.3f", want.RL); standing[i].Level != level {
			t.Errorf("%s: level %s, want %s as printed (%s)", standing[i].Point, standing[i].Level, level, c.Source)
		}
	}
	checks := text(p, "section[aria-label=Checks]")
	if !strings.Contains(checks, "Misclosure 12.0 mm low; 7.6 mm allowed") || !strings.Contains(checks, "The arithmetic agrees: rise and fall, height of instrument and the sums give the same levels.") {
		t.Errorf("the checks are %q, want 12.0 mm low where 7.6 mm is allowed (%s)", checks, c.Source)
	}

	sent := waitSent(t, p, 6, false)
	if !sent[3].Struck || *sent[3].FS != 2.8 || sent[3].BookedLevelM == nil || *sent[4].FS != 2.404 || *sent[4].BS != 0.65 || *sent[4].DistanceM != 310 || sent[4].BookedLevelM != nil {
		t.Errorf("the office has %s and %s, want both lines, and the level worked out by hand with the wrong one", asText(t, sent[3]), asText(t, sent[4]))
	}
	held := p.Office.Entries(property)
	if len(held) != 2 || held[0].Device != "desk" || held[1].Device == "desk" || strings.Contains(string(held[0].Raw), "struck") {
		t.Errorf("the office has %d entries, want the run as it was and the corrected one", len(held))
	}
	// What every other reader of the register works out: server, exports and map.
	run, err := levelling.Reduce(sent, levelling.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if last := run.Rows[len(run.Rows)-1].LevelM; fmt.Sprintf("%.3f", last) != standing[4].Level {
		t.Errorf("the office's run ends at %v, want %s as on the page", last, standing[4].Level)
	}

	p.Tap("Undo")
	p.WaitFor(`document.querySelectorAll(".bookrows > li").length === 5`)
	if got := text(p, ".standing"); got != "Does not close: out by 408.0 mm" {
		p.WaitFor(`document.querySelector(".standing").innerText === "Does not close: out by 408.0 mm"`)
	}
	if back := waitSent(t, p, 5, false); back[3].Struck || *back[3].FS != 2.8 {
		t.Errorf("after taking it back the office has %s", asText(t, back[3]))
	}
}

// What was booked as the wrong sight, on the wrong thing, or without a word is corrected the
// same way, with a laser's direct-reading staff too.
func TestSightLinkAndNoteAreWrittenAgain(t *testing.T) {
	t.Parallel()
	rows := []map[string]any{
		{"point": "BM1", "bs": 0.0, "knownLevelM": 100},
		{"point": "1", "is": -0.34},
		{"point": "Main gully mark", "is": -0.5}, {"point": "2", "is": -0.2}, {"point": "CP1", "fs": 0.1},
	}
	p := enrolled(t, land(t, levelRun, map[string]any{"kind": "level-run", "name": "Laser run", "observedOn": "2026-11-20", "instrument": "Laser, direct-reading staff", "rows": rows}))
	p.Go("#/level/" + levelRun)
	p.WaitText("Page (5)")
	takeUp(p, 2)
	if got := text(p, ".next"); !strings.Contains(got, "IS +0.340") {
		t.Errorf("the staff's reading is told as %q, want it as the staff showed it", got)
	}
	staffOn(p, "Main gully, bed")
	p.TapSelector("summary")
	p.Type("Note", "soft ground")
	enter(p) // the chainage is asked for
	key(p, "15")
	enter(p)
	p.WaitFor(`document.querySelectorAll(".bookrows > li").length === 6`)
	sent := waitSent(t, p, 6, false)
	if want := `{"point":"Bed at 15 m","is":-0.34,"remark":"soft ground","feature":"` + thalweg + `","spot":"bed","chainageM":15}`; asText(t, sent[2]) != want {
		t.Errorf("the office has %s, want %s", asText(t, sent[2]), want)
	}
	if level := pageOf(p, 6)[2].Level; level != "100.340" {
		t.Errorf("the corrected line's level is %s, want 100.340", level)
	}

	p.TapSelector(".bookrows > li:nth-child(4) .bookrow")
	p.Tap("Strike out and write again")
	p.Tap("Foresight")
	key(p, "0.55")
	enter(p)
	p.WaitText("Page (7)")
	p.Tap("Write")
	p.WaitText("Row 5 is a foresight now: give the backsight on Main gully mark that followed it.")
	bookReading(p, "0.05")
	sent = waitRow(t, p, 4, `{"point":"Main gully mark","bs":-0.05,"fs":-0.55}`)
	if want := `{"point":"Main gully mark","is":-0.5,"struck":true}`; asText(t, sent[3]) != want {
		t.Errorf("above the change point the office has %s, want %s", asText(t, sent[3]), want)
	}
	// 100 + 0 at the first line of sight; up 0.55 to the change point; from 0.05 there to 0.20.
	if level := pageOf(p, 7)[5].Level; level != "100.700" {
		t.Errorf("the row after it lies at %s, want 100.700", level)
	}
	p.CheckFit("corrected page")
}

// A phone that dies between the wrong figure and the right one has the book as it was, and
// offers the line again.
func TestCorrectionSurvivesAKill(t *testing.T) {
	t.Parallel()
	_, entries := misread(t)
	p := enrolled(t, entries)
	p.Go("#/level/" + levelRun)
	p.WaitText("Page (5)")
	takeUp(p, 4)
	for round, typed := range []string{"", "2.4"}[:phone.Campaign(2, 2)] {
		key(p, typed)
		kept(p)
		p.Restart()
		p.At(here)
		p.Open("/field/")
		p.WaitText("You were writing row 4 of the level book North loop again.")
		if round == 0 {
			p.CheckFit("half a line on the first screen")
			p.Screenshot("correction-offered")
		}
		if n := len(p.Office.Entries(property)); n != 1 {
			t.Errorf("the office has %d entries after the kill, want the one run as it was", n)
		}
		p.Tap("Continue")
		p.WaitText("is struck out when you book this")
		if got := phone.Eval[string](p.Page, `document.querySelector(".numberbox.large input").value`); got != typed {
			t.Errorf("after the kill %q is keyed, want %q", got, typed)
		}
	}
	bookReading(p, "04")
	if sent := waitSent(t, p, 6, false); !sent[3].Struck || *sent[4].FS != 2.404 {
		t.Errorf("the office has %s and %s", asText(t, sent[3]), asText(t, sent[4]))
	}
	p.Go("#/")
	p.WaitHeading(property)
	p.WaitFor(`document.querySelector(".sheet:not(.coming)") !== null`) // what was begun has been read
	if strings.Contains(p.Text(), "You were writing") {
		t.Errorf("the line is offered again after it was booked:\n%s", p.Text())
	}
}

// Writing a line again at the smallest size and with large text.
func TestCorrectionFitsTheHand(t *testing.T) {
	t.Parallel()
	for _, c := range phone.Hands {
		t.Run(c.Name, func(t *testing.T) {
			_, entries := misread(t)
			p := enrolled(t, entries, phone.Size(c.Width, c.Height))
			if c.Big {
				p.BigText()
			}
			p.Go("#/level/" + levelRun)
			p.WaitText("Page (5)")
			p.Tap("Page (5)")
			p.WaitFor(`document.querySelector(".bookrow .reduced b") !== null`)
			p.TapSelector(".bookrows > li:nth-child(4) .bookrow")
			p.CheckFit("a line opened")
			p.Screenshot(c.Name + "-line-open")
			p.Tap("Strike out and write again")
			key(p, "2.40")
			kept(p)
			p.CheckFit("a line written again")
			p.Screenshot(c.Name + "-line-again")
			key(p, "4")
			enter(p)
			p.WaitSaid("North loop saved")
			p.CheckFit("a line corrected")
			p.Screenshot(c.Name + "-line-corrected")
		})
	}
}

// waitRow waits until the office has a row of the book as this text.
func waitRow(t *testing.T, p *phone.Phone, at int, want string) []model.LevelRow {
	t.Helper()
	for deadline := time.Now().Add(phone.Patience); ; time.Sleep(50 * time.Millisecond) {
		rows := rowsAtOffice(t, p)
		if at < len(rows) && asText(t, rows[at]) == want {
			return rows
		}
		if time.Now().After(deadline) {
			t.Fatalf("row %d at the office never is %s: %+v", at+1, want, rows)
		}
	}
}

func asText(t *testing.T, row model.LevelRow) string {
	t.Helper()
	raw, err := json.Marshal(row)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}
