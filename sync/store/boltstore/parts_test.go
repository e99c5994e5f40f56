package boltstore

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"headcut/model"
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

// listings counts how often a folder is listed.
type listings struct {
	osDisk
	of atomic.Int64
}

func (d *listings) readDir(name string) ([]fs.DirEntry, error) {
	d.of.Add(1)
	return d.osDisk.readDir(name)
}

// A phone that means harm has many parts in the air at once: there are never more of them than it may
// have, none that is being written is dropped for another, and its folder is listed once.
func TestPartsInTheAirAreBounded(t *testing.T) {
	d := new(listings)
	p, err := openPhotos(t.TempDir(), d)
	if err != nil {
		t.Fatal(err)
	}
	const air = partsOfDevice + 20
	type ending struct {
		s   store.Sending
		err error
	}
	ended := make(chan ending, air)
	var refused int
	var lines []*io.PipeWriter
	for i := range air {
		photo := bytes.Repeat([]byte{byte(i)}, 100)
		s := store.Sending{Device: "d-1", SHA: register.HashOf(photo)}
		body, line := io.Pipe()
		go func() {
			_, err := p.WriteAt(t.Context(), s, 0, 100, body)
			_ = body.CloseWithError(io.ErrClosedPipe) // nobody reads on
			ended <- ending{s, err}
		}()
		if _, err := line.Write(photo[:10]); err != nil {
			refused++
			continue
		}
		lines = append(lines, line)
		if n, err := p.Room(t.Context(), "d-1"); err != nil || n > 100*air {
			t.Fatalf("Room = %d, %v", n, err)
		}
	}
	files, err := os.ReadDir(p.parts("d-1"))
	if err != nil || len(files) != partsOfDevice || refused != air-partsOfDevice {
		t.Errorf("%d parts stand there (%v) and %d are refused, want %d and %d", len(files), err, refused, partsOfDevice, air-partsOfDevice)
	}
	for _, line := range lines {
		_ = line.CloseWithError(io.ErrUnexpectedEOF)
	}
	for range air {
		e := <-ended
		if problem, ok := errors.AsType[*model.Problem](e.err); !ok && !errors.Is(e.err, io.ErrUnexpectedEOF) || ok && !strings.Contains(problem.Reason, "too many photos at once") {
			t.Errorf("a part ended with %v", e.err)
		}
	}
	if n, err := p.Room(t.Context(), "d-1"); err != nil || n != 10*partsOfDevice {
		t.Errorf("Room = %d, %v, want %d", n, err, 10*partsOfDevice)
	}
	if n := d.of.Load(); n != 1 {
		t.Errorf("the folder is listed %d times, want once", n)
	}
	if n, err := p.Sweep(t.Context(), -time.Hour); err != nil || n != partsOfDevice {
		t.Errorf("swept %d, %v, want all", n, err)
	}
	if n, err := p.Room(t.Context(), "d-1"); err != nil || n != 0 {
		t.Errorf("Room after all are swept = %d, %v, want none", n, err)
	}
}
