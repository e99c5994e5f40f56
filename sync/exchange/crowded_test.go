package exchange

import (
	"encoding/binary"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// anyConn is a connection that conversations of these tests share: they only close it.
func anyConn(t *testing.T) *websocket.Conn {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if conn, err := (&websocket.Upgrader{}).Upgrade(w, r, nil); err == nil {
			defer conn.Close()
			_, _, _ = conn.ReadMessage()
		}
	}))
	t.Cleanup(server.Close)
	conn, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(server.URL, "http"), nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	return conn
}

// TestStrangersOfAnAddress: one more than there may be ends the oldest of its address, unless that
// came a moment ago or nobody knows the address.
func TestStrangersOfAnAddress(t *testing.T) {
	conn := anyConn(t)
	for name, c := range map[string]struct {
		address string
		ago     time.Duration
		more    int
		ended   bool
	}{
		"as many as may be":      {"10.0.0.1", time.Minute, 0, false},
		"one more":               {"10.0.0.1", time.Minute, 1, true},
		"one more, at once":      {"10.0.0.1", 0, 1, false},
		"one more, soon":         {"10.0.0.1", strangersLinger / 2, 1, false},
		"one more of nobody":     {"", time.Minute, 1, false},
		"as many from elsewhere": {"10.0.0.2", time.Minute, 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			var s strangers
			first := &conversation{conn: conn, address: c.address}
			s.enter(first)
			first.entered = time.Now().Add(-c.ago)
			for range strangersOfAddress - 1 + c.more {
				s.enter(&conversation{conn: conn, address: c.address})
			}
			s.enter(&conversation{conn: conn, address: "10.9.9.9"})
			want := strangersOfAddress + c.more
			if c.ended {
				want--
			}
			if there := s.from[c.address]; len(there) != want || (there[0] == first) == c.ended || s.inAll != want+1 {
				t.Errorf("%d are there and %d in all, the first is %t; want %d, ended %t", len(there), s.inAll, there[0] == first, want, c.ended)
			}
		})
	}
}

// TestStrangersInAll: one more than there may be ends the oldest of the address that has most; of
// two that have as many, of the one whose oldest came first.
func TestStrangersInAll(t *testing.T) {
	conn := anyConn(t)
	var s strangers
	began := time.Now()
	for i := range strangersInAll {
		c := &conversation{conn: conn, address: []string{"a", "b", "c", "b"}[i%4]}
		s.enter(c)
		c.entered = began.Add(time.Duration(i) * time.Millisecond)
	}
	half := strangersInAll / 2
	if len(s.from["b"]) != half || s.inAll != strangersInAll {
		t.Fatalf("%d of b, %d in all: nobody is to be ended yet", len(s.from["b"]), s.inAll)
	}
	oldest := s.from["b"][0]
	s.enter(&conversation{conn: conn, address: "d"})
	if len(s.from["b"]) != half-1 || s.from["b"][0] == oldest || s.inAll != strangersInAll {
		t.Errorf("%d of b, %d in all: want the oldest of b ended", len(s.from["b"]), s.inAll)
	}
	for len(s.from["b"]) > len(s.from["a"]) {
		s.leave(s.from["b"][len(s.from["b"])-1])
	}
	s.leave(oldest) // again it does nothing
	for s.inAll < strangersInAll {
		s.enter(&conversation{conn: conn, address: time.Duration(s.inAll).String()})
	}
	a, b, c := len(s.from["a"]), len(s.from["b"]), len(s.from["c"])
	first := s.from["a"][0] // which came before those of b and c
	s.enter(&conversation{conn: conn, address: "e"})
	if len(s.from["a"]) != a-1 || len(s.from["b"]) != b || len(s.from["c"]) != c || s.from["a"][0] == first {
		t.Errorf("of %d, %d and %d there are %d, %d and %d: want the oldest of a ended", a, b, c, len(s.from["a"]), len(s.from["b"]), len(s.from["c"]))
	}
	for _, there := range s.from {
		for len(there) > 0 {
			s.leave(there[0])
			there = there[1:]
		}
		break
	}
	total := 0
	for address, there := range s.from {
		if len(there) == 0 {
			t.Errorf("%q is kept with nobody", address)
		}
		total += len(there)
	}
	if total != s.inAll {
		t.Errorf("%d are counted, %d are there", s.inAll, total)
	}
}

// TestConversationsInAll: there is room for so many, and each that ends leaves room for one.
func TestConversationsInAll(t *testing.T) {
	conn := anyConn(t)
	x := New(Options{})
	x.admitted = conversationsInAll - 1
	one, another := &conversation{conn: conn, device: "a"}, &conversation{conn: conn, device: "b"}
	if !x.admit(one) || x.admit(another) || x.admitted != conversationsInAll {
		t.Errorf("%d are admitted, want %d", x.admitted, conversationsInAll)
	}
	x.dismiss(another) // who was not admitted
	if x.admitted != conversationsInAll {
		t.Errorf("%d are admitted after one left that was not", x.admitted)
	}
	x.dismiss(one)
	if x.admitted != conversationsInAll-1 || len(x.devices) != 0 {
		t.Errorf("%d are admitted, devices are %v", x.admitted, x.devices)
	}
	if !x.admit(another) {
		t.Error("no room after one left")
	}
}

// TestHeadsOfFrames are as RFC 6455, 5.2 has them.
func TestHeadsOfFrames(t *testing.T) {
	for length, size := range map[int]int{0: 2, 125: 2, 126: 4, 65535: 4, 65536: 10} {
		head := appendHead(nil, 0x81, length)
		if len(head) != size || head[0] != 0x81 {
			t.Fatalf("of %d bytes: %x", length, head)
		}
		got := uint64(head[1])
		switch size {
		case 4:
			got = uint64(binary.BigEndian.Uint16(head[2:]))
		case 10:
			got = binary.BigEndian.Uint64(head[2:])
		}
		if got != uint64(length) || size == 4 && head[1] != 126 || size == 10 && head[1] != 127 {
			t.Errorf("of %d bytes: %x", length, head)
		}
	}
}

// TestFramesWorthCompressing are those longer than over, where it was agreed on.
func TestFramesWorthCompressing(t *testing.T) {
	data := []byte(strings.Repeat("a", 100))
	for _, c := range []struct {
		packed bool
		over   int
		want   bool
	}{{true, 99, true}, {true, 100, false}, {false, 99, false}} {
		frame, err := (&line{packed: c.packed}).ready(data, c.over)
		if err != nil || (frame[0] == 0xc1) != c.want || !c.want && (frame[0] != 0x81 || len(frame) != 102) {
			t.Errorf("%+v: %x, %v", c, frame, err)
		}
	}
}

// TestBuffersGrow by doubling from what is kept, and those that are let go are used again.
func TestBuffersGrow(t *testing.T) {
	buffers = [16]sync.Pool{}
	buf := larger([]byte("abc"))
	if string(buf) != "abc" || cap(buf) != keptBytes {
		t.Fatalf("%d bytes of %d", len(buf), cap(buf))
	}
	for size := 2 * keptBytes; size <= 64*keptBytes; size *= 2 {
		if buf = larger(buf); string(buf) != "abc" || cap(buf) != size {
			t.Fatalf("%d bytes of %d, want room for %d", len(buf), cap(buf), size)
		}
	}
	for size, want := range map[int]int{2 * keptBytes: 1, 4 * keptBytes: 2, 4*keptBytes - 1: 1, keptBytes: 0} {
		if got := doubled(size); got != want {
			t.Errorf("%d is %d times doubled, want %d", size, got, want)
		}
	}
}

// TestAddressWithoutAPort is the whole of it.
func TestAddressWithoutAPort(t *testing.T) {
	for from, want := range map[string]string{"10.0.0.1:80": "10.0.0.1", "[::1]:80": "::1", "@": "@"} {
		if got := addressOf(&http.Request{RemoteAddr: from}); got != want {
			t.Errorf("%s is %s, want %s", from, got, want)
		}
	}
}
