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

// Plan takes in what changed and plans works, as the server does on the same features. The page shows an answer,
// not the computation's input, and of values side by side what comes of each: the levels of a long gully, of which
// those others have most, would take longer to hand over than to plan with.
func (s *Sheets) Plan(text []byte) ([]byte, error) {
	var q planQuestion
	if err := s.takeOf(text, &q, &q.question); err != nil {
		return nil, err
	}
	outcome, err := s.recorded().Plan(q.Request, q.Today)
	if err != nil {
		return nil, err
	}
	if outcome.Input = nil; len(outcome.Beside) > 0 {
		outcome.Answer = nil
	}
	return jsonvalue.Marshal(outcome)
}
