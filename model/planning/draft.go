package planning

import (
	"encoding/json"
	"fmt"
	"maps"

	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/section"
)

// Draft is the input of a computation as the register gives it, with what it comes from. Chainages
// are those of the input: up a gully, along a track from one end of its survey.
type Draft struct {
	Plans       Purpose         `json:"plans"`
	Of          recorded.Named  `json:"of"`
	Computation string          `json:"computation"`
	Input       json.RawMessage `json:"input,omitempty"` // as compute.Run takes it; nil: refused
	Refused     []string        `json:"refused"`         // why there is none, and what to do
	Missing     []string        `json:"missing"`         // what to measure
	LeftOut     []LeftOut       `json:"leftOut"`
	Used        []Used          `json:"used"`
	Others      []Offered       `json:"others"`             // other level runs that the request could have named
	Currency    string          `json:"currency,omitempty"` // what its costs are in, by ISO 4217; "" where there are none, or nobody recorded it

	zeroAt   string     // as the request gave it
	frame    frame      // where the chainages of the input lie
	below    string     // of lines on a slope: the one from which places are told
	nearM    float64    // how near to a planned line a proposed one is the same
	existing []existing // works that are there already, as far as one knows where
	placesM  []float64  // of banks on a slope, down it
	levelsM  []float64  // of the ground there
	placed   slopePegs  // of the run down a slope
	works    []proposal // what is planned by the register alone, before any answer
	sketch   bool       // of levels that no closed run checks
	priced   bool       // its computation takes rates

	minded []string       // what its answer is to be read with
	wall   *recorded.Item // the edge that a batter runs along; nil: its length was given
}

// Used is what one feature gave to the input.
type Used struct {
	recorded.Named
	Version string `json:"version"`
	On      string `json:"on,omitempty"` // day recorded
	What    string `json:"what"`

	slope  section.Bed // of a run down a slope
	levelM *float64    // of a line that is proven
}

// LeftOut is a feature that the input goes without, and why.
type LeftOut struct {
	recorded.Named
	On  string `json:"on,omitempty"`
	Why string `json:"why"`
}

// Offered is a level run that could be used instead.
type Offered struct {
	recorded.Named
	On     string  `json:"on,omitempty"`
	Levels int     `json:"levels"`
	FromM  float64 `json:"fromM"`
	ToM    float64 `json:"toM"`
}

// Draft builds what a request asks for. The error is a *model.Problem about the request itself; what
// the register lacks is in the draft.
func (p *Property) Draft(r Request) (Draft, error) { return p.draft(r, p.alike()) }

func (p *Property) draft(r Request, a *alike) (Draft, error) {
	item, err := p.check(r)
	if err != nil {
		return Draft{}, err
	}
	r.Given = maps.Clone(r.Given)
	maps.DeleteFunc(r.Given, func(_ string, raw json.RawMessage) bool { return string(raw) == "null" }) // as computations take it
	plan := planned[r.Plans]
	d := &drafting{p: p, request: r, item: item, alike: a, Draft: Draft{Plans: r.Plans, zeroAt: r.ZeroAt, Of: item.Named(), Computation: plan.computation,
		Refused: []string{}, Missing: []string{}, LeftOut: []LeftOut{}, Used: []Used{}, Others: []Offered{}}}
	plan.draft(d)
	for _, name := range plan.own {
		delete(d.request.Given, name)
	}
	if len(d.Refused) == 0 {
		d.in.give(d.request.Given)
		d.Input = d.in.json()
	}
	return d.Draft, nil
}

// where is a place among the works of the draft, as a sentence has it.
func (d *Draft) where(atM float64) string {
	if d.below != "" {
		return metres(atM) + " m from " + d.below
	}
	return "at chainage " + metres(atM)
}

// drafting is a draft on its way.
type drafting struct {
	Draft
	p       *Property
	request Request
	item    *recorded.Item
	alike   *alike
	in      input
}

func (d *drafting) refuse(text string, args ...any) {
	d.Refused = append(d.Refused, fmt.Sprintf(text, args...))
}

func (d *drafting) miss(text string, args ...any) {
	d.Missing = append(d.Missing, fmt.Sprintf(text, args...))
}

func (d *drafting) use(item *recorded.Item, what string, args ...any) {
	d.Used = append(d.Used, Used{Named: item.Named(), Version: item.Version, On: item.Text("observedOn"), What: fmt.Sprintf(what, args...)})
}

func (d *drafting) leaveOut(item *recorded.Item, why string, args ...any) {
	d.LeftOut = append(d.LeftOut, LeftOut{item.Named(), item.Text("observedOn"), fmt.Sprintf(why, args...)})
}

// refuseUnsettled refuses what two people said differently.
func (d *drafting) refuseUnsettled(item *recorded.Item, fields ...string) bool {
	if item.Unsettled(fields...) == "" {
		return false
	}
	d.refuse("%s: two people changed it differently, unseen by each other. Settle the clash on the field page first.", item.Called())
	return true
}

// number is a number of the request or, where it gives none, of the settings; false without either.
func (d *drafting) number(name, setting string, what string) (m float64, ok bool) {
	if raw, given := d.request.Given[name]; given {
		return m, jsonvalue.Unmarshal(raw, &m) == nil // what is no number the computation refuses
	}
	s := d.p.settings()
	if s == nil {
		return 0, false
	}
	if m, ok = s.Number(setting); ok && !d.refuseUnsettled(s, setting) {
		d.in.put(name, m)
		d.useSettings(s, what)
	}
	return m, ok
}
