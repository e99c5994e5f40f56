package banks

import (
	"headcut/model"
	"headcut/model/runoff"
)

// Shape is a bank's earth across it, on level ground.
type Shape struct {
	TopWidthM       float64
	BankRunPerRise  float64 // face towards the water
	OuterRunPerRise float64 // downhill face
	FreeboardM      float64 // of the settled crest above the water
	SettlePct       float64 // of the height as built that is lost
}

// Heights are a bank's three heights above its channel's bed, which are not to be mixed up.
type Heights struct {
	FlowDepthM     runoff.Quantity `json:"flowDepthM" plusMinus:"flowDepthPlusMinusM" unit:"m" doc:"of the water at its deepest"`
	SettledHeightM runoff.Quantity `json:"settledHeightM" plusMinus:"settledHeightPlusMinusM" unit:"m" doc:"of the crest once the bank has settled: the water and the freeboard"`
	BuiltHeightM   runoff.Quantity `json:"builtHeightM" plusMinus:"builtHeightPlusMinusM" unit:"m" doc:"of the crest as built: the settled height divided by what settling leaves"`
}

// Heights are those of a bank that holds water of a depth. The settled height is divided by
// 1 - s: times 1 + s would be lower, by 1 % of the height at a settling of 10 %.
func (s Shape) Heights(depthM runoff.Quantity) Heights {
	settled := runoff.Quantity{Value: depthM.Value + s.FreeboardM, PlusMinus: depthM.PlusMinus}
	leaves := 1 - s.SettlePct/100
	return Heights{depthM, settled, runoff.Quantity{Value: settled.Value / leaves, PlusMinus: model.ScaledPlusMinus(1/leaves, settled.PlusMinus)}}
}

// BaseWidthM is how wide a bank of a height stands.
func (s Shape) BaseWidthM(heightM float64) float64 {
	return s.TopWidthM + (s.BankRunPerRise+s.OuterRunPerRise)*heightM
}

// EarthM2 is the earth in a metre of bank in cubic metres, which is its section:
// H (t + (z1 + z2) H/2).
func (s Shape) EarthM2(heightM float64) float64 {
	return heightM * (s.TopWidthM + s.BaseWidthM(heightM)) / 2
}

// earth is EarthM2 of a height with its plus-minus; its derivative is the width of the base.
func (s Shape) earth(heightM runoff.Quantity) runoff.Quantity {
	return runoff.Quantity{Value: s.EarthM2(heightM.Value), PlusMinus: model.ScaledPlusMinus(s.BaseWidthM(heightM.Value), heightM.PlusMinus)}
}

// Check tells what of s cannot be built.
func (s Shape) Check() *model.Problem {
	return model.FirstProblem(
		model.InRange("topWidthM", s.TopWidthM, 0, 10, "a top width", " m", "give metres; a grader's width of about 3 m keeps cattle pads from cutting the bank"),
		model.InRange("bankRunPerRise", s.BankRunPerRise, 1, maxBank, "a face of earth", "", "give run over rise: 3 for 3 m out to 1 m up"),
		model.InRange("outerRunPerRise", s.OuterRunPerRise, 1, maxBank, "a face of earth", "", "give run over rise: 3 for 3 m out to 1 m up"),
		model.InRange("freeboardM", s.FreeboardM, 0, 1, "a freeboard", " m", "give metres: 0.15 for a hand and a half"),
		model.InRange("settlementPct", s.SettlePct, 0, 40, "a settlement", " %", "10 for earth rolled by machines, 20 to 25 for earth tipped loose"))
}
