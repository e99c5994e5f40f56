package planning

import (
	"cmp"
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/model/treatment"
)

// Order is what to do first on a property.
type Order struct {
	On       monitor.Day       `json:"on"`
	Rule     string            `json:"rule"` // whose order it is
	Places   []Place           `json:"places"`
	Proposed []Proposed        `json:"proposed"`
	Spent    followup.Spending `json:"spent"`              // on works that were built
	Bill     *Bill             `json:"bill,omitempty"`     // of all that is proposed; none where the property has no rates
	NoRates  string            `json:"noRates,omitempty"`  // why there is none
	Currency string            `json:"currency,omitempty"` // by ISO 4217; "" where nobody recorded it
	LeftOut  []LeftOut         `json:"leftOut"`
	Cautions []model.Caution   `json:"cautions"`
}

// Place is an eroding place, or what sends water to one.
type Place struct {
	recorded.Named
	Step   string       `json:"step"`   // of treatment.Step
	Why    []string     `json:"why"`    // why it stands there
	First  []string     `json:"first"`  // what to do, in the trade's order
	Works  []PlaceWorks `json:"works"`  // proposed for it or standing
	Record []string     `json:"record"` // what is not known, and what to record

	step  treatment.Step
	after int // within the step, the more urgent first
}

// PlaceWorks counts the works of a kind at a place by how far they have come.
type PlaceWorks struct {
	Kind   string       `json:"kind"`
	Status model.Status `json:"status"`
	Count  int          `json:"count"`
}

// orderRule is where the order comes from, as treatment.Step has it.
const orderRule = "Prevention and the cause upslope first: stock, tracks and fences. Then water at the heads, grass on scalds, and last the gully's floor. Common practice, no source; FAO Conservation Guide 13/2, chapter I, orders catchment, diversion, structures likewise (looked up)."

var orderCautions = []model.Caution{
	{Text: "The order is of what is recorded: walk the ground after rain before any work, and see where the water comes from."},
	{Text: "Works in a watercourse, clearing and turned water may need a permit; services or heritage may lie below: ask before digging. Local codes and a licensed engineer go before this list."},
	{Text: "Stay off undercut walls and cracked ground. Keep the sensitive places of the property out of every work."},
}

// How urgent a place is within its step.
const (
	causeOfMoving = iota // recorded as the cause of a head that is cutting back; a head that does
	causeOfOther
	foundWanting // a check or a visit says that it fails, or feed or cover is below what was set
	notFoundWanting
	quiet // recorded as no longer cutting back
)

// ordering is an order on its way.
type ordering struct {
	Order
	p       *Property
	harm    map[string][]string // by feature, what visits found amiss
	retreat map[string]followup.Head
	bare    []*erodedPlace // heads and scalds that are not healed
	works   []*recorded.Item
	treated map[string]bool // tracks and fences whose banks stand and are sound
}

// Order is in which order to go about the eroding places of the property, as it is known today. The error
// is a *model.Problem.
func (p *Property) Order(today monitor.Day) (Order, error) {
	report, err := followup.Of(p.id, func(yield func(recorded.Item) bool) {
		for _, id := range model.Keys(p.items) {
			if !yield(*p.items[id]) {
				return
			}
		}
	}, followup.Request{Today: today})
	if err != nil {
		return Order{}, err
	}
	o := &ordering{p: p, harm: map[string][]string{}, retreat: map[string]followup.Head{}, treated: map[string]bool{},
		Order: Order{On: today, Rule: orderRule, Places: []Place{}, Proposed: []Proposed{}, Spent: report.Spent, LeftOut: []LeftOut{}, Cautions: orderCautions}}
	for _, d := range report.Due {
		for _, r := range d.Reasons {
			if r.Why == followup.Harm {
				o.harm[d.Feature] = append(o.harm[d.Feature], r.Text)
			}
		}
	}
	for _, h := range report.Heads {
		o.retreat[h.Feature] = h
	}
	for _, item := range p.order {
		switch {
		case !recorded.KindOf(item.Kind).Work || item.Status() == model.Removed:
		case item.Unsettled("status") != "":
			o.leaveOut(item, "two people recorded "+item.Unsettled("status")+" differently: settle which is right")
		default:
			o.works = append(o.works, item)
		}
	}
	for item := range p.of("unsorted") {
		if !item.Yes("sensitive") {
			o.leaveOut(item, "nobody said what it is: sort it, as it may be an eroding place or what started one")
		}
	}
	o.findBare()
	o.lines()
	o.paddocks()
	for _, e := range o.bare {
		o.ofBare(e)
	}
	o.floors()
	model.SortStable(o.Places, func(a, b Place) int {
		return cmp.Or(cmp.Compare(a.step, b.step), cmp.Compare(a.after, b.after), cmp.Compare(slices.Index(orderKinds, a.Kind), slices.Index(orderKinds, b.Kind)),
			cmp.Compare(a.Name, b.Name), cmp.Compare(a.Feature, b.Feature))
	})
	o.total()
	return o.Order, nil
}

// orderKinds are the kinds of places, those whose treatment comes first in front.
var orderKinds = []string{"paddock", "track", "fence", "gully-head", "scald", "thalweg"}

// add takes a place in, with its works.
func (o *ordering) add(place Place, item *recorded.Item, works []*recorded.Item) {
	place.Named, place.Step = item.Named(), place.step.String()
	place.Works = countWorks(works)
	for _, list := range []*[]string{&place.Why, &place.First, &place.Record} {
		if *list == nil {
			*list = []string{}
		}
	}
	o.Places = append(o.Places, place)
}

func (p *Place) why(text string, args ...any) {
	p.Why = append(p.Why, sentence(fmt.Sprintf(text, args...)))
}

func (p *Place) do(text string, args ...any) {
	p.First = append(p.First, sentence(fmt.Sprintf(text, args...)))
}

func (p *Place) lack(text string, args ...any) {
	if said := sentence(fmt.Sprintf(text, args...)); !slices.Contains(p.Record, said) {
		p.Record = append(p.Record, said)
	}
}

// settled tells whether nobody is at odds over these fields; else the place says what to settle.
func (p *Place) settled(item *recorded.Item, fields ...string) bool {
	if what := item.Unsettled(fields...); what != "" {
		p.lack("Of %s two people recorded %s differently: settle which is right.", item.Called(), what)
		return false
	}
	return true
}

// WorksOf counts the works that a plan proposed and that are not struck out.
func (p *Property) WorksOf(plan string) []PlaceWorks {
	var works []*recorded.Item
	for item := range p.All() {
		if item.Text("plan") == plan {
			works = append(works, item)
		}
	}
	return countWorks(works)
}

// countWorks counts works by kind and status, in the order of the kinds.
func countWorks(works []*recorded.Item) []PlaceWorks {
	counts := map[PlaceWorks]int{}
	for _, w := range works {
		counts[PlaceWorks{Kind: w.Kind, Status: w.Status()}]++
	}
	all := []PlaceWorks{}
	for _, kind := range model.Kinds {
		for _, status := range model.Statuses {
			if n := counts[PlaceWorks{Kind: kind.Name, Status: status}]; n > 0 {
				all = append(all, PlaceWorks{kind.Name, status, n})
			}
		}
	}
	return all
}

// mend says which of these works fail, and tells whether any does.
func (o *ordering) mend(place *Place, works []*recorded.Item) (fails bool) {
	for _, w := range works {
		if w.Status() == model.Proposed {
			continue
		}
		found := o.harm[w.ID]
		if len(found) > 0 {
			place.do("Mend %s, or build it again.", w.Called())
		}
		var failed []string
		for _, check := range o.p.Sheet(w).Checks {
			if check.Verdict == model.Fails {
				failed = append(failed, check.Text)
			}
		}
		if len(failed) > 0 {
			place.do("Look at %s with level and staff, and put right what its check says.", w.Called())
		}
		for _, text := range slices.Concat(found, failed) {
			place.why("%s: %s", w.Called(), text)
			fails = true
		}
	}
	return fails
}
