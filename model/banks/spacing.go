package banks

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/runoff"
)

const footM = 0.3048

// localUnitsM are the units that a local rule may be in.
var localUnitsM = map[string]float64{"m": 1, "cm": 0.01, "ft": footM}

// Rule spaces banks down a slope: by a line VI = UnitM (PerPct S + Constant), VI being the fall
// of the land in metres from one bank to the next and S its slope in per cent, or by rows of
// distances. The zero value spaces nothing.
type Rule struct {
	Name             string
	Text             string  // as printed, with its unit
	UnitM            float64 // of its numbers, or of the distances
	PerPct, Constant float64
	Rows             []Row  // instead of the line
	MadeFor          string // the land that it is printed for
	Source           model.Source
}

// Row is one line of a table of distances: on slopes below BelowPct, from that of the row
// before on, banks stand so far apart, measured on the level.
type Row struct {
	FromPct, BelowPct float64
	Distance          float64
}

// Local is the officer's own rule as a line; its numbers are in unit: "m", "cm" or "ft".
func Local(perPct, constant float64, unit, source string) (Rule, error) {
	unitM, known := localUnitsM[unit]
	r := Rule{Name: "local", Text: fmt.Sprintf("VI = %v S + %v %s, S in %%", perPct, constant, unit), UnitM: unitM, PerPct: perPct, Constant: constant, MadeFor: "not recorded", Source: model.Source{Title: source, How: model.CommonPractice}}
	return r, model.FirstProblem(
		model.InRange("slopeFactor", perPct, 0, 1000, "a factor of the slope", "", "VI = slopeFactor x slope in per cent + constant"),
		model.InRange("constant", constant, 0, 1000, "a constant of a spacing rule", "", "VI = slopeFactor x slope in per cent + constant"),
		model.Require(perPct+constant > 0, "constant", "give the numbers of the local rule", "a rule of nothing but noughts spaces no banks"),
		model.Require(known, "ruleUnit", "give m, cm or ft", "%q is no unit of a spacing rule", unit)).Err()
}

// LocalRows is the officer's own table: on a slope of at most UpToPct banks stand SpacingM
// apart, measured on the level.
func LocalRows(rows []model.SpacingRow, source string) (Rule, error) {
	const most = 100 // published ones have a dozen
	r := Rule{Name: "local", Text: "table of distances in m", UnitM: 1, MadeFor: "not recorded", Source: model.Source{Title: source, How: model.CommonPractice}}
	if len(rows) == 0 || len(rows) > most {
		return r, &model.Problem{Reason: fmt.Sprintf("has %d rows and may have 1 to %d", len(rows), most)}
	}
	before := model.SpacingRow{SpacingM: math.Inf(1)}
	for i, row := range rows {
		if p := model.FirstProblem(
			model.Require(row.UpToPct > before.UpToPct && row.UpToPct <= SteepestLandPct, "upToPct", "list the gentlest slope first", "%v %% does not come after %v, or is steeper than %v", row.UpToPct, before.UpToPct, SteepestLandPct),
			model.Require(row.SpacingM > 0 && row.SpacingM <= before.SpacingM, "spacingM", "banks stand nearer on steeper land", "%v m is no spacing of at most that of the row before", row.SpacingM)); p != nil {
			return r, p.Within(fmt.Sprintf("[%d]", i))
		}
		// A slope at the end of a local row is still in it.
		r.Rows = append(r.Rows, Row{before.UpToPct, math.Nextafter(row.UpToPct, math.Inf(1)), row.SpacingM})
		before = row
	}
	return r, nil
}

var (
	feet423  = []Row{{0, 12, 40}, {12, 25, 35}, {25, 40, 25}, {40, SteepestLandPct + 1, 20}}
	feetDike = []Row{{3, 5, 300}, {5, 10, 200}, {10, 25, 100}, {25, 50, 50}}
)

// Rules are published ones, none of them for grazing land: none was found that is. They
// differ almost threefold on one slope. A southern African rule, (S + soil factor)/2 ft by one
// text and over 3 in metres by another, is left out until somebody has opened the handbook.
var Rules = []Rule{
	{Name: "ramser", Text: "VI = 0.3 (S/3 + 2) m, S in %", UnitM: 0.3, PerPct: 1.0 / 3, Constant: 2, MadeFor: "ploughed land",
		Source: model.Source{Title: "NPTEL / IIT Kharagpur, Soil and Water Conservation Engineering", Place: "lecture 13", How: model.LookedUp}},
	{Name: "india-high-rainfall", Text: "VI = 10 S + 60 cm, S in %", UnitM: 0.01, PerPct: 10, Constant: 60, MadeFor: "ploughed land",
		Source: model.Source{Title: "Course slides, Design of contour and graded bunds", How: model.LookedUp}},
	{Name: "rajasthan", Text: "VI = 0.305 (0.8 S + 1.0) m, S in %", UnitM: 0.305, PerPct: 0.8, Constant: 1, MadeFor: "ploughed land",
		Source: model.Source{Title: "Directorate of Watershed and Soil Conservation, Rajasthan, bund design sheet", Place: "p. 42, factors 0.8 and 1.0", How: model.LookedUp}},
	{Name: "kenya", Text: "VI = 0.3 (S + 2)/4 m, S in %", UnitM: 0.3 / 4, PerPct: 1, Constant: 2, MadeFor: "ploughed land",
		Source: model.Source{Title: "Hillslope runoff equations annex, after Ramser 1927 and others", How: model.LookedUp}},
	{Name: "hillside-ditch", Text: "table of distances in ft", UnitM: footM, Rows: feet423, MadeFor: "hillside ditches of small steep farms",
		Source: model.Source{Title: "USDA NRCS practice standard 423 Hillside ditch", Place: "table 1", How: model.LookedUp}},
	{Name: "interceptor-dike", Text: "table of distances in ft", UnitM: footM, Rows: feetDike, MadeFor: "building sites",
		Source: model.Source{Title: "Stormwater Management Manual for Western Washington 2019", Place: "table II-3.8", How: model.LookedUp}},
}

// RuleNamed finds a published rule.
func RuleNamed(name string) (Rule, bool) {
	return model.Find(Rules, func(r Rule) bool { return r.Name == name })
}

// Slopes of land that banks stand on, in per cent. Below the least a bank's water backs up
// for hundreds of metres.
const (
	GentlestLandPct = 0.1
	SteepestLandPct = 60
)

// Spacing is how far apart banks stand.
type Spacing struct {
	VerticalM    runoff.Quantity `json:"verticalM" plusMinus:"verticalPlusMinusM" unit:"m" doc:"fall of the land from one bank to the next"`
	HorizontalM  runoff.Quantity `json:"horizontalM" plusMinus:"horizontalPlusMinusM" unit:"m" doc:"from bank to bank, measured on the level" plusMinusDoc:"one standard deviation, from that of the land's slope; none when not known"`
	AlongGroundM float64         `json:"alongGroundM" unit:"m" doc:"the same along the ground, as a tape lies"`
	LengthPerHaM float64         `json:"lengthPerHaM" unit:"m" doc:"of bank on each hectare of the map"`
}

// Space is how far apart the rule puts banks on land of a slope S:
//
//	HI = 100 VI / S   along the ground (HI² + VI²)^0.5
//
// and so HI = 100 (PerPct + Constant/S): its error is 100 Constant/S² times that of S. Within
// a row of a table the distance is fixed, and VI has the error. It returns a *model.Problem at
// "landSlopePct".
func (r Rule) Space(landSlopePct runoff.Quantity) (Spacing, error) {
	s := landSlopePct.Value
	if p := CheckLandSlope(landSlopePct); p != nil {
		return Spacing{}, p
	}
	if r.Rows == nil {
		vertical := r.UnitM * (r.PerPct*s + r.Constant)
		return spacing(runoff.Quantity{Value: vertical, PlusMinus: model.ScaledPlusMinus(r.UnitM*r.PerPct, landSlopePct.PlusMinus)},
			runoff.Quantity{Value: 100 * vertical / s, PlusMinus: model.ScaledPlusMinus(100*r.UnitM*r.Constant/(s*s), landSlopePct.PlusMinus)}), nil
	}
	// A slope on the border of two rows is in the steeper.
	row, found := model.Find(r.Rows, func(row Row) bool { return s >= row.FromPct && s < row.BelowPct })
	if !found {
		return Spacing{}, &model.Problem{Path: "landSlopePct", Reason: fmt.Sprintf("the rule %s has no row for %v %%", r.Name, s), Fix: "name another rule, or give the local one"}
	}
	horizontal := r.UnitM * row.Distance
	return spacing(runoff.Quantity{Value: horizontal * s / 100, PlusMinus: model.ScaledPlusMinus(horizontal/100, landSlopePct.PlusMinus)}, runoff.Quantity{Value: horizontal}), nil
}

func spacing(vertical, horizontal runoff.Quantity) Spacing {
	return Spacing{vertical, horizontal, math.Hypot(horizontal.Value, vertical.Value), LengthPerHaM(horizontal.Value)}
}

// LengthPerHaM is how much bank a hectare of the map takes.
func LengthPerHaM(spacingM float64) float64 { return 10_000 / spacingM }

// LandAboveHa is the land whose water one bank takes, up to the bank above it.
func LandAboveHa(lengthM, spacingM float64) float64 { return lengthM * spacingM / 10_000 }

// CheckLandSlope tells what is no slope of land that banks stand on.
func CheckLandSlope(slopePct runoff.Quantity) *model.Problem {
	return model.FirstProblem(
		model.InRange("landSlopePct", slopePct.Value, GentlestLandPct, SteepestLandPct, "a slope of land", " %", "give per cent: 3 for 3 m in 100"),
		model.Require(slopePct.PlusMinus < slopePct.Value, "landSlopePlusMinusPct", "give one standard deviation, or leave it out when it is not known", "%v is not less than the slope itself", slopePct.PlusMinus))
}
