package planning

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/section"
)

// Adoption is what is to be written down of an answer.
type Adoption struct {
	Plan    string   `json:"plan"` // id of the feature that holds the plan
	Changes []Change `json:"changes"`
	Known   int      `json:"known"` // works of the plan that are there already
	Says    []string `json:"says"`  // what differs from what is there, and what to look at
}

// Change is a feature to be made, or fields of one to be edited.
type Change struct {
	recorded.Named
	New    bool                       `json:"new,omitempty"`
	Fields map[string]json.RawMessage `json:"fields"`
}

// existing is a work on the gully or track of a draft that is there already.
type existing struct {
	item   *recorded.Item
	atM    float64 // in the chainages of the draft
	crestM float64 // of a dam that stands
	toeM   float64

	crestBy string // how its crest is known
	stands  bool   // it is pegged or built: nothing here touches it

	line orb.LineString // of a line on a slope
	off  bool           // its pegs show that it does not keep to the contour
}

// offM is how far a planned work lies from it: along the gully or track, of a line on a slope from its middle.
func (e existing) offM(w proposal) float64 {
	if w.line == nil {
		return math.Abs(e.atM - w.atM)
	}
	place, err := section.Snap(w.line, at(e.line, 0.5))
	if err != nil || place.Beyond {
		return math.Inf(1)
	}
	return place.OffsetM
}

// proposal is a planned work.
type proposal struct {
	atM    float64
	fields fields
	line   orb.LineString // of a line on a slope, from end to end
	levelM float64        // at which that is to be pegged
}

// fields are values by name; what cannot be written as JSON is a slip in this package.
type fields map[string]json.RawMessage

func (f fields) put(name string, value any) {
	raw, err := jsonvalue.Marshal(value)
	if err != nil {
		panic(err)
	}
	f[name] = raw
}

// Adopt makes proposed works of the answer to a draft, and a feature that holds the plan. today is the
// day of adoption, where the officer stands. The error is a *model.Problem that says why nothing may be
// adopted.
func (p *Property) Adopt(d Draft, answer json.RawMessage, today string) (Adoption, error) {
	switch {
	case d.Input == nil:
		return Adoption{}, &model.Problem{Reason: "the draft is refused, and cannot be adopted", Fix: "do what it says first"}
	case d.sketch:
		return Adoption{}, &model.Problem{Reason: "the levels come from a run that is not closed, and cannot be adopted", Fix: "close the run, or use one that closes"}
	}
	rests := d.restsOn()
	a := &adopting{p: p, d: &d, today: today, Adoption: Adoption{Plan: p.planID(d, rests), Changes: []Change{}, Says: []string{}}}
	if propose := planned[d.Plans].adopt; propose != nil {
		if err := propose(a, answer); err != nil {
			return Adoption{}, err
		}
	}
	if p.items[a.Plan] == nil { // last, so that a plan which is there is there whole
		plan := fields{}
		plan.put("kind", model.PlanKind)
		plan.put("name", a.planName())
		plan.put("of", d.Of.Feature)
		plan.put("plans", d.Plans)
		plan.put("input", string(d.Input))
		plan.put("restsOn", rests)
		a.Changes = append(a.Changes, Change{recorded.Named{Feature: a.Plan, Kind: model.PlanKind, Name: a.planName()}, true, plan})
	}
	return a.Adoption, nil
}

// planID is the id of the plan that a draft is: the same draft is the same plan, until that is struck out.
// Then it is another, as what was struck out stays so until somebody restores it.
func (p *Property) planID(d Draft, rests string) (id string) {
	for again := 0; ; again++ {
		id = idOf("plan", d.Of.Feature, string(d.Plans), string(d.Input), rests, d.zeroAt, strconv.Itoa(again))
		if plan := p.items[id]; plan == nil || !plan.Struck {
			return id
		}
	}
}

// adopting is an adoption on its way.
type adopting struct {
	Adoption
	p     *Property
	d     *Draft
	today string
	last  map[string]int // by kind, the highest number in a name
}

func (a *adopting) say(text string, args ...any) { a.Says = append(a.Says, fmt.Sprintf(text, args...)) }

func (a *adopting) planName() string {
	return planned[a.d.Plans].called + a.p.items[a.d.Of.Feature].Called()
}

// rest is one feature that a plan rests on.
type rest struct {
	Feature string `json:"feature"`
	Name    string `json:"name,omitempty"`
	Version string `json:"version"`

	Slope  section.Bed `json:"slope,omitempty"`  // of a run down a slope: its levels from the top
	LevelM *float64    `json:"levelM,omitempty"` // of a line that is proven: its contour
}

// restsOn are the features used, each once, as a plan keeps them.
func (d Draft) restsOn() string {
	var all []rest
	for _, u := range d.Used {
		if !slices.ContainsFunc(all, func(r rest) bool { return r.Feature == u.Feature }) {
			all = append(all, rest{u.Feature, u.Name, u.Version, u.slope, u.levelM})
		}
	}
	raw, _ := jsonvalue.Marshal(all) // texts always can be written
	return string(raw)
}

// write brings planned works together with those there already that may be the same. One that is
// proposed within samePlaceM is edited, one that stands there is left alone, any other is made.
func (a *adopting) write(kind, nameStem string, planned []proposal, there []existing, samePlaceM float64) {
	left := slices.Clone(there)
	for i, w := range planned {
		id := idOf("work", a.Plan, strconv.Itoa(i))
		if work := a.p.items[id]; work != nil {
			if work.Struck {
				a.say("%s was struck out since this plan was adopted: restore it by its uid, %s, if it is wanted.", work.Called(), id)
			} else {
				a.Known++
			}
			left = slices.DeleteFunc(left, func(e existing) bool { return e.item.ID == id })
			continue
		}
		w.fields.put("plan", a.Plan)
		if at, ok := a.d.frame.position(w.atM); ok {
			w.fields["geometry"] = model.AppendGeometry(nil, at)
			w.fields.put("positionBasis", model.FromPlan)
		}
		near := -1
		for k, e := range left {
			if off := e.offM(w); off <= samePlaceM && (near < 0 || off < left[near].offM(w)) {
				near = k
			}
		}
		if near < 0 {
			w.fields.put("kind", kind)
			w.fields.put("name", a.name(kind, nameStem))
			w.fields.put("status", model.Proposed)
			w.fields.put(model.Proposed.DateField(), a.today)
			a.Changes = append(a.Changes, Change{recorded.Named{Feature: id, Kind: kind, Name: model.TextOf(w.fields["name"])}, true, map[string]json.RawMessage(w.fields)})
			continue
		}
		e := left[near]
		left = slices.Delete(left, near, near+1)
		if e.stands {
			continue // the plan says so
		}
		keepMeasured(e.item, w.fields)
		if set := differing(e.item, w.fields); len(set) > 0 {
			a.Changes = append(a.Changes, Change{e.item.Named(), false, set})
		} else {
			a.Known++
		}
	}
	others := []string{}
	for _, e := range left {
		if !e.stands {
			others = append(others, e.item.Called()+" "+a.d.where(e.atM))
		}
	}
	switch len(others) {
	case 0:
	case 1:
		a.say("%s is proposed and is not in this layout: strike it out if it is not wanted.", others[0])
	default:
		a.say("%s are proposed and are not in this layout: strike them out if they are not wanted.", inWords(others))
	}
}

// keepMeasured leaves out of what a plan says what somebody measured: a place where somebody stood, a
// chainage that was taped.
func keepMeasured(item *recorded.Item, set fields) {
	for field, basis := range map[string]string{"geometry": "positionBasis", "chainageM": "chainageBasis", "heightM": "heightBasis", "depthM": "depthBasis", "crestLengthM": "crestLengthBasis"} {
		if item.Fields[field] != nil && item.Basis(field) != model.FromPlan {
			delete(set, field)
			delete(set, basis)
		}
	}
}

// differing are the fields that the feature has not, or has otherwise.
func differing(item *recorded.Item, set fields) map[string]json.RawMessage {
	differ := map[string]json.RawMessage{}
	for name, raw := range set {
		if !bytes.Equal(item.Fields[name], raw) {
			differ[name] = raw
		}
	}
	return differ
}

// name is the next free one of a kind: "Dam 8".
func (a *adopting) name(kind, stem string) string {
	if a.last == nil {
		a.last = map[string]int{}
	}
	if _, counted := a.last[kind]; !counted {
		for item := range a.p.of(kind) {
			digits, numbered := strings.CutPrefix(item.Text("name"), stem)
			if n, err := strconv.Atoi(digits); numbered && err == nil && n < 1e6 { // a larger one is no count
				a.last[kind] = max(a.last[kind], n)
			}
		}
	}
	a.last[kind]++
	return stem + strconv.Itoa(a.last[kind])
}

// rounded is a length to the millimetre.
func rounded(m float64) float64 { return math.Round(m*1000) / 1000 }
