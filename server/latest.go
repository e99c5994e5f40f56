package server

import (
	"context"
	"slices"
	"sync"

	"headcut/sync/store"
)

// version is what is shown of a property rests on: its name, the registers that it is kept
// in, and how far each was read.
type version struct {
	name  string
	parts []string
	ends  []store.Position // by part
	day   string           // on which it was made, of what tells that; "" of all else
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

// covers tells whether what was made of v holds all that w knows, or more.
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

// latest is what was made last of a property. One request at a time makes it, the others
// wait for that: however many ask, no more than one processor is at work on it.
type latest[T any] struct {
	mu     sync.Mutex
	made   T
	at     version       // the zero version when nothing was made yet
	making chan struct{} // closed when whoever makes it has done; nil when nobody does
}

// of gives what covers want: what is kept, or what renew makes of what was kept before. It
// never gives what is older than want, for what an officer has hidden must be hidden at once.
func (l *latest[T]) of(ctx context.Context, want version, renew func(former T, at version) (T, version, error)) (T, error) {
	for {
		l.mu.Lock()
		if l.at.covers(want) {
			defer l.mu.Unlock()
			return l.made, nil
		}
		making := l.making
		if making == nil {
			l.making = make(chan struct{})
			former, at := l.made, l.at
			l.mu.Unlock()
			return l.renewed(former, at, renew)
		}
		l.mu.Unlock()
		select {
		case <-making:
		case <-ctx.Done():
			var none T
			return none, ctx.Err()
		}
	}
}

func (l *latest[T]) renewed(former T, at version, renew func(T, version) (T, version, error)) (made T, err error) {
	err = errInternal // unless renew returns
	defer func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		if err == nil {
			l.made, l.at = made, at
		}
		close(l.making)
		l.making = nil
	}()
	made, at, err = renew(former, at)
	return made, err
}
