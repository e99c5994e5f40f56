package boltstore

import (
	"context"

	"headcut/sync/store"
)

// Watch implements [store.Register].
func (s *Store) Watch(ctx context.Context, property string) (<-chan uint64, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c := make(chan uint64, 1)
	s.watch.Lock()
	defer s.watch.Unlock()
	if s.watch.byProperty == nil {
		return nil, store.ErrClosed
	}
	if s.watch.byProperty[property] == nil {
		s.watch.byProperty[property] = make(map[chan uint64]struct{})
	}
	s.watch.byProperty[property][c] = struct{}{}
	context.AfterFunc(ctx, func() { s.unwatch(property, c) })
	return c, nil
}

func (s *Store) unwatch(property string, c chan uint64) {
	s.watch.Lock()
	defer s.watch.Unlock()
	if _, ok := s.watch.byProperty[property][c]; !ok {
		return
	}
	delete(s.watch.byProperty[property], c)
	if len(s.watch.byProperty[property]) == 0 {
		delete(s.watch.byProperty, property)
	}
	close(c)
}

// tell gives the watchers of a property its newest number, in place of one they have not
// taken yet. The committer alone calls it.
func (s *Store) tell(property string, n uint64) {
	s.watch.Lock()
	defer s.watch.Unlock()
	for c := range s.watch.byProperty[property] {
		select {
		case <-c:
		default:
		}
		c <- n // there is room: only this function sends
	}
}

func (s *Store) endWatches() {
	s.watch.Lock()
	defer s.watch.Unlock()
	for _, watchers := range s.watch.byProperty {
		for c := range watchers {
			close(c)
		}
	}
	s.watch.byProperty = nil
}
