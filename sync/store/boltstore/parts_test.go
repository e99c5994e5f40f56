package boltstore

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
)

// Parts that nobody has added to for long are swept, those of an earlier version too; not one that
// is being written, nor a whole photo. A device that comes back begins again and loses nothing.
func TestSweep(t *testing.T) {
	dir := t.TempDir()
	p := mustOpenPhotos(t, dir)
	whole := takePhoto(t, p, []byte("whole"))
	begin := func(device, photo string) store.Sending {
		t.Helper()
		s := store.Sending{Device: device, SHA: register.HashOf([]byte(photo))}
		if _, err := p.WriteAt(t.Context(), s, 0, int64(len(photo)), bytes.NewReader([]byte(photo[:4]))); err != nil {
			t.Fatal(err)
		}
		return s
	}
	left, fresh, future := begin("d-1", "left long ago"), begin("d-1", "of today"), begin("d-2", "from another century")
	writing := begin("d-2", "being written")
	older := filepath.Join(dir, "parts", whole.String())
	if err := os.WriteFile(older, []byte("of an earlier version"), 0o600); err != nil {
		t.Fatal(err)
	}
	p = mustOpenPhotos(t, dir) // begun in an earlier run
	age := func(path string, d time.Duration) {
		t.Helper()
		at := time.Now().Add(-d)
		if err := os.Chtimes(path, at, at); err != nil {
			t.Fatal(err)
		}
	}
	const after = 14 * 24 * time.Hour
	age(p.part(left), after+time.Hour)
	age(older, after+time.Hour)
	age(p.part(fresh), after-time.Hour)
	age(p.part(future), -100*365*24*time.Hour)
	age(p.photo(whole), 10*after)
	body, line := io.Pipe()
	ended := make(chan error)
	go func() {
		_, err := p.WriteAt(t.Context(), writing, 4, 13, body)
		ended <- err
	}()
	if _, err := line.Write([]byte("g ")); err != nil { // it is in the middle of it
		t.Fatal(err)
	}
	age(p.part(writing), 10*after)
	if n, err := p.Sweep(t.Context(), after); n != 2 || err != nil {
		t.Errorf("swept %d, %v, want the one left long ago and that of an earlier version", n, err)
	}
	if _, err := line.Write([]byte("written")); err != nil {
		t.Fatal(err)
	}
	if err := <-ended; err != nil {
		t.Errorf("the part that was being written: %v", err)
	}
	for name, c := range map[string]struct {
		s    store.Sending
		want int64
	}{"left": {left, 0}, "fresh": {fresh, 4}, "future": {future, 4}, "writing": {writing, 13}, "whole": {by(whole), 5}} {
		if off, err := p.Offset(t.Context(), c.s); err != nil || off != c.want {
			t.Errorf("%s: Offset = %d, %v, want %d", name, off, err, c.want)
		}
	}
	if info, err := os.Stat(p.part(future)); err != nil || time.Since(info.ModTime()) > time.Hour || time.Since(info.ModTime()) < -time.Hour {
		t.Errorf("a part from the future is dated %v (%v), want it counted from now", info.ModTime(), err)
	}
	takeAgain := []byte("left long ago")
	if _, err := p.WriteAt(t.Context(), left, 0, int64(len(takeAgain)), bytes.NewReader(takeAgain)); err != nil {
		t.Errorf("beginning again: %v", err)
	}

	// The clock jumps two centuries ahead while a phone sends: what came in this run stays.
	age(p.part(begin("d-3", "sent just now")), 200*365*24*time.Hour)
	if n, err := p.Sweep(t.Context(), after); n != 0 || err != nil {
		t.Errorf("after a jump %d are swept, %v, want none", n, err)
	}
}

// A device has so many photos half sent and no more: the next drops the one left longest ago.
func TestPartsOfADeviceAreBounded(t *testing.T) {
	p := mustOpenPhotos(t, t.TempDir())
	var all []store.Sending
	for i := range partsOfDevice + 3 {
		photo := bytes.Repeat([]byte{byte(i)}, 100)
		s := store.Sending{Device: "d-1", SHA: register.HashOf(photo)}
		if _, err := p.WriteAt(t.Context(), s, 0, 100, bytes.NewReader(photo[:10])); err != nil {
			t.Fatal(err)
		}
		at := time.Now().Add(time.Duration(i-1000) * time.Second)
		if err := os.Chtimes(p.part(s), at, at); err != nil {
			t.Fatal(err)
		}
		all = append(all, s)
	}
	for i, s := range all {
		_, err := os.Stat(p.part(s))
		if gone := errors.Is(err, os.ErrNotExist); gone != (i < 3) {
			t.Errorf("part %d is gone: %v", i, gone)
		}
	}
}
