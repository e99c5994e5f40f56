package exchange_test

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/exchange"
	"headcut/sync/wire"
)

// TestStopIsGraceful: what was sent is answered, then the device is asked to come back
// later, then the connection is closed.
func TestStopIsGraceful(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	peers := []*peer{join(t, d, "device-1"), join(t, d, "device-2"), join(t, d, "device-3")}
	for _, p := range peers {
		p.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{p.entry(nil)}})
	}
	for deadline := time.Now().Add(time.Minute); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		if page, _, _ := d.store.EntriesAfter(t.Context(), creek, zero, 10); len(page) == len(peers) {
			break
		}
	}
	stopped := make(chan error, 1)
	go func() {
		ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
		defer cancel()
		stopped <- d.exchange.Stop(ctx)
	}()
	for i, p := range peers {
		var kinds []string
		for {
			f, err := p.next()
			if err != nil {
				if !websocket.IsCloseError(err, websocket.CloseServiceRestart) {
					t.Errorf("device %d: the end was %v, want a close that says restart", i, err)
				}
				break
			}
			if _, ok := f.(*wire.Hint); !ok {
				kinds = append(kinds, fmt.Sprintf("%T", f))
			}
		}
		if want := []string{"*wire.Receipts", "*wire.Later"}; !slices.Equal(kinds, want) {
			t.Errorf("device %d: got %v, want %v", i, kinds, want)
		}
	}
	if err := <-stopped; err != nil {
		t.Errorf("Stop: %v", err)
	}
	if n := d.exchange.Open(); n != 0 {
		t.Errorf("after Stop %d conversations are open", n)
	}
	if _, _, err := websocket.DefaultDialer.Dial(d.url, nil); err == nil {
		t.Error("a device was let in after Stop")
	}
}

// TestTimesAreRelated checks what is promised of the times: one ping may be lost, and a
// half-open connection ends within 30 s, also when it is found while writing.
func TestTimesAreRelated(t *testing.T) {
	d := exchange.DefaultTiming
	if d.Ping*2 >= d.Silence {
		t.Errorf("silence %v ends a connection that lost one of the pings every %v", d.Silence, d.Ping)
	}
	if d.Silence > 30*time.Second || d.Write > d.Silence || d.Hello > 30*time.Second {
		t.Errorf("%+v lets a half-open connection live for more than 30 s", d)
	}
}

// TestHalfOpenEnds: a device that vanishes without a word is let go.
func TestHalfOpenEnds(t *testing.T) {
	d := newDesk(t, exchange.Timing{Ping: 200 * time.Millisecond, Silence: 500 * time.Millisecond, Write: 200 * time.Millisecond,
		Hello: 10 * time.Second, Admit: time.Minute, Stop: 50 * time.Millisecond})
	join(t, d, "device-1") // it reads nothing from now on, and so answers no ping
	for deadline := time.Now().Add(20 * time.Second); d.exchange.Open() > 0; time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("a device that answers no ping for 20 s is still connected, and 0.5 s of silence end it")
		}
	}
}
