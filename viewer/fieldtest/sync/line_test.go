package sync

import (
	"io"
	"math/rand/v2"
	"net"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"headcut/sync/store/storetest"
)

// shape is what a line is like. The zero value is as good as a line can be.
type shape struct {
	bytesPerS float64       // both ways, each for itself; shared by all connections
	delay     time.Duration // one way
	loss      float64       // share of the packets that are lost
}

// packet is what is lost, or not, as a whole: an Ethernet frame's worth of TCP.
const packet = 1460

// line is a TCP proxy in place of a mobile network. A lost packet stalls its connection
// for the time it takes to be sent again, one round trip, and takes its place on the line
// twice; other connections go on meanwhile.
type line struct {
	listener net.Listener
	target   string
	up, down way

	mu        sync.Mutex
	open      map[net.Conn]struct{}
	abandoned *atomic.Bool // of the connections made since it was last set
}

// way is one direction of a line.
type way struct {
	carried atomic.Int64 // bytes
	shape   atomic.Pointer[shape]
	mu      sync.Mutex
	free    time.Time  // when the line has carried what it was given
	random  *rand.Rand // which packets are lost
}

func newLine(t testing.TB, target string) *line {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := &line{listener: listener, target: target, open: make(map[net.Conn]struct{}), abandoned: new(atomic.Bool)}
	l.up.random, l.down.random = storetest.Random(t), storetest.Random(t)
	l.become(shape{})
	go l.serve()
	t.Cleanup(func() {
		_ = listener.Close()
		l.cut()
	})
	return l
}

func (l *line) become(s shape) { l.up.shape.Store(&s); l.down.shape.Store(&s) }

func (l *line) url() string {
	_, port, _ := net.SplitHostPort(l.listener.Addr().String()) // a listener has one
	return "http://localhost:" + port
}

func (l *line) serve() {
	for {
		from, err := l.listener.Accept()
		if err != nil {
			return
		}
		to, err := net.Dial("tcp", l.target)
		if err != nil {
			_ = from.Close()
			continue
		}
		l.mu.Lock()
		l.open[from] = struct{}{}
		abandoned := l.abandoned
		l.mu.Unlock()
		go l.up.carry(from, to, abandoned)
		go l.down.carry(to, from, abandoned)
	}
}

// cut resets every phone's connection; the server gets what was on the line.
func (l *line) cut() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for c := range l.open {
		_ = c.(*net.TCPConn).SetLinger(0)
		_ = c.Close()
	}
	clear(l.open)
}

// abandon carries nothing more of the connections there are, and tells nobody, as when a
// phone has moved to another network.
func (l *line) abandon() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.abandoned.Store(true)
	l.abandoned = new(atomic.Bool)
}

// delivery is a packet and when it arrives.
type delivery struct {
	data []byte
	at   time.Time
}

func (w *way) carry(from, to net.Conn, abandoned *atomic.Bool) {
	flying := make(chan delivery, 64)
	go func() {
		for d := range flying {
			time.Sleep(time.Until(d.at))
			if abandoned.Load() {
				continue
			}
			if _, err := to.Write(d.data); err != nil {
				_ = from.Close()
				for range flying {
				}
				return
			}
			w.carried.Add(int64(len(d.data)))
		}
		if !abandoned.Load() {
			_ = to.Close()
		}
	}()
	defer close(flying)
	for {
		data := make([]byte, packet)
		n, err := from.Read(data)
		if n > 0 {
			s := *w.shape.Load()
			gone := w.take(s, n)
			time.Sleep(time.Until(gone))
			if s.loss > 0 && w.draw() < s.loss {
				time.Sleep(2 * s.delay)
				gone = w.take(s, n)
				time.Sleep(time.Until(gone))
			}
			flying <- delivery{data[:n], gone.Add(s.delay)}
		}
		if err != nil {
			return
		}
	}
}

func (w *way) draw() float64 {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.random.Float64()
}

// take puts bytes on the line, behind what is on it, and gives when they have left.
func (w *way) take(s shape, n int) time.Time {
	w.mu.Lock()
	defer w.mu.Unlock()
	now := time.Now()
	if w.free.Before(now) {
		w.free = now
	}
	if s.bytesPerS > 0 {
		w.free = w.free.Add(time.Duration(float64(n) / s.bytesPerS * float64(time.Second)))
	}
	return w.free
}

// plainUpload is how long a plain upload of so many bytes takes on a line like this: from
// connecting to the answer.
func plainUpload(t testing.TB, s shape, bytes int) time.Duration {
	t.Helper()
	sink, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer sink.Close()
	go func() {
		c, err := sink.Accept()
		if err != nil {
			return
		}
		defer c.Close()
		if _, err := io.CopyN(io.Discard, c, int64(bytes)); err == nil {
			_, _ = c.Write([]byte{1})
		}
	}()
	l := newLine(t, sink.Addr().String())
	l.become(s)
	began := time.Now()
	c, err := net.Dial("tcp", l.listener.Addr().String())
	if err != nil {
		t.Error(err)
		return 0
	}
	defer c.Close()
	if _, err := c.Write(make([]byte, bytes)); err != nil {
		t.Error(err)
	}
	if _, err := io.ReadFull(c, make([]byte, 1)); err != nil {
		t.Error(err)
	}
	return time.Since(began)
}
