package grazing

import (
	"fmt"

	"headcut/model"
)

// share refuses per cents that cannot be, and fractions taken for them.
func share(path string, pct, least, most float64) *model.Problem {
	return model.FirstProblem(
		model.Require(!(pct > 0 && pct < 1), path, "give per cent, not a fraction: 0.15 is 15", "%v %% looks like a fraction", pct),
		model.InRange(path, pct, least, most, "", " %", ""))
}

// judged is share of a value with a plus-minus, which stands at plusMinus.
func judged(path, plusMinus string, q Quantity, least, most float64) *model.Problem {
	return model.FirstProblem(share(path, q.Value, least, most),
		model.Require(!(q.PlusMinus > 0 && q.PlusMinus < 0.1), plusMinus, "give per cent of the feed, not a fraction", "%v looks like a fraction", q.PlusMinus),
		model.Require(q.PlusMinus <= 50, plusMinus, "leave it out when it is not known", "%v is not a ± from 0 to 50 %%", q.PlusMinus))
}

// within refuses a value out of its bounds, and a plus-minus above the value.
func within(path, plusMinus string, q Quantity, least, most float64, unit, fix string) *model.Problem {
	return model.FirstProblem(model.InRange(path, q.Value, least, most, "", unit, fix),
		model.Require(q.PlusMinus <= q.Value, plusMinus, "leave it out when it is not known", "%v is more than the value itself, %v%s", q.PlusMinus, q.Value, unit))
}

// feedKgHa refuses feed that no pasture carries, and tonnes taken for kilograms.
func feedKgHa(path string, kgHa float64) *model.Problem {
	return model.FirstProblem(model.InRange(path, kgHa, 0, MostFeedKgHa, "", " kg/ha", "give dry matter in kg/ha"),
		model.Require(kgHa == 0 || kgHa >= 20, path, "give kg/ha, not t/ha", "%v kg/ha looks like tonnes", kgHa))
}

func (s DrySample) check() *model.Problem {
	return model.FirstProblem(
		model.InRange("plateG", s.PlateG, 0, 20_000, "", " g", ""),
		model.Require(s.FreshG > s.PlateG && s.FreshG <= 20_000, "freshG", "weigh the sample on its plate", "%v g is not above the plate's %v g and up to 20000 g", s.FreshG, s.PlateG),
		model.Require(s.DryG > s.PlateG && s.DryG <= s.FreshG, "dryG", "weigh the sample on the same plate, before and after", "%v g is not above the plate's %v g and up to the %v g before drying", s.DryG, s.PlateG, s.FreshG))
}

// dryShare refuses a dry share that no plant has: wet sown grass has some 13 %.
func dryShare(q Quantity) *model.Problem {
	return judged("dryMatterPct", "dryMatterPlusMinusPct", q, 5, 100)
}

func (p Paddock) check() *model.Problem {
	if n := len(p.LandTypes); n < 1 || n > MaxLandTypes {
		return &model.Problem{Path: "landTypes", Reason: fmt.Sprintf("has %d land types", n), Fix: fmt.Sprintf("give 1 to %d", MaxLandTypes)}
	}
	if p.DryPct != nil {
		if problem := dryShare(*p.DryPct); problem != nil {
			return problem
		}
	}
	if p.EyePct >= 0 {
		if problem := share("eyePlusMinusPct", p.EyePct, 0, 60); problem != nil {
			return problem
		}
	}
	for i, l := range p.LandTypes {
		if problem := p.wrong(l); problem != nil {
			return problem.Within(fmt.Sprintf("landTypes[%d]", i))
		}
	}
	return nil
}

func (p Paddock) wrong(l LandType) *model.Problem {
	problem := model.FirstProblem(
		within("areaHa", "areaPlusMinusHa", l.AreaHa, 0.01, 1e6, " ha", ""),
		model.Require(l.OutHa >= 0 && l.OutHa < l.AreaHa.Value, "outHa", "leave the land type out when none of it is grazed", "%v ha is not from 0 to below the %v ha of the land type", l.OutHa, l.AreaHa.Value),
		model.Require((l.Cuts == nil) != (l.Looks == nil), "quadrats", "", "or photosKgHa are needed, and one of them only"))
	if problem != nil || l.Cuts == nil {
		if problem == nil {
			problem = looks(l.Looks)
		}
		return problem
	}
	if problem = l.Cuts.check(p.DryPct != nil); problem != nil {
		return problem.Within("quadrats")
	}
	kgHa := p.feed(l).KgHa.Value
	return model.Require(kgHa <= MostFeedKgHa, "quadrats", "check the frame and whether grams were weighed", "come to %.0f kg/ha of dry feed, more than the %d that any pasture carries", kgHa, MostFeedKgHa)
}

func looks(all []float64) *model.Problem {
	if n := len(all); n < 1 || n > MaxQuadrats {
		return &model.Problem{Path: "photosKgHa", Reason: fmt.Sprintf("has %d places", n), Fix: fmt.Sprintf("give 1 to %d", MaxQuadrats)}
	}
	for i, kgHa := range all {
		if problem := feedKgHa(fmt.Sprintf("photosKgHa[%d]", i), kgHa); problem != nil {
			return problem
		}
	}
	return nil
}

func (c Cuts) check(shared bool) *model.Problem {
	if n := len(c.Grams); n < 1 || n > MaxQuadrats {
		return &model.Problem{Path: "cutsG", Reason: fmt.Sprintf("has %d quadrats", n), Fix: fmt.Sprintf("give 1 to %d", MaxQuadrats)}
	}
	if problem := model.InRange("frameM2", c.FrameM2, 0.01, 10, "", " m2", "a frame of 0.5 m by 0.5 m is 0.25"); problem != nil {
		return problem
	}
	for i, g := range c.Grams {
		if problem := model.InRange(fmt.Sprintf("cutsG[%d]", i), g, 0, 50_000, "", " g", ""); problem != nil {
			return problem
		}
	}
	if c.DryPct != nil {
		return dryShare(*c.DryPct)
	}
	return model.Require(shared, "dryMatterPct", "dry samples of the cuts and give drySamples, or give the share", "is missing: fresh cuts need the share of dry matter")
}
