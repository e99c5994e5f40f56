package runoff

import (
	"fmt"
	"slices"
	"strings"

	"headcut/model"
)

// Coefficient is the share of the rain's rate that runs off at the peak.
type Coefficient struct {
	Quantity
	Low, High float64 // what the source gives; the same where it gives one figure
	Source    string  // as a page shows it; empty for the officer's own figure
}

// NoDegraded says what no table that was read gives, and what to take instead.
const NoDegraded = "No published table read for this has a coefficient for scalded, overgrazed or degraded ground. Bare packed ground, 0.30 to 0.60 in the table bare-and-grazed-ground, is the nearest: ground in poor condition sheds more than pasture on the same soil, so take the upper figure, or compare covers with storm-runoff, whose curve numbers tell poor from good."

// CoefficientTable is a published table of coefficients by cover, and by slope and soil
// where it tells them apart.
type CoefficientTable struct {
	Name   string
	Soils  []string // one for each column
	Source model.Source
	Rows   []CoverRow
}

// CoverRow is a row of a table.
type CoverRow struct {
	Cover      string
	ToSlopePct float64 // the class ends short of this slope; 0 where slope does not matter
	C          []Span  // a column for each soil, or one where soil does not matter
}

// Span is from the lowest to the highest figure that a source gives.
type Span struct{ Low, High float64 }

// Coefficients lists the tables, each named by what it is for; who printed it is its source.
// They disagree: hilly pasture on tight clay is 0.60 in one and at most 0.45 in the other.
// Neither knows scalded, overgrazed or degraded ground, and no table that was read does: see
// NoDegraded.
var Coefficients = []CoefficientTable{
	{
		Name:   "land-by-slope-and-soil",
		Soils:  []string{"open sandy loam", "clay and silt loam", "tight clay"},
		Source: model.Source{Title: "Schwab et al., Soil and Water Conservation Engineering, fourth edition", Place: "pp 71-73", How: model.LookedUp},
		Rows: []CoverRow{
			{"pasture", 5, []Span{{0.10, 0.10}, {0.30, 0.30}, {0.40, 0.40}}},
			{"pasture", 10, []Span{{0.16, 0.16}, {0.36, 0.36}, {0.55, 0.55}}},
			{"pasture", 30, []Span{{0.22, 0.22}, {0.42, 0.42}, {0.60, 0.60}}},
			{"woodland", 5, []Span{{0.10, 0.10}, {0.30, 0.30}, {0.40, 0.40}}},
			{"woodland", 10, []Span{{0.25, 0.25}, {0.35, 0.35}, {0.50, 0.50}}},
			{"woodland", 30, []Span{{0.30, 0.30}, {0.50, 0.50}, {0.60, 0.60}}},
			{"cultivated", 5, []Span{{0.30, 0.30}, {0.50, 0.50}, {0.60, 0.60}}},
			{"cultivated", 10, []Span{{0.40, 0.40}, {0.60, 0.60}, {0.70, 0.70}}},
			{"cultivated", 30, []Span{{0.52, 0.52}, {0.72, 0.72}, {0.82, 0.82}}},
		},
	},
	{
		Name:   "bare-and-grazed-ground",
		Soils:  []string{"heavy", "sandy"},
		Source: model.Source{Title: "California Clean Water Team fact sheet 5.1.3 (2011)", Place: "runoff coefficients", How: model.LookedUp},
		Rows: []CoverRow{
			{"bare smooth", 0, []Span{{0.30, 0.60}}},
			{"bare rough", 0, []Span{{0.20, 0.50}}},
			{"pasture", 0, []Span{{0.15, 0.45}, {0.05, 0.25}}},
			{"woodland", 0, []Span{{0.05, 0.25}}},
		},
	},
}

// Lookup reads a table. A range is answered by its middle, with the plus-minus of a value
// that may lie anywhere in it, range/√12; a single figure comes with none. A slope on the
// border of two classes is in the steeper, which runs off more. slopePct may be NaN and
// soil empty where the row does not ask for them. It returns a *model.Problem with the
// path "table", "cover", "slopePct" or "soil" for what the table does not hold.
func Lookup(table, cover, soil string, slopePct float64) (Coefficient, error) {
	t, ok := model.Find(Coefficients, func(t CoefficientTable) bool { return t.Name == table })
	if !ok {
		names := model.Each(Coefficients, func(t CoefficientTable) string { return t.Name })
		return Coefficient{}, &model.Problem{Path: "table", Reason: fmt.Sprintf("%q is not a table of coefficients", table), Fix: "take " + strings.Join(names, " or ")}
	}
	row, p := t.row(cover, slopePct)
	if p != nil {
		return Coefficient{}, p
	}
	column := 0
	if len(row.C) > 1 {
		if column = slices.Index(t.Soils, soil); column < 0 {
			return Coefficient{}, &model.Problem{Path: "soil", Reason: fmt.Sprintf("%q is no soil of the table %s", soil, t.Name), Fix: "take one of " + strings.Join(t.Soils, ", ")}
		}
	}
	c := row.C[column]
	return Coefficient{Quantity{(c.Low + c.High) / 2, ofRange(c.Low, c.High)}, c.Low, c.High, t.Source.String()}, nil
}

func (t CoefficientTable) row(cover string, slopePct float64) (CoverRow, *model.Problem) {
	classes := slices.DeleteFunc(slices.Clone(t.Rows), func(r CoverRow) bool { return r.Cover != cover }) // the flattest first
	if len(classes) == 0 {
		covers := slices.Compact(model.Each(t.Rows, func(r CoverRow) string { return r.Cover }))
		return CoverRow{}, &model.Problem{Path: "cover", Reason: fmt.Sprintf("%q is no cover of the table %s", cover, t.Name), Fix: "take one of " + strings.Join(covers, "; ")}
	}
	row := classes[len(classes)-1]
	most := row.ToSlopePct
	if most == 0 {
		return row, nil
	}
	if i := slices.IndexFunc(classes, func(r CoverRow) bool { return slopePct < r.ToSlopePct }); i >= 0 {
		row = classes[i]
	}
	return row, model.Require(slopePct >= 0 && slopePct <= most, "slopePct", "give the land's slope in percent",
		"%v is outside the slopes of the table %s, 0 to %v %%", slopePct, t.Name, most)
}
