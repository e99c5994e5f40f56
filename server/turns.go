package server

import (
	"context"
	"runtime"
	"sync"

	"headcut/model/compute"
)

// What all computations for strangers together may hold at once.
const (
	mostHeld      = 6 * compute.MaxInput // bytes of input
	mostHeldOfOne = 8                    // inputs of one client
	mostHeldInAll = 64                   // inputs
	mostComputing = 4                    // computations that run at once, on however many processors
	sparedForAcks = 1                    // processors that computations leave to devices, where there are two
)

// turns let a bounded number of computations run at once, and a bounded number wait. One
// processor is left to all else: devices' acknowledgements wait for no computation.
type turns struct {
	mu      sync.Mutex
	bytes   int64
	inputs  int
	of      map[string]int // inputs by client
	running chan struct{}
}

func newTurns() *turns {
	most := min(mostComputing, max(1, runtime.GOMAXPROCS(0)-sparedForAcks))
	return &turns{of: map[string]int{}, running: make(chan struct{}, most)}
}

// hold takes room for an input of this length, below 0 when that is not known, until release.
func (t *turns) hold(client string, length int64) (release func(), ok bool) {
	if length < 0 || length > compute.MaxInput {
		length = compute.MaxInput + 1 // it is read no further than that
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.bytes+length > mostHeld || t.inputs >= mostHeldInAll || t.of[client] >= mostHeldOfOne {
		return nil, false
	}
	t.count(client, 1, length)
	return func() {
		t.mu.Lock()
		defer t.mu.Unlock()
		t.count(client, -1, -length)
	}, true
}

func (t *turns) count(client string, one int, length int64) {
	t.inputs += one
	t.bytes += length
	if t.of[client] += one; t.of[client] == 0 {
		delete(t.of, client)
	}
}

// enter waits for a turn to compute, unless ctx ends; leave ends it.
func (t *turns) enter(ctx context.Context) (leave func(), ok bool) {
	select {
	case t.running <- struct{}{}:
		return func() { <-t.running }, true
	case <-ctx.Done():
		return nil, false
	}
}
