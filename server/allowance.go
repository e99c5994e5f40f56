package server

import (
	"sync"
	"time"

	"headcut/model/compute"
)

// allowances hold back whoever has much computed on a public server. A client has steps of
// work to spend and regains them steadily: an officer at a desk never meets the limit, and a
// flood from one address takes a few hundredths of a processor. What a computation takes is
// known only afterwards, so that a client may begin whatever it likes while it has any left.
type allowances struct {
	mu    sync.Mutex
	spent map[string]int64 // steps, as of at
	at    time.Time
}

// What a client may have computed. The first is as much as one computation may ever take, two
// seconds or so, or some 16,000 small ones.
const (
	allowanceSteps  = compute.MaxSteps
	regainedPerS    = 512 << 10        // some 5 hundredths of a processor
	requestSteps    = 2 << 10          // what a request costs besides its computation
	mostClients     = 10_000           // more at once share one allowance,
	everybodyBeyond = "everybody else" // this one
)

// wait is how long a client has to wait until it may begin another computation.
func (a *allowances) wait(client string, now time.Time) time.Duration {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.regain(now)
	over := a.spent[counted(a.spent, client)] + requestSteps - allowanceSteps
	return time.Duration(max(0, over)) * time.Second / regainedPerS
}

// spend counts a computation that took so many steps.
func (a *allowances) spend(client string, steps int, now time.Time) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.regain(now)
	a.spent[counted(a.spent, client)] += requestSteps + int64(steps)
}

// counted is the name that a client is counted under: its own while there is room to remember
// it, so that many addresses cannot fill the memory.
func counted[N any](by map[string]N, client string) string {
	if _, known := by[client]; !known && len(by) >= mostClients {
		return everybodyBeyond
	}
	return client
}

// regain lets time pass for everybody, once a second.
func (a *allowances) regain(now time.Time) {
	if a.spent == nil {
		a.spent, a.at = map[string]int64{}, now
	}
	passed := now.Sub(a.at)
	if passed < 0 || passed > time.Hour { // the clock was set: all begin again
		clear(a.spent)
		a.at = now
		return
	}
	if passed < time.Second {
		return
	}
	a.at = now
	regained := int64(passed.Seconds() * regainedPerS)
	for client, spent := range a.spent {
		if spent <= regained {
			delete(a.spent, client)
		} else {
			a.spent[client] = spent - regained
		}
	}
}
