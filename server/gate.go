package server

import (
	"crypto/tls"
	"net"
	"net/http"
	"slices"
	"sync"
	"time"
)

// How many connections there may be that no device's conversation has become of. One more
// ends another: an idle one, if there is any, and the oldest, of the same address or, when
// there are too many in all, of the address that has most. When many come
// at once, none is ended in its first guestsLinger for the others of its address.
const (
	guestsInAll     = 2048
	guestsOfAddress = 128
	guestsLinger    = 2 * time.Second
)

// unsentBytes is about how much of an answer the system keeps for a connection that does not
// read, which by itself would be some megabytes; enough for a far phone to be sent 10 Mbit/s.
const unsentBytes = 192 << 10

// Gate bounds the connections of an http.Server, as its ConnState.
type Gate struct {
	proxies Proxies

	mu     sync.Mutex
	guests map[string][]*guest // by address, the oldest first; "" is of trusted proxies
	inAll  int
	known  map[net.Conn]*guest
}

type guest struct {
	conn    net.Conn
	address string
	came    time.Time
	active  bool // a request of it is being answered
}

// Gate makes a gate for the server's connections.
func (s *Server) Gate() *Gate {
	return &Gate{proxies: s.proxies, guests: make(map[string][]*guest), known: make(map[net.Conn]*guest)}
}

// ConnState is for http.Server.
func (g *Gate) ConnState(conn net.Conn, state http.ConnState) {
	g.mu.Lock()
	defer g.mu.Unlock()
	switch state {
	case http.StateNew:
		g.enter(conn)
	case http.StateActive, http.StateIdle:
		if of := g.known[conn]; of != nil {
			of.active = state == http.StateActive
		}
	case http.StateHijacked, http.StateClosed:
		g.leave(g.known[conn])
	}
}

func (g *Gate) enter(conn net.Conn) {
	keepLittleUnsent(conn)
	of := &guest{conn: conn, came: time.Now()}
	if from, err := hostOf(conn.RemoteAddr().String()); err == nil && !g.proxies.trust(from) {
		of.address = network(from)
	}
	g.known[conn] = of
	g.guests[of.address] = append(g.guests[of.address], of)
	g.inAll++
	switch {
	case g.inAll > guestsInAll:
		most := of.address
		for address, there := range g.guests {
			if len(there) > len(g.guests[most]) {
				most = address
			}
		}
		g.end(g.victim(most, of))
	case len(g.guests[of.address]) > guestsOfAddress && of.address != "":
		if victim := g.victim(of.address, of); of.came.Sub(victim.came) > guestsLinger {
			g.end(victim)
		}
	}
}

func keepLittleUnsent(conn net.Conn) {
	if secure, ok := conn.(*tls.Conn); ok {
		conn = secure.NetConn()
	}
	if plain, ok := conn.(interface{ SetWriteBuffer(bytes int) error }); ok {
		_ = plain.SetWriteBuffer(unsentBytes) // a system that has none keeps its own
	}
}

// victim is the connection of an address that is to be ended, never the newest.
func (g *Gate) victim(address string, newest *guest) *guest {
	there := g.guests[address]
	return there[max(0, slices.IndexFunc(there, func(one *guest) bool { return !one.active && one != newest }))]
}

func (g *Gate) end(of *guest) {
	g.leave(of)
	go of.conn.Close() // which may wait a little
}

func (g *Gate) leave(of *guest) {
	if of == nil {
		return
	}
	delete(g.known, of.conn)
	g.inAll--
	g.guests[of.address] = slices.DeleteFunc(g.guests[of.address], func(one *guest) bool { return one == of })
	if len(g.guests[of.address]) == 0 {
		delete(g.guests, of.address)
	}
}
