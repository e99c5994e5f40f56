package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/model"
	"headcut/server/demo"
	"headcut/sync/store/boltstore"
)

// heard is an output that ends what writes to it once it has said something.
type heard struct {
	mu   sync.Mutex
	text bytes.Buffer
	last string
	end  context.CancelFunc
}

func (h *heard) Write(b []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.text.Write(b)
	if strings.Contains(h.text.String(), h.last) {
		h.end()
	}
	return len(b), nil
}

// saidUntil runs a command that serves until it has said something, and gives all that it said on both
// outputs.
func saidUntil(t *testing.T, last string, args ...string) (out, fault string) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), 2*time.Minute)
	defer stop()
	said, complained := &heard{last: last, end: stop}, &bytes.Buffer{}
	if code := run(ctx, args, nil, said, complained); code != 0 || !strings.Contains(said.text.String(), last) {
		t.Fatalf("headcut %q: %d, %s%s", args, code, &said.text, complained)
	}
	return said.text.String(), complained.String()
}

// TestDemoInvites: it is filled once, and gives a link and two codes each time.
func TestDemoInvites(t *testing.T) {
	t.Parallel() // it waits for a disk
	data := filepath.Join(t.TempDir(), "d")
	photos, days := 0, map[string]bool{}
	for _, capture := range demo.Scene() {
		if days[capture.At.Format(time.DateOnly)] = true; capture.Photo != nil {
			photos++
		}
	}
	filled := fmt.Sprintf("%d entries and %d photos of %d days, sent and acknowledged in ", len(demo.Scene()), photos, len(days))
	for round, begins := range []string{filled, "has a register already: serving it as it is"} {
		out, _ := saidUntil(t, "Stop with Ctrl-C.", "demo", "--data", data, "--listen", "127.0.0.1:0")
		if !strings.Contains(out, begins) || strings.Count(out, "/map/") != 1 || strings.Count(out, "/field/#/enrol/") != 1 || strings.Count(out, "/desk/#/enrol/") != 1 {
			t.Errorf("round %d: %s, want %q, a link and two codes", round+1, out, begins)
		}
	}
	// What the officer planned on her phone was pegged, built and checked, and rests on what the register has.
	if out := said(t, 0, "plan", "--data", data, "--property", demo.PropertyName, "--list"); !strings.HasSuffix(out, "  Dams along Lantern Gully, south arm, adopted by Marri, field officer on 20 May 2026: 1 check dam proposed, 1 check dam pegged, 2 check dams built\n") {
		t.Errorf("the plans are %q, want the one of the south arm alone, of which nothing changed since", out)
	}
	if out := said(t, 0, "plan", "--data", data, "--property", demo.PropertyName, "property"); !strings.Contains(out, "Works:     1 check dam proposed, 1 check dam pegged, 2 check dams built\n") {
		t.Errorf("the order of works is %q, want dams of the south arm proposed, pegged and built", out)
	}
}

// TestServeSaysWhatIsKeptShut of a register that was restored, and that a new one was made.
func TestServeSaysWhatIsKeptShut(t *testing.T) {
	t.Parallel() // it waits for a disk
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	said(t, 0, "restore", "--from", at("bk"), "--data", at("restored"))
	for name, want := range map[string][2]bool{"data": {false, false}, "restored": {false, true}, "new": {true, false}} {
		out, fault := saidUntil(t, "/desk/", "serve", "--data", at(name), "--listen", "127.0.0.1:0")
		if made, shut := strings.Contains(fault, "New register made in"), strings.Contains(fault, "are kept shut until the office confirms them"); made != want[0] || shut != want[1] {
			t.Errorf("%s: a new one %t, kept shut %t: %s", name, made, shut, fault)
		}
		if lines := strings.Split(out, "\n"); len(lines) != 4 || !strings.HasPrefix(lines[0], "Serving "+at(name)+" on http://127.0.0.1:") || !strings.HasSuffix(lines[1], "/field/") || !strings.HasSuffix(lines[2], "/desk/") {
			t.Errorf("%s: said %q", name, lines)
		}
	}
}

// TestProblemsAsText: what is wrong, and once what to do.
func TestProblemsAsText(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&model.Problem{Path: "--data", Reason: "no", Fix: "do"}, "--data: no\n  do"}, {&model.Problem{Reason: "no"}, "no"}, {errors.New("odd"), "odd"},
	} {
		if got := problemText(c.err); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestPhotosThatCannotBeNoted: it is written down, and all else goes on.
func TestPhotosThatCannotBeNoted(t *testing.T) {
	data := filepath.Join(t.TempDir(), "d")
	photosAt(t, data, 1)
	var log bytes.Buffer
	d, err := openDataDir(t.Context(), data, slog.New(slog.NewTextHandler(&log, nil)))
	if err != nil {
		t.Fatal(err)
	}
	if log.Len() > 0 {
		t.Errorf("at the start: %s", &log)
	}
	if err := d.close(t.Context()); err != nil || log.Len() > 0 {
		t.Errorf("at the end: %s, %v", &log, err)
	}
	if d.notePhotos(); !strings.Contains(log.String(), "how many photos came was not noted") {
		t.Errorf("when it is closed: %q", &log)
	}
}

// TestWhoIsTrusted at the other end of a data folder's socket: this user; for root also whoever owns the
// register.
func TestWhoIsTrusted(t *testing.T) {
	dir, own := t.TempDir(), os.Geteuid()
	if got := trustedUsers(dir); !slices.Equal(got, []int{own}) {
		t.Errorf("of a folder without a register: %v", got)
	}
	path := filepath.Join(dir, registerFile)
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	want := []int{own}
	if err := os.Chown(path, 4321, -1); own == 0 {
		if want = append(want, 4321); err != nil {
			t.Fatal(err)
		}
	}
	if got := trustedUsers(dir); !slices.Equal(got, want) {
		t.Errorf("trusted are %v, want %v", got, want)
	}
}

// TestCommandThatIsEndedWhileItWaits for another that has the register says so, and waits no longer.
func TestCommandThatIsEndedWhileItWaits(t *testing.T) {
	t.Parallel() // it waits for a lock
	data := filepath.Join(t.TempDir(), "d")
	if err := os.Mkdir(data, 0o700); err != nil {
		t.Fatal(err)
	}
	s, err := boltstore.Open(filepath.Join(data, registerFile), boltstore.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	began := time.Now()
	if _, _, err := office(ctx, data); err == nil || !strings.Contains(err.Error(), "is in use by another process") {
		t.Errorf("got %v", err)
	}
	if time.Since(began) >= startingAtMost {
		t.Errorf("it waited %v", time.Since(began))
	}
}
