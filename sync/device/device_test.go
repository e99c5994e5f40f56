package device_test

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"headcut/model"
	"headcut/sync/device"
	"headcut/sync/register"
	"headcut/sync/store"
)

var quiet = slog.New(slog.DiscardHandler)

// enrolled opens a device in a folder of its own and enrols it.
func enrolled(t testing.TB, url string) *device.Device {
	t.Helper()
	d := opened(t, t.TempDir())
	if err := d.Enrol(t.Context(), url, "open", "an officer"); err != nil {
		t.Fatal(err)
	}
	return d
}

func opened(t testing.TB, dir string) *device.Device {
	t.Helper()
	d, err := device.Open(dir, device.Options{Logger: quiet})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = d.Close() })
	return d
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// mark captures a peg and returns its id.
func mark(t testing.TB, d *device.Device, name string) string {
	t.Helper()
	id, err := d.Capture(creek, device.Fields{"kind": "peg", "name": name})
	must(t, err)
	return id
}

// folded is the features of a device or a store as bytes, without the numbers, which
// depend on who came first.
func folded(t testing.TB, features func(func(register.Folded, error) bool)) map[string]string {
	t.Helper()
	out := make(map[string]string)
	for f, err := range features {
		must(t, err)
		f.N = 0
		raw, err := json.Marshal(f)
		must(t, err)
		out[f.Feature] = string(raw)
	}
	return out
}

func storeFolded(t testing.TB, s store.Register, property string) map[string]string {
	t.Helper()
	return folded(t, s.Features(context.Background(), property))
}

// entriesOf reads a property out of a store: id to hash.
func entriesOf(t testing.TB, s store.Register, property string) map[register.ID]register.Hash {
	t.Helper()
	out := make(map[register.ID]register.Hash)
	var at store.Position
	for {
		page, next, err := s.EntriesAfter(context.Background(), property, at, 1000)
		must(t, err)
		if len(page) == 0 {
			return out
		}
		for _, e := range page {
			if _, twice := out[e.Entry.ID]; twice {
				t.Fatalf("entry %s stands twice in the register", e.Entry.ID)
			}
			out[e.Entry.ID] = e.Hash
		}
		at = next
	}
}

// sameFold compares what two hold.
func sameFold(t testing.TB, what string, got, want map[string]string) {
	t.Helper()
	if maps.Equal(got, want) {
		return
	}
	for _, id := range slices.Sorted(maps.Keys(want)) {
		if got[id] != want[id] {
			t.Errorf("%s, feature %s:\ngot  %s\nwant %s", what, id, got[id], want[id])
			return
		}
	}
	t.Errorf("%s: got %d features, want %d", what, len(got), len(want))
}

// TestOfficersDay walks through a day of two officers: offline captures of one feature,
// a clash, its settlement, and a strike.
func TestOfficersDay(t *testing.T) {
	of := startOffice(t, officeOptions{})
	a, b := enrolled(t, of.url), enrolled(t, of.url)
	if got := a.Properties(); len(got) != 2 || got[0].ID != creek {
		t.Fatalf("properties after enrolment: got %v", got)
	}
	head := mark(t, a, "head of the north arm")
	must(t, a.Sync(t.Context()))
	must(t, b.Sync(t.Context()))
	must(t, a.Set(creek, head, device.Fields{"notes": "undercut"}))
	must(t, b.Set(creek, head, device.Fields{"notes": "not undercut"}))
	must(t, a.Sync(t.Context()))
	must(t, b.Sync(t.Context()))
	must(t, a.Sync(t.Context()))
	for name, d := range map[string]*device.Device{"a": a, "b": b} {
		f, err := d.Feature(creek, head)
		must(t, err)
		if len(f.Clashes) != 1 || f.Clashes[0].Field != "notes" || len(f.Clashes[0].Values) != 2 {
			t.Errorf("device %s: clashes of notes set twice unseen: got %+v, want one with two sides", name, f.Clashes)
		}
	}
	must(t, b.Set(creek, head, device.Fields{"notes": "undercut by 0.2 m"}))
	must(t, b.Sync(t.Context()))
	must(t, a.Sync(t.Context()))
	f, err := a.Feature(creek, head)
	must(t, err)
	if len(f.Clashes) != 0 || string(f.Fields["notes"]) != `"undercut by 0.2 m"` {
		t.Errorf("after settling: got %+v", f)
	}
	must(t, a.Strike(creek, head))
	must(t, a.Sync(t.Context()))
	must(t, b.Sync(t.Context()))
	want := storeFolded(t, of.store, creek)
	if len(want) != 1 {
		t.Fatalf("the store has %d features, want 1", len(want))
	}
	sameFold(t, "device a", folded(t, a.Features(creek)), want)
	sameFold(t, "device b", folded(t, b.Features(creek)), want)
	if f, _ = b.Feature(creek, head); !f.Struck {
		t.Errorf("after a strike seen by both: got %+v, want struck", f)
	}
	if s, err := a.Status(creek); err != nil || s.Waiting != 0 || s.Entries != 5 || s.N != 5 || len(s.Refused) != 0 {
		t.Errorf("status at the end of the day: got %+v, %v", s, err)
	}
}

// TestCaptureNeedsNoSignal: captures are on the disk before they return, and go out when
// there is a server again.
func TestCaptureNeedsNoSignal(t *testing.T) {
	of := startOffice(t, officeOptions{})
	dir := t.TempDir()
	d := opened(t, dir)
	if _, err := d.Capture(creek, device.Fields{"kind": "peg"}); !errors.Is(err, device.ErrNotEnrolled) {
		t.Errorf("a capture before enrolment: got %v, want ErrNotEnrolled", err)
	}
	must(t, d.Enrol(t.Context(), of.url, "open", "an officer"))
	must(t, of.close())
	id := mark(t, d, "peg 1")
	if err := d.Sync(t.Context()); err == nil {
		t.Error("Sync without a server: got no error")
	}
	must(t, d.Close())
	d = opened(t, dir)
	f, err := d.Feature(creek, id)
	must(t, err)
	if s, err := d.Status(creek); err != nil || s.Waiting != 1 || string(f.Fields["name"]) != `"peg 1"` {
		t.Errorf("after opening again: got %+v, %v and feature %+v", s, err, f)
	}
}

func TestBadCapturesAreToldAtOnce(t *testing.T) {
	of := startOffice(t, officeOptions{})
	d := enrolled(t, of.url)
	for name, c := range map[string]struct {
		fields device.Fields
		path   string
	}{
		"depth-of-a-mountain": {device.Fields{"kind": "gully-head", "headDepthM": 5000}, "set.headDepthM"},
		"not-json":            {device.Fields{"kind": "gully-head", "notes": func() {}}, "notes"},
		"nothing":             {nil, "set"},
		"latitude-100":        {device.Fields{"kind": "peg", "geometry": json.RawMessage(`{"type":"Point","coordinates":[147,100]}`)}, "set.geometry"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := d.Capture(creek, c.fields)
			problem, ok := errors.AsType[*model.Problem](err)
			if !ok || problem.Path != c.path {
				t.Errorf("Capture(%v): got %v, want a Problem at %s", c.fields, err, c.path)
			}
		})
	}
	if s, err := d.Status(creek); err != nil || s.Entries != 0 || s.Seq != 0 {
		t.Errorf("after bad captures: got %+v, %v, want nothing kept and no deviceSeq used", s, err)
	}
}

// TestEnrolmentRefused hands the server's reason to the officer.
func TestEnrolmentRefused(t *testing.T) {
	of := startOffice(t, officeOptions{})
	d := opened(t, t.TempDir())
	err := d.Enrol(t.Context(), of.url, "guessed", "an officer")
	if problem, ok := errors.AsType[*model.Problem](err); !ok || problem.Path != "code" {
		t.Errorf("enrolment with a wrong code: got %v, want the server's Problem at code", err)
	}
	if _, err := d.Capture(creek, device.Fields{"kind": "peg"}); !errors.Is(err, device.ErrNotEnrolled) {
		t.Errorf("a capture after a refused enrolment: got %v, want ErrNotEnrolled", err)
	}
}

// copyDevice copies a closed device's folder, as a phone is copied from its backup.
func copyDevice(t testing.TB, dir string) string {
	t.Helper()
	to := t.TempDir()
	must(t, os.CopyFS(filepath.Join(to, "copy"), os.DirFS(dir)))
	return filepath.Join(to, "copy")
}

// TestRule9ClonedDevice copies a device and edits on both: every entry gets to the
// register, under more than one device id, and no edit counts as unseen that was seen.
func TestRule9ClonedDevice(t *testing.T) {
	of := startOffice(t, officeOptions{})
	dir := t.TempDir()
	first := opened(t, dir)
	must(t, first.Enrol(t.Context(), of.url, "open", "an officer"))
	head := mark(t, first, "head")
	must(t, first.Sync(t.Context()))
	must(t, first.Set(creek, head, device.Fields{"notes": "before the copy, unsent"}))
	must(t, first.Close())
	second := opened(t, copyDevice(t, dir))
	first = opened(t, dir)

	want := make(map[string]bool)
	note := func(d *device.Device, text string) {
		must(t, d.Set(creek, head, device.Fields{"notes": text}))
		want[text] = true
	}
	want["before the copy, unsent"] = true
	for _, text := range []string{"first 1", "first 2", "first 3"} {
		note(first, text)
	}
	for _, text := range []string{"second 1", "second 2", "second 3", "second 4", "second 5"} {
		note(second, text)
	}
	must(t, first.Sync(t.Context()))
	old := second.ID()
	if err := second.Sync(t.Context()); !errors.Is(err, device.ErrEnrolAnew) {
		t.Fatalf("the copy's Sync: got %v, want ErrEnrolAnew", err)
	}
	note(second, "second, told to enrol again")
	must(t, second.Enrol(t.Context(), of.url, "open", "an officer"))
	if second.ID() == old {
		t.Fatal("enrolled again, the copy has kept its id")
	}
	must(t, second.Sync(t.Context()))
	// The copy's later entries had free numbers under the old id, so now the first device
	// finds itself a copy as well.
	note(first, "first 4")
	if err := first.Sync(t.Context()); errors.Is(err, device.ErrEnrolAnew) {
		must(t, first.Enrol(t.Context(), of.url, "open", "an officer"))
	} else {
		must(t, err)
	}
	for _, d := range []*device.Device{first, second, first} {
		must(t, d.Sync(t.Context()))
	}

	got, devices := make(map[string]bool), make(map[string]bool)
	page, _, err := of.store.EntriesAfter(t.Context(), creek, store.Position{}, 1000)
	must(t, err)
	for _, e := range page {
		var text string
		if json.Unmarshal(e.Entry.Set.Get("notes"), &text) == nil && text != "" {
			if got[text] {
				t.Errorf("%q is in the register twice", text)
			}
			got[text], devices[e.Entry.Device] = true, true
		}
	}
	if !maps.Equal(got, want) || len(devices) < 2 {
		t.Errorf("in the register: got %v under %d ids, want %v under at least 2", slices.Sorted(maps.Keys(got)), len(devices), slices.Sorted(maps.Keys(want)))
	}
	sameFold(t, "first", folded(t, first.Features(creek)), storeFolded(t, of.store, creek))
	sameFold(t, "second", folded(t, second.Features(creek)), storeFolded(t, of.store, creek))
	for _, d := range []*device.Device{first, second} {
		if s, err := d.Status(creek); err != nil || s.Waiting != 0 || len(s.Refused) != 0 {
			t.Errorf("at the end: got %+v, %v, want nothing waiting and nothing refused", s, err)
		}
	}
}

// TestRelabelledEntriesHaveSeen: what the copy wrote after the copying had seen what the
// device wrote before it, although the two now stand under different ids.
func TestRelabelledEntriesHaveSeen(t *testing.T) {
	of := startOffice(t, officeOptions{})
	dir := t.TempDir()
	first := opened(t, dir)
	must(t, first.Enrol(t.Context(), of.url, "open", "an officer"))
	head := mark(t, first, "head")
	must(t, first.Set(creek, head, device.Fields{"notes": "before the copy"}))
	must(t, first.Sync(t.Context()))
	must(t, first.Close())
	second := opened(t, copyDevice(t, dir))
	first = opened(t, dir)
	mark(t, first, "another head")
	must(t, first.Sync(t.Context()))
	must(t, second.Set(creek, head, device.Fields{"notes": "after the copy"}))
	if err := second.Sync(t.Context()); !errors.Is(err, device.ErrEnrolAnew) {
		t.Fatalf("the copy's Sync: got %v, want ErrEnrolAnew", err)
	}
	must(t, second.Enrol(t.Context(), of.url, "open", "an officer"))
	must(t, second.Sync(t.Context()))
	got := storeFolded(t, of.store, creek)[head]
	var f register.Folded
	must(t, json.Unmarshal([]byte(got), &f))
	if len(f.Clashes) != 0 || string(f.Fields["notes"]) != `"after the copy"` {
		t.Errorf("the register has %s, want the later notes and no clash", got)
	}
}
