package exchange_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/exchange"
	"headcut/sync/wire"
)

// revoke takes the rights of a device away and has that looked at.
func (d *desk) revoke(device string) {
	d.mu.Lock()
	d.revoked[device] = true
	d.mu.Unlock()
	d.exchange.Recheck(device)
}

// TestRecheckEndsIdleConversations: a device that is not saying anything is told at once,
// on each of its connections; others hear nothing of it.
func TestRecheckEndsIdleConversations(t *testing.T) {
	timing := exchange.DefaultTiming
	timing.Admit = time.Hour // so that it is not by this that they are ended
	d := newDesk(t, timing)
	idle := []*peer{join(t, d, "device-1"), join(t, d, "device-1")}
	other := join(t, d, "device-2")
	d.revoke("device-1")
	for i, p := range idle {
		if got, ok := p.receive().(*wire.Problem); !ok || got.Problem.Path != "token" || !got.Closing {
			t.Errorf("connection %d of the revoked device: got %+v, want a closing Problem at token", i, got)
		}
		if f, err := p.next(); !websocket.IsCloseError(err, websocket.CloseNormalClosure) {
			t.Errorf("connection %d of the revoked device then: got %+v, %v, want a close", i, f, err)
		}
	}
	other.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{other.entry(nil)}})
	if got, ok := other.receive().(*wire.Receipts); !ok || got.Receipts[0].N != 1 {
		t.Errorf("a push of the other device: got %+v, want a receipt of entry 1", got)
	}
}

// TestRecheckTakesNothingMore: what is sent with the revocation on its way is not taken,
// or it is acknowledged; never one without the other.
func TestRecheckTakesNothingMore(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	const pushes = 200
	go func() {
		time.Sleep(5 * time.Millisecond)
		d.revoke("device-1")
	}()
	for i := range uint64(pushes) {
		data, err := wire.Append(nil, &wire.Push{Push: i + 1, Property: creek, Entries: []json.RawMessage{p.entry(nil)}})
		if err != nil {
			t.Fatal(err)
		}
		if p.conn.WriteMessage(websocket.TextMessage, data) != nil {
			break // it has been closed
		}
	}
	acknowledged, told := 0, false
	for {
		f, err := p.next()
		if err != nil {
			break
		}
		switch f := f.(type) {
		case *wire.Receipts:
			acknowledged++
			if told {
				t.Error("a receipt came after the end was told")
			}
		case *wire.Problem:
			told = told || f.Closing && f.Problem.Path == "token"
		}
	}
	if !told {
		t.Errorf("after %d receipts the device was not told why the conversation ended", acknowledged)
	}
	page, _, err := d.store.EntriesAfter(t.Context(), creek, zero, pushes)
	if err != nil || len(page) != acknowledged {
		t.Errorf("the register holds %d entries (%v), want the %d that were acknowledged", len(page), err, acknowledged)
	}
}

// TestRecheckOfADeviceWithRights ends its conversation without a word against it: it is asked to
// come back soon, with the rights that it now has, however long it waited for the server before.
func TestRecheckOfADeviceWithRights(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	d.exchange.Recheck("device-1")
	d.exchange.Recheck("nobody")
	if later, ok := p.receive().(*wire.Later); !ok || later.AfterMS+later.WithinMS > 3000 {
		t.Errorf("after a recheck: got %+v, want to be asked back within seconds", later)
	}
	if f, err := p.next(); !websocket.IsCloseError(err, websocket.CloseNormalClosure) {
		t.Errorf("after that: got %+v, %v, want a close", f, err)
	}
	join(t, d, "device-1")
}

// TestPagesTellHowMuchThereIs: a device that begins can say how much is to come.
func TestPagesTellHowMuchThereIs(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	p.send(&wire.Pull{Property: creek})
	if got, ok := p.receive().(*wire.Page); !ok || got.Last != 0 {
		t.Errorf("of an empty register: got %+v, want a page that tells no last entry", got)
	}
	const held = 250
	for i := range uint64(held) {
		p.send(&wire.Push{Push: i + 1, Property: creek, Entries: []json.RawMessage{p.entry(nil)}})
		p.receive()
	}
	p.send(&wire.Pull{Property: creek, Entries: 40})
	for pages := 1; ; pages++ {
		page, ok := p.receive().(*wire.Page)
		if !ok || page.Last != held {
			t.Fatalf("page %d: got %+v, want last %d", pages, page, held)
		}
		if !page.More {
			break
		}
	}
}
