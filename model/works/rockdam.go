package works

import (
	"cmp"
	"math"

	"headcut/model"
)

// Stone is how steeply a kind of stone lies, and who says so.
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
	return named(Stones, cmp.Or(name, Stones[0].Name), func(s Stone) string { return s.Name }, "stone", "a stone whose slope is known")
}

// StoneSize is what somebody advises to build low dams of: the smallest and the largest stone
// of the heap, whatever the flow. FlowStone is the median that a flow asks for; where the two
// differ the larger holds.
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
