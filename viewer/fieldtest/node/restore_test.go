package node

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// record records fields of a feature, a new one where it is "", and gives its id.
func (d *device) record(property, feature string, set map[string]any) (entry, of string) {
	d.t.Helper()
	draft := map[string]any{"set": set}
	if feature != "" {
		draft["feature"] = feature
	}
	var saved struct{ Entry, Feature string }
	must(d.t, d.ask("capture", asked{"property": property, "draft": draft}, &saved))
	return saved.Entry, saved.Feature
}

// waitFor waits until a phone stands so.
func (d *device) waitFor(what string, is func(state) bool) {
	d.t.Helper()
	deadline := time.Now().Add(patience)
	for s := d.state(); !is(s); s = d.state() {
		if time.Now().After(deadline) {
			d.t.Fatalf("phone %s: %s has not come within %v: %+v counts %+v", d.name, what, patience, s, s.Counts)
		}
		time.Sleep(20 * time.Millisecond)
	}
}

func sent(s state) bool { return s.Counts != nil && s.Counts.Unsent == 0 }

// TestRestoredBeforeItCameBack puts an older copy in the server's place after a phone has sent
// something and could not fetch it back, as it lacks the computations for what others wrote
// before. That copy ends where the phone's own position is, so nothing forks.
func TestRestoredBeforeItCameBack(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	a, b := newDevice(t, o, "a", nil), newDevice(t, o, "b", nil)
	o.enrol(a, "Officer a", "Stony Creek")
	o.enrol(b, "Officer b", "Stony Creek")
	property := a.self.Properties[0].ID
	a.record(property, "", map[string]any{"kind": "peg", "name": "first"})
	settle(t, a, b)
	o.kill()
	older := o.copied()
	o.start()

	b.record(property, "", map[string]any{"kind": "peg", "name": "of another"})
	b.waitFor("its own entry", func(s state) bool { return s.quiet() && s.At[property] == 2 })
	a.end()
	a.uncomputed = true
	a.start()
	last, _ := a.record(property, "", map[string]any{"kind": "peg", "name": "last"})
	a.waitFor("a receipt", sent)
	if n := a.state().At[property]; n != 1 {
		t.Fatalf("the phone has fetched up to %d, want 1: the test is wrong", n)
	}

	o.kill()
	o.put(older)
	o.start()
	a.end()
	a.uncomputed = false
	a.start()
	for _, d := range []*device{a, b} {
		d.waitFor("all three entries", func(s state) bool { return s.quiet() && s.At[property] == 3 })
	}
	o.kill()
	if on := o.read(); on.times[last] != 1 || len(on.entries[property]) != 3 {
		t.Errorf("the register has %d entries, and %d times what the phone sent last, want 3 and once", len(on.entries[property]), on.times[last])
	}
}

// TestUnkeptIsTriedAgain: what others recorded could not be taken in, as the computations were
// not on the phone. It is taken in once they are, on the same connection, without a tap.
func TestUnkeptIsTriedAgain(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	a, b := newDevice(t, o, "a", nil), newDevice(t, o, "b", nil)
	o.enrol(a, "Officer a", "Stony Creek")
	o.enrol(b, "Officer b", "Stony Creek")
	property := a.self.Properties[0].ID
	b.end()
	b.uncomputed = true
	b.start()
	a.record(property, "", map[string]any{"kind": "peg", "name": "of another"})
	b.waitFor("a complaint", func(s state) bool { return strings.Contains(s.Words, "The computations are not on this phone yet.") })
	must(t, b.ask("compute", nil, nil))
	b.waitFor("the other's entry", func(s state) bool { return s.quiet() && s.At[property] == 1 })
}

// TestDatabaseGoesBack has a browser go back to an older copy of its database, of which the marks
// outside it alone can tell. Nothing is lost, and no number is given twice.
func TestDatabaseGoesBack(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	a := newDevice(t, o, "a", nil)
	o.enrol(a, "Officer a", "Stony Creek")
	property := a.self.Properties[0].ID
	peg := func(name string) { a.record(property, "", map[string]any{"kind": "peg", "name": name}) }
	peg("first")
	settle(t, a)
	a.end()
	file := filepath.Join(a.dir, "indexeddb")
	older, err := os.ReadFile(file)
	must(t, err)
	a.start()
	peg("second")
	peg("third")
	settle(t, a)
	a.end()
	must(t, os.WriteFile(file, older, 0o600))
	if trouble := a.start(); trouble != "behind" {
		t.Errorf("a phone whose database has gone back says %q of it, want %q", trouble, "behind")
	}
	a.bringBack()
	peg("fourth")
	a.waitFor("all four entries", func(s state) bool { return s.quiet() && s.At[property] == 4 })
	o.kill()
	numbers := map[uint64]bool{}
	for _, e := range o.read().entries[property] {
		numbers[e.Entry.DeviceSeq] = true
	}
	if len(numbers) != 4 {
		t.Errorf("four entries have the numbers %v", numbers)
	}
}

// TestRestoredServerGetsAllAgain puts an older copy in the server's place after a phone had fetched
// everything, and has nothing more to send: another phone writes first.
func TestRestoredServerGetsAllAgain(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	a, b := newDevice(t, o, "a", nil), newDevice(t, o, "b", nil)
	o.enrol(a, "Officer a", "Stony Creek")
	o.enrol(b, "Officer b", "Stony Creek")
	property := a.self.Properties[0].ID
	for range 2 { // one of them is where the server's marks find what both have
		a.record(property, "", map[string]any{"kind": "peg", "name": "before"})
	}
	settle(t, a, b)
	o.kill()
	older := o.copied()
	o.start()
	a.record(property, "", map[string]any{"kind": "peg", "name": "after"})
	last, _ := a.record(property, "", map[string]any{"kind": "peg", "name": "last"})
	a.waitFor("four entries", func(s state) bool { return s.quiet() && s.At[property] == 4 })
	a.end()
	o.kill()
	o.put(older)
	o.start()
	for range 3 {
		b.record(property, "", map[string]any{"kind": "peg", "name": "of another"})
	}
	b.waitFor("its own entries", state.quiet)
	a.start()
	for _, d := range []*device{a, b} {
		d.waitFor("all seven entries", func(s state) bool { return s.quiet() && s.At[property] == 7 })
	}
	o.kill()
	if on := o.read(); on.times[last] != 1 || len(on.entries[property]) != 7 {
		t.Errorf("the register has %d entries, and %d times what was sent last, want 7 and once", len(on.entries[property]), on.times[last])
	}
}

// TestBroughtBackBesideOthers: a phone brings back what its browser lost, and folds it again one
// feature after the other, while it takes in what others recorded of the same features. What it
// then shows is what the register has.
func TestBroughtBackBesideOthers(t *testing.T) {
	t.Parallel()
	const features = 12
	o, line := newOffice(t), new(breaking)
	a, b := newDevice(t, o, "a", nil), newBroken(t, o, "b", line)
	o.enrol(a, "Officer a", "Stony Creek")
	property := a.self.Properties[0].ID
	line.after(0)
	b.line.Cut()
	for i := range features {
		for _, d := range []*device{a, b} {
			d.save(recorded{Property: property, Feature: fmt.Sprintf("head-%03d", i), Set: map[string]any{"kind": "gully-head", "notes": "of " + d.name}})
		}
	}
	settle(t, a)
	within(t, "a copy outside the database", func() bool {
		var uncopied []string
		must(t, b.ask("uncopied", nil, &uncopied))
		return len(uncopied) == 0
	})
	b.kill()
	must(t, os.Remove(filepath.Join(b.dir, "indexeddb")))
	line.mend()
	b.foldMS = 100 * faster
	if trouble := b.start(); trouble != "gone" {
		t.Fatalf("a phone whose database was lost says %q, want %q", trouble, "gone")
	}
	b.bringBack()
	b.features(property) // as a screen that shows them
	settle(t, a, b)
	o.kill()
	b.compareFeatures(property, o.read().folded[property])
}

// bringBack taps until the phone has back what its browser lost: on a busy machine it takes more
// than a tap.
func (d *device) bringBack() {
	d.t.Helper()
	within(d.t, "what was lost to be back", func() bool {
		if d.state().Trouble == "" {
			return true
		}
		_ = d.ask("bringBack", nil, nil) // what became of it is asked next
		return false
	})
	must(d.t, d.ask("send", nil, nil))
}
