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

// footM is the international foot.
const footM = 0.3048

// Tables are the published ones, which differ threefold: at 10 % on erodible soil they
// allow from 15 to 46 m. None is the right one; the officer names the one that is used.
// The tables of Queensland and of the other Australian states are not among them, since
// their text could not be read: they are typed in as a local table. Each is named by what
// its spacings are for; who printed it is its source.
var Tables = []Table{
	{Name: "water-bars-two-soils", Columns: []string{"general", "highly erodible"},
		Rows:   []Row{at("2", 2, 75, 45), at("5", 5, 40, 25), at("10", 10, 25, 15), at("15", 15, 18, 11), at("20", 20, 14, 9), at("25", 25, 12, 7), at("30", 30, 10, 6)},
		Source: model.Source{Title: "Packer 1967, in Roads for Water, Use basic road-surface drainage", Place: "table 9.1", How: model.LookedUp}},
	{Name: "dips-and-culverts", Columns: []string{"low to non-erosive", "erosive"},
		Rows:   []Row{class("0-3", 0, 3, 120, 75), class("4-6", 4, 6, 90, 50), class("7-9", 7, 9, 75, 40), class("10-12", 10, 12, 60, 35), over("over 12", 12, 50, 30)},
		Source: model.Source{Title: "Keller and Sherar 2003, Low-Volume Roads Engineering BMP Field Guide", Place: "table 7.1, rolling dips and culvert cross-drains", How: model.LookedUp}},
	{Name: "water-bars-by-class", Columns: []string{"low to non-erosive", "erosive"},
		Rows:   []Row{class("0-5", 0, 5, 75, 40), class("6-10", 6, 10, 60, 30), class("11-15", 11, 15, 45, 20), class("16-20", 16, 20, 35, 15), class("21-30", 21, 30, 30, 12), over("over 30", 30, 15, 10)},
		Source: model.Source{Title: "Keller and Sherar 2003, Low-Volume Roads Engineering BMP Field Guide", Place: "table 7.2, water bars", How: model.LookedUp}},
	{Name: "legal-maximum-by-hazard", Columns: []string{"extreme", "high", "moderate", "low"},
		Rows: []Row{class("0-10", 0, 10, 100*footM, 150*footM, 200*footM, 300*footM), class("11-25", 11, 25, 75*footM, 100*footM, 150*footM, 200*footM),
			class("26-50", 26, 50, 50*footM, 75*footM, 100*footM, 150*footM), over("over 50", 50, 50*footM, 50*footM, 75*footM, 100*footM)},
		Source: model.Source{Title: "California Code of Regulations, Title 14, section 934.6(e)", Place: "maximum distances in feet; its 22.35 m for 75 ft is a misprint of 22.86 m", How: model.LookedUp}},
	{Name: "water-bars-one-soil", Columns: []string{""},
		Rows:   []Row{at("2", 2, 250*footM), at("5", 5, 135*footM), at("10", 10, 80*footM), at("15", 15, 60*footM), at("20", 20, 45*footM), at("25", 25, 40*footM), at("30", 30, 35*footM), at("40", 40, 30*footM)},
		Source: model.Source{Title: "Southern Regional Extension Forestry handbook", Place: "distances between water bars, in feet; Packer's general column in other units", How: model.LookedUp}},
	{Name: "broad-based-dips", Columns: []string{"near end of range", "far end of range"},
		Rows:   []Row{class("2-4", 2, 4, 200*footM, 300*footM), class("5-7", 5, 7, 160*footM, 180*footM), class("8-10", 8, 10, 140*footM, 150*footM)},
		Source: model.Source{Title: "Orange County (North Carolina) forestry practices", Place: "page 167, broad-based dips, in feet; not for 12 % and over", How: model.LookedUp}},
}

// Named finds a published table.
func Named(name string) (Table, bool) {
	return model.Find(Tables, func(t Table) bool { return t.Name == name })
}

func at(printed string, gradePct float64, spacingsM ...float64) Row {
	return Row{printed, gradePct, gradePct, spacingsM}
}

func class(printed string, fromPct, toPct float64, spacingsM ...float64) Row {
	return Row{printed, fromPct, toPct, spacingsM}
}

func over(printed string, pct float64, spacingsM ...float64) Row {
	return Row{printed, pct, math.Inf(1), spacingsM}
}
