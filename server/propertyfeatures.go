package server

import (
	"context"
	"iter"

	"headcut/model"
	"headcut/sync/register"
)

// folded yields every feature of a property, by the ids under which they are kept: its own,
// then those of what was merged into it.
func (s *Server) folded(ctx context.Context, property string) iter.Seq2[register.Folded, error] {
	return s.ofParts(s.parts(property), func(part string) iter.Seq2[register.Folded, error] { return s.store.Features(ctx, part) })
}

// ofParts yields what read gives of each register that a property is kept in.
func (s *Server) ofParts(parts []string, read func(part string) iter.Seq2[register.Folded, error]) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		for _, part := range parts {
			for folded, err := range read(part) {
				if !yield(folded, err) || err != nil {
					return
				}
			}
		}
	}
}

// parts are the ids of the registers that a property is kept in, its own first.
func (s *Server) parts(property string) []string {
	return reading(s, func(o *office) []string { return o.parts(property) })
}

// home refuses an entry about a feature that another part of its property keeps: written here it would be a
// second feature of the same id, and stay as a stub when that part is taken out again.
func (s *Server) home(ctx context.Context, e *register.Entry) *model.Problem {
	part, kept := s.keeper(ctx, s.parts(e.Property), e.Property, e.Feature)
	if part == e.Property || !kept {
		return nil
	}
	return &model.Problem{Path: "property", Reason: "is " + quote(s.propertyOf(e.Property).Name) + ", and this item is recorded under " + quote(s.propertyOf(part).Name), Fix: "write under that one what is said of it"}
}

// keeper is which of the parts of a property keeps a feature, if any does: the one that was named, or else
// another. A property alone is not looked into.
func (s *Server) keeper(ctx context.Context, parts []string, named, feature string) (part string, kept bool) {
	if len(parts) == 1 || s.hasFeature(ctx, named, feature) {
		return named, true
	}
	for _, part := range parts {
		if part != named && s.hasFeature(ctx, part, feature) {
			return part, true
		}
	}
	return "", false
}

// hasFeature reports whether a feature is kept under a property; not where that cannot be read, which
// Append will say.
func (s *Server) hasFeature(ctx context.Context, property, feature string) bool {
	for _, err := range s.store.FeaturesNamed(ctx, property, []string{feature}) {
		return err == nil
	}
	return false
}
