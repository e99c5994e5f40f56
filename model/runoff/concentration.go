package runoff

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/elementary"
)

// Ground is what the methods may ask of a catchment; nil where it was not measured. Each
// formula wants its slope in a unit of its own: here it is percent throughout, and
// converted where the formula stands.
type Ground struct {
	LengthM  *Quantity // of the longest path of the water
	SlopePct *Quantity // of that path
	AreaHa   *Quantity
	HortonN  *Quantity // of the ground, for Friend
	ManningN *Quantity // of the ground under sheet flow, for the kinematic wave
	Rain     Rainfall  // for the kinematic wave
	Between  Between   // the durations of Rain; empty is LogLog

	Constant BransbyConstant // the zero value stands for the first of BransbyConstants
}

// Concentration is the time in which the whole catchment comes to answer, by one method.
type Concentration struct {
	Method       Method
	Minutes      Quantity // the plus-minus is from what was measured; the formula's own error is not known and larger
	IntensityMmH float64  // the rain it was worked out with; 0 for a method without
	Cautions     model.Cautions
}

// Limits of what a method takes.
const (
	MaxSheetM      = 200 // from memory; many texts stop at 100 m or sooner
	maxPathM       = 50_000
	maxResponseHa  = 25_000 // the catchments behind Pilgrim-McDermott, from memory
	leastSlopePct  = 0.1
	steepestPct    = 60
	sheetSlopePct  = 30
	kirpichFromPct = 3
	kirpichToPct   = 10
)

// Concentration works out the time by a method. It returns a *model.Problem with a path
// like "lengthM" for what is missing or refused.
func (g Ground) Concentration(m Method) (Concentration, error) {
	c, p := g.by(m)
	if p != nil {
		return Concentration{}, p
	}
	return c, nil
}

// Unfit is a method that the ground as given does not allow, and why.
type Unfit struct {
	Method  Method
	Problem *model.Problem
}

// Others works out all methods but one. They differ more than the runoff coefficient
// does, so they belong beside the one chosen.
func (g Ground) Others(chosen Method) (others []Concentration, unfit []Unfit) {
	for _, m := range Methods {
		if m == chosen {
			continue
		}
		if c, p := g.by(m); p != nil {
			unfit = append(unfit, Unfit{m, p})
		} else {
			others = append(others, c)
		}
	}
	return others, unfit
}

func (g Ground) by(m Method) (Concentration, *model.Problem) {
	c := Concentration{Method: m}
	var p *model.Problem
	switch m {
	case Kirpich:
		if p = model.FirstProblem(g.length(10, maxPathM), g.slope(steepestPct)); p != nil {
			break
		}
		// t = 0.0195 L^0.77 S^-0.385, min, m, m/m.
		c.Minutes = product(0.0195, power{*g.LengthM, 0.77}, power{g.slopeRatio(), -0.385})
		if s := g.SlopePct.Value; s < kirpichFromPct || s > kirpichToPct {
			c.Cautions.Add("slopePct", "Kirpich's catchments sloped 3 to 10 %%; %v %% is outside them.", s)
		}
		c.Cautions.Add("minutes", "Another text doubles Kirpich's time on grass: %.1f min.", 2*c.Minutes.Value)
	case BransbyWilliams:
		if p = model.FirstProblem(g.length(10, maxPathM), g.slope(steepestPct), g.area(maxResponseHa), g.fits()); p != nil {
			break
		}
		k := g.Constant
		if k.Value == 0 {
			k = BransbyConstants[0]
		}
		// t = 58 L / (A^0.1 S^0.2), min, km, km², m/km.
		c.Minutes = product(k.Value, power{scaled(*g.LengthM, 1e-3), 1}, power{scaled(*g.AreaHa, 0.01), -0.1}, power{scaled(*g.SlopePct, 10), -0.2})
		c.Cautions.Add("slopePct", "Bransby Williams wants the slope by equal areas under the stream's profile.")
	case PilgrimMcDermott:
		if p = model.FirstProblem(g.area(maxResponseHa), g.fits()); p != nil {
			break
		}
		// t = 0.76 A^0.38, h, km².
		c.Minutes = product(60*0.76, power{scaled(*g.AreaHa, 0.01), 0.38})
		c.Cautions.Add("minutes", "Pilgrim-McDermott is for eastern New South Wales, Victoria and the Western Australian wheatbelt, not elsewhere.")
	case Friend:
		if p = model.FirstProblem(g.length(5, MaxSheetM), g.slope(sheetSlopePct), g.horton()); p != nil {
			break
		}
		// t = 107 n L^(1/3) / S^0.2, min, m, percent; the exponent is printed as 0.333 too.
		c.Minutes = product(107, power{*g.HortonN, 1}, power{*g.LengthM, 1.0 / 3}, power{*g.SlopePct, -0.2})
		c.Cautions.Add("lengthM", "Sheet flow alone: add the time in the channel below it.")
	case Kinematic:
		if p = model.FirstProblem(g.length(5, MaxSheetM), g.slope(sheetSlopePct), g.manning()); p != nil {
			break
		}
		p = g.kinematic(&c)
		c.Cautions.Add("lengthM", "Sheet flow alone: add the time in the channel below it.")
	default:
		p = &model.Problem{Path: "method", Reason: fmt.Sprintf("%q is not a method", string(m))}
	}
	return c, p
}

// power is a quantity raised to an exponent.
type power struct {
	Quantity
	exponent float64
}

// product multiplies powers of quantities that err apart; its plus-minus is to first
// order.
func product(k float64, of ...power) Quantity {
	spread := 0.0
	for _, p := range of {
		k *= elementary.Pow(p.Value, p.exponent)
		spread = model.JointPlusMinus(spread, model.ScaledPlusMinus(p.exponent, p.relative()))
	}
	return Quantity{k, model.ScaledPlusMinus(k, spread)}
}

func scaled(q Quantity, by float64) Quantity {
	return Quantity{by * q.Value, model.ScaledPlusMinus(by, q.PlusMinus)}
}

// slopeRatio is the slope as rise over run.
func (g Ground) slopeRatio() Quantity { return scaled(*g.SlopePct, 0.01) }

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

// kinematic solves t = 6.99 (n L / √S)^0.6 / i^0.4, with t in min, L in m, S in m/m and i
// in mm/h, for a time whose own intensity i the table gives. t i^0.4 grows with t where i
// falls more slowly than t^-2.5, as it does in any table, so there is one such time and
// halving finds it. With d ln i = m d ln t the plus-minus of the time is that of the
// product, over 1 + 0.4 m.
//
// Only a straight line of intensities between durations far apart can fall faster than
// that, near its end; a time found there is one of several, and its plus-minus not known.
func (g Ground) kinematic(c *Concentration) *model.Problem {
	if len(g.Rain) == 0 {
		return missing("durations", "the kinematic wave needs the rainfall table")
	}
	if p := g.Rain.check(); p != nil {
		return p.Within("durations")
	}
	still := product(6.99, power{*g.ManningN, 0.6}, power{*g.LengthM, 0.6}, power{g.slopeRatio(), -0.3})
	reaches := func(t float64) bool {
		i, _ := g.Rain.read(t, g.Between)
		return t*elementary.Pow(i, 0.4) < still.Value
	}
	first, last := g.Rain[0].Minutes, g.Rain[len(g.Rain)-1].Minutes
	if reaches(last) {
		return &model.Problem{Path: "durations", Reason: fmt.Sprintf("the time is longer than the tabulated durations, %v to %v min", first, last), Fix: "take a longer duration from the same table"}
	}
	if !reaches(first) {
		if first > ShortestBurstMin {
			return &model.Problem{Path: "durations", Reason: fmt.Sprintf("the time is shorter than the tabulated durations, %v to %v min", first, last), Fix: "take a shorter duration from the same table"}
		}
		c.IntensityMmH = g.Rain[0].IntensityMmH
		by := elementary.Pow(c.IntensityMmH, -0.4)
		c.Minutes = Quantity{by * still.Value, model.ScaledPlusMinus(by, still.PlusMinus)}
		return nil
	}
	t := bisect(first, last, reaches)
	i, m := g.Rain.read(t, g.Between)
	c.Minutes = Unsure(t)
	if grows := 1 + 0.4*m; grows > 0.1 {
		c.Minutes.PlusMinus = model.ScaledPlusMinus(t/grows, still.relative())
	}
	c.IntensityMmH = i
	return nil
}
