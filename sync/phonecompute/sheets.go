package phonecompute

import (
	"encoding/json"
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// Sheets keeps the figures of one property on the phone.
type Sheets struct {
	property string
	cache    *figures.Cache
}

type sheetsQuestion struct {
	Property string `json:"property"`
	Put      []struct {
		ID     string                     `json:"id"`
		Fields map[string]json.RawMessage `json:"fields"`
		Struck bool                       `json:"struck,omitempty"`
	} `json:"put,omitempty"` // features that are new or changed, struck ones included
	Of       []string `json:"of,omitempty"`       // features whose sheets are asked for
	Sections bool     `json:"sections,omitempty"` // the long sections are asked for
}

type sheetsAnswer struct {
	Sheets   map[string]figures.Sheet `json:"sheets"` // of those that stand
	Sections []figures.LongSection    `json:"sections,omitempty"`
}

// Ask takes in what changed and answers for the features asked about. A question about
// another property than the last begins again.
func (s *Sheets) Ask(question []byte) ([]byte, error) {
	var q sheetsQuestion
	if err := json.Unmarshal(question, &q); err != nil {
		path, why := model.JSONWords(err)
		return nil, &model.Problem{Path: path, Reason: "the question is not JSON of the right shape: " + why}
	}
	if s.cache == nil || s.property != q.Property {
		s.property, s.cache = q.Property, figures.NewCache()
	}
	var put []model.Feature
	var struck []string
	for i, f := range q.Put {
		switch {
		case f.ID == "":
			return nil, &model.Problem{Path: fmt.Sprintf("put[%d].id", i), Reason: "is missing"}
		case f.Struck:
			struck = append(struck, f.ID)
		default:
			put = append(put, register.Folded{Feature: f.ID, Fields: f.Fields}.Model())
		}
	}
	s.cache.Change(slices.Values(put), struck)
	a := sheetsAnswer{Sheets: map[string]figures.Sheet{}}
	for _, id := range q.Of {
		if sheet, ok := s.cache.Sheet(id); ok {
			a.Sheets[id] = sheet
		}
	}
	if q.Sections {
		a.Sections = s.cache.PropertyFigures().LongSections()
	}
	return json.Marshal(a)
}
