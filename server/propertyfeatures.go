package server

import (
	"context"
	"iter"

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
