package server

import (
	"sync"
	"time"

	"headcut/model/compute"
)

// allowances hold back whoever has much computed on a public server. A computation costs
// about as much time as its input is long, so a client has bytes to spend and regains them
// steadily: an officer at a desk never meets the limit, and a flood from one address
// takes a few hundredths of a processor.
//
// Requests on their way are counted with what they may grow to, and the rest is given back
// once they are read.
type allowances struct {
	mu    sync.Mutex
	spent map[string]int64 // bytes, as of at
	at    time.Time
}

// What a client may have computed. The first is one input of the largest kind, which takes
// a second or so, or some 16,000 small ones.
const (
	allowanceBytes  = compute.MaxInput + 64<<10
	regainedPerS    = 256 << 10
	requestBytes    = 1 << 10          // what a request costs besides its length
	mostClients     = 10_000           // more at once share one allowance,
	everybodyBeyond = "everybody else" // this one
)

// take spends what a request of this length costs, or tells how long to wait before it can.
func (a *allowances) take(client string, length int64, now time.Time) (wait time.Duration) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.regain(now)
	client = a.counted(client)
	cost := requestBytes + length
	if over := a.spent[client] + cost - allowanceBytes; over > 0 {
		return time.Duration(over) * time.Second / regainedPerS
	}
	a.spent[client] += cost
	return 0
}

// giveBack returns what a request did not use of the length it was taken for.
func (a *allowances) giveBack(client string, unused int64) {
	a.mu.Lock()
	defer a.mu.Unlock()
	client = a.counted(client)
	if a.spent[client] -= unused; a.spent[client] <= 0 {
		delete(a.spent, client)
	}
}

// counted is the name a client's spending goes by: its own while there is room to remember
// it, so that many addresses cannot fill the memory.
func (a *allowances) counted(client string) string {
	if _, known := a.spent[client]; !known && len(a.spent) >= mostClients {
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
	if passed >= 0 && passed < time.Second {
		return
	}
	a.at = now
	if passed < 0 || passed > time.Hour { // the clock was put right: nobody is punished
		clear(a.spent)
		return
	}
	regained := int64(passed.Seconds() * regainedPerS)
	for client, spent := range a.spent {
		if spent <= regained {
			delete(a.spent, client)
		} else {
			a.spent[client] = spent - regained
		}
	}
}
