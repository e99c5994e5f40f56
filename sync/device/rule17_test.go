package device_test

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

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
	fates := map[string]func(pass int) fate{
		"reset":      func(pass int) fate { return fate{pass: pass, reset: true} },
		"black-hole": func(pass int) fate { return fate{pass: pass, hang: true} },
		"1-B-per-s":  func(int) fate { return fate{every: time.Second} },
		"latency":    func(int) fate { return fate{delay: 3 * time.Millisecond} },
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
						phaseCut(t, of, name == "reset" || name == "black-hole", func(conn int, goesUp bool, before int64) fate {
							if conn > 1 || goesUp != (way == "up") {
								return fate{}
							}
							f := bad(int(max(at-before, 0)))
							if before < at && (f.every > 0 || f.delay > 0) {
								return fate{} // the line is good until then
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
	l := newLine(t, strings.TrimPrefix(of.url, "http://"), nil)
	d := dayOn(t, of, l)
	patiently(t, d)
	for deadline := time.Now().Add(time.Second); l.down.Load() == 0 && time.Now().Before(deadline); {
		time.Sleep(time.Millisecond)
	}
	return l.up.Load(), l.down.Load()
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
func dayOn(t *testing.T, of *office, l *line) *device.Device {
	d, err := device.Open(t.TempDir(), device.Options{Logger: quiet, Patience: 2 * pingInTest})
	must(t, err)
	t.Cleanup(func() { _ = d.Close() })
	must(t, d.Enrol(t.Context(), of.url, "open", "an officer"))
	must(t, d.Enrol(t.Context(), of.url, "open", "an officer")) // twice is once
	for i := range dayEntries {
		_, err := d.Capture(ridge, device.Fields{"kind": "peg", "name": fmt.Sprint("peg ", i)})
		must(t, err)
	}
	d.MoveTo(l.url())
	return d
}

// phaseCut syncs a day over a line with this rule, then over a good one. When the line is
// dead the device must find out; when it is only slow, the officer gives up.
func phaseCut(t *testing.T, of *office, dead bool, rule func(conn int, up bool, before int64) fate) {
	l := newLine(t, strings.TrimPrefix(of.url, "http://"), rule)
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

// TestRule17HalfOpenEndsOnTheServer: a device that vanishes without a word is let go.
func TestRule17HalfOpenEndsOnTheServer(t *testing.T) {
	for _, goesUp := range []bool{true, false} {
		t.Run(fmt.Sprintf("black-hole-up-%v", goesUp), func(t *testing.T) {
			of := startOffice(t, officeOptions{timing: hurried})
			welcomed := make(chan struct{})
			l := newLine(t, strings.TrimPrefix(of.url, "http://"), func(conn int, up bool, before int64) fate {
				select {
				case <-welcomed:
					return fate{hang: up == goesUp}
				default:
					return fate{}
				}
			})
			d := dayOn(t, of, l)
			ctx, cancel := context.WithCancel(t.Context())
			gone := make(chan error, 1)
			go func() { gone <- d.Live(ctx) }()
			defer func() { cancel(); <-gone }()
			for s := (device.Status{}); s.Seq == 0 || s.Waiting > 0 || s.N == 0; time.Sleep(time.Millisecond) {
				var err error
				s, err = d.Status(ridge)
				must(t, err)
			}
			if of.exchange.Open() != 1 {
				t.Fatalf("%d conversations, want 1", of.exchange.Open())
			}
			began := time.Now()
			close(welcomed)
			for of.exchange.Open() == 1 && time.Since(began) < 2*endsWithin {
				time.Sleep(time.Millisecond)
			}
			if took := time.Since(began); took > endsWithin {
				t.Errorf("the half-open connection ended after %v, want within %v", took, endsWithin)
			}
		})
	}
}

// TestRule17SlowButSteady: a line that carries 4 KB a second carries a day, because
// bytes that come, however slowly, count as life, and frames shrink after a failure.
func TestRule17SlowButSteady(t *testing.T) {
	of := startOffice(t, officeOptions{timing: hurried})
	l := newLine(t, strings.TrimPrefix(of.url, "http://"), func(int, bool, int64) fate { return fate{piece: 20, every: 5 * time.Millisecond} })
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
