package planning

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/model/recorded"
	"headcut/model/works"
)

// Bill is what works that are planned and not built come to, at the rates of the property, by what their plans
// say that they take.
type Bill struct {
	Works   int      `json:"works"`
	Hours   *float64 `json:"hours,omitempty"`
	Cost    *float64 `json:"cost,omitempty"`
	NoHours int      `json:"noHours"` // works of which the hours are not known, or not in full: the sum is the least it can be
	NoCost  int      `json:"noCost"`
}

// add takes in one work.
func (b *Bill) add(items []works.Quantity, rates works.Rates) {
	b.Works++
	sum := works.Sum{HoursMissing: 1, CostMissing: 1}
	if len(items) > 0 {
		work := []works.WorkToBuild{{Name: "work", Treatment: "other", Takes: items}}
		one, err := works.NewBill(work, rates)
		if err != nil { // a rate in another kind of unit, as a rate for each tonne of what is counted in m³
			one, _ = works.NewBill(work, usable(items, rates))
		}
		sum = one.Total
	}
	if sum.HoursMissing < sum.Rows {
		b.Hours = plusKnown(b.Hours, sum.Hours)
	}
	if sum.CostMissing < sum.Rows {
		b.Cost = plusKnown(b.Cost, sum.Cost)
	}
	b.NoHours += min(sum.HoursMissing, 1)
	b.NoCost += min(sum.CostMissing, 1)
}

func plusKnown(sum *float64, one float64) *float64 {
	if sum != nil {
		one += *sum
	}
	return &one
}

// usable are the rates that can be put to all of the items.
func usable(items []works.Quantity, rates works.Rates) works.Rates {
	return slices.DeleteFunc(slices.Clone(rates), func(one works.Rate) bool {
		_, err := works.Rates{one}.Price(items)
		return err != nil
	})
}

// ending rounds sums to what hours and costs are read to.
func (b *Bill) ending() {
	for _, sum := range []*float64{b.Hours, b.Cost} {
		if sum != nil {
			*sum, _ = strconv.ParseFloat(strconv.FormatFloat(*sum, 'f', 2, 64), 64)
		}
	}
}

// takenUnits are the units in a work's text of what it takes; what has none is counted in pieces.
var takenUnits = map[string]string{"m³": "m3", "m²": "m2", "m": "m", "km": "km", "ha": "ha", "kg": "kg", "t": "t", "h": "h"}

// takenItems are things that a dam's text calls otherwise than the computation quantities does.
var takenItems = map[string]string{"trench to dig": "key dug", "posts": "post", "bales": "bale"}

// taking is what a work takes by its plan, as adopting wrote it down: "1.20 m³ of rock, 2 posts"; nil where
// somebody wrote it in words of their own, or nobody did.
func taking(w *recorded.Item) (all []works.Quantity) {
	text := w.Text("takes")
	if text == "" {
		return nil
	}
	for part := range strings.SplitSeq(text, ", ") {
		number, what, _ := strings.Cut(part, " ")
		amount, err := strconv.ParseFloat(number, 64)
		if err != nil || what == "" || !(amount >= 0 && amount < works.MaxAmount) {
			return nil
		}
		q := works.Quantity{Item: what, Unit: "each", Amount: amount, PlusMinus: -1}
		if unit, of, measured := strings.Cut(what, " of "); measured && takenUnits[unit] != "" {
			q.Item, q.Unit = of, takenUnits[unit]
		}
		if item := takenItems[q.Item]; item != "" {
			q.Item = item
		}
		all = append(all, q)
	}
	return all
}

// noRates tells why nothing can be priced; "" where it can.
func (p *Property) noRates() string {
	s := p.settings()
	switch {
	case s == nil || s.Fields["rates"] == nil:
		return "The property has no rates: hours and costs are not known."
	case s.Unsettled("rates") != "":
		return "Two people recorded different rates for the property: settle which are right. Until then hours and costs are not known."
	}
	if err := ratesOf(s).Check(); err != nil {
		return fmt.Sprintf("The rates in the settings of the property cannot be used, so that hours and costs are not known: rates%v.", err)
	}
	return ""
}

// bill prices the works that are planned and not built, kind by kind and together.
func (o *ordering) bill() {
	if o.NoRates = o.p.noRates(); o.NoRates != "" {
		return
	}
	rates := ratesOf(o.p.settings())
	o.Currency = o.p.currency()
	o.Bill = &Bill{}
	for i := range o.Proposed {
		of := &Bill{}
		for _, w := range o.works {
			if w.Kind == o.Proposed[i].Kind && (w.Status() == model.Proposed || w.Status() == model.Pegged) {
				items := taking(w)
				of.add(items, rates)
				o.Bill.add(items, rates)
			}
		}
		of.ending()
		o.Proposed[i].Bill = of
	}
	o.Bill.ending()
}
