package grazing

import (
	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/statistics"
)

// How long a rest lasts at the least: tussocks are weakest in the first six to eight weeks of
// the growing season.
const (
	LeastRestDays = 6 * 7
	MostRestDays  = 8 * 7
)

// RestSources are those of what follows where cover is below its target.
var RestSources = []model.Source{
	{Title: "Gulf Savannah NRM, wet season spelling", Place: "tussocks are weakest in the first 6 to 8 weeks of growth; rest until seed is set", How: model.LookedUp},
	{Title: "Queensland DAF, Wambiana trial, implementing wet season spelling", Place: "all stock out: a few head undo the rest", How: model.LookedUp},
	{Title: "Scanlan et al. 2014, Rangeland Journal 36:429", Place: "abstract: run-down pasture takes several whole wets, and suitable stocking after; rest in the dormant season adds no perennial grass", How: model.LookedUp},
}

// GroundCover is the cover of a paddock that is held against a target.
type GroundCover struct {
	Pct             Quantity
	LowPct, HighPct *float64 // 95 % limits; nil: of the plus-minus
	TargetPct       float64  // to be kept at the end of the dry
}

// Meets tells whether the cover reaches its target: it cannot tell where neither limits nor a
// plus-minus are known.
func (g GroundCover) Meets() (monitor.Answer, error) {
	c := monitor.Cover{CoverPct: g.Pct.Value, LowPct: 0, HighPct: 100}
	if g.Pct.PlusMinus >= 0 {
		c.LowPct, c.HighPct = g.Pct.Value-statistics.Z95*g.Pct.PlusMinus, g.Pct.Value+statistics.Z95*g.Pct.PlusMinus
	}
	if g.LowPct != nil && g.HighPct != nil {
		c.LowPct, c.HighPct = *g.LowPct, *g.HighPct
	}
	return c.Meets(g.TargetPct), g.check(c).Err()
}

func (g GroundCover) check(c monitor.Cover) *model.Problem {
	return model.FirstProblem(judged("coverPct", "coverPlusMinusPct", g.Pct, 0, 100),
		model.Require((g.LowPct == nil) == (g.HighPct == nil), "coverLowPct", "give coverLowPct and coverHighPct, or neither", "one limit alone is given"),
		model.Require(g.LowPct == nil || c.LowPct >= 0 && c.LowPct <= c.CoverPct, "coverLowPct", "", "%v is not from 0 to the cover of %v %%", c.LowPct, c.CoverPct),
		model.Require(g.HighPct == nil || c.HighPct >= c.CoverPct && c.HighPct <= 100, "coverHighPct", "", "%v is not from the cover of %v to 100 %%", c.HighPct, c.CoverPct),
		model.Require(g.TargetPct > 1 && g.TargetPct <= 100, "coverTargetPct", "give per cent, not a fraction: 0.6 is 60", "is not above 1 and up to 100 %%"))
}

// WhatFollows is what the ground cover, held against its target, means for a budget.
func WhatFollows(meets monitor.Answer) string {
	switch meets {
	case monitor.Yes:
		return "Cover meets the target: stock by the lesser figure, and read the cover again at the end of the dry, when it counts."
	case monitor.No:
		return "Cover is below the target: rest first, then stock. Take all stock out from the first rains until the perennial grasses have set seed; a few head left in undo it. Run-down pasture takes the whole wet, for several wets."
	}
	return "The readings cannot tell whether the cover meets the target: read more points before stock go in. Until then hold it to be below, and rest first."
}
