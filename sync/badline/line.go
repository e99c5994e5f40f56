// Package badline is a network line that fails as lines in the bush do. It is for tests alone.
package badline

import (
	"errors"
	"io"
	"net"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// Line is a TCP proxy.
type Line struct {
	Up, Down atomic.Int64 // bytes carried in all

	target   string
	listener net.Listener
	rule     Rule
	conns    atomic.Int64
	mu       sync.Mutex
	open     map[net.Conn]struct{}
}

// Rule says what happens to a piece of data: of the connection's number from 1, whether it goes
// up, to the server, and how many bytes went that way before.
type Rule func(conn int, up bool, before int64) Fate

// Fate is what happens to a piece of data; the zero value carries it.
type Fate struct {
	Pass  int           // bytes to carry before a reset or a hang
	Reset bool          // the connection is reset
	Hang  bool          // nothing is carried any more, this way, and nobody is told
	Delay time.Duration // before it is carried
	Every time.Duration // carry piece by piece with this between them
	Piece int           // bytes; 0: one
}

// New is a line to a host and port until the test ends; without a rule it is a good one.
func New(t testing.TB, target string, rule Rule) *Line {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := &Line{target: target, listener: listener, rule: rule, open: make(map[net.Conn]struct{})}
	go l.serve()
	t.Cleanup(func() {
		_ = listener.Close()
		l.Cut()
	})
	return l
}

// URL is the address at this end.
func (l *Line) URL() string { return "http://" + l.listener.Addr().String() }

func (l *Line) serve() {
	for {
		from, err := l.listener.Accept()
		if err != nil {
			return
		}
		n := int(l.conns.Add(1))
		go func() {
			to, err := net.Dial("tcp", l.target)
			if err != nil {
				reset(from)
				return
			}
			l.mu.Lock()
			l.open[from], l.open[to] = struct{}{}, struct{}{}
			l.mu.Unlock()
			go l.carry(n, true, from, to)
			l.carry(n, false, to, from)
		}()
	}
}

func reset(c net.Conn) {
	_ = c.(*net.TCPConn).SetLinger(0)
	_ = c.Close()
}

// Cut resets every connection.
func (l *Line) Cut() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for c := range l.open {
		reset(c)
	}
	clear(l.open)
}

func (l *Line) carry(n int, up bool, from, to net.Conn) {
	total := &l.Down
	if up {
		total = &l.Up
	}
	var before int64
	buf := make([]byte, 4<<10)
	for {
		got, err := from.Read(buf)
		data := buf[:got]
		for len(data) > 0 {
			f := Fate{}
			if l.rule != nil {
				f = l.rule(n, up, before)
			}
			time.Sleep(f.Delay)
			if f.Pass > len(data) { // not yet
				f = Fate{}
			}
			part := data
			if f.Reset || f.Hang {
				part = data[:f.Pass]
			}
			if f.Every > 0 {
				part = data[:min(max(f.Piece, 1), len(data))]
				time.Sleep(f.Every)
			}
			if _, err := to.Write(part); err != nil {
				reset(from)
				return
			}
			before += int64(len(part))
			total.Add(int64(len(part)))
			data = data[len(part):]
			switch {
			case f.Reset:
				reset(from)
				reset(to)
				return
			case f.Hang:
				_, _ = io.Copy(io.Discard, from)
				return
			}
		}
		if errors.Is(err, io.EOF) {
			_ = to.(*net.TCPConn).CloseWrite()
			return
		}
		if err != nil {
			reset(to)
			return
		}
	}
}
