package phonecompute

import (
	"headcut/model/jsonvalue"
	"headcut/model/planning"
)

type planQuestion struct {
	question
	Request planning.Request `json:"request"`
	Today   string           `json:"today,omitempty"` // where the answer is to be adopted: the day, by the officer's calendar
}

// Plan takes in what changed and plans works, as the server does on the same features.
func (s *Sheets) Plan(text []byte) ([]byte, error) {
	var q planQuestion
	if err := read(text, &q); err != nil {
		return nil, err
	}
	if err := s.take(q.question); err != nil {
		return nil, err
	}
	outcome, err := s.recorded().Plan(q.Request, q.Today)
	if err != nil {
		return nil, err
	}
	return jsonvalue.Marshal(outcome)
}
