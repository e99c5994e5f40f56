package runoff

import (
	"fmt"
	"math"
	"slices"

	"headcut/model"
)

// CurveSource is where the curve numbers of pasture come from.
var CurveSource = model.Source{Title: "SCS curve numbers, in K. Beven, Rainfall-Runoff Modelling: The Primer", Place: "Table B6.3.1", How: model.LookedUp}

// Condition is a condition of pasture or range, or a track, with its curve numbers for the
// hydrologic soil groups A (drains freely) to D (seals or swells).
type Condition struct {
	Name     string
	OverPct  float64 // ground cover above which pasture is in this condition
	ByGroups [4]float64
}

// Conditions lists them, the worst cover first, then the track. They are the only looked-up
// runoff figures that are tied to ground cover.
var Conditions = []Condition{
	{"poor", 0, [4]float64{68, 79, 86, 89}}, // under 50 % cover, or heavily grazed
	{"fair", 50, [4]float64{49, 69, 79, 84}},
	{"good", 75, [4]float64{39, 61, 74, 80}},
	{"dirt road", 0, [4]float64{72, 82, 87, 89}},
}

// Groups lists the hydrologic soil groups, in the order of ByGroups.
var Groups = []string{"A", "B", "C", "D"}

// Pasture is the condition of pasture with so much ground cover, in percent: poor to 50,
// fair to 75, good above. Heavy grazing is for the officer to call poor.
func Pasture(coverPct float64) (Condition, error) {
	if p := (bound{"coverPct", 0, 100, "a ground cover", " %", ""}).exactly(coverPct); p != nil {
		return Condition{}, p
	}
	c := Conditions[0]
	for _, better := range Conditions[1:3] {
		if coverPct > better.OverPct || coverPct == better.OverPct && better.Name == "fair" {
			c = better
		}
	}
	return c, nil
}

// CurveNumber is the condition's on a soil group.
func (c Condition) CurveNumber(group string) (float64, error) {
	i := slices.Index(Groups, group)
	if i < 0 {
		return 0, &model.Problem{Path: "soilGroup", Reason: fmt.Sprintf("%q is not a hydrologic soil group", group), Fix: "give A, B, C or D"}
	}
	return c.ByGroups[i], nil
}

// StormRunoff is the depth of runoff from a storm of this depth, both in mm, by curve
// number: S = 25400/CN - 254, Q = (P - 0.2 S)² / (P + 0.8 S), nought while P is below
// 0.2 S (as CurveSource). retentionMm is S. The plus-minus is to first order; it is not
// known for a storm that barely runs off, within twice its own plus-minus of none.
func StormRunoff(rainMm, curveNumber Quantity) (runoffMm Quantity, retentionMm float64, err error) {
	if p := model.FirstProblem(
		bound{"rainMm", 1, 1500, "a storm", " mm", "give millimetres: 1 inch is 25.4"}.check(rainMm, "rainPlusMinusMm"),
		bound{"curveNumber", 30, 100, "a curve number", "", "pasture has 39 to 89"}.check(curveNumber, "curveNumberPlusMinus")); p != nil {
		return Quantity{}, 0, p
	}
	cn := curveNumber.Value
	s := 25400/cn - 254
	off := rainMm.Value - 0.2*s // the storm that just runs off
	over, under := max(0, off), rainMm.Value+0.8*s
	start := model.JointPlusMinus(rainMm.PlusMinus, model.ScaledPlusMinus(0.2*25400/(cn*cn), curveNumber.PlusMinus)) // of P - 0.2 S
	share := over / under
	byRain := 2*share - share*share
	byRetention := 0.4*share + 0.8*share*share
	spread := model.JointPlusMinus(model.ScaledPlusMinus(byRain, rainMm.PlusMinus), model.ScaledPlusMinus(byRetention*25400/(cn*cn), curveNumber.PlusMinus))
	return Quantity{over * share, unlessNear(spread, math.Abs(off), start)}, s, nil
}

// unlessNear is a plus-minus, or unknown where the storm is too near to the one that just
// runs off for a first-order one to mean anything.
func unlessNear(plusMinus, off, startPlusMinus float64) float64 {
	if startPlusMinus < 0 || off < 2*startPlusMinus {
		return -1
	}
	return plusMinus
}
