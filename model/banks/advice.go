package banks

import "headcut/model"

// Item is what a piece of advice is about.
type Item string

const (
	GradeItem      Item = "grade"
	LandSlopeItem  Item = "land slope"
	LengthItem     Item = "length"
	CatchmentItem  Item = "catchment"
	FreeboardItem  Item = "freeboard"
	SettlementItem Item = "settlement"
	TopWidthItem   Item = "top width"
)

// Advice is what one guide says of a bank. Guides that disagree stand side by side; none
// decides a verdict.
type Advice struct {
	Item      Item
	Of        string  // the bank that it is for
	Low, High float64 // equal where the guide gives one figure; High negative where it gives a least one, Low 0 where it gives a most
	Unit      string
	Source    model.Source
}

// Inside tells whether everything from low to high is as advised. A single figure is met within
// 2 %, as 0.33 % is 1 in 300.
func (a Advice) Inside(low, high float64) bool {
	slack := 0.0
	if a.Low == a.High {
		slack = 0.02 * a.Low
	}
	return low >= a.Low-slack && (a.High < 0 || high <= a.High+slack)
}

// MostCatchmentHa is what one storm drain may take; StandardCatchmentHa is what an earth dike
// may take without an engineer, 10 acres.
const (
	MostCatchmentHa     = 130
	StandardCatchmentHa = 4.05
	StandardLandPct     = 10
)

var (
	western     = model.Source{Title: "WA DPIRD, Grade banks for managing surface water", How: model.LookedUp}
	ridges      = model.Source{Title: "South African crop training page on contour ridges", How: model.LookedUp}
	stormDrains = model.Source{Title: "South African crop training page on storm drains", How: model.LookedUp}
	tropics     = model.Source{Title: "NQ Dry Tropics, gully works and The Dirt, April 2018", How: model.LookedUp}
	dikes       = model.Source{Title: "EC-9 Earth dike and drainage swale, January 2003", How: model.LookedUp}
)

// BankAdvice is what the guides say.
var BankAdvice = []Advice{
	{GradeItem, "grade banks", 0.2, 0.5, "%", model.Source{Title: "Western Australian surface water table, in a copy whose columns are broken", How: model.LookedUp}},
	{GradeItem, "graded bunds", 0.1, 0.3, "%", model.Source{Title: "Indian course note 13, Contour and graded bund", How: model.LookedUp}},
	{GradeItem, "contour ridges", 0.5, 0.5, "%", ridges},
	{GradeItem, "storm drains", 100.0 / 150, 100.0 / 150, "%", stormDrains},
	{GradeItem, "gully work in the dry tropics", 100.0 / 300, 100.0 / 300, "%", tropics},
	{GradeItem, "grassed drains", 0.2, -1, "%", model.Source{Title: "Catchments & Creeks fact sheet, Grass linings", How: model.LookedUp}},
	{LandSlopeItem, "grade banks", 2, StandardLandPct, "%", western},
	{LandSlopeItem, "earth dikes", 0, StandardLandPct, "%", dikes},
	{LengthItem, "contour ridges on sandveld", 0, 300, "m", ridges},
	{LengthItem, "contour ridges on red soil", 0, 400, "m", ridges},
	{CatchmentItem, "earth dikes", 0, StandardCatchmentHa, "har", dikes},
	{CatchmentItem, "storm drains", 0, MostCatchmentHa, "har", stormDrains},
	{FreeboardItem, "diversion ditches", 0.3 * footM, -1, "m", model.Source{Title: "Colorado DRMS permits, ditch rules", How: model.LookedUp}},
	{FreeboardItem, "terraces", 0.1, 0.3, "m", model.Source{Title: "FAO slope treatment text M30E13, one sentence", How: model.LookedUp}},
	{SettlementItem, "small dams", 10, 10, "%", model.Source{Title: "iasri e-course", Place: "lesson 25, Construction", How: model.LookedUp}},
	{TopWidthItem, "banks built with a grader", 3, 3, "m", tropics},
}

// Size is a drain as printed for a catchment.
type Size struct {
	ToHa   float64 `json:"toHa" unit:"har" doc:"largest catchment that it is printed for"`
	WidthM float64 `json:"widthM" unit:"m" doc:"of the drain"`
	DepthM float64 `json:"depthM" unit:"m" doc:"of the drain"`
}

// Sizes are storm drains that fall 1 in 150 in sandy clay under medium cover, as printed. Full,
// the largest runs at over 2 m/s, which easily eroded soil does not bear: they stand beside
// what is calculated, for comparison.
var Sizes = []Size{{4, 2, 0.4}, {10, 2.6, 0.6}, {20, 3, 0.9}, {40, 3.5, 1.1}, {100, 8, 1.2}}

// SizeFor is the smallest of Sizes for a catchment, false beyond the largest.
func SizeFor(ha float64) (Size, bool) {
	return model.Find(Sizes, func(s Size) bool { return ha <= s.ToHa })
}
