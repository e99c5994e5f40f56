package planning

import "encoding/json"

// Outcome is what a request comes to.
type Outcome struct {
	Draft
	Answer   json.RawMessage `json:"answer,omitempty"` // of the computation; none where the draft is refused
	Says     []string        `json:"says"`             // where the answer does not meet the works that stand, or the cover its target
	Adoption *Adoption       `json:"adoption,omitempty"`
}

// Plan drafts, calculates and, where adoptedOn gives the day of it, adopts. The error is a
// *model.Problem; where it is about the adoption the outcome has the draft and its answer.
func (p *Property) Plan(r Request, adoptedOn string) (o Outcome, err error) {
	o.Says = []string{}
	if o.Draft, err = p.Draft(r); err != nil || o.Input == nil {
		return o, err
	}
	if o.Answer, err = o.Compute(); err != nil {
		return o, err
	}
	switch o.Plans {
	case Dams:
		o.Says = append(o.Says, o.damsBeside(o.Answer)...)
	case WhoaBoys:
		o.Says = append(o.Says, o.banksBeside(o.Answer)...)
	}
	if says := planned[o.Plans].says; says != nil {
		o.Says = append(o.Says, says(o.Answer)...)
	}
	if adoptedOn == "" {
		return o, nil
	}
	adoption, err := p.Adopt(o.Draft, o.Answer, adoptedOn)
	if err == nil {
		o.Adoption = &adoption
	}
	return o, err
}
