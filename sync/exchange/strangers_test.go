package exchange_test

import (
	"bytes"
	"compress/flate"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/exchange"
	"headcut/sync/wire"
)

// unfinished is a first part of a masked, compressed text message (RFC 6455, 5.2; RFC 7692,
// 7.2.1) that unfolds to a megabyte and does not end.
func unfinished(t testing.TB) []byte {
	t.Helper()
	var packed bytes.Buffer
	z, err := flate.NewWriter(&packed, flate.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	_, _ = z.Write(bytes.Repeat([]byte(" "), 1<<20))
	_ = z.Flush()
	n := packed.Len()
	head := []byte{0x41, 0x80 | 126, byte(n >> 8), byte(n), 0, 0, 0, 0} // the mask is zero
	return append(head, packed.Bytes()...)
}

var pong = []byte{0x8a, 0x80, 0, 0, 0, 0}

// worstBeside is how long an honest device may wait for an acknowledgement during an attack; on
// a machine whose processors are taken by others, as many times what it waits without.
const (
	worstBeside = 500 * time.Millisecond
	timesQuiet  = 20
)

// acknowledgedBeside has a device push single entries until done is closed, and returns the
// longest time to an acknowledgement.
func acknowledgedBeside(p *peer, done <-chan struct{}) (worst time.Duration) {
	for {
		began := time.Now()
		p.send(&wire.Push{Push: p.seq, Property: creek, Entries: []json.RawMessage{p.entry(nil)}})
		if r, ok := p.receive().(*wire.Receipts); !ok || r.Receipts[0].N == 0 {
			p.t.Fatalf("the honest device's push: got %+v", r)
		}
		worst = max(worst, time.Since(began))
		select {
		case <-done:
			return worst
		case <-time.After(2 * time.Millisecond):
		}
	}
}

func quietFor(d time.Duration) <-chan struct{} {
	done := make(chan struct{})
	time.AfterFunc(d, func() { close(done) })
	return done
}

// TestStrangersCostLittle: 250 connections without a hello send a compressed frame that unfolds
// to a megabyte and does not end, and then pongs. They cost little memory, are ended in the
// time that a hello has, and an honest device is acknowledged beside them.
func TestStrangersCostLittle(t *testing.T) {
	const strangers, each = 250, 192 << 10
	timing := exchange.DefaultTiming
	timing.Hello = 3 * time.Second
	d := newDesk(t, timing)
	var from atomic.Int64
	d.exchange.Address = func(*http.Request) string { return string(rune('a' + from.Add(1)/10)) } // ten of an address
	honest := join(t, d, "honest")
	alone := acknowledgedBeside(honest, quietFor(time.Second))
	var grown int64
	beside := time.Hour
	for try := 0; try < 3 && beside > worstBeside; try++ { // a neighbour on the machine may spoil some
		worst := time.Duration(0)
		worst, grown = besideStrangers(t, d, honest, strangers, timing.Hello)
		beside = min(beside, worst)
	}
	t.Logf("%d strangers cost %d KB each; worst acknowledgement %v alone, %v beside them", strangers, grown/strangers>>10, alone, beside)
	if grown > strangers*each {
		t.Errorf("%d strangers cost %d KB, want %d at most, the test's own end included", strangers, grown>>10, strangers*each>>10)
	}
	if beside > max(worstBeside, timesQuiet*alone) {
		t.Errorf("worst acknowledgement beside strangers: %v, want %v at most, or %d times the %v without them", beside, worstBeside, timesQuiet, alone)
	}
}

// besideStrangers tells the worst acknowledgement of the honest device, and how much memory is
// taken while the strangers are there. Each has to be ended by the server.
func besideStrangers(t *testing.T, d *desk, honest *peer, strangers int, hello time.Duration) (worst time.Duration, grown int64) {
	var before, during runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	bomb, over := unfinished(t), make(chan struct{})
	var ended sync.WaitGroup
	for range strangers {
		ended.Go(func() {
			conn := dial(t, d).NetConn()
			_, _ = conn.Write(bomb)
			go func() {
				for {
					if _, err := conn.Write(pong); err != nil {
						return
					}
					time.Sleep(100 * time.Millisecond)
				}
			}()
			_ = conn.SetReadDeadline(time.Now().Add(time.Minute))
			if _, err := io.Copy(io.Discard, conn); errors.Is(err, os.ErrDeadlineExceeded) {
				t.Errorf("a stranger that sends pongs is not ended, and has %v for a hello", hello)
			}
			_ = conn.Close()
		})
	}
	go func() { ended.Wait(); close(over) }()
	worst = acknowledgedBeside(honest, quietFor(2*time.Second))
	runtime.GC()
	runtime.ReadMemStats(&during)
	worst = max(worst, acknowledgedBeside(honest, over))
	ended.Wait()
	return worst, int64(during.HeapInuse+during.StackInuse) - int64(before.HeapInuse+before.StackInuse)
}

// TestStrangersMakeRoom: one more connection than an address may have without a hello ends the
// oldest, so that no stranger keeps a device out; a device that has said hello stays.
func TestStrangersMakeRoom(t *testing.T) {
	// A connection is answered before it is counted, so those next to each other may be
	// counted in another order.
	const reordered = 20
	timing := exchange.DefaultTiming
	timing.Hello = time.Hour
	d := newDesk(t, timing)
	first := join(t, d, "first")
	var conns []*websocket.Conn
	for i := range exchange.StrangersOfAddress + 5 {
		if i == exchange.StrangersOfAddress {
			time.Sleep(exchange.StrangersLinger + 100*time.Millisecond) // before it, many may come at once
		}
		conns = append(conns, dial(t, d))
	}
	ended := make(chan int, len(conns))
	for i, conn := range conns[:len(conns)-1] {
		go func() {
			_, _, _ = conn.ReadMessage() // nothing is said to a stranger, so this ends with the connection
			ended <- i
		}()
	}
	for range 5 {
		select {
		case i := <-ended:
			if i >= 5+reordered {
				t.Errorf("the stranger that came as number %d is ended before older ones", i)
			}
		case <-time.After(30 * time.Second):
			t.Fatal("fewer than five of the oldest strangers are ended")
		}
	}
	last := conns[len(conns)-1]
	p := &peer{t: t, conn: last, device: "late"}
	p.send(&wire.Hello{Version: wire.Version, Token: "token-of-late", Device: "late"})
	if _, ok := p.receive().(*wire.Welcome); !ok {
		t.Error("a device that comes when there are many strangers is not welcomed")
	}
	first.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{first.entry(nil)}})
	if r, ok := first.receive().(*wire.Receipts); !ok || r.Receipts[0].N == 0 {
		t.Errorf("a device that was there before: got %+v", r)
	}
}

func isTimeout(err error) bool {
	timeout, ok := err.(net.Error)
	return ok && timeout.Timeout()
}

// TestManyDevicesOfOneAddress come at once, as after a stop, and all are welcomed: half as many again as are
// let wait later, so that a slow machine too opens all their connections while none has to go.
func TestManyDevicesOfOneAddress(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	var peers []*peer
	for i := range exchange.StrangersOfAddress * 3 / 2 {
		peers = append(peers, &peer{t: t, conn: dial(t, d), device: fmt.Sprint("device-", i)})
	}
	for i, p := range peers {
		p.send(&wire.Hello{Version: wire.Version, Token: "token-of-" + p.device, Device: p.device})
		if f, err := p.next(); err != nil {
			t.Fatalf("device %d of %d: %v %v, want a welcome", i, len(peers), f, err)
		}
	}
}

// TestHelloIsSmall: more than a hello needs is refused, on the line and unfolded.
func TestHelloIsSmall(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	long := `{"type":"hello","version":1,"token":"` + strings.Repeat("x", 5000) + `"}`
	p := &peer{t: t, conn: dial(t, d)}
	p.conn.EnableWriteCompression(true)
	if err := p.conn.WriteMessage(websocket.TextMessage, []byte(long)); err != nil {
		t.Fatal(err)
	}
	if got, ok := p.receive().(*wire.Problem); !ok || got.Problem.Path != "frame" || !got.Closing {
		t.Errorf("a compressed hello of 5 KB: got %+v, want a closing Problem", got)
	}
	p = &peer{t: t, conn: dialPlain(t, d)}
	if err := p.conn.WriteMessage(websocket.TextMessage, []byte(long)); err != nil {
		t.Fatal(err)
	}
	if f, err := p.next(); err == nil {
		t.Errorf("a hello of 5 KB: got %+v, want the end", f)
	}
	p = &peer{t: t, conn: dialPlain(t, d)}
	for range 50 {
		if p.conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(time.Second)) != nil {
			break
		}
	}
	if f, err := p.next(); err == nil || isTimeout(err) {
		t.Errorf("pings without a hello: got %+v (%v), want the end", f, err)
	}
}

// TestDeviceHasFewConnections: a phone that reconnects again and again ends its oldest ones.
func TestDeviceHasFewConnections(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	var peers []*peer
	for range exchange.ConversationsOfDevice + 1 {
		peers = append(peers, join(t, d, "phone"))
	}
	if f, err := peers[0].next(); err == nil || isTimeout(err) {
		t.Errorf("the oldest connection of a device that has one too many: got %+v (%v), want the end", f, err)
	}
	for i, p := range peers[1:] {
		p.seq = uint64(i)
		p.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{p.entry(nil)}})
		if r, ok := p.receive().(*wire.Receipts); !ok || r.Receipts[0].N == 0 {
			t.Errorf("connection %d of the device: got %+v", i+2, r)
		}
	}
}
