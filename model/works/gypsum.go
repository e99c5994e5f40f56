package works

import (
	"math"

	"headcut/model"
)

// SodiumTest is what a laboratory found of a soil whose clay is to be held together by gypsum, and how far it is to be
// mended. A ± is one standard deviation, negative where it is not known.
type SodiumTest struct {
	SodiumPct, SodiumPlusMinus      float64 // exchangeable sodium, of the cations
	CationsCmolKg, CationsPlusMinus float64 // cation exchange capacity
	TargetPct                       float64 // exchangeable sodium that may stay
	DepthM                          float64 // of the soil that is mended
	DensityTM3                      float64 // of that soil, dry
	Factor                          float64 // for calcium that does not reach the clay
	PurityPct                       float64 // of the gypsum as bought, dry
}

// gypsumPerCmol: 0.86 kg of gypsum, 86 g to a mole of charge, takes 1 cmol/kg of sodium out of a tonne of soil.
const gypsumPerCmol = 0.86

// SodiumSource is where KgHa comes from.
var SodiumSource = model.Source{Title: "North Dakota State University, gypsum requirement, after Oster et al. 1999", Place: "8.6 F D rho CEC (ESP - target)/purity, t/ha", How: model.LookedUp}

// KgHa is the gypsum for a hectare with its ±, -1 where that is not known (SodiumSource).
func (s SodiumTest) KgHa() (kgHa, plusMinus float64, err error) {
	const spread = "have a soil specialist read the test: so much gypsum is not spread by a rule"
	if p := model.FirstProblem(
		inRange("sodiumPct", s.SodiumPct, 0.1, 100, "%"), inRange("targetPct", s.TargetPct, 0, 100, "%"),
		model.Require(s.SodiumPct > s.TargetPct, "targetPct", "leave the gypsum out, or give a lower target", "%v %% of sodium is wanted, and the soil has %v %%: it needs no gypsum", s.TargetPct, s.SodiumPct),
		model.Require(s.SodiumPlusMinus <= s.SodiumPct, "sodiumPlusMinusPct", "", "%v is more than the sodium itself", s.SodiumPlusMinus),
		inRange("cationsCmolKg", s.CationsCmolKg, 1, 100, "cmol/kg"),
		model.Require(s.CationsPlusMinus <= s.CationsCmolKg, "cationsPlusMinusCmolKg", "", "%v is more than the capacity itself", s.CationsPlusMinus),
		inRange("depthM", s.DepthM, 0.02, 0.5, "m"), inRange("densityTM3", s.DensityTM3, 0.8, 2, "t/m3"),
		inRange("factor", s.Factor, 1, 1.5, ""), inRange("purityPct", s.PurityPct, 20, 100, "%")); p != nil {
		return 0, -1, p
	}
	perPoint := 10_000 * gypsumPerCmol * s.Factor * s.DepthM * s.DensityTM3 * s.CationsCmolKg / s.PurityPct
	kgHa, plusMinus = perPoint*(s.SodiumPct-s.TargetPct), -1
	if p := model.Require(kgHa <= mostGypsumKgHa, "sodiumPct", spread, "it asks for %.0f kg/ha of gypsum, more than %d", kgHa, mostGypsumKgHa); p != nil {
		return 0, -1, p
	}
	if s.SodiumPlusMinus >= 0 && s.CationsPlusMinus >= 0 {
		plusMinus = math.Hypot(perPoint*s.SodiumPlusMinus, kgHa*s.CationsPlusMinus/s.CationsCmolKg)
	}
	return kgHa, plusMinus, nil
}

// mostGypsumKgHa is the rate that no table and no test may pass.
const mostGypsumKgHa = 50_000
