package exchange

import (
	"context"
	"log/slog"
	"sync"

	"headcut/sync/store"
)

// rooms share one watch of the store among all devices that follow a property.
type rooms struct {
	store store.Register
	log   *slog.Logger

	mu         sync.Mutex
	byProperty map[string]*room
}

type room struct {
	leave     context.CancelFunc
	following map[*conversation]struct{}
}

// join has c hinted at the growth of these properties.
func (r *rooms) join(c *conversation, properties []string) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, property := range properties {
		if at := r.byProperty[property]; at != nil {
			at.following[c] = struct{}{}
			continue
		}
		ctx, cancel := context.WithCancel(context.Background())
		grown, err := r.store.Watch(ctx, property)
		if err != nil {
			cancel()
			return err
		}
		at := &room{leave: cancel, following: map[*conversation]struct{}{c: {}}}
		r.byProperty[property] = at
		go func() {
			for n := range grown { // until ctx ends
				r.tell(at, property, n)
			}
		}()
	}
	return nil
}

func (r *rooms) tell(at *room, property string, n uint64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for c := range at.following {
		c.hints.grown(property, n)
	}
}

// leave has c hinted no more; the last to leave a room ends its watch.
func (r *rooms) leave(c *conversation, properties []string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, property := range properties {
		at := r.byProperty[property]
		if at == nil {
			continue
		}
		if delete(at.following, c); len(at.following) == 0 {
			at.leave()
			delete(r.byProperty, property)
		}
	}
}
