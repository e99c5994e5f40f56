// Package pace says how long the other end of a connection may take: deadlines follow what
// has come or gone, so that a slow link is given its time, while one that hardly moves cannot
// be held open for ever.
package pace

import "time"

// Rule is how slow the other end may be.
type Rule struct {
	Silence   time.Duration // without a byte
	Grace     time.Duration // in all, besides
	BytesPerS int64         // as fast as this
}

// Default lets a line stand still for 30 s and be as slow as 512 bytes a second; a phone at
// the edge of its signal is faster.
var Default = Rule{Silence: 30 * time.Second, Grace: time.Minute, BytesPerS: 512}

// Deadline is the time by which the next byte must have moved, of something that began at began
// and of which bytes have moved.
func (r Rule) Deadline(now, began time.Time, bytes int64) time.Time {
	next, last := now.Add(r.Silence), began.Add(r.Grace+time.Duration(float64(bytes)/float64(r.BytesPerS)*float64(time.Second)))
	if last.Before(next) {
		return last
	}
	return next
}
