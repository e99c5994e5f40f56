package grazing

import (
	"fmt"

	"headcut/model"
)

// Budget is what is asked of a paddock's feed. Units are of animals: adult equivalents, or what
// the intake is given for.
type Budget struct {
	Paddock        Paddock
	Detachment     Detachment
	UnpalatablePct Quantity     // of the standing feed, weeds and what stock leave
	ResidualKgHa   float64      // feed that must be left: a target, so that it does not err
	GrowthKgHaDay  *Quantity    // nil: none is counted
	Utilisation    *Utilisation // nil: the residual alone decides
	IntakeKgDay    Quantity     // dry matter that one unit eats in a day
	Mobs           []Mob        // nil: how many units fit is asked
	Days           float64      // how long the feed must last; 0: that is asked
}

// Detachment is what falls off, blows away and is trampled: a share of the feed over the whole
// time that it must last, or of what stands in each 30 days.
type Detachment struct {
	Pct       Quantity
	Per30Days bool
}

// Utilisation is the share that stock may eat, of the standing palatable feed or of a year's
// growth: the two are different rules, and a rate of the one is wrong for the other.
type Utilisation struct {
	Pct        float64   // a rule, so that it does not err
	GrowthKgHa *Quantity // a year's growth; nil: of the standing feed
}

// Mob is animals of one class.
type Mob struct {
	Head         int // 0: asked, of one mob alone
	UnitsPerHead Quantity
}

// MaxMobs is how many classes one herd has.
const MaxMobs = 50

// Most of what is asked: two years go past the next growing season, whose feed nobody knows.
const (
	MostDays = 730
	MostHead = 1_000_000
)

// herdKnown tells whether how many animals there are is given.
func (b Budget) herdKnown() bool { return len(b.Mobs) > 0 && b.Mobs[0].Head > 0 }

func (b Budget) check() *model.Problem {
	if p := model.FirstProblem(b.Paddock.check(),
		b.Detachment.check(),
		judged("unpalatablePct", "unpalatablePlusMinusPct", b.UnpalatablePct, 0, 95),
		model.InRange("residualKgHa", b.ResidualKgHa, 0, 10_000, "", " kg/ha", "give dry matter in kg/ha"),
		feedKgHa("residualKgHa", b.ResidualKgHa),
		within("intakeKgDay", "intakePlusMinusKgDay", b.IntakeKgDay, 0.3, 30, " kg", "give kg of dry matter that one unit eats in a day"),
		b.Utilisation.check()); p != nil {
		return p
	}
	if b.GrowthKgHaDay != nil {
		if p := within("growthKgHaDay", "growthPlusMinusKgHaDay", *b.GrowthKgHaDay, 0, 200, " kg/ha a day", ""); p != nil {
			return p
		}
	}
	if b.Days != 0 {
		if p := model.InRange("days", b.Days, 1, MostDays, "", "", "a budget ends with the next growing season"); p != nil {
			return p
		}
	}
	if p := b.checkHerd(); p != nil {
		return p
	}
	// A rate of loss and growth need a time to act over.
	asked := b.Days > 0 || b.herdKnown() || !b.Detachment.Per30Days && b.GrowthKgHaDay == nil
	return model.Require(asked, "days", "give how long the feed must last, or how many head there are", "is missing: what is lost or grows depends on the time")
}

func (d Detachment) check() *model.Problem {
	if d.Per30Days {
		return judged("detachmentPer30DaysPct", "detachmentPer30DaysPlusMinusPct", d.Pct, 0, 50)
	}
	return judged("detachmentPct", "detachmentPlusMinusPct", d.Pct, 0, 95)
}

func (u *Utilisation) check() *model.Problem {
	if u == nil {
		return nil
	}
	if p := share("utilisationPct", u.Pct, 1, 100); p != nil || u.GrowthKgHa == nil {
		return p
	}
	return within("yearGrowthKgHa", "yearGrowthPlusMinusKgHa", *u.GrowthKgHa, 20, 30_000, " kg/ha", "give dry matter in kg/ha that grows in a year")
}

func (b Budget) checkHerd() *model.Problem {
	if n := len(b.Mobs); n > MaxMobs {
		return &model.Problem{Path: "mobs", Reason: fmt.Sprintf("has %d mobs, and %d are the most", n, MaxMobs)}
	}
	for i, m := range b.Mobs {
		p := model.FirstProblem(
			within("unitsPerHead", "unitsPlusMinusPerHead", m.UnitsPerHead, 0.01, 20, "", "give adult equivalents, or other units, for each head"),
			model.Require(m.Head > 0 || len(b.Mobs) == 1 && m.Head == 0, "head", "only of one mob alone can be asked how many fit", "is missing"),
			model.Require(m.Head <= MostHead, "head", "", "%d is more than %d", m.Head, MostHead))
		if p != nil {
			return p.Within(fmt.Sprintf("mobs[%d]", i))
		}
	}
	return nil
}
