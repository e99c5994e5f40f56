package device_test

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/sync/badline"
	"headcut/sync/device"
	"headcut/sync/exchange"
	"headcut/sync/register"
)

// The times of these tests are a twentieth of those in the field.
const pingInTest = 500 * time.Millisecond

var hurried = exchange.Timing{Ping: pingInTest, Silence: pingInTest * 5 / 2, Write: pingInTest, Hello: pingInTest * 2,
	Admit: time.Minute, Stop: 50 * time.Millisecond}

// endsWithin is what 30 s in the field are here.
const endsWithin = 3 * pingInTest

// TestRule17EveryPhaseCut makes the line fail in each way at many points of a
// conversation that pushes and pulls, in either direction. The device must notice in
// time, and the next conversation must leave every entry in the register once.
func TestRule17EveryPhaseCut(t *testing.T) {
	of := startOffice(t, officeOptions{timing: hurried})
	up, down := conversationBytes(t, of)
	fates := map[string]func(pass int) badline.Fate{
		"reset":      func(pass int) badline.Fate { return badline.Fate{Pass: pass, Reset: true} },
		"black-hole": func(pass int) badline.Fate { return badline.Fate{Pass: pass, Hang: true} },
		"1-B-per-s":  func(int) badline.Fate { return badline.Fate{Every: time.Second} },
		"latency":    func(int) badline.Fate { return badline.Fate{Delay: 3 * time.Millisecond} },
	}
	const steps, atOnce = 7, 8 // most of the time they wait for a silence to be long enough
	running := make(chan struct{}, atOnce)
	var all sync.WaitGroup
	for name, bad := range fates {
		for way, most := range map[string]int64{"up": up, "down": down} {
			for step := range int64(steps) {
				at := step * most / steps
				running <- struct{}{}
				all.Go(func() {
					defer func() { <-running }()
					t.Run(fmt.Sprintf("%s-%s-after-%d-bytes", name, way, at), func(t *testing.T) {
						phaseCut(t, of, name == "reset" || name == "black-hole", func(conn int, goesUp bool, before int64) badline.Fate {
							if conn > 1 || goesUp != (way == "up") {
								return badline.Fate{}
							}
							f := bad(int(max(at-before, 0)))
							if before < at && (f.Every > 0 || f.Delay > 0) {
								return badline.Fate{} // the line is good until then
							}
							return f
						})
					})
				})
			}
		}
	}
	all.Wait()
}

// conversationBytes is how much a conversation like those of the test carries.
func conversationBytes(t *testing.T, of *office) (up, down int64) {
	l := badline.New(t, strings.TrimPrefix(of.url, "http://"), nil)
	d := dayOn(t, of, l)
	patiently(t, d)
	for deadline := time.Now().Add(time.Second); l.Down.Load() == 0 && time.Now().Before(deadline); {
		time.Sleep(time.Millisecond)
	}
	return l.Up.Load(), l.Down.Load()
}

// patiently syncs on a line that is good. The hurried times of these tests may be too
// short for a busy machine, so it tries again, as an officer's device does.
func patiently(t *testing.T, d *device.Device) {
	t.Helper()
	for try := 1; ; try++ {
		err := d.Sync(t.Context())
		if err == nil {
			return
		}
		if try == 12 {
			t.Fatalf("Sync on a good line, the last of %d tries: %v", try, err)
		}
	}
}

const dayEntries = 12

// dayOn is a device with captures in its outbox, on a line.
func dayOn(t *testing.T, of *office, l *badline.Line) *device.Device {
	d, err := device.Open(t.TempDir(), device.Options{Logger: quiet, Patience: 2 * pingInTest})
	must(t, err)
	t.Cleanup(func() { _ = d.Close() })
	must(t, d.Enrol(t.Context(), of.url, "open", "an officer"))
	must(t, d.Enrol(t.Context(), of.url, "open", "an officer")) // twice is once
	for i := range dayEntries {
		_, err := d.Capture(ridge, device.Fields{"kind": "peg", "name": fmt.Sprint("peg ", i)})
		must(t, err)
	}
	d.MoveTo(l.URL())
	return d
}

// phaseCut syncs a day over a line with this rule, then over a good one. When the line is
// dead the device must find out; when it is only slow, the officer gives up.
func phaseCut(t *testing.T, of *office, dead bool, rule func(conn int, up bool, before int64) badline.Fate) {
	l := badline.New(t, strings.TrimPrefix(of.url, "http://"), rule)
	d := dayOn(t, of, l)
	patience := endsWithin
	if dead {
		patience = 30 * time.Second
	}
	trying, cancel := context.WithTimeout(t.Context(), patience)
	began := time.Now()
	err := d.Sync(trying)
	cancel()
	const busyMachine = time.Second
	if took := time.Since(began); dead && took > endsWithin+busyMachine {
		t.Errorf("the cut was noticed after %v, want within %v: %v", took, endsWithin, err)
	}
	patiently(t, d)
	if s, err := d.Status(ridge); err != nil || s.Waiting != 0 || len(s.Refused) != 0 {
		t.Errorf("after the line was mended: got %+v, %v, want nothing waiting", s, err)
	}
	own := make(map[register.ID]bool)
	for id := range entriesOf(t, of.store, ridge) { // which fails on an entry that is there twice
		own[id] = true
	}
	ids, err := d.OwnIDs(ridge)
	must(t, err)
	if len(ids) != dayEntries {
		t.Fatalf("the device holds %d of its entries, want %d", len(ids), dayEntries)
	}
	for _, id := range ids {
		if !own[id] {
			t.Errorf("entry %s is not in the register", id)
		}
	}
}

// TestRule17SlowButSteady: a line that carries 4 KB a second carries a day, because
// bytes that come, however slowly, count as life, and frames shrink after a failure.
func TestRule17SlowButSteady(t *testing.T) {
	of := startOffice(t, officeOptions{timing: hurried})
	l := badline.New(t, strings.TrimPrefix(of.url, "http://"), func(int, bool, int64) badline.Fate { return badline.Fate{Piece: 20, Every: 5 * time.Millisecond} })
	d := dayOn(t, of, l)
	for try := 0; ; try++ {
		err := d.Sync(t.Context())
		if err == nil {
			break
		}
		if try == 5 {
			t.Fatalf("Sync over a slow line, the last of %d tries: %v", try+1, err)
		}
	}
	if s, err := d.Status(ridge); err != nil || s.Waiting != 0 {
		t.Errorf("after a slow Sync: got %+v, %v", s, err)
	}
}
