package exchange_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/exchange"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
	"headcut/sync/wire"
)

const creek = "creek"

// desk is a server with an exchange on a real store.
type desk struct {
	store    *boltstore.Store
	exchange *exchange.Exchange
	url      string

	mu      sync.Mutex
	revoked map[string]bool
}

func newDesk(t testing.TB, timing exchange.Timing) *desk {
	t.Helper()
	return newDeskIn(t, t.TempDir(), timing)
}

func newDeskIn(t testing.TB, dir string, timing exchange.Timing) *desk {
	t.Helper()
	s, err := boltstore.Open(filepath.Join(dir, "register.db"), boltstore.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{store: s, revoked: make(map[string]bool)}
	d.exchange = exchange.New(exchange.Options{Store: s, Admit: d.admit, Timing: timing, Logger: slog.New(slog.DiscardHandler)})
	server := httptest.NewServer(d.exchange)
	d.url = "ws" + strings.TrimPrefix(server.URL, "http")
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 200*time.Millisecond)
		defer cancel()
		_ = d.exchange.Stop(ctx)
		server.Close()
		_ = s.Close()
	})
	return d
}

func (d *desk) admit(_ context.Context, token string) (exchange.Grant, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	device, ok := strings.CutPrefix(token, "token-of-")
	if !ok || d.revoked[device] {
		return exchange.Grant{}, &model.Problem{Reason: "is not known here", Fix: "enrol the device"}
	}
	return exchange.Grant{Device: device, Authors: []string{"an officer"}, Properties: []string{creek, "ridge"}}, nil
}

// peer is the other end of a conversation, spoken frame by frame.
type peer struct {
	t      testing.TB
	conn   *websocket.Conn
	device string
	seq    uint64
}

func dial(t testing.TB, d *desk) *websocket.Conn {
	t.Helper()
	dialer := websocket.Dialer{EnableCompression: true, HandshakeTimeout: 10 * time.Second}
	conn, _, err := dialer.Dial(d.url, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	return conn
}

// join connects a device and is welcomed.
func join(t testing.TB, d *desk, device string) *peer {
	t.Helper()
	p := &peer{t: t, conn: dial(t, d), device: device}
	p.send(&wire.Hello{Version: wire.Version, Token: "token-of-" + device, Device: device, ClockMS: time.Now().UnixMilli()})
	if _, ok := p.receive().(*wire.Welcome); !ok {
		t.Fatal("no welcome")
	}
	return p
}

func (p *peer) send(f wire.Frame) {
	p.t.Helper()
	data, err := wire.Append(nil, f)
	if err != nil {
		p.t.Fatal(err)
	}
	p.write(data)
}

func (p *peer) write(data []byte) {
	p.t.Helper()
	p.conn.EnableWriteCompression(len(data) > wire.CompressOver)
	if err := p.conn.WriteMessage(websocket.TextMessage, data); err != nil {
		p.t.Fatal(err)
	}
}

// receive returns the next frame that is not a hint.
func (p *peer) receive() wire.Frame {
	p.t.Helper()
	for {
		f, err := p.next()
		if err != nil {
			p.t.Fatalf("the connection ended: %v", err)
		}
		if _, ok := f.(*wire.Hint); !ok {
			return f
		}
	}
}

func (p *peer) next() (wire.Frame, error) {
	_ = p.conn.SetReadDeadline(time.Now().Add(time.Minute))
	_, data, err := p.conn.ReadMessage()
	if err != nil {
		return nil, err
	}
	return wire.Decode(data)
}

// entry writes the device's next entry.
func (p *peer) entry(change func(*register.Entry)) json.RawMessage {
	p.t.Helper()
	p.seq++
	return entryOf(p.t, p.device, p.seq, change)
}

func entryOf(t testing.TB, device string, seq uint64, change func(*register.Entry)) json.RawMessage {
	t.Helper()
	id, err := uuid.NewV7()
	if err != nil {
		t.Fatal(err)
	}
	e := register.Entry{Version: 1, ID: register.ID(id.String()), Property: creek, Feature: fmt.Sprint("head-", seq%50), Device: device, DeviceSeq: seq,
		Stamp: register.StampAt(time.Now()), SeenAt: time.Now().Format(time.RFC3339), Author: "an officer",
		Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": []byte(`"gully-head"`), "headDepthM": []byte(fmt.Sprintf("%.2f", float64(seq%300)/100)),
			"notes":    []byte(fmt.Sprintf(`"undercut on the left, roots exposed, seen at %d"`, seq)),
			"geometry": []byte(fmt.Sprintf(`{"type":"Point","coordinates":[147.%06d,-20.%06d]}`, seq%999983, (seq*7)%999983))})}
	if change != nil {
		change(&e)
	}
	raw, err := json.Marshal(e)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// TestBadInput: each bad thing is answered with what is at fault, and afterwards the
// conversation goes on and takes a good entry.
func TestBadInput(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	long := bytes.Repeat([]byte("x"), wire.FrameBytes+1)
	for name, c := range map[string]struct{ frame, path string }{
		"not-json":         {"push!", "frame"},
		"no-type":          {"{}", "type"},
		"server-frame":     {`{"type":"welcome"}`, "type"},
		"second-hello":     {`{"type":"hello","version":1}`, "type"},
		"no-right-push":    {`{"type":"push","push":7,"property":"elsewhere"}` + "\n{}", "property"},
		"no-right-pull":    {`{"type":"pull","property":"elsewhere"}`, "property"},
		"no-right-missing": {`{"type":"missing","property":"elsewhere","ids":[]}`, "property"},
		"too-many-entries": {`{"type":"push","push":7,"property":"creek"}` + strings.Repeat("\n{}", 257), "entries"},
		"oversize":         {string(long), "frame"},
		"oversize-push":    {`{"type":"push","push":7,"property":"creek"}` + "\n" + string(long), "frame"},
	} {
		t.Run(name, func(t *testing.T) {
			p := join(t, d, "bad-input-"+name)
			p.write([]byte(c.frame))
			got, ok := p.receive().(*wire.Problem)
			if !ok || got.Problem.Path != c.path || got.Problem.Reason == "" || got.Closing {
				t.Fatalf("answer: got %+v, want a Problem at %q that does not end the conversation", got, c.path)
			}
			if strings.Contains(c.frame, `"push":7`) && !strings.HasPrefix(name, "oversize") && got.Push != 7 {
				t.Errorf("the problem is about push %d, want 7", got.Push)
			}
			p.send(&wire.Push{Push: 8, Property: creek, Entries: []json.RawMessage{p.entry(nil)}})
			if r, ok := p.receive().(*wire.Receipts); !ok || r.Push != 8 || r.Receipts[0].N == 0 {
				t.Errorf("a good push afterwards: got %+v", r)
			}
		})
	}
}

// TestGoodEntriesAreKept sends good and bad entries in one frame.
func TestGoodEntriesAreKept(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	frame := []struct {
		raw     json.RawMessage
		refused string // the beginning of the reason, "" when it is to be taken
	}{
		{p.entry(nil), ""},
		{json.RawMessage(`{"v":1,`), "The text ends"},
		{json.RawMessage(`[]`), "The entry is not"},
		{p.entry(func(e *register.Entry) { e.Device, e.DeviceSeq = "device-2", 1 }), "Device is "},
		{p.entry(func(e *register.Entry) { e.Property, e.DeviceSeq = "ridge", 1 }), "Property: "},
		{p.entry(func(e *register.Entry) { e.Set = e.Set.With("headDepthM", []byte("1e9")); e.DeviceSeq = 2 }), "Head depth"},
		{p.entry(func(e *register.Entry) {
			e.Set = e.Set.With("geometry", []byte(`{"type":"Point","coordinates":[147,-95]}`))
			e.DeviceSeq = 2
		}), "Geometry"},
		{json.RawMessage(strings.Replace(string(p.entry(func(e *register.Entry) { e.DeviceSeq = 2 })), "1", "NaN", 1)), "V: "},
		{append(p.entry(func(e *register.Entry) { e.DeviceSeq = 2 })[:80], 0xff, '"', '}'), "The entry is not UTF-8"},
		{p.entry(func(e *register.Entry) { e.DeviceSeq = 2; e.Stamp = register.StampAt(time.Now().AddDate(1, 0, 0)) }), ""},
	}
	push := &wire.Push{Push: 1, Property: creek}
	for _, one := range frame {
		push.Entries = append(push.Entries, one.raw)
	}
	p.send(push)
	got, ok := p.receive().(*wire.Receipts)
	if !ok || len(got.Receipts) != len(frame) {
		t.Fatalf("got %+v, want %d receipts", got, len(frame))
	}
	for i, one := range frame {
		r := got.Receipts[i]
		if (r.Refused == "") != (one.refused == "") || !strings.HasPrefix(r.Refused, one.refused) || (r.N > 0) != (one.refused == "") {
			t.Errorf("receipt %d of %.70s: got %+v, want a refusal that begins with %q", i, one.raw, r, one.refused)
		}
	}
	if last := got.Receipts[len(frame)-1]; last.ClockOffS < 360*86400 || last.HighSeq != 2 {
		t.Errorf("receipt of an entry stamped a year ahead: got %+v, want it taken and the clock told", last)
	}
	page, _, err := d.store.EntriesAfter(t.Context(), creek, zero, 100)
	if err != nil || len(page) != 2 || !bytes.Equal(page[0].Raw, frame[0].raw) {
		t.Errorf("in the register: got %d entries (%v), want the two good ones", len(page), err)
	}
}

// TestNoDeviceWritesAsAnother: an entry is judged by the bytes that are kept. A reader of JSON
// that does not tell cases apart believes the last of two names, and the store the one that is
// written as it should be: such an entry went in under the number of another device, whose own
// entry was then refused as that of a copied phone.
func TestNoDeviceWritesAsAnother(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	victim, attacker := join(t, d, "victim"), join(t, d, "attacker")
	honest := victim.entry(nil)
	as := func(more string) json.RawMessage {
		forged := entryOf(t, "victim", 1, nil)
		return json.RawMessage(strings.TrimSuffix(string(forged), "}") + more + "}")
	}
	push := &wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{
		as(`,"DEVICE":"attacker"`), as(`,"Device":"attacker"`), as(`,"de\u0076ICE":"attacker"`), as(`,"device":"attacker"`),
		as(`,"DEVICE":"attacker","PROPERTY":"creek","ID":"019abc00-0000-7000-8000-000000000001"`), as(""),
	}}
	attacker.send(push)
	got, ok := attacker.receive().(*wire.Receipts)
	if !ok || len(got.Receipts) != len(push.Entries) {
		t.Fatalf("got %+v, want %d receipts", got, len(push.Entries))
	}
	for i, r := range got.Receipts {
		if r.N != 0 || r.Refused == "" {
			t.Errorf("as another device: %s was taken: %+v", push.Entries[i], r)
		}
	}
	victim.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{honest}})
	if r, ok := victim.receive().(*wire.Receipts); !ok || r.Receipts[0].N != 1 || r.Receipts[0].Cloned {
		t.Errorf("the victim's own first entry: got %+v, want it taken as the first of all", r)
	}
}

// TestWrongHellos end the conversation with the member at fault.
func TestWrongHellos(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	for name, c := range map[string]struct{ frame, path string }{
		"wrong-token":     {`{"type":"hello","version":1,"token":"guessed","device":"device-1"}`, "token"},
		"two-tokens":      {`{"type":"hello","version":1,"token":"guessed","token":"token-of-device-1","device":"device-1"}`, "token"},
		"no-token":        {`{"type":"hello","version":1,"device":"device-1"}`, "token"},
		"another-device":  {`{"type":"hello","version":1,"token":"token-of-device-1","device":"device-2"}`, "device"},
		"no-version":      {`{"type":"hello","token":"token-of-device-1","device":"device-1"}`, "version"},
		"push-first":      {`{"type":"push","property":"creek"}`, "type"},
		"broken":          {`hello?`, "frame"},
		"number-as-token": {`{"type":"hello","version":1,"token":5}`, "token"},
	} {
		t.Run(name, func(t *testing.T) {
			p := &peer{t: t, conn: dial(t, d)}
			p.write([]byte(c.frame))
			got, ok := p.receive().(*wire.Problem)
			if !ok || got.Problem.Path != c.path || !got.Closing {
				t.Fatalf("answer: got %+v, want a closing Problem at %q", got, c.path)
			}
			if f, err := p.next(); err == nil {
				t.Errorf("after it: got %+v, want the end", f)
			}
		})
	}
}

// TestNewerDevicesAreSpokenToInOurVersion negotiates.
func TestNewerDevicesAreSpokenToInOurVersion(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := &peer{t: t, conn: dial(t, d)}
	p.send(&wire.Hello{Version: 9, Token: "token-of-device-1", Device: "device-1"})
	w, ok := p.receive().(*wire.Welcome)
	epochs, err := d.store.Epochs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if !ok || w.Version != wire.Version || w.Device != "device-1" || !slices.Equal(w.Properties, []string{creek, "ridge"}) ||
		w.Epoch != epochs[0].ID || w.Limits.Entries != 256 || w.Limits.Bytes != 1<<20 || time.Since(time.UnixMilli(w.ClockMS)) > time.Minute {
		t.Errorf("welcome: got %+v", w)
	}
	p.write([]byte(`{"type":"weather","rain":12}`))
	p.send(&wire.Missing{Property: creek, IDs: []register.ID{"019a0000-0000-7000-8000-000000000001"}})
	if l, ok := p.receive().(*wire.Lacks); !ok || len(l.IDs) != 1 {
		t.Errorf("after a frame of an unknown type: got %+v, want the answer to the next", l)
	}
}

// TestDecompressionBombIsCountedUnfolded: a message of a few kilobytes that unfolds to
// gigabytes must not be held, and is answered as too long.
func TestDecompressionBombIsCountedUnfolded(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	p.write(bytes.Repeat([]byte(" "), 12<<20)) // about 12 KB on the wire
	if got, ok := p.receive().(*wire.Problem); !ok || got.Problem.Path != "frame" || got.Closing {
		t.Errorf("12 MB of blanks: got %+v, want a Problem at frame", got)
	}
	_ = p.conn.WriteMessage(websocket.TextMessage, bytes.Repeat([]byte(" "), 40<<20)) // may be cut on the way
	if f, err := p.next(); err == nil {
		t.Errorf("40 MB of blanks: got %+v, want the end", f)
	}
}

// TestRevokedTokenEndsTheConversation within the time after which rights are asked again.
func TestRevokedTokenEndsTheConversation(t *testing.T) {
	timing := exchange.DefaultTiming
	timing.Admit = 20 * time.Millisecond
	d := newDesk(t, timing)
	p := join(t, d, "device-1")
	d.mu.Lock()
	d.revoked["device-1"] = true
	d.mu.Unlock()
	time.Sleep(2 * timing.Admit)
	p.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{p.entry(nil)}})
	if got, ok := p.receive().(*wire.Problem); !ok || got.Problem.Path != "token" || !got.Closing {
		t.Errorf("a push after the token was revoked: got %+v, want a closing Problem at token", got)
	}
	if page, _, err := d.store.EntriesAfter(t.Context(), creek, zero, 1); err != nil || len(page) != 0 {
		t.Errorf("in the register: got %d entries (%v), want none", len(page), err)
	}
}

// TestPageBytesAreThoseOfTheDevice pulls entries whose spelling is unusual.
func TestPageBytesAreThoseOfTheDevice(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	plain := p.entry(nil)
	odd := json.RawMessage(strings.Replace(string(p.entry(nil)), `{"v":1,`, "{ \"later\" : \"<&> \u00fc\", \"v\"\t: 1, ", 1))
	p.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{plain, odd}})
	if r, ok := p.receive().(*wire.Receipts); !ok || r.Receipts[1].N != 2 {
		t.Fatalf("push: got %+v", r)
	}
	p.send(&wire.Pull{Property: creek})
	page, ok := p.receive().(*wire.Page)
	if !ok || page.More || page.First != 1 || len(page.Entries) != 2 || !bytes.Equal(page.Entries[0], plain) || !bytes.Equal(page.Entries[1], odd) {
		t.Fatalf("page: got %+v\nwant the bytes\n%s\n%s", page, plain, odd)
	}
	at := store.Position{Epoch: page.At.Epoch}
	for _, raw := range page.Entries {
		at = at.After(register.HashOf(raw))
	}
	if page.At != at {
		t.Errorf("position: got %+v, want %+v", page.At, at)
	}
	at.Hash[0]++
	p.send(&wire.Pull{Property: creek, At: at})
	if f, ok := p.receive().(*wire.Forked); !ok || f.Property != creek || len(f.Epochs) != 1 || len(f.Marks) == 0 || f.Marks[0].N != 2 {
		t.Errorf("pull from a wrong hash: got %+v, want forked with marks from 2 down", f)
	}
}
