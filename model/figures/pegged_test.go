package figures

import (
	"slices"
	"testing"

	"headcut/model"
)

// pegBook is a book with a reading for each of the levels, named as given, open or closed.
func pegBook(closed bool, readings ...staff) []model.LevelRow {
	rows := book(0, readings...)
	for i := range readings {
		rows[i+1].Point = readings[i].feature
		rows[i+1].Feature, rows[i+1].Spot = "", ""
	}
	if !closed {
		rows = rows[:len(rows)-1]
	}
	return rows
}

// Whatever was pegged by a level run is marked until a run proves the level of its peg.
func TestWhatAnOpenRunPeggedIsMarked(t *testing.T) {
	const mark = "Its levels are not yet checked by a closed level run."
	bank := staff{"Whoa-boy 1", "", -1, 98.5}
	whoaBoy := feature("whoa-boy", "w", north(0, 0), "name", "Whoa-boy 1", "levelM", 98.5, "levelRun", "r")
	peg := feature("peg", "p", north(0, 0), "name", "Rip line 1, peg 2", "levelM", 98.5, "levelRun", "r")
	run := func(rows []model.LevelRow) []model.Feature {
		return []model.Feature{feature("level-run", "r", nil, "rows", rows)}
	}
	outBy := pegBook(true, bank)
	outBy[len(outBy)-1].FS = ptr(2.0)
	struck := pegBook(true, bank)
	struck[1].Struck = true
	// Closed on the benchmark, and gone on with from there.
	on := func(closedFirst, later string) []model.LevelRow {
		rows := pegBook(true, staff{closedFirst, "", -1, 98.5})
		last := len(rows) - 1
		rows[last].BS = ptr(3)
		return append(rows, model.LevelRow{Point: later, IS: ptr(103 - 98.5)}, model.LevelRow{Point: "CP1", FS: ptr(1.4)})
	}
	for _, c := range []struct {
		name   string
		of     model.Feature
		runs   []model.Feature
		marked bool
	}{
		{"closed", whoaBoy, run(pegBook(true, bank)), false},
		{"open", whoaBoy, run(pegBook(false, bank)), true},
		{"peg-of-an-open-run", peg, run(pegBook(false, staff{"Peg 2", "", -1, 98.5})), true},
		{"out-by-a-metre", whoaBoy, run(outBy), true},
		{"no-book", whoaBoy, run(nil), true},
		{"no-run", whoaBoy, nil, true},
		{"row-struck", whoaBoy, run(struck), true},
		{"other-level-now", whoaBoy, run(pegBook(true, staff{"Whoa-boy 1", "", -1, 98.4})), true},
		{"written-to-a-centimetre", whoaBoy, run(pegBook(true, staff{"Whoa-boy 1", "", -1, 98.5045})), false},
		{"pegged-before-it-went-on", whoaBoy, run(on("Whoa-boy 1", "Whoa-boy 2")), false},
		{"pegged-after-it-closed", whoaBoy, run(on("Whoa-boy 2", "Whoa-boy 1")), true},
		{"peg-before-it-went-on", peg, run(on("Peg 2", "Peg 12")), false},
		{"peg-after-it-closed", peg, run(on("Peg 12", "Peg 2")), true},
		{"renamed", whoaBoy, run(on("Whoa-boy 3", "Whoa-boy 4")), true},
		{"given-and-not-levelled", feature("benchmark", "b", nil, "levelM", 98.5), nil, false},
		{"no-level", feature("whoa-boy", "w", nil, "levelRun", "r"), nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := survey(append(c.runs, c.of)...).Of(c.of)
			if marked := slices.Contains(s.Cautions, model.Caution{About: "levelM", Text: mark}); marked != c.marked || len(s.Unproven()) == 1 != marked {
				t.Errorf("marked %t, want %t: %+v", marked, c.marked, s.Cautions)
			}
			k := NewCache() // and where the run comes, goes on, or goes, after its pegs
			k.Change(slices.Values([]model.Feature{c.of}), nil)
			before, _ := k.Sheet(c.of.ID)
			ids := k.Change(slices.Values(c.runs), nil)
			after, _ := k.Sheet(c.of.ID)
			if a, b := asJSON(t, after), asJSON(t, s); a != b {
				t.Errorf("kept %s, calculated again %s", a, b)
			}
			if asJSON(t, before) != asJSON(t, after) && !slices.Contains(ids, c.of.ID) {
				t.Errorf("%v have changed, and not the peg", ids)
			}
			k.Change(func(func(model.Feature) bool) {}, []string{"r"})
			if gone, _ := k.Sheet(c.of.ID); asJSON(t, gone) != asJSON(t, before) {
				t.Errorf("without the run again %+v, before %+v", gone, before)
			}
		})
	}
}

// Each kind that has the level of its peg and the run is judged.
func TestPeggedKindsAreThoseOfTheTable(t *testing.T) {
	for _, k := range model.Kinds {
		_, level := k.FieldNamed(peggedLevel)
		_, run := k.FieldNamed("levelRun")
		if slices.Contains(peggedKinds, k.Name) != (level && run) {
			t.Errorf("%s: level %t, run %t, judged %t", k.Name, level, run, slices.Contains(peggedKinds, k.Name))
		}
	}
}

func ptr(v float64) *float64 { return &v }
