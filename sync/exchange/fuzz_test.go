package exchange_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/exchange"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
	"headcut/sync/wire"
)

// fuzzedDesk is a desk whose store is never flushed, which only a crash would show.
func fuzzedDesk(f *testing.F) *desk {
	s, err := boltstore.Open(filepath.Join(f.TempDir(), "register.db"), boltstore.Options{NoFlush: true})
	if err != nil {
		f.Fatal(err)
	}
	d := &desk{store: s, revoked: make(map[string]bool)}
	d.exchange = exchange.New(exchange.Options{Store: s, Admit: d.admit, Begin: func(context.Context, string, string, string) error { return nil }, Logger: slog.New(slog.DiscardHandler)})
	server := httptest.NewServer(d.exchange)
	d.url = "ws" + strings.TrimPrefix(server.URL, "http")
	f.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		_ = d.exchange.Stop(ctx)
		server.Close()
		_ = s.Close()
	})
	raw := entryOf(f, "device-1", 1, nil)
	for _, frame := range []wire.Frame{
		&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{raw}}, &wire.Push{Push: 2, Property: creek, Entries: []json.RawMessage{raw, raw[:40]}},
		&wire.Pull{Property: creek}, &wire.Pull{Property: creek, Entries: 1, At: store.Position{Epoch: "019a0000-0000-7000-8000-000000000001", N: 1}},
		&wire.Begin{Property: "019a0000-0000-7000-8000-000000000002", Name: "Saltbush Flat"}, &wire.Missing{Property: creek, IDs: []register.ID{"019a0000-0000-7000-8000-000000000001"}},
		&wire.Hello{Version: 2, Token: "token-of-device-1", Device: "device-1"},
	} {
		data, err := wire.Append(nil, frame)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	return d
}

// spoken is the device's end of a conversation that was fuzzed before.
type spoken struct {
	url  string
	conn *websocket.Conn
}

// say sends a message, unless the conversation has ended.
func (s *spoken) say(data []byte) bool {
	_ = s.conn.SetWriteDeadline(time.Now().Add(time.Minute))
	return s.conn.WriteMessage(websocket.TextMessage, data) == nil
}

func (s *spoken) ask(t *testing.T, f wire.Frame) bool {
	data, err := wire.Append(nil, f)
	if err != nil {
		t.Fatal(err)
	}
	return s.say(data)
}

// answered reads on until a frame is the one that is waited for; it is false when the
// conversation was ended instead.
func (s *spoken) answered(t *testing.T, is func(wire.Frame) bool) bool {
	for {
		_ = s.conn.SetReadDeadline(time.Now().Add(time.Minute))
		_, data, err := s.conn.ReadMessage()
		if timeout, ok := err.(interface{ Timeout() bool }); ok && timeout.Timeout() {
			t.Fatal("the server neither answered nor ended the conversation in a minute")
		}
		if err != nil {
			return false
		}
		frame, err := wire.Decode(data)
		if err != nil {
			t.Fatalf("the server sent %q: %v", data, err)
		}
		if is(frame) {
			return true
		}
	}
}

func (s *spoken) dial(t *testing.T) {
	if s.conn != nil {
		_ = s.conn.Close()
	}
	var err error
	if s.conn, _, err = websocket.DefaultDialer.Dial(s.url, nil); err != nil {
		t.Fatal(err)
	}
}

func (s *spoken) begin(t *testing.T) {
	s.dial(t)
	welcome := func(f wire.Frame) bool { _, ok := f.(*wire.Welcome); return ok }
	if !s.ask(t, &wire.Hello{Version: wire.Version, Token: "token-of-device-1", Device: "device-1"}) || !s.answered(t, welcome) {
		t.Fatal("a device is not welcomed")
	}
}

// FuzzConversation says what anybody might in a live conversation with the real store: the next
// question is answered, or the conversation was ended, and another can be had.
func FuzzConversation(f *testing.F) {
	d, asked := fuzzedDesk(f), 0
	device := &spoken{url: d.url}
	f.Fuzz(func(t *testing.T, data []byte) {
		if device.conn == nil {
			device.begin(t)
		}
		asked++
		question := []register.ID{register.ID(fmt.Sprintf("019a0000-0000-7fff-8000-%012x", asked))}
		lacks := func(f wire.Frame) bool {
			l, ok := f.(*wire.Lacks)
			return ok && slices.Equal(l.IDs, question)
		}
		if !device.say(data) || !device.ask(t, &wire.Missing{Property: creek, IDs: question}) || !device.answered(t, lacks) {
			device.begin(t)
		}
	})
}

// FuzzFirstMessage says it before the hello: a stranger is welcomed, or told why not, or ended.
func FuzzFirstMessage(f *testing.F) {
	stranger := &spoken{url: fuzzedDesk(f).url}
	f.Fuzz(func(t *testing.T, data []byte) {
		stranger.dial(t)
		if !stranger.say(data) {
			return
		}
		welcomed := stranger.answered(t, func(f wire.Frame) bool { _, ok := f.(*wire.Welcome); return ok })
		if hello, err := wire.Decode(data); welcomed {
			if h, ok := hello.(*wire.Hello); err != nil || !ok || h.Token != "token-of-"+h.Device {
				t.Fatalf("%q was welcomed", data)
			}
		}
		_ = stranger.conn.Close()
	})
}
