package followup

import (
	"cmp"
	"slices"

	"headcut/model"
)

// Spending is what works took to build, as whoever built them recorded it. Nothing is reckoned here.
type Spending struct {
	Kinds    []Spent `json:"kinds"`
	Together Spent   `json:"together"`
	Undated  int     `json:"undated"`            // works left out of the years asked for, since nobody recorded when they were built
	Currency string  `json:"currency,omitempty"` // what costs are in, by ISO 4217; "" where nobody recorded it
}

// Spent is the sum over works of one kind, or over all. A work of which it is not recorded adds nothing and is
// told: sums over fewer works than were built are the least that it can have been.
type Spent struct {
	Kind  string   `json:"kind,omitempty"` // "": all
	Built int      `json:"built"`          // in the years asked for
	Hours *float64 `json:"hours,omitempty"`
	Timed int      `json:"timed"` // works that have hours
	Cost  *float64 `json:"cost,omitempty"`
	Paid  int      `json:"paid"` // works that have a cost
	From  []string `json:"from"` // the works that have either
}

// spent adds up what the works that were built in the years asked for took.
func (p *property) spent(works []standing, r Request, currency string) Spending {
	out := Spending{Kinds: []Spent{}, Together: Spent{From: []string{}}, Currency: currency}
	for _, w := range works {
		switch {
		case !w.isDated && (r.From != 0 || r.To != 0):
			out.Undated++
			continue
		case w.isDated && !r.holds(w.built):
			continue
		}
		at := slices.IndexFunc(out.Kinds, func(s Spent) bool { return s.Kind == w.Kind })
		if at < 0 {
			at = len(out.Kinds)
			out.Kinds = append(out.Kinds, Spent{Kind: w.Kind, From: []string{}})
		}
		hours, timed := p.agreed(w, "spentHours")
		cost, paid := p.agreed(w, "spentCost")
		for _, s := range []*Spent{&out.Kinds[at], &out.Together} {
			s.Built++
			add(&s.Hours, &s.Timed, hours, timed)
			add(&s.Cost, &s.Paid, cost, paid)
			if timed || paid {
				s.From = append(s.From, w.ID)
			}
		}
	}
	for i := range out.Kinds {
		out.Kinds[i].ending()
	}
	out.Together.ending()
	model.SortStable(out.Kinds, func(a, b Spent) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}

// agreed is a number that nobody is at odds over; who is, is said.
func (p *property) agreed(w standing, field string) (float64, bool) {
	if what := w.Unsettled(field); what != "" {
		p.leaveOut(w.Named(), "", "%s", unsettledWords(what))
		return 0, false
	}
	return w.Number(field)
}

func add(sum **float64, of *int, amount float64, known bool) {
	if !known {
		return
	}
	if *sum == nil {
		*sum = new(0.0)
	}
	**sum += amount
	*of++
}

// ending rounds sums to what hours and costs are read to.
func (s *Spent) ending() {
	for _, sum := range []*float64{s.Hours, s.Cost} {
		if sum != nil {
			*sum = cut(*sum, 2)
		}
	}
}
