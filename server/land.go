package server

import (
	"context"
	"iter"

	"headcut/model"
	"headcut/model/figures"
)

// features yields a property's features as they stand, without those struck out.
func (s *Server) features(ctx context.Context, property string) iter.Seq2[model.Feature, error] {
	return func(yield func(model.Feature, error) bool) {
		for folded, err := range s.store.Features(ctx, property, nil) {
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
