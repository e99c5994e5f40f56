package phonecompute

import (
	"encoding/json"
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/jsonvalue"
	"headcut/model/planning"
	"headcut/model/recorded"
	"headcut/sync/register"
)

// Sheets keeps the figures of one property on the phone, and what works are planned from.
type Sheets struct {
	property string
	cache    *figures.Cache
	items    map[string]*recorded.Item // by id, also those struck out
	kept     planning.Kept
}

// putFeature is a feature as the page has folded it.
type putFeature struct {
	ID      string                     `json:"id"`
	Fields  map[string]json.RawMessage `json:"fields"`
	Struck  bool                       `json:"struck,omitempty"`
	Saw     map[string]uint64          `json:"saw,omitempty"`     // by device, its highest deviceSeq about the feature
	Clashes []string                   `json:"clashes,omitempty"` // fields that two people set differently
}

// question is what is asked about a property, behind what of it is new.
type question struct {
	Property string       `json:"property"`
	Put      []putFeature `json:"put,omitempty"` // features that are new or changed, struck ones included
}

type sheetsQuestion struct {
	question
	Of       []string `json:"of,omitempty"`       // features whose sheets are asked for
	Sections bool     `json:"sections,omitempty"` // the long sections are asked for
	Across   bool     `json:"across,omitempty"`   // the cross-sections are asked for
	Changed  bool     `json:"changed,omitempty"`  // of adopted plans, what they rest on and is another since
}

type sheetsAnswer struct {
	Sheets   map[string]figures.Sheet `json:"sheets"` // of those that stand
	Sections []figures.LongSection    `json:"sections,omitempty"`
	Across   []figures.CrossSection   `json:"across,omitempty"`

	Changed map[string][]planning.BaseChange `json:"changed,omitempty"` // by plan
}

// Ask takes in what changed and answers for the features asked about. A question about
// another property than the last begins again.
func (s *Sheets) Ask(text []byte) ([]byte, error) {
	var q sheetsQuestion
	if err := s.takeOf(text, &q, &q.question); err != nil {
		return nil, err
	}
	a := sheetsAnswer{Sheets: map[string]figures.Sheet{}}
	for _, id := range q.Of {
		if sheet, ok := s.cache.Sheet(id); ok {
			a.Sheets[id] = sheet
		}
	}
	if q.Sections {
		a.Sections = s.cache.PropertyFigures().LongSections()
	}
	if q.Across {
		a.Across = s.cache.PropertyFigures().CrossSections()
	}
	if q.Changed {
		recorded := s.recorded()
		a.Changed = map[string][]planning.BaseChange{}
		for _, plan := range recorded.Plans() {
			if changed := recorded.Changed(plan); len(changed) > 0 {
				a.Changed[plan.ID] = changed
			}
		}
	}
	return jsonvalue.Marshal(a)
}

func (s *Sheets) recorded() *planning.Property {
	return planning.Over(s.property, s.items, s.cache.PropertyFigures(), &s.kept)
}

// takeOf reads a question and takes in what of the property is new, which it begins with.
func (s *Sheets) takeOf(text []byte, into any, news *question) error {
	if err := read(text, into); err != nil {
		return err
	}
	return s.take(*news)
}

// take takes in what of a property is new.
func (s *Sheets) take(q question) error {
	if s.cache == nil || s.property != q.Property {
		s.property, s.cache, s.items = q.Property, figures.NewCache(), map[string]*recorded.Item{}
	}
	var put []model.Feature
	var struck []string
	for i, f := range q.Put {
		if f.ID == "" {
			return &model.Problem{Path: fmt.Sprintf("put[%d].id", i), Reason: "is missing"}
		}
		item := &recorded.Item{Feature: register.Folded{Feature: f.ID, Fields: f.Fields}.Model(),
			Version: string(register.FingerprintOf(f.Saw).Append(nil)), Struck: f.Struck, Clashes: f.Clashes}
		s.items[f.ID] = item
		if f.Struck {
			struck = append(struck, f.ID)
		} else {
			put = append(put, item.Feature)
		}
	}
	s.cache.Change(slices.Values(put), struck)
	return nil
}

// read reads a question.
func read(text []byte, into any) error {
	err := jsonvalue.Unmarshal(text, into)
	if wrong, ok := err.(*jsonvalue.Error); ok {
		return &model.Problem{Path: wrong.Path, Reason: "the question is not JSON of the right shape: " + wrong.Why}
	}
	return err
}
