package exchange

import (
	"maps"
	"sync"
)

// hints are what a device is to be told of the growth of its properties: one number a
// property, however much grows and however slowly the device reads.
type hints struct {
	wake chan struct{} // something is to be taken

	mu     sync.Mutex
	newest map[string]uint64 // by property, not yet taken
	told   map[string]uint64 // by property, as last taken
	seen   map[string]uint64 // by property, up to where the device has pulled
}

func newHints() hints {
	return hints{wake: make(chan struct{}, 1), newest: make(map[string]uint64), told: make(map[string]uint64), seen: make(map[string]uint64)}
}

// grown notes that a property has grown. It never waits. A device that was told and has
// not pulled since need not be told again: its pull will see all there is then.
func (h *hints) grown(property string, n uint64) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if n <= h.seen[property] || h.told[property] > h.seen[property] {
		return
	}
	h.newest[property] = max(n, h.newest[property])
	select {
	case h.wake <- struct{}{}:
	default: // the writer will find it
	}
}

// take is for the writer, which sends them.
func (h *hints) take() map[string]uint64 {
	h.mu.Lock()
	defer h.mu.Unlock()
	taken := maps.Clone(h.newest)
	maps.Copy(h.told, taken)
	clear(h.newest)
	return taken
}

// pulling notes that the device is being given what there is of a property: what comes
// while it is read must be hinted at.
func (h *hints) pulling(property string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.told, property)
}

// pulled notes up to where the device was given a property.
func (h *hints) pulled(property string, n uint64) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.seen[property] = max(n, h.seen[property])
	if h.newest[property] <= n {
		delete(h.newest, property)
	}
}
