package runoff

import (
	"math"

	"headcut/model"
)

func missing(path, fix string) *model.Problem {
	return &model.Problem{Path: path, Reason: "is missing, and this method needs it", Fix: fix}
}

func (g Ground) length(least, most float64) *model.Problem {
	return bound{"lengthM", least, most, "a path for this method", " m", "give metres, not kilometres; sheet flow is short, a stream is for another method"}.
		needed(g.LengthM, "lengthPlusMinusM", "measure the longest path of the water")
}

func (g Ground) slope(most float64) *model.Problem {
	return bound{"slopePct", leastSlopePct, most, "a slope for this method", " %", "give percent: 3 for 0.03 m in a metre; 1 degree is 1.75 %"}.
		needed(g.SlopePct, "slopePlusMinusPct", "give the fall of that path over its length, in percent")
}

func (g Ground) area(most float64) *model.Problem {
	return bound{"areaHa", 0.1, most, "a catchment for this method", " ha", "give hectares: 100 ha is 1 km2"}.
		needed(g.AreaHa, "areaPlusMinusHa", "outline the catchment")
}

func (g Ground) horton() *model.Problem {
	if g.HortonN == nil {
		return missing("surface", "say what covers the ground, or give hortonN")
	}
	return bound{"hortonN", 0.01, 0.1, "Horton's roughness", "", "bare 0.0275, poor grass 0.035, dense grass 0.060; Manning's is another"}.check(*g.HortonN, "hortonNPlusMinus")
}

func (g Ground) manning() *model.Problem {
	return bound{"manningN", 0.01, 0.8, "Manning's roughness under sheet flow", "", "take it from the table in use where you are"}.
		needed(g.ManningN, "manningNPlusMinus", "give Manning's roughness of the ground under sheet flow")
}

// fits refuses an area that no path of this length could drain: nothing in it lies farther
// from the outlet than the path is long, so it fits into the circle around the outlet.
func (g Ground) fits() *model.Problem {
	if g.LengthM == nil || g.AreaHa == nil {
		return nil
	}
	most := math.Pi * g.LengthM.Value * g.LengthM.Value / 1e4
	return model.Require(!(g.AreaHa.Value > most), "areaHa", "check the units of both",
		"no catchment whose longest path is %v m has more than %s ha, and this has %v", g.LengthM.Value, model.RoundedDown(most, 2), g.AreaHa.Value)
}
