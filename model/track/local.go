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
		p := row.wrong()
		if p == nil && i > 0 {
			p = row.after(rows[i-1])
		}
		if p != nil {
			return Table{}, p.Within(fmt.Sprintf("[%d]", i))
		}
		grade := strconv.FormatFloat(row.UpToPct, 'f', -1, 64)
		switch {
		case between != Steeper:
			t.Rows = append(t.Rows, at(grade, row.UpToPct, row.SpacingM))
		case i == 0:
			t.Rows = append(t.Rows, class("up to "+grade, 0, row.UpToPct, row.SpacingM))
		default:
			t.Rows = append(t.Rows, class("up to "+grade, rows[i-1].UpToPct, row.UpToPct, row.SpacingM))
		}
	}
	return t, nil
}

func (r LocalRow) wrong() *model.Problem {
	if !(r.UpToPct > 0 && r.UpToPct <= MaxGradePct) {
		return &model.Problem{Path: "upToPct", Reason: fmt.Sprintf("%v is not a grade above 0 and up to %d %%", r.UpToPct, MaxGradePct), Fix: "give the grade in per cent: metres of fall in 100 m"}
	}
	if !(r.SpacingM >= LeastSpacingM && r.SpacingM <= MaxSpacingM) {
		return &model.Problem{Path: "spacingM", Reason: fmt.Sprintf("%v is not a spacing from %d to %d m", r.SpacingM, LeastSpacingM, MaxSpacingM), Fix: "give it in metres along the track"}
	}
	return nil
}

func (r LocalRow) after(before LocalRow) *model.Problem {
	switch {
	case r.UpToPct <= before.UpToPct:
		return &model.Problem{Path: "upToPct", Reason: fmt.Sprintf("%v %% comes after %v %%", r.UpToPct, before.UpToPct), Fix: "list the rows with the gentlest grade first"}
	case r.SpacingM > before.SpacingM:
		return &model.Problem{Path: "spacingM", Reason: fmt.Sprintf("%v m on the steeper grade is more than %v m on the gentler", r.SpacingM, before.SpacingM), Fix: "were two rows swapped?"}
	}
	return nil
}
