package runoff

import (
	"fmt"

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
	if p == nil && !(c.Minutes.Value <= maxBurstMin) {
		p = &model.Problem{Path: "lengthM", Reason: fmt.Sprintf("%.0f min are longer than any design storm", c.Minutes.Value), Fix: "check the units of length and slope"}
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
