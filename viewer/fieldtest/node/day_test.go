package node

import "testing"

// TestOfficersDay is a day of two officers: a feature that both record unseen by the other, which
// both are shown as a clash, its settlement, and a strike.
func TestOfficersDay(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	lines := map[string]*breaking{"a": {}, "b": {}}
	a, b := newBroken(t, o, "a", lines["a"]), newBroken(t, o, "b", lines["b"])
	property := a.self.Properties[0].ID
	_, head := a.record(property, "", map[string]any{"kind": "gully-head", "name": "head of the north arm"})
	settle(t, a, b)
	for _, line := range lines {
		line.after(0)
	}
	a.note(property, head, "undercut")
	b.note(property, head, "not undercut")
	for _, line := range lines {
		line.mend()
	}
	for _, d := range []*device{a, b} {
		must(t, d.ask("send", nil, nil))
	}
	settle(t, a, b)
	for _, d := range []*device{a, b} {
		if f := d.features(property); len(f) != 1 || len(f[0].Clashes) != 1 || f[0].Clashes[0] != "notes" {
			t.Errorf("phone %s has %+v, want a clash of the notes", d.name, f)
		}
	}
	b.note(property, head, "undercut by 0.2 m")
	settle(t, a, b)
	if f := a.features(property); len(f) != 1 || len(f[0].Clashes) != 0 || f[0].Fields["notes"] != "undercut by 0.2 m" {
		t.Errorf("settled by the other, phone a has %+v", f)
	}
	struck := true
	a.save(recorded{Property: property, Feature: head, Strike: &struck})
	settle(t, a, b)
	if f := b.features(property); len(f) != 1 || !f[0].Struck {
		t.Errorf("struck out by the other, phone b has %+v", f)
	}
	o.kill()
	on := o.read()
	for _, d := range []*device{a, b} {
		d.compareFeatures(property, on.folded[property])
	}
}
