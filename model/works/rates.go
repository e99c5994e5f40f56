package works

import (
	"fmt"
	"slices"

	"headcut/model"
)

// Rate is what the officer reckons for one unit of an item. There are no rates of our own:
// what was not given is not known.
type Rate struct {
	Item         string   `json:"item" doc:"what it is for, as the quantities name it"`
	Unit         string   `json:"unit" choices:"m|km|m2|ha|m3|kg|t|each|h" doc:"for one of which"`
	CostPerUnit  *float64 `json:"costPerUnit,omitempty" doc:"in currency; not known if not given"`
	HoursPerUnit *float64 `json:"hoursPerUnit,omitempty" unit:"h" doc:"of work; not known if not given"`
}

// paidAs are the items that the rate of another does for, unless they have their own: rock
// costs what it costs wherever it goes.
var paidAs = [...][2]string{{"rock in key", "rock"}, {"rock in apron", "rock"}, {"rock wasted", "rock"}}

// MaxRates is how many rates one list takes.
const MaxRates = 500

// Rates are the officer's, one for each item.
type Rates []Rate

// Priced is a quantity with its hours and its cost. Either is nil when the rate for it was
// not given, never nought for that reason; Note then says so.
type Priced struct {
	Quantity
	Hours, Cost                   *float64
	HoursPlusMinus, CostPlusMinus float64 // from the quantity's alone: rates are taken as exact; -1 when not known
	Note                          string
}

// Check tells what is wrong with the rates, with a path like "[2].costPerUnit".
func (r Rates) Check() error {
	if len(r) > MaxRates {
		return &model.Problem{Reason: fmt.Sprintf("has %d rates, and %d are the most", len(r), MaxRates)}
	}
	for i, one := range r {
		if p := r.wrong(i, one); p != nil {
			return p.Within(fmt.Sprintf("[%d]", i))
		}
	}
	return nil
}

func (r Rates) wrong(i int, one Rate) *model.Problem {
	_, p := unitNamed(one.Unit)
	twin := slices.IndexFunc(r, func(other Rate) bool { return other.Item == one.Item })
	rate := func(path string, v *float64) *model.Problem {
		return model.Require(orDefault(v, 0) >= 0 && orDefault(v, 0) <= 1e6, path, "", "%v is not a rate from 0 to a million for each %s", orDefault(v, 0), one.Unit)
	}
	return model.FirstProblem(
		model.Require(one.Item != "", "item", "name what the rate is for, as the quantities do", "is empty"), p,
		model.Require(twin == i, "item", "keep one of the two", "rate %d is for %q too", twin+1, one.Item),
		model.Require(one.CostPerUnit != nil || one.HoursPerUnit != nil, "costPerUnit", "give one of them, or leave the rate out", "neither a cost nor hours are given"),
		rate("costPerUnit", one.CostPerUnit), rate("hoursPerUnit", one.HoursPerUnit))
}

// Price puts the rates to the quantities, row by row in their order. Units of one kind are
// converted; a rate in a unit of another kind is refused. The error is a *model.Problem with
// a path like "rates[1].unit" or "items[3].unit".
func (r Rates) Price(items []Quantity) ([]Priced, error) {
	if err := r.Check(); err != nil {
		return nil, model.Within(err, "rates")
	}
	rows := make([]Priced, 0, len(items))
	for i, q := range items {
		if p := q.check(); p != nil {
			return nil, p.Within(fmt.Sprintf("items[%d]", i))
		}
		row, p := r.price(q)
		if p != nil {
			return nil, p
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// rateFor is the place of the rate for an item, -1 when there is none.
func (r Rates) rateFor(item string) int {
	at := slices.IndexFunc(r, func(one Rate) bool { return one.Item == item })
	for _, as := range paidAs {
		if at < 0 && as[0] == item {
			return r.rateFor(as[1])
		}
	}
	return at
}

// unpriced is the refusal of a rate in another kind of unit than the quantity's.
func (q Quantity) unpriced(i int, rate Rate) *model.Problem {
	p := &model.Problem{Path: fmt.Sprintf("rates[%d].unit", i), Reason: fmt.Sprintf("%s is counted in %s and the rate is for each %s", q.Item, q.Unit, rate.Unit), Fix: "give the rate for each " + q.Unit}
	if paid, _ := unitNamed(rate.Unit); q.Unit == "m3" && paid.base == "kg" {
		p.Fix += ", or the bulk density of what is counted, in tonnes for each m3"
	}
	return p
}

// price prices one quantity that has been checked, at rates that have been.
func (r Rates) price(q Quantity) (Priced, *model.Problem) {
	row := Priced{Quantity: q, HoursPlusMinus: -1, CostPlusMinus: -1}
	if i := r.rateFor(q.Item); i >= 0 {
		rate := r[i]
		counted, _ := unitNamed(q.Unit)
		paid, _ := unitNamed(rate.Unit)
		each := counted.size / paid.size
		if counted.base != paid.base {
			if each *= 1000 * q.TonnesPerM3; paid.base != "kg" || each == 0 { // a mass, and its volume weighs what is known
				return row, q.unpriced(i, rate)
			}
		}
		at := func(perUnit *float64) (*float64, float64) {
			if perUnit == nil {
				return nil, -1
			}
			v := q.Amount * each * *perUnit
			return &v, model.ScaledPlusMinus(each**perUnit, q.PlusMinus)
		}
		row.Hours, row.HoursPlusMinus = at(rate.HoursPerUnit)
		row.Cost, row.CostPlusMinus = at(rate.CostPerUnit)
	}
	switch {
	case row.Cost == nil && row.Hours == nil:
		row.Note = "no rate given for " + q.Item
	case row.Cost == nil:
		row.Note = "no cost given for " + q.Item
	case row.Hours == nil:
		row.Note = "no hours given for " + q.Item
	}
	return row, nil
}
