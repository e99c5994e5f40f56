package planning

import (
	"encoding/json"
	"slices"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/section"
)

// Outcome is what a request comes to.
type Outcome struct {
	Draft
	Answer   json.RawMessage `json:"answer,omitempty"` // of the computation; none where the draft is refused
	Says     []string        `json:"says"`             // where the answer does not meet the works that stand, or the cover its target
	Beside   []Beside        `json:"beside,omitempty"` // of each value that is compared
	Adoption *Adoption       `json:"adoption,omitempty"`
}

// Plan drafts, calculates and, where adoptedOn gives the day of it, adopts. The error is a
// *model.Problem; where it is about the adoption the outcome has the draft and its answer.
func (p *Property) Plan(r Request, adoptedOn string) (o Outcome, err error) {
	if len(r.Compare) > 0 {
		if adoptedOn != "" {
			return o, &model.Problem{Path: "compare", Reason: "what is compared cannot be adopted", Fix: "choose one of the values and give it alone"}
		}
		return p.sideBySide(r)
	}
	if o, _, err = p.calculated(r, p.alike()); err != nil || o.Answer == nil || adoptedOn == "" {
		return o, err
	}
	adoption, err := p.Adopt(o.Draft, o.Answer, adoptedOn)
	if err == nil {
		o.Adoption = &adoption
	}
	return o, err
}

// alike is what requests that differ in one given field have alike. The first works it out.
type alike struct {
	*Kept
	runs *alikeRuns
}

func (p *Property) alike() *alike {
	if p.kept == nil {
		return &alike{Kept: new(Kept)}
	}
	return &alike{Kept: p.kept}
}

// Kept is what a plan leaves to the next, which needs the same levels mostly: they are written for the
// computation, and read by it, once. They are compared before they are used again, so
// that it may outlive the features they came from. The zero Kept is ready; it is not for use by several goroutines at once.
type Kept struct {
	series  compute.Series
	bed     section.Bed
	written json.RawMessage // the bed as a computation's input has it
}

// write gives a bed as a computation's input has it.
func (k *Kept) write(bed section.Bed) json.RawMessage {
	if k.written == nil || !slices.Equal(bed, k.bed) {
		k.bed, k.written = slices.Clone(bed), inJSON(bed)
	}
	return k.written
}

// calculated drafts and calculates. rest is the answer without the levels that it repeats.
func (p *Property) calculated(r Request, a *alike) (o Outcome, rest json.RawMessage, err error) {
	o.Says = []string{}
	if o.Draft, err = p.draft(r, a); err != nil || o.Input == nil {
		return o, nil, err
	}
	if o.Answer, rest, err = a.series.Run(o.Computation, o.Input); err != nil {
		return o, nil, err
	}
	o.Says = append(o.Says, o.costSays(rest)...)
	if says := planned[o.Plans].says; says != nil {
		o.Says = append(o.Says, says(&o.Draft, rest)...)
	}
	return o, rest, nil
}
