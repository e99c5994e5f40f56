package followup

import (
	"cmp"
	"fmt"
	"iter"
	"maps"
	"slices"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// LeftOut is a feature that the answer goes without, in whole or in part, and why. Of a visit it names the feature that was visited.
type LeftOut struct {
	recorded.Named
	Visit string `json:"visit,omitempty"` // id of the visit that is left out; "": the feature itself
	On    string `json:"on,omitempty"`
	Why   string `json:"why"`
}

// property is what was recorded on one property, by one day.
type property struct {
	id      string
	today   monitor.Day
	items   map[string]*recorded.Item
	order   []*recorded.Item // by name, without those struck out
	looks   map[string][]look
	undated map[string]bool // features with a look on a day not known
	leftOut []LeftOut
}

// look is a visit that judged or measured, on a day that is known and has passed.
type look struct {
	*figures.Visit
	item *recorded.Item
	day  monitor.Day
}

func (p *property) leaveOut(n recorded.Named, on, why string, args ...any) {
	p.leftOut = append(p.leftOut, LeftOut{Named: n, On: on, Why: fmt.Sprintf(why, args...)})
}

// survey takes the features of a property, also those struck out, in any order. Of two with one id the
// later stands, unless it was struck out.
func survey(id string, today monitor.Day, items iter.Seq[recorded.Item]) *property {
	p := &property{id: id, today: today, items: recorded.ByID(items), looks: map[string][]look{}, undated: map[string]bool{}}
	type called struct {
		recorded.Named
		item *recorded.Item
	}
	var all []called
	for item := range maps.Values(p.items) {
		if !item.Struck {
			all = append(all, called{item.Named(), item})
		}
	}
	model.SortStable(all, func(a, b called) int { return byName(a.Named, b.Named) })
	p.order = model.Each(all, func(c called) *recorded.Item { return c.item })
	for _, item := range p.order {
		if item.Kind == "visit" {
			p.look(item)
		}
	}
	for _, looks := range p.looks {
		model.SortStable(looks, func(a, b look) int { return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.ID, b.ID)) })
	}
	return p
}

// look takes in a visit, or says why it does not count.
func (p *property) look(item *recorded.Item) {
	v := figures.VisitOf(item.Feature)
	if !v.Looked {
		return
	}
	of := p.items[v.Of]
	out := LeftOut{Named: recorded.Named{Feature: v.Of}, Visit: v.ID, On: v.On}
	if of != nil {
		out.Named = of.Named()
	}
	day, err := monitor.ParseDay(v.On)
	clash := item.Unsettled("of", "observedOn")
	switch {
	case clash != "":
		out.Why = unsettledWords(clash)
	case of == nil:
		out.Why = "it is to a feature that is not recorded here"
	case of.Struck:
		out.Why = "what it is to was struck out"
	case v.On == "":
		p.undated[of.ID] = true
		out.Why = "its day is not recorded"
	case err != nil:
		out.Why = inWords(err)
	case day > p.today:
		out.Why = "its day has not come yet: correct the date"
	default:
		p.settle(item, v, out)
		p.looks[of.ID] = append(p.looks[of.ID], look{v, item, day}) // somebody looked, whatever of it is settled
		return
	}
	p.leftOut = append(p.leftOut, out)
}

// settle takes out of a visit what two people recorded differently.
func (p *property) settle(item *recorded.Item, v *figures.Visit, out LeftOut) {
	say := func(field string) bool {
		what := item.Unsettled(field)
		if what != "" {
			out.Why = unsettledWords(what)
			p.leftOut = append(p.leftOut, out)
		}
		return what != ""
	}
	if v.Condition != "" && say("condition") {
		v.Condition = ""
	}
	v.Measured = slices.DeleteFunc(v.Measured, func(m figures.Measured) bool { return say(m.Name) })
	if v.Head != nil && say("geometry") {
		v.Head = nil
	}
}

// measured is the value that a look has of a field.
func (l look) measured(field string) (figures.Measured, bool) {
	return model.Find(l.Measured, func(m figures.Measured) bool { return m.Name == field })
}

func inWords(err error) string {
	if p, ok := err.(*model.Problem); ok {
		return p.Words()
	}
	return err.Error()
}
