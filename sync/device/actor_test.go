package device_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"slices"
	"time"

	"headcut/sync/device"
	"headcut/sync/store/boltstore"
)

// This file is what the processes of the play do.

const playRole = "HEADCUT_PLAY_ROLE"

// act plays a role until it is done or killed.
func act(r role) error {
	if r.Name == "office" {
		return actOffice(r)
	}
	a, err := newActor(r.Name, r.Dir, r.Server)
	if err != nil {
		return err
	}
	defer a.Close()
	if err := a.captureUpTo(r.UpTo, os.Stdout); err != nil {
		return err
	}
	if r.Server == "" {
		return nil
	}
	if r.Live {
		return a.stayConnected()
	}
	for {
		if err := a.Sync(context.Background()); err == nil {
			return nil
		} else if errors.Is(err, device.ErrEnrolAnew) {
			return err
		}
		time.Sleep(time.Duration(rand.IntN(20)) * time.Millisecond)
	}
}

func actOffice(r role) error {
	of, err := openOffice(r.Dir, officeOptions{listen: r.Server, store: boltstore.Options{LockTimeout: 5 * time.Second},
		more: func(mux *http.ServeMux, s *boltstore.Store) {
			mux.HandleFunc("POST /backup", func(w http.ResponseWriter, r *http.Request) {
				if held, err := s.Properties(r.Context()); err != nil || len(held) == 0 {
					http.Error(w, "there is nothing yet", http.StatusConflict)
				} else if err := s.Backup(r.Context(), r.FormValue("to")); err != nil {
					http.Error(w, err.Error(), http.StatusInternalServerError)
				}
			})
		}})
	if err != nil {
		return err
	}
	fmt.Println("listening")
	<-of.stopped
	return nil
}

// actor is a device with a script: its k-th capture is the same in every play, because
// its clock and its randomness are set for each.
type actor struct {
	*device.Device
	name string
	k    int
	now  time.Time
	ids  *rand.ChaCha8
}

var playBegins = time.Date(2026, 3, 2, 6, 30, 0, 0, time.FixedZone("", 10*3600))

func newActor(name, dir, server string) (*actor, error) {
	a := &actor{name: name}
	a.turnTo(0)
	var err error
	a.Device, err = device.Open(dir, device.Options{
		Now:    func() time.Time { return a.now },
		Random: randomOf{a},
		Logger: quiet,
		Sleep: func(ctx context.Context, wait time.Duration) error { // a minute is a third of a second
			time.Sleep(wait / 200)
			return ctx.Err()
		},
		Patience: 5 * time.Second,
	})
	if err != nil {
		return nil, err
	}
	if server == "" {
		server = "http://unreachable.invalid"
	}
	if len(a.Properties()) == 0 { // enrolled in the office the day before
		return a, a.EnrolAs("token-of-"+a.ID(), server, "an officer", creek, ridge)
	}
	a.MoveTo(server)
	return a, nil
}

type randomOf struct{ a *actor }

func (r randomOf) Read(p []byte) (int, error) { return r.a.ids.Read(p) }

// turnTo sets clock and randomness for capture k.
func (a *actor) turnTo(k int) {
	a.k = k
	a.now = playBegins.Add(time.Duration(k) * 7 * time.Second)
	var seed [32]byte
	copy(seed[:], fmt.Sprintf("device %s, capture %d", a.name, k))
	a.ids = rand.NewChaCha8(seed)
}

// captureUpTo captures until the device has so many, from where it was killed, and writes
// a line for each.
func (a *actor) captureUpTo(want int, done io.Writer) error {
	for {
		k := 0
		for _, property := range a.Properties() {
			s, err := a.Status(property.ID)
			if err != nil {
				return err
			}
			k += int(s.Seq)
		}
		if k >= want {
			return nil
		}
		if k >= begunAfter && !a.begun() { // also when it was killed just after it had captured that many
			a.turnTo(-1)
			a.now = playBegins.Add(begunAfter * 7 * time.Second)
			if _, err := a.Begin("Hut of " + a.name); err != nil {
				return fmt.Errorf("begin: %w", err)
			}
		}
		a.turnTo(k + 1)
		if err := a.capture(); err != nil {
			return fmt.Errorf("capture %d: %w", a.k, err)
		}
		fmt.Fprintln(done, "captured", a.k)
	}
}

// begunAfter is after how many captures a device begins a property.
const begunAfter = 120

func (a *actor) begun() bool {
	return slices.ContainsFunc(a.Properties(), func(p device.Property) bool { return p.Begun })
}

// capture makes capture k: mostly edits of features that both devices know, and a strike
// now and then.
func (a *actor) capture() error {
	script := rand.New(rand.NewPCG(uint64(a.k), uint64(a.name[0])))
	property, feature := creek, fmt.Sprintf("head-%02d", script.IntN(60))
	if a.k%4 == 0 {
		property = ridge
	}
	for _, p := range a.Properties() {
		if p.Begun && a.k%5 == 0 {
			property = p.ID
		}
	}
	switch script.IntN(20) {
	case 0:
		return a.Strike(property, feature)
	case 1:
		return a.Restore(property, feature)
	case 2:
		_, err := a.Capture(property, device.Fields{"kind": "peg", "name": fmt.Sprint("peg ", a.name, a.k)})
		return err
	}
	fields := device.Fields{"kind": "gully-head", "notes": fmt.Sprintf("<%s> & capture %d", a.name, a.k)}
	if script.IntN(2) == 0 {
		fields["headDepthM"] = float64(script.IntN(300)) / 100
	}
	if script.IntN(3) == 0 {
		fields["geometry"] = json.RawMessage(fmt.Sprintf(`{"type":"Point","coordinates":[147.%04d,-20.%04d]}`, script.IntN(10000), script.IntN(10000)))
	}
	if script.IntN(10) == 0 {
		fields["active"] = nil
	}
	return a.Set(property, feature, fields)
}

// stayConnected lives until nothing is left to send and all has been pulled.
func (a *actor) stayConnected() error {
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Live(ctx) }()
	for done := false; !done; time.Sleep(5 * time.Millisecond) {
		done = true
		for _, property := range a.Properties() {
			s, err := a.Status(property.ID)
			if err != nil {
				cancel()
				return err
			}
			done = done && s.Waiting == 0
		}
		select {
		case err := <-ended:
			cancel()
			return err
		default:
		}
	}
	cancel()
	<-ended
	for {
		if err := a.Sync(context.Background()); err == nil {
			return nil
		}
		time.Sleep(5 * time.Millisecond)
	}
}
