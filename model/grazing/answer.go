package grazing

import (
	"math"

	"headcut/model/monitor"
)

// oneInTen is the point of the normal distribution below which one draw in ten lies, as
// standard deviations below the mean.
const oneInTen = 1.2815515655446004

// Rule is what a figure of the budget was limited by.
type Rule string

// The rules. The lesser of their answers is the budget's.
const (
	ByResidual    Rule = "residual"
	ByUtilisation Rule = "utilisation"
)

// Allowance is one answer by each rule, and the lesser of them.
type Allowance struct {
	ByResidual    *Quantity // nil: growth keeps up with the herd
	ByUtilisation *Quantity // nil without a share
	Least         Quantity
	LimitedBy     Rule
	Cautious      *float64 // one time in ten the truth is less by either rule; nil when a plus-minus is not known
}

// Answer is a budget worked out.
type Answer struct {
	LandTypes          []LandFeed
	GrazedHa, FeedKgHa Quantity
	StandingKgHa       *Quantity  // palatable feed after detachment, ungrazed and without growth; nil where a rate of it has no days to act over
	FeedErrorFactor    *float64   // what the relative error of the feed is multiplied by on its way into what the residual leaves to eat; nil where nothing is left, or a rate of loss acts
	EatKgHa            *Allowance // feed that stock may eat, below nought where less than the residual stands; nil: without end
	UnitDaysHa         *Allowance // the same in days of one unit
	Days               *Allowance // that the herd can stay; nil without a herd, and when the feed never ends
	Units, Head        *Allowance // that can stay for the days; Head rounded down, and of one mob alone
	Demand             *Demand    // nil without a herd
}

// Demand is what the herd eats.
type Demand struct {
	Units, KgDay Quantity
	Over         *Over // nil without days
}

// Over is what the herd's demand makes of the feed over the days.
type Over struct {
	UnitDaysHa Quantity // the stocking rate times the days
	KgHa       Quantity
	OfFeedPct  *Quantity // share of the feed on offer; nil where there is none
	LeftKgHa   Quantity  // palatable feed at the end, residual and all
	MarginKgHa Quantity  // what may be eaten less what is
	LimitedBy  Rule
	Enough     monitor.Answer
}

// Answer works the budget out. It returns a *model.Problem with a path like
// "landTypes[1].quadrats.cutsG[3]" for what cannot be budgeted.
func (b Budget) Answer() (Answer, error) {
	if problem := b.check(); problem != nil {
		return Answer{}, problem
	}
	return b.work(), nil
}

// work is Answer of a budget that has been checked.
func (b Budget) work() Answer {
	p := planOf(b)
	out := Answer{
		GrazedHa: p.figure(func(c course) float64 { return c.grazedHa }),
		FeedKgHa: p.figure(func(c course) float64 { return c.feedKgHa }),
	}
	for _, l := range b.Paddock.LandTypes {
		out.LandTypes = append(out.LandTypes, b.Paddock.feed(l))
	}
	if !b.Detachment.Per30Days || b.Days > 0 {
		out.StandingKgHa = new(p.figure(func(c course) float64 { return c.standing(b.Days) }))
	}
	out.EatKgHa = p.least(p.eaten, func(c course) float64 { return c.useKgHa })
	if e := out.EatKgHa; e != nil && e.ByResidual != nil && e.ByResidual.Value > 0 && !b.Detachment.Per30Days {
		out.FeedErrorFactor = new(out.StandingKgHa.Value / e.ByResidual.Value)
	}
	out.UnitDaysHa = p.least(per(p.eaten, unit), per(func(c course) float64 { return c.useKgHa }, unit)).notBelowNought()
	if b.Days > 0 {
		residual := func(c course) float64 { return c.residualEaten(b.Days) * c.grazedHa / b.Days }
		use := func(c course) float64 { return c.useKgHa * c.grazedHa / b.Days }
		out.Units = p.least(per(residual, unit), per(use, unit)).notBelowNought()
		if len(b.Mobs) == 1 {
			out.Head = p.least(per(residual, head), per(use, head)).notBelowNought().whole()
		}
	}
	if b.herdKnown() {
		out.Days = p.least(course.residualDays, func(c course) float64 { return c.useKgHa / c.demandKgHaDay() }).notBelowNought()
		out.Demand = p.demand(out.EatKgHa)
	}
	return out
}

// eaten is what may be eaten by the residual: over the days, or while the herd can stay where
// that depends on the time.
func (p *plan) eaten(c course) float64 {
	if p.Days == 0 && (c.rate || p.GrowthKgHaDay != nil) {
		return c.residualDays() * c.demandKgHaDay()
	}
	return c.residualEaten(p.Days)
}

func unit(c course) float64 { return c.intakeKgDay }
func head(c course) float64 { return c.intakeKgDay * c.unitsPerHead }

// per is a figure over another.
func per(of, over func(course) float64) func(course) float64 {
	return func(c course) float64 { return of(c) / over(c) }
}

// least is the lesser of the answers by residual and by utilisation, nil when neither ends.
// Its plus-minus is that of the lesser alone.
func (p *plan) least(byResidual, byUse func(course) float64) *Allowance {
	var a Allowance
	if q := p.figure(byResidual); !math.IsInf(q.Value, 1) {
		a.ByResidual, a.Least, a.LimitedBy = &q, q, ByResidual
	}
	if p.Utilisation != nil {
		if q := p.figure(byUse); a.ByResidual == nil || q.Value < a.Least.Value {
			a.ByUtilisation, a.Least, a.LimitedBy = &q, q, ByUtilisation
		} else {
			a.ByUtilisation = &q
		}
	}
	if a.LimitedBy == "" {
		return nil
	}
	a.Cautious = new(math.Inf(1))
	for _, q := range []*Quantity{a.ByResidual, a.ByUtilisation} {
		switch {
		case q == nil || a.Cautious == nil:
		case q.PlusMinus < 0:
			a.Cautious = nil
		default: // a rule that leaves more, and less surely, may be the lower one here
			*a.Cautious = min(*a.Cautious, q.Value-oneInTen*q.PlusMinus)
		}
	}
	return &a
}

// notBelowNought makes nothing of less than nothing, whose plus-minus would say nothing.
func (a *Allowance) notBelowNought() *Allowance {
	if a == nil {
		return nil
	}
	for _, q := range []*Quantity{a.ByResidual, a.ByUtilisation, &a.Least} {
		if q != nil && q.Value <= 0 {
			*q = Quantity{0, -1}
		}
	}
	if a.Cautious != nil {
		*a.Cautious = max(0, *a.Cautious)
	}
	return a
}

// whole rounds down: no part of an animal grazes.
func (a *Allowance) whole() *Allowance {
	down := func(v float64) float64 { return math.Floor(v + 1e-9) }
	for _, q := range []*Quantity{a.ByResidual, a.ByUtilisation, &a.Least} {
		if q != nil {
			q.Value = down(q.Value)
		}
	}
	if a.Cautious != nil {
		*a.Cautious = down(*a.Cautious)
	}
	return a
}

func (p *plan) demand(eat *Allowance) *Demand {
	d := &Demand{
		Units: p.figure(func(c course) float64 { return c.units }),
		KgDay: p.figure(func(c course) float64 { return c.units * c.intakeKgDay }),
	}
	if p.Days == 0 {
		return d
	}
	eats := func(c course) float64 { return c.demandKgHaDay() * p.Days }
	margin := p.least(func(c course) float64 { return c.residualEaten(p.Days) - eats(c) }, func(c course) float64 { return c.useKgHa - eats(c) })
	d.Over = &Over{
		UnitDaysHa: p.figure(func(c course) float64 { return c.units * p.Days / c.grazedHa }),
		KgHa:       p.figure(eats), MarginKgHa: margin.Least, LimitedBy: margin.LimitedBy,
		LeftKgHa: p.figure(func(c course) float64 { return c.left(p.Days) }),
		Enough:   enough(margin.Least),
	}
	if enough(eat.Least) == monitor.No { // whatever the herd eats
		d.Over.Enough = monitor.No
	}
	if p.at(p.values).feedKgHa > 0 {
		d.Over.OfFeedPct = new(p.figure(func(c course) float64 { return 100 * eats(c) / c.feedKgHa }))
	}
	return d
}

// enough is yes where the feed falls short one time in ten or less, no where it suffices as
// seldom.
func enough(margin Quantity) monitor.Answer {
	unsure := oneInTen * margin.PlusMinus
	switch {
	case margin.PlusMinus < 0:
		return monitor.CannotTell
	case margin.Value >= unsure:
		return monitor.Yes
	case margin.Value < -unsure:
		return monitor.No
	}
	return monitor.CannotTell
}
