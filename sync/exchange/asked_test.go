package exchange_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/exchange"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// failing is a real store that fails for once.
type failing struct {
	store.Register
	err, epochs error
}

func (f *failing) Append(ctx context.Context, property string, raw []json.RawMessage, may ...store.May) ([]store.Receipt, error) {
	if f.err != nil {
		return nil, f.err
	}
	return f.Register.Append(ctx, property, raw, may...)
}

func (f *failing) Newest(ctx context.Context, property string) (uint64, error) {
	if f.err != nil {
		return 0, f.err
	}
	return f.Register.Newest(ctx, property)
}

func (f *failing) Missing(ctx context.Context, property string, ids []register.ID, may ...store.May) ([]register.ID, error) {
	if f.err != nil {
		return nil, f.err
	}
	return f.Register.Missing(ctx, property, ids, may...)
}

func (f *failing) Epochs(ctx context.Context) ([]store.Epoch, error) {
	if f.epochs != nil {
		return nil, f.epochs
	}
	return f.Register.Epochs(ctx)
}

// rest is what comes until the conversation ends.
func rest(p *peer) (frames []wire.Frame) {
	for {
		f, err := p.next()
		if err != nil {
			if isTimeout(err) {
				p.t.Error("the conversation goes on")
			}
			return frames
		}
		frames = append(frames, f)
	}
}

// TestWhatTheStoreCannotDo is told as the server's own trouble, never as the device's; after a full
// disk the conversation goes on, and a store that has stopped asks the device to come back.
func TestWhatTheStoreCannotDo(t *testing.T) {
	const keep = "nothing was stored: keep it and send it again later"
	for name, c := range map[string]struct {
		err     error
		reason  string
		fix     string
		closing bool
	}{
		"full":     {fmt.Errorf("writing: %w", store.ErrFull), "the server's disk is full", keep, false},
		"stopped":  {store.ErrStopped, "the server's store has stopped", keep, true},
		"damaged":  {fmt.Errorf("reading: %w", store.ErrDamaged), "the server's store has stopped", keep, true},
		"other":    {errors.New("/var/lib/headcut: secret"), "the server has an internal error", keep, false},
		"a reason": {&model.Problem{Reason: "is not now", Fix: "wait"}, "is not now", "wait", false},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, exchange.Timing{})
			f := &failing{Register: d.store}
			d.exchange.Store = f
			p := join(t, d, "device-1")
			entry := p.entry(nil)
			f.err = c.err
			p.send(&wire.Push{Push: 7, Property: creek, Entries: []json.RawMessage{entry}})
			if !c.closing {
				got, ok := p.receive().(*wire.Problem)
				if !ok || got.Problem.Reason != c.reason || got.Problem.Fix != c.fix || got.Push != 7 || got.Property != creek || got.Closing {
					t.Fatalf("a push is answered %+v, want %q", got, c.reason)
				}
				for _, frame := range []wire.Frame{&wire.Pull{Property: creek}, &wire.Missing{Property: creek}} {
					p.send(frame)
					if got, ok := p.receive().(*wire.Problem); !ok || got.Push != 0 || got.Property != creek || got.Closing || strings.Contains(got.Problem.Error(), "secret") {
						t.Errorf("%T is answered %+v, want a Problem of the property", frame, got)
					}
				}
				f.err = nil
				p.send(&wire.Push{Push: 8, Property: creek, Entries: []json.RawMessage{entry}})
				if got, ok := p.receive().(*wire.Receipts); !ok || got.Receipts[0].N != 1 {
					t.Errorf("afterwards a push is answered %+v", got)
				}
				return
			}
			frames := rest(p)
			if len(frames) != 2 {
				t.Fatalf("a push is answered %+v, want a Later and a Problem", frames)
			}
			later, ok := frames[0].(*wire.Later)
			got, also := frames[1].(*wire.Problem)
			if !ok || !also || later.AfterMS != 1000 || later.WithinMS != 30_000 || got.Problem.Reason != c.reason || got.Problem.Fix != c.fix || got.Push != 7 || !got.Closing {
				t.Errorf("a push is answered %+v and %+v, want Later and %q", later, got, c.reason)
			}
		})
	}
	t.Run("epochs", func(t *testing.T) {
		d := newDesk(t, exchange.Timing{})
		d.exchange.Store = &failing{Register: d.store, epochs: errors.New("secret")}
		p := &peer{t: t, conn: dial(t, d)}
		p.send(&wire.Hello{Version: wire.Version, Token: "token-of-a", Device: "a"})
		if got, ok := p.receive().(*wire.Problem); !ok || !got.Closing || got.Problem.Reason != "the server has an internal error" {
			t.Errorf("a hello is answered %+v, want a closing Problem", got)
		}
	})
}

// TestNotYetAsksToComeBack: a token that will allow something later is no wrong token.
func TestNotYetAsksToComeBack(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	d.exchange.Admit = func(context.Context, string) (exchange.Grant, error) {
		return exchange.Grant{}, exchange.NotYet{Problem: &model.Problem{Reason: "the office has not accepted it", Fix: "wait"}}
	}
	p := &peer{t: t, conn: dial(t, d)}
	p.send(&wire.Hello{Version: wire.Version, Token: "t", Device: "a"})
	frames := rest(p)
	if len(frames) != 2 {
		t.Fatalf("got %+v, want a Later and a Problem", frames)
	}
	_, ok := frames[0].(*wire.Later)
	if got, also := frames[1].(*wire.Problem); !ok || !also || !got.Closing || got.Problem.Path != "" || got.Problem.Reason != "the office has not accepted it" {
		t.Errorf("got %+v, want a Later and the Problem", frames)
	}
}

// TestDeviceBeginsAProperty, and has the right to it in the same conversation.
func TestDeviceBeginsAProperty(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	begin := func(property string) *wire.Problem {
		p.send(&wire.Begin{Property: property, Name: "Far Paddock"})
		switch f := p.receive().(type) {
		case *wire.Problem:
			if f.Property != property || f.Closing {
				t.Errorf("beginning %s is answered %+v", property, f)
			}
			return f
		case *wire.Begun:
			if f.Property != (wire.Property{ID: property, Name: "Far Paddock", Begun: true}) {
				t.Errorf("begun is %+v", f)
			}
			return nil
		default:
			t.Fatalf("beginning %s is answered %+v", property, f)
			return nil
		}
	}
	if got := begin("far"); got == nil || got.Problem.Path != "property" || !strings.Contains(got.Problem.Reason, "no property can be begun") {
		t.Errorf("where none can be begun: %+v", got)
	}
	granted := true
	var begun []string
	admit := d.exchange.Admit
	d.exchange.Begin = func(_ context.Context, device, property, name string) error {
		if device != "device-1" || name != "Far Paddock" {
			return fmt.Errorf("%s begins %q", device, name)
		}
		if property == "bad" {
			return &model.Problem{Path: "name", Reason: "is taken"}
		}
		begun = append(begun, property)
		return nil
	}
	d.exchange.Admit = func(ctx context.Context, token string) (exchange.Grant, error) {
		grant, err := admit(ctx, token)
		if granted {
			for _, id := range begun {
				grant.Properties = append(grant.Properties, id)
				grant.About = append(grant.About, wire.Property{ID: id, Name: "Far Paddock", Begun: true})
			}
		}
		return grant, err
	}
	if got := begin("bad"); got == nil || got.Problem.Path != "name" {
		t.Errorf("one that cannot be: %+v", got)
	}
	for range 2 { // again it changes nothing
		if got := begin("far"); got != nil {
			t.Errorf("one that can be: %+v", got)
		}
	}
	entry := p.entry(func(e *register.Entry) { e.Property = "far" })
	p.send(&wire.Push{Push: 1, Property: "far", Entries: []json.RawMessage{entry}})
	if got, ok := p.receive().(*wire.Receipts); !ok || got.Receipts[0].N != 1 {
		t.Errorf("an entry of it is answered %+v", got)
	}
	p.send(&wire.Pull{Property: "far"})
	if got, ok := p.receive().(*wire.Page); !ok || len(got.Entries) != 1 {
		t.Errorf("a pull of it is answered %+v", got)
	}
	// It is followed as the others are.
	if _, err := d.store.Append(t.Context(), "far", []json.RawMessage{entryOf(t, "another", 1, func(e *register.Entry) { e.Property = "far" })}); err != nil {
		t.Fatal(err)
	}
	for {
		f, err := p.next()
		if err != nil {
			t.Fatalf("no hint of it: %v", err)
		}
		if hint, ok := f.(*wire.Hint); ok && hint.Property == "far" && hint.N == 2 {
			break
		}
	}
	p = join(t, d, "device-1")
	granted = false
	if got := begin("near"); got == nil || got.Problem.Path != "property" || !strings.Contains(got.Problem.Reason, "no right") {
		t.Errorf("one that the office gives no right to: %+v", got)
	}
}

// TestWhoMayWriteWhat: entries under the device's own id and the names granted to it, and what is
// asked about as missing is judged alike.
func TestWhoMayWriteWhat(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	d.exchange.Admit = func(_ context.Context, token string) (exchange.Grant, error) {
		return exchange.Grant{Device: token, Authors: []string{"Ana", "Ben"}, Properties: []string{creek}}, nil
	}
	other := entryOf(t, "other", 1, func(e *register.Entry) { e.Author = "Cora" })
	former := entryOf(t, "former", 1, func(e *register.Entry) { e.Author = " Ben " })
	newer := entryOf(t, "newer", 1, func(e *register.Entry) { e.Version, e.Author = register.Version+1, "Cora" })
	if receipts, err := d.store.Append(t.Context(), creek, []json.RawMessage{other, former, newer}); err != nil || receipts[2].N != 3 {
		t.Fatalf("%+v, %v", receipts, err)
	}
	idOf := func(raw json.RawMessage) register.ID {
		e, err := register.Decode(raw)
		if err != nil {
			t.Fatal(err)
		}
		return e.ID
	}
	p := &peer{t: t, conn: dial(t, d), device: "device-1"}
	p.send(&wire.Hello{Version: wire.Version, Token: "device-1", Device: "device-1"})
	if _, ok := p.receive().(*wire.Welcome); !ok {
		t.Fatal("no welcome")
	}
	own := p.entry(func(e *register.Entry) { e.Author = "Ana" })
	wrong := entryOf(t, "device-1", 2, func(e *register.Entry) { e.Author = "Cora" })
	later := entryOf(t, "device-1", 2, func(e *register.Entry) { e.Version, e.Author = register.Version+1, "Cora" })
	foreign := entryOf(t, "device-2", 1, func(e *register.Entry) { e.Author = "Ana" })
	p.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{own, wrong, foreign, later}})
	got, ok := p.receive().(*wire.Receipts)
	if !ok {
		t.Fatalf("answered %+v", got)
	}
	for i, want := range []string{"",
		`Author is "Cora" and this phone is enrolled for "Ana" and "Ben". It stays on the phone: save it to a file and give that to the office, or ask for a code under this name and enrol again.`,
		`Device is "device-2" and this is device "device-1". A device sends its own entries only.`, ""} {
		if r := got.Receipts[i]; r.Refused != want || (r.N > 0) != (want == "") {
			t.Errorf("entry %d: %+v, want %q", i, r, want)
		}
	}
	unknown := register.ID("019a0000-0000-7000-8000-000000000001")
	p.send(&wire.Missing{Property: creek, IDs: []register.ID{idOf(own), idOf(other), unknown, idOf(former), idOf(newer)}})
	if got, ok := p.receive().(*wire.Lacks); !ok || got.Property != creek || !slices.Equal(got.IDs, []register.ID{idOf(other), unknown}) {
		t.Errorf("missing: %+v, want what another wrote and what is unknown", got)
	}
}

// TestPhotosAreAskedFor once after the welcome, where some are not here.
func TestPhotosAreAskedFor(t *testing.T) {
	some := []register.Hash{{1}, {2}}
	for name, c := range map[string]struct {
		photos []register.Hash
		err    error
		want   bool
	}{"some": {some, nil, true}, "none": {nil, nil, false}, "not known": {some, errors.New("the disk is away"), false}} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, exchange.Timing{})
			asked := make(chan exchange.Grant, 9)
			d.exchange.Wanted = func(_ context.Context, grant exchange.Grant) ([]register.Hash, error) {
				asked <- grant
				return c.photos, c.err
			}
			p := join(t, d, "device-1")
			if grant := <-asked; grant.Device != "device-1" || len(grant.Properties) != 2 {
				t.Errorf("asked for %+v", grant)
			}
			if c.want {
				if f, ok := p.receive().(*wire.Wanted); !ok || !slices.Equal(f.Photos, some) {
					t.Errorf("got %+v, want the photos", f)
				}
			}
			p.send(&wire.Push{Push: 1, Property: creek, Entries: []json.RawMessage{p.entry(nil)}})
			if f, ok := p.receive().(*wire.Receipts); !ok {
				t.Errorf("got %+v, want receipts and no more photos", f)
			}
			if len(asked) != 0 {
				t.Error("asked again")
			}
		})
	}
}

// logged is a log that tests read.
type logged struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *logged) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(b)
}

func (l *logged) has(s string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return strings.Contains(l.text.String(), s)
}

// TestClocksFarOffAreLogged: by more than a day, either way.
func TestClocksFarOffAreLogged(t *testing.T) {
	now := time.Date(2026, 5, 13, 9, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		off  time.Duration
		want bool
	}{{24 * time.Hour, false}, {-24 * time.Hour, false}, {24*time.Hour + time.Millisecond, true}, {-24*time.Hour - time.Millisecond, true}} {
		d := newDesk(t, exchange.Timing{})
		var log logged
		d.exchange.Logger, d.exchange.Now = slog.New(slog.NewTextHandler(&log, nil)), func() time.Time { return now }
		p := &peer{t: t, conn: dial(t, d)}
		p.send(&wire.Hello{Version: wire.Version, Token: "token-of-a", Device: "a", ClockMS: now.Add(c.off).UnixMilli()})
		if w, ok := p.receive().(*wire.Welcome); !ok || w.ClockMS != now.UnixMilli() || w.PingMS != 10_000 {
			t.Fatalf("welcome: %+v", w)
		}
		if log.has("more than a day off") != c.want {
			t.Errorf("a clock %v ahead: logged is %t, want %t", c.off, !c.want, c.want)
		}
	}
}

// TestUnreadableFramesEndIt: sixteen are answered, the next ends the conversation.
func TestUnreadableFramesEndIt(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	for i := range exchange.BadFrames + 1 {
		p.write([]byte("what?"))
		if got, ok := p.receive().(*wire.Problem); !ok || got.Closing != (i == exchange.BadFrames) {
			t.Fatalf("frame %d is answered %+v", i+1, got)
		}
	}
	if frames := rest(p); len(frames) != 0 {
		t.Errorf("afterwards %+v", frames)
	}
}

// TestLongestHello: one of as many bytes as a hello may have is read.
func TestLongestHello(t *testing.T) {
	for size, path := range map[int]string{exchange.HelloBytes: "token", exchange.HelloBytes + 1: "frame"} {
		d := newDesk(t, exchange.Timing{})
		p := &peer{t: t, conn: dial(t, d)}
		p.conn.EnableWriteCompression(true)
		head := `{"type":"hello","version":1,"token":"`
		if err := p.conn.WriteMessage(websocket.TextMessage, []byte(head+strings.Repeat("x", size-len(head)-2)+`"}`)); err != nil {
			t.Fatal(err)
		}
		if got, ok := p.receive().(*wire.Problem); !ok || !got.Closing || got.Problem.Path != path {
			t.Errorf("a hello of %d bytes is answered %+v, want a Problem at %s", size, got, path)
		}
	}
}

// TestControlsBeforeTheHello: a few are answered, and the hello after them is read.
func TestControlsBeforeTheHello(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	for controls, welcome := range map[int]bool{exchange.HelloControls: true, exchange.HelloControls + 1: false} {
		for _, kind := range []int{websocket.PingMessage, websocket.PongMessage} {
			p := &peer{t: t, conn: dialPlain(t, d)}
			for range controls {
				if err := p.conn.WriteControl(kind, nil, time.Now().Add(time.Second)); err != nil {
					t.Fatal(err)
				}
			}
			data, err := wire.Append(nil, &wire.Hello{Version: wire.Version, Token: "token-of-a", Device: "a"})
			if err != nil {
				t.Fatal(err)
			}
			_ = p.conn.WriteMessage(websocket.TextMessage, data) // it may have been ended
			f, err := p.next()
			if _, ok := f.(*wire.Welcome); ok != welcome || !ok && (err == nil || isTimeout(err)) {
				t.Errorf("after %d control frames of kind %d a hello is answered %+v (%v)", controls, kind, f, err)
			}
		}
	}
}

// TestPullOfFewEntries: as many come in a frame as are asked for, and never more than twice the
// last.
func TestPullOfFewEntries(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	p := join(t, d, "device-1")
	for range 3 {
		push := &wire.Push{Push: 1, Property: creek}
		for range 50 {
			push.Entries = append(push.Entries, p.entry(nil))
		}
		p.send(push)
		if f, ok := p.receive().(*wire.Receipts); !ok {
			t.Fatalf("answered %+v", f)
		}
	}
	for asked, want := range map[int][]int{0: {100, 50}, 40: {40, 40, 40, 30}, 100: {100, 50}, 101: {100, 50}, 149: {100, 50}, -1: {100, 50}, 150: {100, 50}} {
		p.send(&wire.Pull{Property: creek, Entries: asked})
		var got []int
		for {
			page, ok := p.receive().(*wire.Page)
			if !ok {
				t.Fatalf("answered %+v", page)
			}
			got = append(got, len(page.Entries))
			if page.Last != 150 || !page.More {
				break
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("asked for %d: pages of %v, want %v", asked, got, want)
		}
	}
}

// TestRequestsThatAreNoDevices are answered, and do not keep a stop waiting.
func TestRequestsThatAreNoDevices(t *testing.T) {
	d := newDesk(t, exchange.Timing{})
	ask := func() *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		d.exchange.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/sync", nil))
		return w
	}
	if w := ask(); w.Code != http.StatusBadRequest || d.exchange.Open() != 0 {
		t.Errorf("a plain request is answered %d, %d are open", w.Code, d.exchange.Open())
	}
	if err := d.exchange.Stop(t.Context()); err != nil {
		t.Fatal(err)
	}
	if w := ask(); w.Code != http.StatusServiceUnavailable || w.Header().Get("Retry-After") != "5" {
		t.Errorf("after the stop it is answered %d with %v", w.Code, w.Header())
	}
}
