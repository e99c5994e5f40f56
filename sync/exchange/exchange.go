package exchange

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"slices"
	"sync"
	"time"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// Grant is what a token allows.
type Grant struct {
	Device     string          // the only device id its entries may carry
	Authors    []string        // the names that its entries may carry
	Properties []string        // ids of the properties it may read and write
	About      []wire.Property // of each of them
}

// Begin makes a property that a device began with no signal. Asked again it changes
// nothing. A *model.Problem is shown to the device.
type Begin func(ctx context.Context, device, property, name string) error

// Wanted gives the photos that a device is to be asked for when it has been welcomed, at most
// wire.MaxPhotos.
type Wanted func(ctx context.Context, grant Grant) ([]register.Hash, error)

// NotYet answers a token that will allow something later: the device is asked to come back.
type NotYet struct{ *model.Problem }

// Unwrap gives the Problem.
func (n NotYet) Unwrap() error { return n.Problem }

// Admit tells what a token allows. A *model.Problem is shown to the device, which gives up
// unless it is a NotYet; any other error is logged and told as the server's own trouble.
type Admit func(ctx context.Context, token string) (Grant, error)

// Options of an Exchange. Store and Admit are required.
type Options struct {
	Store store.Register
	Admit Admit
	Begin Begin // nil: no property can be begun
	// Cloned hears of a device whose numbers others' entries have; nil: nobody does.
	Cloned func(ctx context.Context, device string)
	Wanted Wanted           // nil: no photo is asked for
	Logger *slog.Logger     // nil: slog.Default
	Now    func() time.Time // nil: time.Now; told to devices, never used for deadlines
	Timing Timing           // zero: DefaultTiming
	// CheckOrigin is asked for a browser's request; nil accepts the same origin only.
	CheckOrigin func(*http.Request) bool
	// Address is what a request is counted under, "" when that is not known; nil takes the
	// address that it comes from.
	Address func(*http.Request) string
	// Room tells whether a device may add entries to a property now; its Problem asks it to send them
	// later. nil: always.
	Room func(device, property string) error
	// Home refuses an entry about a feature that is kept under another property; nil: none is.
	Home func(ctx context.Context, e *register.Entry) *model.Problem
	// Took hears how many bytes of new entries of a device a property took; nil: nobody counts.
	Took func(device, property string, bytes int)
}

// Exchange holds the conversations of all connected devices. It is an http.Handler for
// the address devices connect to.
type Exchange struct {
	Options
	upgrader  websocket.Upgrader
	rooms     rooms
	strangers strangers
	pages     *pages

	mu       sync.Mutex
	open     map[*conversation]struct{}
	devices  map[string][]*conversation // admitted, the oldest first
	admitted int
	stopping bool
	ended    sync.WaitGroup
}

// New makes an Exchange that is ready to serve.
func New(o Options) *Exchange {
	if o.Logger == nil {
		o.Logger = slog.Default()
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Timing == (Timing{}) {
		o.Timing = DefaultTiming
	}
	if o.Address == nil {
		o.Address = addressOf
	}
	return &Exchange{
		Options: o,
		upgrader: websocket.Upgrader{
			HandshakeTimeout:  o.Timing.Hello,
			WriteBufferPool:   new(sync.Pool), // for control frames
			EnableCompression: true,
			CheckOrigin:       o.CheckOrigin,
			Error:             notUpgraded,
		},
		rooms: rooms{store: o.Store, log: o.Logger, byProperty: make(map[string]*room)},
		pages: newPages(),
		open:  make(map[*conversation]struct{}), devices: make(map[string][]*conversation),
	}
}

// notUpgraded answers a request that becomes no WebSocket (RFC 6455, 4.4).
func notUpgraded(w http.ResponseWriter, _ *http.Request, status int, _ error) {
	w.Header().Set("Sec-WebSocket-Version", "13")
	problem := &model.Problem{Reason: "this address takes the connections of devices, by WebSocket alone", Fix: "open the field page: it connects by itself"}
	if status == http.StatusForbidden {
		problem = &model.Problem{Path: "Origin", Reason: "the page that asks is of another server", Fix: "open this server's own page"}
	}
	refuse(w, status, problem)
}

func refuse(w http.ResponseWriter, status int, problem *model.Problem) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(problem) // the client has gone if this fails
}

// ServeHTTP makes the request a WebSocket and begins a conversation on it. It returns at
// once, so that what the HTTP server keeps for a request is not kept for a day.
func (x *Exchange) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	x.mu.Lock()
	if x.stopping {
		x.mu.Unlock()
		w.Header().Set("Retry-After", "5")
		refuse(w, http.StatusServiceUnavailable, &model.Problem{Reason: "the server is stopping", Fix: "come back in a little while"})
		return
	}
	x.ended.Add(1) // before the upgrade, so that Stop waits for it too
	x.mu.Unlock()
	taken := &hijacked{ResponseWriter: w}
	conn, err := x.upgrader.Upgrade(taken, r, nil)
	if err != nil { // Upgrade has answered
		x.ended.Done()
		x.Logger.Info("not a device's connection", "from", r.RemoteAddr, "error", err)
		return
	}
	c := newConversation(x, conn, taken.line)
	c.address = x.Address(r)
	x.mu.Lock()
	x.open[c] = struct{}{}
	stopping := x.stopping
	x.mu.Unlock()
	x.strangers.enter(c)
	if stopping {
		c.stop()
	}
	go func() {
		defer x.ended.Done()
		c.run()
		x.strangers.leave(c)
		x.mu.Lock()
		delete(x.open, c)
		x.dismiss(c)
		x.mu.Unlock()
	}()
}

// admit counts a conversation among those of its device, and ends the oldest of them when
// there are too many. It tells whether there is room for one more in all.
func (x *Exchange) admit(c *conversation) bool {
	x.strangers.leave(c)
	x.mu.Lock()
	defer x.mu.Unlock()
	if x.admitted >= conversationsInAll {
		return false
	}
	x.admitted++
	x.devices[c.device] = append(x.devices[c.device], c)
	if of := x.devices[c.device]; len(of) > conversationsOfDevice {
		go of[0].conn.Close()
		x.dismiss(of[0])
	}
	return true
}

// dismiss undoes admit. The caller holds x.mu.
func (x *Exchange) dismiss(c *conversation) {
	of := x.devices[c.device]
	i := slices.Index(of, c)
	if i < 0 {
		return
	}
	x.admitted--
	if of = slices.Delete(of, i, i+1); len(of) == 0 {
		delete(x.devices, c.device)
		return
	}
	x.devices[c.device] = of
}

// Stop ends all conversations: each finishes the frame it is at, sends what is owed, asks
// its device to come back later, and closes. It returns when all have ended, or closes
// the rest without ceremony when ctx ends.
func (x *Exchange) Stop(ctx context.Context) error {
	x.mu.Lock()
	x.stopping = true
	for c := range x.open {
		c.stop()
	}
	x.mu.Unlock()
	ended := make(chan struct{})
	go func() {
		x.ended.Wait()
		close(ended)
	}()
	select {
	case <-ended:
		return nil
	case <-ctx.Done():
	}
	x.mu.Lock()
	for c := range x.open {
		c.conn.Close()
	}
	x.mu.Unlock()
	<-ended
	return errors.Join(errors.New("some devices did not answer the close"), ctx.Err())
}

// Recheck has the rights of a device asked for again at once, as after they were taken
// away, rather than when they next would be. Its conversations finish the frame they are
// at and end; a device that has no rights any more is told so, another comes back.
func (x *Exchange) Recheck(device string) {
	x.mu.Lock()
	defer x.mu.Unlock()
	for c := range x.open {
		if c.device == device {
			c.recheck()
		}
	}
}

// named notes whose conversation it is, before its rights are first asked for: what changes
// them after that is told to it.
func (x *Exchange) named(c *conversation, device string) {
	x.mu.Lock()
	defer x.mu.Unlock()
	c.device = device
}

// Open is the number of conversations going on.
func (x *Exchange) Open() int {
	x.mu.Lock()
	defer x.mu.Unlock()
	return len(x.open)
}
