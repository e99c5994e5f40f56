package runoff

import (
	"fmt"

	"headcut/model"
	"headcut/model/elementary"
)

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
