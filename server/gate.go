package server

import (
	"net"
	"net/http"
	"sync"
)

// How many connections there may be that no device's conversation has become of. One more
// ends another: an idle one, if there is any, and the oldest, of the same address or, when
// there are too many in all, of the address that has most.
const (
	guestsInAll     = 1024
	guestsOfAddress = 128
)

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
	of := &guest{conn: conn}
	if from, err := hostOf(conn.RemoteAddr().String()); err == nil && !g.proxies.trust(from) {
		of.address = network(from)
	}
	g.known[conn] = of
	g.guests[of.address] = append(g.guests[of.address], of)
	g.inAll++
	switch {
	case len(g.guests[of.address]) > guestsOfAddress && of.address != "":
		g.end(of.address, of)
	case g.inAll > guestsInAll:
		most := of.address
		for address, there := range g.guests {
			if len(there) > len(g.guests[most]) {
				most = address
			}
		}
		g.end(most, of)
	}
}

// end ends a connection of an address, but not the newest.
func (g *Gate) end(address string, newest *guest) {
	there := g.guests[address]
	victim := there[0]
	for _, one := range there {
		if !one.active && one != newest {
			victim = one
			break
		}
	}
	g.leave(victim)
	go victim.conn.Close() // which may wait a little
}

func (g *Gate) leave(of *guest) {
	if of == nil {
		return
	}
	delete(g.known, of.conn)
	g.inAll--
	there := g.guests[of.address]
	for i, one := range there {
		if one == of {
			g.guests[of.address] = append(there[:i], there[i+1:]...)
			break
		}
	}
	if len(g.guests[of.address]) == 0 {
		delete(g.guests, of.address)
	}
}
