package track

import (
	"cmp"
	"fmt"
	"strconv"

	"headcut/model"
)

// Bounds of a table that an officer types in. They catch spacings in millimetres or
// feet-and-inches, and grades in degrees by the thousand, not unusual practice.
const (
	LeastSpacingM = 3   // nearer banks run into each other; common practice, no source
	MaxSpacingM   = 500 // four times what any published table allows
	MaxGradePct   = 100
	MaxLocalRows  = 100
)

// LocalRow is a row of the officer's own table: banks at most SpacingM apart on grades up
// to UpToPct, from where the row before ends.
type LocalRow struct {
	UpToPct  float64 `json:"upToPct" unit:"%" doc:"steepest grade of the row, which begins where the one before ends"`
	SpacingM float64 `json:"spacingM" unit:"m" doc:"farthest that banks may stand apart"`
}

// Local makes a table named "local" of rows that grow in grade and never in spacing. With
// a line between rows they are points of it, else classes that join. It returns a
// *model.Problem with a path like "[2].spacingM".
func Local(rows []LocalRow, source string, between Between) (Table, error) {
	if len(rows) == 0 || len(rows) > MaxLocalRows {
		return Table{}, &model.Problem{Reason: fmt.Sprintf("the local table has %d rows", len(rows)),
			Fix: fmt.Sprintf("give from 1 to %d rows of a grade and a spacing, gentlest first", MaxLocalRows)}
	}
	t := Table{Name: "local", Columns: []string{""}, Source: model.Source{Title: cmp.Or(source, "local table, its source not given"), How: model.CommonPractice}}
	if source != "" {
		t.Source.Place = "typed in by the officer"
	}
	for i, row := range rows {
		before := LocalRow{SpacingM: MaxSpacingM}
		if i > 0 {
			before = rows[i-1]
		}
		if p := model.FirstProblem(row.wrong(), row.after(before)); p != nil {
			return Table{}, p.Within(fmt.Sprintf("[%d]", i))
		}
		grade := strconv.FormatFloat(row.UpToPct, 'f', -1, 64)
		if between == Steeper {
			t.Rows = append(t.Rows, class("up to "+grade, before.UpToPct, row.UpToPct, row.SpacingM))
		} else {
			t.Rows = append(t.Rows, at(grade, row.UpToPct, row.SpacingM))
		}
	}
	return t, nil
}

func (r LocalRow) wrong() *model.Problem {
	return model.FirstProblem(
		model.Require(r.UpToPct > 0 && r.UpToPct <= MaxGradePct, "upToPct", "give the grade in per cent: metres of fall in 100 m", "%v is not a grade above 0 and up to %d %%", r.UpToPct, MaxGradePct),
		model.InRange("spacingM", r.SpacingM, LeastSpacingM, MaxSpacingM, "a spacing", " m", "give it in metres along the track"))
}

func (r LocalRow) after(before LocalRow) *model.Problem {
	return model.FirstProblem(
		model.Require(r.UpToPct > before.UpToPct, "upToPct", "list the rows with the gentlest grade first", "%v %% comes after %v %%", r.UpToPct, before.UpToPct),
		model.Require(r.SpacingM <= before.SpacingM, "spacingM", "were two rows swapped?", "%v m on the steeper grade is more than %v m on the gentler", r.SpacingM, before.SpacingM))
}
