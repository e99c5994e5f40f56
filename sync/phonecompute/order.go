package phonecompute

import (
	"iter"

	"headcut/model/followup"
	"headcut/model/jsonvalue"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

type orderQuestion struct {
	question
	Today monitor.Day `json:"today"` // by the officer's calendar
}

// Order takes in what changed and tells in which order to go about the eroding places of the property.
func (s *Sheets) Order(text []byte) ([]byte, error) {
	var q orderQuestion
	if err := s.takeOf(text, &q, &q.question); err != nil {
		return nil, err
	}
	order, err := s.recorded().Order(q.Today)
	if err != nil {
		return nil, err
	}
	return jsonvalue.Marshal(order)
}

type followUpQuestion struct {
	orderQuestion
	Request followup.Request `json:"request"`
}

// FollowUp takes in what changed and tells what is due and how works did.
func (s *Sheets) FollowUp(text []byte) ([]byte, error) {
	var q followUpQuestion
	if err := s.takeOf(text, &q, &q.question); err != nil {
		return nil, err
	}
	q.Request.Today = q.Today
	report, err := followup.Of(s.property, s.all(), q.Request)
	if err != nil {
		return nil, err
	}
	return jsonvalue.Marshal(report)
}

// all yields the features of the property, also those struck out.
func (s *Sheets) all() iter.Seq[recorded.Item] {
	return func(yield func(recorded.Item) bool) {
		for _, item := range s.items {
			if !yield(*item) {
				return
			}
		}
	}
}
