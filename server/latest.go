package server

import (
	"context"
	"slices"

	"headcut/sync/store"
)

// version is what a view of a property was made from: its name, the registers that it is kept
// in, and how far each was read.
type version struct {
	name  string
	parts []string
	ends  []store.Position // by part
	day   string           // on which it was made, where that shows; else ""
}

// version gives what is known of a property now.
func (s *Server) version(ctx context.Context, property string) (version, error) {
	s.office.mu.RLock()
	v := version{name: s.office.property(property).Name, parts: s.office.parts(property)}
	s.office.mu.RUnlock()
	for _, part := range v.parts {
		end, err := s.store.End(ctx, part)
		if err != nil {
			return version{}, err
		}
		v.ends = append(v.ends, end)
	}
	return v, nil
}

// covers reports whether what was made of v holds all that w knows, or more.
func (v version) covers(w version) bool {
	if v.name != w.name || v.day != w.day || len(v.parts) == 0 || !slices.Equal(v.parts, w.parts) {
		return false
	}
	for i, end := range v.ends {
		if end.Epoch != w.ends[i].Epoch || end.N < w.ends[i].N {
			return false
		}
	}
	return true
}

// near reports whether at most so many entries of each register lead from v to w.
func (v version) near(w version, most int64) bool {
	if len(v.parts) == 0 || !slices.Equal(v.parts, w.parts) {
		return false
	}
	for i, end := range v.ends {
		if end.Epoch != w.ends[i].Epoch || end.N+uint64(most) < w.ends[i].N {
			return false
		}
	}
	return true
}

// latest is what was made last of a property. One request at a time makes it and the others wait, so
// that no more than one processor is at work on it however many ask.
type latest[T any] struct {
	turn chan struct{} // taken by whoever reads or makes it
	made T
	at   version // the zero version when nothing was made yet
}

func newLatest[T any]() *latest[T] { return &latest[T]{turn: make(chan struct{}, 1)} }

// of gives what covers want: what is kept, or what make makes. It never gives what is older than want,
// for what an officer has hidden must be hidden at once.
func (l *latest[T]) of(ctx context.Context, want version, make func() (T, version, error)) (made T, err error) {
	select {
	case l.turn <- struct{}{}:
	case <-ctx.Done():
		return made, ctx.Err()
	}
	defer func() { <-l.turn }()
	if l.at.covers(want) {
		return l.made, nil
	}
	made, at, err := make()
	if err == nil {
		l.made, l.at = made, at
	}
	return made, err
}
