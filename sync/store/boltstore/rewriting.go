package boltstore

import (
	"sync"
	"time"
)

// A feature is written again as a whole with the entries that change it, so that a few bytes may make
// the disk write a feature's 2 MB. What features have beyond rewriteFree bytes for each byte of the
// entry, its device owes: from rewriteAtOnce on, it waits until it has paid, at rewritePerS. Others
// do not wait with it. An officer's day comes nowhere near.
const (
	rewriteFree   = 16
	rewriteAtOnce = 16 << 20
	rewritePerS   = 4 << 20
)

// rewrites are what devices owe.
type rewrites struct {
	mu   sync.Mutex
	owed map[string]debt // by device
}

// debt is the bytes owed at a time.
type debt struct {
	bytes int64
	at    time.Time
}

func (d debt) left(now time.Time) int64 {
	return d.bytes - int64(now.Sub(d.at).Seconds()*rewritePerS)
}

// charge adds what features had, for an entry of so many bytes.
func (r *rewrites) charge(device string, features, entry int, now time.Time) {
	bytes := int64(features) - rewriteFree*int64(entry)
	if bytes <= 0 {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.owed == nil {
		r.owed = make(map[string]debt)
	}
	for other, d := range r.owed {
		if d.left(now) <= 0 {
			delete(r.owed, other)
		}
	}
	r.owed[device] = debt{bytes + max(r.owed[device].left(now), 0), now}
}

// wait is how long a device must wait until it may have features written again.
func (r *rewrites) wait(device string, now time.Time) time.Duration {
	r.mu.Lock()
	defer r.mu.Unlock()
	over := r.owed[device].left(now) - rewriteAtOnce
	return time.Duration(float64(max(over, 0)) / rewritePerS * float64(time.Second))
}
