package server

import (
	"sync"
	"time"
)

// tries holds back whoever guesses: after so many failures in a minute nobody is let
// through until the minute is over. It counts failures only, so honest use never meets it.
type tries struct {
	perMinute int

	mu     sync.Mutex
	minute time.Time
	spent  int
}

func (t *tries) allow(now time.Time) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.turn(now)
	return t.spent < t.perMinute
}

func (t *tries) spend(now time.Time) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.turn(now)
	t.spent++
}

func (t *tries) turn(now time.Time) {
	if minute := now.Truncate(time.Minute); !minute.Equal(t.minute) {
		t.minute, t.spent = minute, 0
	}
}

// The server's limits on what a stranger may send.
const (
	bodyLimit   = 1 << 20  // a JSON request
	intakeLimit = 64 << 20 // a file of another device
	headerLimit = 16 << 10
)
