package planning

import (
	"encoding/json"

	"headcut/model"
	"headcut/model/compute"
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
	if o, _, err = p.calculated(r, new(alike)); err != nil || o.Answer == nil || adoptedOn == "" {
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
	series compute.Series
	runs   *alikeRuns
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
