package server

import (
	"context"
	"iter"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// folded yields every feature of a property, by the ids under which they are kept: its own,
// then those of what was merged into it.
func (s *Server) folded(ctx context.Context, property string) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		s.office.mu.Lock()
		parts := s.office.parts(property)
		s.office.mu.Unlock()
		for _, part := range parts {
			for folded, err := range s.store.Features(ctx, part, nil) {
				if !yield(folded, err) || err != nil {
					return
				}
			}
		}
	}
}

// sheets are the figures of a property that landholders look at. What was merged has numbers
// of its own, by which nobody can tell what is new: its figures are worked out each time.
func (s *Server) sheets(property string) *keptSheets {
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	if len(s.office.parts(property)) > 1 {
		return newKeptSheets()
	}
	return s.kept.of(property)
}

// features yields a property's features as they stand, without those struck out.
func (s *Server) features(ctx context.Context, property string) iter.Seq2[model.Feature, error] {
	return func(yield func(model.Feature, error) bool) {
		for folded, err := range s.folded(ctx, property) {
			if err != nil {
				yield(model.Feature{}, err)
				return
			}
			if !folded.Struck && !yield(folded.Model(), nil) {
				return
			}
		}
	}
}

// land surveys a property: what the figures of one feature need of the others.
func (s *Server) land(ctx context.Context, property string) (*figures.Land, error) {
	var failed error
	land := figures.Survey(func(yield func(model.Feature) bool) {
		for f, err := range s.features(ctx, property) {
			if err != nil {
				failed = err
				return
			}
			if !yield(f) {
				return
			}
		}
	})
	return land, failed
}
