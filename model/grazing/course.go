package grazing

import (
	"math"

	"headcut/model/elementary"
	"headcut/model/statistics"
)

// course is what happens on the paddock's grazed hectares with one set of values.
type course struct {
	grazedHa, feedKgHa float64
	palatableKgHa      float64 // of the feed that stands at the start
	detached           float64 // share over the whole time, or in 30 days
	rate               bool    // in 30 days
	growthKgHaDay      float64
	residualKgHa       float64
	useKgHa            float64 // that may be eaten by the share of utilisation, nought without one
	intakeKgDay        float64
	units              float64 // of the whole herd
	unitsPerHead       float64 // of its first mob
}

// decay is the rate k of loss a day: what stands is multiplied by e^(-k T) in T days.
func (c course) decay() float64 { return -math.Log1p(-c.detached) / 30 }

// demandKgHaDay is what the herd eats of each hectare in a day, N e I / A.
func (c course) demandKgHaDay() float64 { return c.units * c.intakeKgDay / c.grazedHa }

// residualEaten is what may be eaten of each hectare in so many days so that the residual
// stands at their end (Y palatable feed, d detached share, R residual, G growth):
//
//	Y (1 - d) - R + G
//
// and with a loss of k a day beside the grazing c, from dP/dt = -k P + g - c (derived):
//
//	(c - g) = k (Y - R e^(k T)) / (e^(k T) - 1)
func (c course) residualEaten(days float64) float64 {
	growth := c.growthKgHaDay * days
	if k := c.decay(); c.rate && k != 0 {
		return growth + k*days*(c.palatableKgHa-c.residualKgHa*elementary.Exp(k*days))/math.Expm1(k*days)
	}
	return c.standing(days) - c.residualKgHa + growth
}

// standing is the palatable feed after detachment in so many days without grazing or growth.
func (c course) standing(days float64) float64 {
	if c.rate {
		return c.palatableKgHa * elementary.Exp(-c.decay()*days)
	}
	return c.palatableKgHa * (1 - c.detached)
}

// residualDays is how long the herd's demand c takes to bring the feed down to the residual,
// below nought where it lies under it already and +Inf where growth keeps up:
//
//	(Y (1 - d) - R) / (c - g)    or, losing k a day,    ln(1 + k (Y - R) / (k R + c - g)) / k
func (c course) residualDays() float64 {
	net, above := c.demandKgHaDay()-c.growthKgHaDay, c.standing(0)-c.residualKgHa
	k := 0.0
	if c.rate {
		k = c.decay()
	}
	fall := net + k*c.residualKgHa // of the feed in a day, when it is down to the residual
	switch {
	case above <= 0:
		return above / c.demandKgHaDay()
	case fall <= 0:
		return math.Inf(1)
	case k == 0:
		return above / net
	}
	return math.Log1p(k*above/fall) / k
}

// left is the palatable feed that stands after so many days of the herd, residual and all.
func (c course) left(days float64) float64 {
	net := c.demandKgHaDay() - c.growthKgHaDay
	if k := c.decay(); c.rate && k != 0 {
		return c.standing(days) + net*math.Expm1(-k*days)/k
	}
	return c.standing(days) - net*days
}

// plan is a budget as a list of values, each with its own error, so that each figure can be worked
// out again with one of them changed.
type plan struct {
	Budget
	values, plusMinus []float64

	// Where each of them stands in the list.
	detached, unpalatable, growth, yearGrowth, intake int
	mobs                                              []int
	lands                                             []landAt
}

// landAt is where the values of one land type stand. Land types that share a dry share or an
// eye share its place.
type landAt struct{ areaHa, sampled, factor int }

func (p *plan) add(q Quantity) int {
	p.values, p.plusMinus = append(p.values, q.Value), append(p.plusMinus, q.PlusMinus)
	return len(p.values) - 1
}

func orNought(q *Quantity) Quantity {
	if q == nil {
		return Quantity{}
	}
	return *q
}

// planOf lists what a budget that has been checked rests on.
func planOf(b Budget) *plan {
	p := &plan{Budget: b}
	p.detached, p.unpalatable = p.add(b.Detachment.Pct.of(1.0/100)), p.add(b.UnpalatablePct.of(1.0/100))
	p.intake, p.growth = p.add(b.IntakeKgDay), p.add(orNought(b.GrowthKgHaDay))
	if b.Utilisation != nil {
		p.yearGrowth = p.add(orNought(b.Utilisation.GrowthKgHa))
	}
	for _, m := range b.Mobs {
		p.mobs = append(p.mobs, p.add(m.UnitsPerHead))
	}
	dry, eye := -1, -1
	shared := func(at *int, l LandType) int {
		if *at < 0 {
			*at = p.add(b.Paddock.factor(l))
		}
		return *at
	}
	for _, l := range b.Paddock.LandTypes {
		at := landAt{areaHa: p.add(l.AreaHa), sampled: p.add(l.scatter(meanOf(l.sampled()), b.Paddock.factor(l)))}
		switch {
		case l.Cuts == nil:
			at.factor = shared(&eye, l)
		case l.Cuts.DryPct == nil:
			at.factor = shared(&dry, l)
		default:
			at.factor = p.add(b.Paddock.factor(l))
		}
		p.lands = append(p.lands, at)
	}
	return p
}

// at is the course with these values.
func (p *plan) at(v []float64) course {
	c := course{
		detached: v[p.detached], rate: p.Detachment.Per30Days, growthKgHaDay: v[p.growth],
		residualKgHa: p.ResidualKgHa, intakeKgDay: v[p.intake],
	}
	feedKg := 0.0
	for i, l := range p.lands {
		ha := v[l.areaHa] - p.Paddock.LandTypes[i].OutHa
		c.grazedHa += ha
		feedKg += ha * v[l.sampled] * v[l.factor]
	}
	c.feedKgHa = feedKg / c.grazedHa
	c.palatableKgHa = c.feedKgHa * (1 - v[p.unpalatable])
	for i, m := range p.Mobs {
		c.units += float64(m.Head) * v[p.mobs[i]]
	}
	if len(p.mobs) > 0 {
		c.unitsPerHead = v[p.mobs[0]]
	}
	if use := p.Utilisation; use != nil && use.GrowthKgHa != nil {
		c.useKgHa = v[p.yearGrowth] * use.Pct / 100
	} else if use != nil {
		c.useKgHa = c.palatableKgHa * use.Pct / 100
	}
	return c
}

// figure is a figure of the course with its plus-minus.
func (p *plan) figure(of func(course) float64) Quantity {
	return Quantity{of(p.at(p.values)), statistics.Propagate(func(v []float64) float64 { return of(p.at(v)) }, p.values, p.plusMinus)}
}
