package server

import (
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"testing"
	"time"
)

// someConn is a connection of an address that tells when it is closed.
type someConn struct {
	net.Conn
	from   string
	closed chan struct{}
}

func (c *someConn) RemoteAddr() net.Addr { return stringAddr(c.from) }

func (c *someConn) Close() error {
	close(c.closed)
	return nil
}

type stringAddr string

func (a stringAddr) Network() string { return "tcp" }
func (a stringAddr) String() string  { return string(a) }

// gated is a gate and who is at it.
type gated struct {
	t *testing.T
	*Gate
}

func newGated(t *testing.T, trusted ...string) gated {
	g := &Gate{guests: make(map[string][]*guest), known: make(map[net.Conn]*guest)}
	for _, one := range trusted {
		g.proxies = append(g.proxies, netip.MustParsePrefix(one))
	}
	return gated{t, g}
}

// comes is a connection that came so long ago.
func (g gated) comes(from string, ago time.Duration) *someConn {
	conn := &someConn{from: from + ":1", closed: make(chan struct{})}
	g.ConnState(conn, http.StateNew)
	g.mu.Lock()
	defer g.mu.Unlock()
	if of := g.known[conn]; of != nil {
		of.came = of.came.Add(-ago)
	}
	return conn
}

// ends tells which of these were ended, waiting for one where one must.
func (g gated) ended(want *someConn, all ...*someConn) {
	g.t.Helper()
	if want != nil {
		select {
		case <-want.closed:
		case <-time.After(10 * time.Second):
			g.t.Fatal("who is to be ended is not")
		}
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	for i, one := range all {
		if _, still := g.known[one]; still == (one == want) {
			g.t.Errorf("connection %d of %d is known: %t", i, len(all), still)
		}
	}
	total := 0
	for address, there := range g.guests {
		if total += len(there); len(there) == 0 {
			g.t.Errorf("%q is kept with nobody", address)
		}
	}
	if total != g.inAll || total != len(g.known) {
		g.t.Errorf("%d are counted, %d are there, %d known", g.inAll, total, len(g.known))
	}
}

// TestGuestsOfAnAddress: one more than there may be ends an idle one, or else the oldest, unless it
// came a moment ago; those that a trusted proxy brings are nobody's.
func TestGuestsOfAnAddress(t *testing.T) {
	for name, c := range map[string]struct {
		from    string
		trusted []string
		ago     time.Duration
		active  []int // of those that are there
		ended   int   // of those; -1: none
	}{
		"the oldest idle one":     {"10.0.0.1", nil, time.Minute, nil, 0},
		"the next, if it works":   {"10.0.0.1", nil, time.Minute, []int{0, 1}, 2},
		"the oldest, if all work": {"10.0.0.1", nil, time.Minute, []int{-1}, 0},
		"none that just came":     {"10.0.0.1", nil, 0, nil, -1},
		"none that came soon":     {"10.0.0.1", nil, guestsLinger / 2, nil, -1},
		"none of a proxy":         {"10.0.0.1", []string{"10.0.0.0/8"}, time.Minute, nil, -1},
		"one of no proxy":         {"11.0.0.1", []string{"10.0.0.0/8"}, time.Minute, nil, 0},
		"of one network":          {"[2001:db8::1]", nil, time.Minute, nil, 0},
	} {
		t.Run(name, func(t *testing.T) {
			g := newGated(t, c.trusted...)
			var all []*someConn
			for range guestsOfAddress {
				all = append(all, g.comes(c.from, c.ago))
			}
			for i, one := range all {
				if slices.Contains(c.active, i) || slices.Contains(c.active, -1) {
					g.ConnState(one, http.StateActive)
				}
			}
			g.ended(nil, all...)
			g.comes("192.0.2.9", 0)
			g.ended(nil, all...)
			all = append(all, g.comes(c.from, 0))
			if c.ended < 0 {
				g.ended(nil, all...)
			} else {
				g.ended(all[c.ended], all...)
			}
			for _, one := range all {
				g.ConnState(one, http.StateClosed)
				g.ConnState(one, http.StateHijacked) // again it does nothing
			}
			if g.inAll != 1 || len(g.guests) != 1 {
				t.Errorf("%d are left, of %d addresses", g.inAll, len(g.guests))
			}
		})
	}
}

// TestGuestsInAll: one more than there may be ends one of the address that has most, whenever it came.
func TestGuestsInAll(t *testing.T) {
	g := newGated(t)
	var most []*someConn
	for i := range guestsInAll - guestsOfAddress {
		g.comes(fmt.Sprintf("10.1.%d.%d", i/200, i%200), time.Minute)
	}
	for range guestsOfAddress {
		most = append(most, g.comes("10.0.0.1", 0))
	}
	g.ConnState(most[0], http.StateActive)
	g.ended(nil, most...)
	g.comes("10.2.0.1", 0)
	g.ended(most[1], most...)
	if g.inAll != guestsInAll {
		t.Errorf("%d are there", g.inAll)
	}
	g.ConnState(most[0], http.StateIdle)
	g.comes("10.2.0.2", 0)
	g.ended(most[0], most[0], most[2])
}
