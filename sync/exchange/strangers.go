package exchange

import (
	"net"
	"net/http"
	"slices"
	"sync"
	"time"
)

// Limits of connections. A stranger is a connection that has not said a hello yet.
const (
	// strangersInAll and strangersOfAddress are how many strangers there may be. One more
	// ends the oldest: a device says its hello in one round trip, and so is never that. When
	// many devices of one address come at once, as after a stop, all are in their first
	// strangersLinger, and none of them is ended for the others of its address.
	strangersInAll     = 1024
	strangersOfAddress = 128
	strangersLinger    = 2 * time.Second
	// conversationsOfDevice is how many connections a device may have. One more ends the
	// oldest, which the device has given up.
	conversationsOfDevice = 4
	// conversationsInAll is how many connections of devices there may be.
	conversationsInAll = 8192
)

// strangers are the connections that have not said a hello yet.
type strangers struct {
	mu    sync.Mutex
	from  map[string][]*conversation // by address, the oldest first
	inAll int
}

// enter takes a new connection in, and ends the oldest when there are too many: of its own
// address or, when there are too many in all, of the address that has most.
func (s *strangers) enter(c *conversation) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.from == nil {
		s.from = make(map[string][]*conversation)
	}
	c.entered = time.Now()
	s.from[c.address] = append(s.from[c.address], c)
	s.inAll++
	switch {
	case len(s.from[c.address]) > strangersOfAddress && c.address != "" && c.entered.Sub(s.from[c.address][0].entered) > strangersLinger:
		s.end(c.address)
	case s.inAll > strangersInAll:
		most, crowd := "", 0
		for address, there := range s.from {
			if len(there) > crowd || len(there) == crowd && there[0].entered.Before(s.from[most][0].entered) {
				most, crowd = address, len(there)
			}
		}
		s.end(most)
	}
}

func (s *strangers) end(address string) {
	oldest := s.from[address][0]
	s.remove(oldest)
	go oldest.conn.Close() // which may wait a little
}

// leave takes out a connection that has said its hello or has ended; again it does nothing.
func (s *strangers) leave(c *conversation) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.remove(c)
}

func (s *strangers) remove(c *conversation) {
	there := s.from[c.address]
	i := slices.Index(there, c)
	if i < 0 {
		return
	}
	s.inAll--
	if there = slices.Delete(there, i, i+1); len(there) == 0 {
		delete(s.from, c.address)
		return
	}
	s.from[c.address] = there
}

// addressOf is the address of a connection without its port.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}
