package works

import (
	"fmt"
	"slices"

	"headcut/model"
)

// Treatments lists what works are put under: the kinds of works in the register, then what
// is no work there.
var Treatments = []string{"check-dam", "whoa-boy", "rip-line", "windrow", "batter", "revegetation", "exclosure", "rock-faced-head", "earth-plug", "brush-fill", "diversion-bank", "contour-bank", "ponding-bank", "pitting", "gypsum", "fence", "track", "other"}

// MaxRows is how many quantities one bill takes.
const MaxRows = 100_000

// WorkToBuild is one work and all that it takes.
type WorkToBuild struct {
	Name      string
	Treatment string // of Treatments
	Property  string // "" where there is but one
	Count     int    // as many alike; 0: one
	Takes     []Quantity
}

// BillRow is a quantity of a work, for all that are alike, with its hours and cost.
type BillRow struct {
	Work, Treatment, Property string
	Priced
}

// Sum is what a group of works comes to. A sum that lacks a row's rate says so: it is then
// the least it can be, and never passes for the whole.
type Sum struct {
	Of                            string // a treatment, a property, or "" for all
	Hours, Cost                   float64
	HoursPlusMinus, CostPlusMinus float64 // one standard deviation, rates taken as exact; -1 when one of the rows' is not known
	HoursMissing, CostMissing     int     // rows that lack the rate
	Rows                          int
}

// Bill is the quantities of a property's works at the officer's rates.
type Bill struct {
	Rows                    []BillRow
	ByTreatment, ByProperty []Sum // in order of first mention
	Total                   Sum
}

// NewBill puts the rates to the works. Errors of the quantities of one work are taken to go
// together, since the same tape made them; those of works counted alike too; those of
// different works to be independent. The error is a *model.Problem with a path like
// "works[2].items[0].quantity".
func NewBill(all []WorkToBuild, rates Rates) (Bill, error) {
	if err := rates.Check(); err != nil {
		return Bill{}, model.Within(err, "rates")
	}
	if len(all) == 0 {
		return Bill{}, &model.Problem{Path: "works", Reason: "is empty", Fix: "give one work at least"}
	}
	b := Bill{Rows: []BillRow{}}
	treatments, properties := groups{at: map[string]int{}}, groups{at: map[string]int{}}
	for i, w := range all {
		at := fmt.Sprintf("works[%d]", i)
		if p := w.check(); p != nil {
			return Bill{}, p.Within(at)
		}
		if len(b.Rows)+len(w.Takes) > MaxRows {
			return Bill{}, &model.Problem{Path: at, Reason: fmt.Sprintf("with it there are more than %d quantities", MaxRows), Fix: "make a bill for each part"}
		}
		var takes []Priced
		for j, q := range w.Takes {
			if p := q.check(); p != nil {
				return Bill{}, p.Within(fmt.Sprintf("%s.items[%d]", at, j))
			}
			priced, p := rates.price(q.times(float64(max(w.Count, 1))))
			if p != nil {
				return Bill{}, p
			}
			takes = append(takes, priced)
			b.Rows = append(b.Rows, BillRow{w.Name, w.Treatment, w.Property, priced})
		}
		one := sumOf(takes)
		b.Total.add(one)
		treatments.add(w.Treatment, one)
		properties.add(w.Property, one)
	}
	b.ByTreatment, b.ByProperty = treatments.sums, properties.sums
	return b, nil
}

func (w WorkToBuild) check() *model.Problem {
	return model.FirstProblem(
		model.Require(slices.Contains(Treatments, w.Treatment), "treatment", "", "%q is not a treatment", w.Treatment),
		model.Require(w.Count >= 0 && w.Count <= MaxDams, "count", "", "%d is not a number of works from 1 to %d", w.Count, MaxDams),
		model.Require(len(w.Takes) > 0, "items", "say what the work takes: items, a dam, a batter or sowing", "is empty"))
}

// sumOf adds up the rows of one work, their errors with them.
func sumOf(rows []Priced) Sum {
	s := Sum{Rows: len(rows)}
	add := func(sum, plusMinus *float64, missing *int, one *float64, pm float64) {
		if one == nil {
			*missing++
			return
		}
		*sum, *plusMinus = *sum+*one, plus(*plusMinus, pm)
	}
	for _, r := range rows {
		add(&s.Hours, &s.HoursPlusMinus, &s.HoursMissing, r.Hours, r.HoursPlusMinus)
		add(&s.Cost, &s.CostPlusMinus, &s.CostMissing, r.Cost, r.CostPlusMinus)
	}
	return s
}

// add takes in the sum of another work, which errs apart from this.
func (s *Sum) add(one Sum) {
	s.Hours += one.Hours
	s.Cost += one.Cost
	s.HoursPlusMinus = model.JointPlusMinus(s.HoursPlusMinus, one.HoursPlusMinus)
	s.CostPlusMinus = model.JointPlusMinus(s.CostPlusMinus, one.CostPlusMinus)
	s.HoursMissing += one.HoursMissing
	s.CostMissing += one.CostMissing
	s.Rows += one.Rows
}

// groups are sums by name, in order of first mention.
type groups struct {
	sums []Sum
	at   map[string]int
}

func (g *groups) add(of string, one Sum) {
	i, known := g.at[of]
	if !known {
		i = len(g.sums)
		g.at[of] = i
		g.sums = append(g.sums, Sum{Of: of})
	}
	g.sums[i].add(one)
}

// Items lists what a batter takes as quantities to be priced: all of it cut, or balanced.
func (l Laid) Items(balanced bool) []Quantity {
	all := []Quantity{{Item: "batter cut", Unit: "m3", Amount: l.CutM3, PlusMinus: l.CutPlusMinusM3}}
	if balanced && l.Balanced != nil {
		m3, plusMinus := l.Balanced.CutM3, l.Balanced.CutPlusMinusM3
		all = []Quantity{{Item: "batter cut", Unit: "m3", Amount: m3, PlusMinus: plusMinus}, {Item: "batter fill", Unit: "m3", Amount: m3, PlusMinus: plusMinus}}
	}
	if l.TopsoilM3 > 0 {
		all = append(all, Quantity{Item: "topsoil", Unit: "m3", Amount: l.TopsoilM3, PlusMinus: l.TopsoilPlusMinusM3})
	}
	return all
}
