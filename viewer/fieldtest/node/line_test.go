package node

import (
	"errors"
	"io"
	"net"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// line is a TCP proxy that can be as bad as a bush telephone line. Its badness is asked
// of rule for each piece of data: rule gets the connection's number from 1, whether the
// data goes up (to the server), and how many bytes went that way before.
type line struct {
	target   string
	listener net.Listener
	rule     func(conn int, up bool, before int64) fate
	conns    atomic.Int64
	up, down atomic.Int64 // bytes carried in all
	mu       sync.Mutex
	open     map[net.Conn]struct{}
}

// fate is what happens to a piece of data.
type fate struct {
	pass  int           // bytes to carry before a reset or a hang
	reset bool          // the connection is reset
	hang  bool          // nothing is carried any more, this way, and nobody is told
	delay time.Duration // before it is carried
	every time.Duration // carry piece by piece with this between them
	piece int           // bytes; 0: one
}

func newLine(t testing.TB, target string, rule func(conn int, up bool, before int64) fate) *line {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := &line{target: target, listener: listener, rule: rule, open: make(map[net.Conn]struct{})}
	go l.serve()
	t.Cleanup(func() {
		_ = listener.Close()
		l.cut()
	})
	return l
}

func (l *line) url() string { return "http://" + l.listener.Addr().String() }

func (l *line) serve() {
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

// cut resets every connection.
func (l *line) cut() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for c := range l.open {
		reset(c)
	}
	clear(l.open)
}

func (l *line) carry(n int, up bool, from, to net.Conn) {
	total := &l.down
	if up {
		total = &l.up
	}
	var before int64
	buf := make([]byte, 4<<10)
	for {
		got, err := from.Read(buf)
		data := buf[:got]
		for len(data) > 0 {
			f := fate{}
			if l.rule != nil {
				f = l.rule(n, up, before)
			}
			time.Sleep(f.delay)
			if f.pass > len(data) { // not yet
				f = fate{}
			}
			part := data
			if f.reset || f.hang {
				part = data[:f.pass]
			}
			if f.every > 0 {
				part = data[:min(max(f.piece, 1), len(data))]
				time.Sleep(f.every)
			}
			if _, err := to.Write(part); err != nil {
				reset(from)
				return
			}
			before += int64(len(part))
			total.Add(int64(len(part)))
			data = data[len(part):]
			switch {
			case f.reset:
				reset(from)
				reset(to)
				return
			case f.hang:
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
