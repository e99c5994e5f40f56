package sync

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// between is a random time from least to most.
func (r rig) between(least, most time.Duration) time.Duration {
	return least + time.Duration(r.random.Int64N(int64(most-least)))
}

// keepCapturing records about an entry in each gap, every so often with a photo.
func (r rig) keepCapturing(gap time.Duration, everyPhoto, photoBytes int) {
	r.t.Helper()
	phone.Eval[bool](r.Page, fmt.Sprintf("rig.keepCapturing(%d, %d, %d)", gap.Milliseconds(), everyPhoto, photoBytes))
}

// stopCapturing ends it, and gives how many entries the page said were saved.
func (r rig) stopCapturing() int { r.t.Helper(); return phone.Eval[int](r.Page, "rig.stop()") }

func (r rig) sendNow() { r.t.Helper(); phone.Eval[bool](r.Page, "rig.sendNow()") }

// TestServerKilled kills the server with SIGKILL at random moments while a phone records
// and sends.
func TestServerKilled(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	r.keepCapturing(25*time.Millisecond, 12, 200_000)
	kills := phone.Campaign(5, 100)
	held := 0 // entries the office had before the last kill
	for kill := range kills {
		r.WaitFor(fmt.Sprintf("rig.saved.length >= %d", 10*(kill+1))) // on a slow machine too there is something to lose
		time.Sleep(r.between(20*time.Millisecond, 900*time.Millisecond))
		r.office.Kill()
		time.Sleep(r.between(0, 400*time.Millisecond))
		r.office.Start()
		r.checkNothingLost(false)
		if now := len(r.office.Entries(property)); now < held {
			t.Errorf("the register has %d entries after a kill, and had %d before the one before", now, held)
		} else {
			held = now
		}
		r.sendNow()
	}
	saved := r.stopCapturing()
	r.sendNow()
	r.waitState("quiet")
	r.checkNothingLost(true)
	if got := len(r.office.Entries(property)); got != saved {
		t.Errorf("the register has %d entries, want the %d that were saved", got, saved)
	}
	t.Logf("%d kills, %d entries and %d photos", kills, saved, phone.Eval[int](r.Page, "rig.photos.length"))
}

// TestServerDiedBeforeTheReceipt: every byte of a photo had come, and the server died before
// it had verified them.
func TestServerDiedBeforeTheReceipt(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	r.waitState("quiet")
	r.office.Kill()
	raw := append([]byte{0xFF, 0xD8, 0xFF, 0xC0, 0, 11, 8, 0, 1, 0, 1, 1, 1, 0x11, 0}, bytes.Repeat([]byte("all of it"), 20_000)...)
	sha := phone.Eval[string](r.Page, fmt.Sprintf("rig.photograph(%q)", base64.StdEncoding.EncodeToString(raw)))
	parts := filepath.Join(r.office.Data(), "photos", "parts", phone.Eval[string](r.Page, "rig.device()"))
	if err := errors.Join(os.MkdirAll(parts, 0o700), os.WriteFile(filepath.Join(parts, sha), raw, 0o600)); err != nil {
		t.Fatal(err)
	}
	r.office.Start()
	r.sendNow()
	r.waitState("quiet")
	r.checkNothingLost(true)
}

// TestOfflineAtRandom cuts the phone off at random moments while it records and sends: its
// open socket swallows what is sent, and the page must find out by itself.
func TestOfflineAtRandom(t *testing.T) {
	t.Parallel()
	r := newRig(t, phone.NewOffice(t))
	r.keepCapturing(25*time.Millisecond, 12, 200_000)
	cuts := phone.Campaign(4, 40)
	for range cuts {
		time.Sleep(r.between(100*time.Millisecond, 2*time.Second))
		r.Offline(true)
		time.Sleep(r.between(50*time.Millisecond, 4*time.Second))
		r.checkNothingLost(false)
		r.Offline(false)
	}
	saved := r.stopCapturing()
	r.waitState("quiet")
	r.checkNothingLost(true)
	if got := len(r.office.Entries(property)); got != saved || saved < 10*cuts {
		t.Errorf("the register has %d entries of the %d that were saved, want all, and at least %d", got, saved, 10*cuts)
	}
}

// TestDeadLinkIsNoticed cuts the phone off while its socket stays open, and wants the page
// to say within its deadline that nobody answers, to count what waits, and to send it as
// soon as signal is back.
func TestDeadLinkIsNoticed(t *testing.T) {
	t.Parallel() // it mostly waits
	r := newRig(t, phone.NewOffice(t))
	r.capture(1)
	r.waitState("quiet")
	r.Offline(true)
	r.capture(7)
	if got := r.state().State; got == "quiet" {
		t.Errorf("with 7 entries unsent the link says %q", got)
	}
	r.waitState("no-answer")
	if got, want := r.state().Words, "No answer from the server. 7 entries not sent yet. Last contact "; len(got) < len(want) || got[:len(want)] != want {
		t.Errorf("the link says %q, want it to begin with %q", got, want)
	}
	if got := r.unsent(); got != 7 {
		t.Errorf("%d entries wait, want 7", got)
	}
	r.Offline(false)
	r.waitState("quiet")
	r.checkNothingLost(true)
}
