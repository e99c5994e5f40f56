package server

import (
	"sync"
	"time"
)

// tries counts what was done wrong, by whoever did it, for a minute.
type tries struct {
	perMinute int

	mu     sync.Mutex
	minute time.Time
	spent  map[string]int
}

// spend counts one more, and reports whether that is one too many. "" is not counted.
func (t *tries) spend(who string, now time.Time) (tooMany bool) {
	if who == "" {
		return false
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if minute := now.Truncate(time.Minute); !minute.Equal(t.minute) {
		t.minute, t.spent = minute, make(map[string]int)
	}
	who = counted(t.spent, who)
	t.spent[who]++
	return t.spent[who] > t.perMinute
}

// The server's limits on what a stranger may send.
const (
	bodyLimit   = 1 << 20  // a JSON request
	enrolLimit  = 8 << 10  // one that redeems a code
	intakeLimit = 64 << 20 // a file of another device
)
