package works

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/elementary"
)

// Stone is how steeply a kind of stone lies, by somebody's word.
type Stone struct {
	Name       string
	RunPerRise float64 // of the steepest face it holds
	Source     model.Source
}

var chow = model.Source{Title: "Chow 1959, as quoted in Witheridge 2009, Report on rock-sizing equations", Place: "angle of repose of rock of 100 to 500 mm", How: model.LookedUp}

// Stones lists the stones, as each handbook sorts them, the steepest first. They disagree:
// which of them holds is the officer's to say.
var Stones = []Stone{
	{"very angular", runAt(41), chow},
	{"slightly angular", runAt(40), chow},
	{"moderately rounded", runAt(39), chow},
	{"angular, by Heede", 1.25, model.Source{Title: "Heede 1976, USDA Forest Service Research Paper RM-169", Place: "angular rock", How: model.FromMemory}},
	{"rounded", runAt(37), chow},
	{"round, by Heede", 1.5, model.Source{Title: "Heede 1976, USDA Forest Service Research Paper RM-169", Place: "round rock", How: model.FromMemory}},
	{"any, by county manuals", 2, model.Source{Title: "Dane County (Wisconsin) Erosion Control and Stormwater Manual", Place: "stone check dam, side slopes", How: model.LookedUp}},
}

// runAt is the run for one of rise of a face at an angle in degrees.
func runAt(deg float64) float64 { return 1 / math.Tan(deg*math.Pi/180) }

// ReposeDeg is the angle from level of a face of so much run for one of rise.
func ReposeDeg(runPerRise float64) float64 { return math.Atan2(1, runPerRise) * 180 / math.Pi }

// stone finds a stone by its name; the first, the steepest, for none.
func stone(name string) (Stone, *model.Problem) {
	for _, s := range Stones {
		if s.Name == name || name == "" {
			return s, nil
		}
	}
	names := ""
	for _, s := range Stones {
		names += ", " + s.Name
	}
	return Stone{}, &model.Problem{Path: "stone", Reason: fmt.Sprintf("%q is not a stone whose slope is known", name), Fix: "give one of " + names[2:]}
}

// StoneSize is what somebody advises to build low dams of.
type StoneSize struct {
	MinMM, MaxMM float64 // MaxMM 0: no upper end
	Advice       string
	Source       model.Source
}

// StoneSizes lists the advice, the smallest stone first.
var StoneSizes = []StoneSize{
	{75, 150, "clear stone, for ditches draining up to 4 ha", model.Source{Title: "Dane County (Wisconsin) Erosion Control and Stormwater Manual", Place: "stone check dam", How: model.LookedUp}},
	{150, 300, "hard, durable rock", model.Source{Title: "Catchments & Creeks fact sheet CDT-3", Place: "rock check dams", How: model.LookedUp}},
	{150, 0, "rubble in two layers", model.Source{Title: "US Army correspondence course EN5465", Place: "ditch check dams", How: model.LookedUp}},
	{100, 450, "mixed: a quarter to 140 mm, a fifth 150 to 190, a quarter 200 to 300, the rest larger", model.Source{Title: "Heede 1976, USDA Forest Service Research Paper RM-169", Place: "gradation of loose rock", How: model.FromMemory}},
}

// Bounds of the equations of rock chutes: slopes they were fitted to, and more flow than any
// low dam passes.
const (
	leastChutePct = 2
	mostChutePct  = 40
	maxChuteM2S   = 2
)

// ChuteStoneM is the median stone, in metres, that does not move on a steep face that
// carries unitFlowM2S, cubic metres a second for each metre of width, down slopePct:
//
//	d₅₀ = (q S^1.5 / 0.00475)^(1/1.89)   2 to 10 %
//	d₅₀ = (q S^0.58 / 0.0393)^(1/1.89)   10 to 40 %
//
// with d₅₀ in inches and q in cubic feet a second and foot (Robinson, Rice and Kadavy 1998,
// rock chutes; the equations were looked up, those two units are from memory). A factor of
// safety, usually 1.2, comes on top.
func ChuteStoneM(unitFlowM2S, slopePct float64) (float64, error) {
	const foot = 0.3048
	if !(unitFlowM2S > 0 && unitFlowM2S <= maxChuteM2S) {
		return 0, &model.Problem{Path: "unitFlowM2S", Reason: fmt.Sprintf("%v is not a flow above 0 and up to %d m3/s for each metre of width", unitFlowM2S, maxChuteM2S), Fix: "a larger flow is a matter for an engineer"}
	}
	if !(slopePct >= leastChutePct && slopePct <= mostChutePct) {
		return 0, &model.Problem{Path: "slopePct", Reason: fmt.Sprintf("%v %% is outside the %d to %d %% the equations were fitted to", slopePct, leastChutePct, mostChutePct)}
	}
	q, slope := unitFlowM2S/(foot*foot), slopePct/100
	inches := elementary.Pow(q*elementary.Pow(slope, 0.58)/0.0393, 1/1.89)
	if slope <= 0.10 {
		inches = elementary.Pow(q*elementary.Pow(slope, 1.5)/0.00475, 1/1.89)
	}
	return inches * foot / 12, nil
}

// ChuteFactor is the usual factor of safety on the stone of a chute (Catchments & Creeks,
// Gully Erosion Part 3, Design of rock chutes; looked up).
const ChuteFactor = 1.2

// ApronStoneM is the median stone, ChuteFactor included, for the apron below the dam when
// flowM3S goes over its notch, spread no wider than that; false on beds of a slope that
// the equations of rock chutes were not fitted to, and without a notch.
func (d DamBuild) ApronStoneM(flowM3S float64) (medianM float64, fitted bool, err error) {
	if d.NotchLengthM == 0 || !(d.BedSlopePct >= leastChutePct && d.BedSlopePct <= mostChutePct) {
		return 0, false, asError(inRange("flowM3S", flowM3S, 1e-6, 100, "m3/s"))
	}
	if p := inRange("flowM3S", flowM3S/d.NotchLengthM, 1e-6, maxChuteM2S, "m3/s for each metre of notch"); p != nil {
		return 0, true, p
	}
	medianM, err = ChuteStoneM(flowM3S/d.NotchLengthM, d.BedSlopePct)
	return ChuteFactor * medianM, true, err
}
