package track

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/elementary"
)

// Row is one line of a spacing table: the grades it is printed for and the farthest that
// banks may stand apart on them, one figure for each column.
type Row struct {
	Printed   string  // its grades as printed, in per cent: "4-6", "over 12"
	FromPct   float64 // gentlest grade it is printed for
	ToPct     float64 // steepest; +Inf where the row has no end
	SpacingsM []float64
}

// Table is a published table of spacings by grade, gentlest row first.
type Table struct {
	Name    string
	Columns []string // soils or hazards as the table names them; one nameless column where it has none
	Rows    []Row
	Source  model.Source
}

// Between says what holds at a grade that stands between two printed ones.
type Between string

const (
	Steeper      Between = "steeper"       // the next steeper row holds: never farther apart than printed
	StraightLine Between = "straight line" // in proportion to the grade
	LogLog       Between = "log-log"       // in proportion on log scales of both grade and spacing
)

// Betweens lists every way.
var Betweens = []Between{Steeper, StraightLine, LogLog}

// Rule is one column of one table and a way to read between its rows. The zero value
// allows nothing.
type Rule struct {
	Table   string
	Soil    string // "" where the table has one column
	Source  model.Source
	Between Between
	rows    []Row
	column  int
}

// Rule takes one column of the table. It returns a *model.Problem at "soil" for a soil
// that is not one of its columns, and at "between" for a way to read between rows that
// its rows do not allow: classes of grades have no points to draw a line through.
func (t Table) Rule(soil string, between Between) (Rule, error) {
	r := Rule{Table: t.Name, Soil: soil, Source: t.Source, Between: between, rows: t.Rows, column: slices.Index(t.Columns, soil)}
	classes := slices.ContainsFunc(t.Rows, func(row Row) bool { return row.FromPct != row.ToPct })
	known := r.column >= 0
	if p := model.FirstProblem(
		model.Require(known || len(t.Columns) > 1, "soil", "leave the soil out", "%s has one column for all soils", t.Name),
		model.Require(known || soil != "", "soil", "give one of "+strings.Join(t.Columns, ", "), "is missing: %s has several columns", t.Name),
		model.Require(known, "soil", "give one of "+strings.Join(t.Columns, ", "), "%s has no column %q", t.Name, soil),
		model.Require(slices.Contains(Betweens, between), "between", "give steeper, straight line or log-log", "%q is no way to read between rows", between),
		model.Require(between == Steeper || !classes, "between", "leave it out: the steeper row then applies",
			"%s is printed for classes of grades, which have nothing between them to draw a line through", t.Name)); p != nil {
		return Rule{}, p
	}
	return r, nil
}

// MaxPct is the steepest grade that the rule has a row for, +Inf where it has no end.
func (r Rule) MaxPct() float64 { return r.rows[len(r.rows)-1].ToPct }

// sameGradePct is how far beyond a row's end a grade still counts as its end: far below
// what a level can tell, far above the rounding of a quotient.
const sameGradePct = 1e-6

// judged is the grade by which an interval is judged and reported: one laid just at the
// end of a row must not fall out of it by the rounding of its chainage.
func (r Rule) judged(gradePct float64) float64 {
	if inside := gradePct - sameGradePct; r.row(inside) < r.row(gradePct) {
		return inside
	}
	return gradePct
}

// row is the index of the row for a grade, that of the last for grades beyond it.
func (r Rule) row(gradePct float64) int {
	for i := range r.rows {
		if gradePct <= r.rows[i].ToPct+sameGradePct {
			return i
		}
	}
	return len(r.rows) - 1
}

// SpacingM is the farthest that two banks may stand apart where the track falls by so
// much between them. It never grows with the grade. Beyond MaxPct it is that of the
// steepest row, which allows too much: see Covers.
//
//	straight line: d = d1 + (d2 - d1) (g - g1)/(g2 - g1)
//	log-log:       d = d1 (d2/d1)^(ln(g/g1)/ln(g2/g1))
func (r Rule) SpacingM(gradePct float64) float64 {
	i := r.row(gradePct)
	d := r.rows[i].SpacingsM[r.column]
	if i == 0 || r.Between == Steeper || gradePct >= r.rows[i].ToPct {
		return d
	}
	g1, g2, d1 := r.rows[i-1].ToPct, r.rows[i].ToPct, r.rows[i-1].SpacingsM[r.column]
	if r.Between == StraightLine {
		return d1 + (d-d1)*((gradePct-g1)/(g2-g1))
	}
	return d1 * elementary.Pow(d/d1, math.Log(gradePct/g1)/math.Log(g2/g1))
}

// perPctM is how fast the spacing changes with the grade, 0 or negative, in metres for
// each per cent; 0 within a row.
func (r Rule) perPctM(gradePct float64) float64 {
	i := r.row(gradePct)
	if i == 0 || r.Between == Steeper || gradePct >= r.rows[i].ToPct {
		return 0
	}
	g1, g2 := r.rows[i-1].ToPct, r.rows[i].ToPct
	d1, d2 := r.rows[i-1].SpacingsM[r.column], r.rows[i].SpacingsM[r.column]
	if r.Between == StraightLine {
		return (d2 - d1) / (g2 - g1)
	}
	return r.SpacingM(gradePct) / gradePct * math.Log(d2/d1) / math.Log(g2/g1)
}

// Covers tells whether the table goes as steep as this.
func (r Rule) Covers(gradePct float64) bool { return gradePct <= r.MaxPct()+sameGradePct }

// Reading says which row holds at a grade, and why where the table has none printed for
// it.
func (r Rule) Reading(gradePct float64) (row, why string) {
	i := r.row(gradePct)
	row = r.rows[i].Printed + " %"
	switch {
	case !r.Covers(gradePct):
		return "none", fmt.Sprintf("%s ends at %v %%", r.Table, r.MaxPct())
	case gradePct >= r.rows[i].FromPct-sameGradePct:
		return row, ""
	case i == 0:
		return row, fmt.Sprintf("%.2f %% is gentler than the table's gentlest row, which is used", max(0, gradePct))
	case r.Between != Steeper:
		return r.rows[i-1].Printed + " to " + row, fmt.Sprintf("%.2f %% lies between two rows; read by %s, which the table itself does not say", gradePct, r.Between)
	}
	return row, fmt.Sprintf("%.2f %% lies between the rows %s %% and %s; the steeper is used", gradePct, r.rows[i-1].Printed, row)
}
