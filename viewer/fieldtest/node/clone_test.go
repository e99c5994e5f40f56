package node

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// copied is a phone made of what another that is off has kept, as from a phone's own backup.
func (d *device) copied(o *office, name string, line *breaking) *device {
	d.t.Helper()
	to := filepath.Join(d.t.TempDir(), "phone")
	must(d.t, os.CopyFS(to, os.DirFS(d.dir)))
	c := newDeviceIn(d.t, o, name, to, line.fate)
	line.line = c.line
	c.self = d.self
	c.start()
	return c
}

// note records notes of a feature.
func (d *device) note(property, feature, text string) {
	d.t.Helper()
	d.record(property, feature, map[string]any{"notes": text})
}

// enrolAgain gives officer a's phone, which turned out to be a copy, an id of its own.
func (o *office) enrolAgain(d *device) {
	o.t.Helper()
	before := d.self.Device
	must(o.t, d.ask("enrol", asked{"code": o.code("--author", "Officer a", "--property", "Stony Creek"), "again": true}, &d.self))
	if d.self.Device == before {
		o.t.Fatalf("enrolled again, phone %s has kept its id", d.name)
	}
}

// TestCopiedPhone copies a phone and records on both: each entry gets to the register once, under
// more than one device id, and no edit that was seen counts as unseen.
func TestCopiedPhone(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	first := newBroken(t, o, "a", new(breaking))
	property := first.self.Properties[0].ID
	_, head := first.record(property, "", map[string]any{"kind": "gully-head", "notes": "head"})
	settle(t, first)
	want := map[string]bool{"head": true}
	note := func(d *device, text string) {
		d.note(property, head, text)
		want[text] = true
	}
	away := new(breaking)
	first.end()
	second := first.copied(o, "b", away)
	away.after(0)
	first.start()
	for _, text := range []string{"first 1", "first 2", "first 3"} {
		note(first, text)
	}
	for _, text := range []string{"second 1", "second 2", "second 3", "second 4", "second 5"} {
		note(second, text)
	}
	settle(t, first)
	away.mend()
	must(t, second.ask("send", nil, nil))
	second.waitFor("that it is a copy", func(s state) bool { return s.Cloned })
	note(second, "second, which is to enrol again")
	o.enrolAgain(second)
	second.waitFor("its receipts", state.quiet)
	// The copy's later entries had free numbers under the old id: now the first is a copy as well.
	note(first, "first 4")
	first.waitFor("that it is a copy, or a receipt", func(s state) bool { return s.Cloned || s.quiet() })
	if first.state().Cloned {
		o.enrolAgain(first)
	}
	settle(t, first, second)

	o.kill()
	on := o.read()
	got, devices := map[string]bool{}, map[string]bool{}
	for _, e := range on.entries[property] {
		var text string
		must(t, json.Unmarshal(e.Entry.Set.Get("notes"), &text))
		if got[text] {
			t.Errorf("%q stands in the register twice", text)
		}
		got[text], devices[e.Entry.Device] = true, true
	}
	if !maps.Equal(got, want) || len(devices) < 2 {
		t.Errorf("the register has %v under %d ids, want %v under at least 2", slices.Sorted(maps.Keys(got)), len(devices), slices.Sorted(maps.Keys(want)))
	}
	for _, d := range []*device{first, second} {
		d.compareFeatures(property, on.folded[property])
		if s := d.state(); len(s.Refusals) != 0 {
			t.Errorf("phone %s has refused entries: %+v", d.name, s.Refusals)
		}
	}
}

// TestCopyHasSeenWhatItCopied: what is recorded on a copy was recorded in sight of what its
// original had, although the two stand under different ids in the end.
func TestCopyHasSeenWhatItCopied(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	first := newBroken(t, o, "a", new(breaking))
	property := first.self.Properties[0].ID
	_, head := first.record(property, "", map[string]any{"kind": "gully-head", "notes": "before the copy"})
	settle(t, first)
	away := new(breaking)
	first.end()
	second := first.copied(o, "b", away)
	away.after(0)
	second.note(property, head, "after the copy")
	first.start()
	first.record(property, "", map[string]any{"kind": "peg", "name": "of the first"})
	settle(t, first)
	away.mend()
	must(t, second.ask("send", nil, nil))
	second.waitFor("that it is a copy", func(s state) bool { return s.Cloned })
	o.enrolAgain(second)
	settle(t, first, second)
	o.kill()
	folded := o.read().folded[property]
	if f := folded[head]; len(f.Clashes) != 0 || string(f.Fields["notes"]) != `"after the copy"` {
		t.Errorf("the register has %+v, want the later notes and no clash", f)
	}
	for _, d := range []*device{first, second} {
		d.compareFeatures(property, folded)
	}
}
