package node

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestRestoredFromAnOlderCopy goes back to 40 entries and some photos after three phones have
// brought the register to 80, and has a new phone write 50 others first. With all phones back, the
// register has the union of all entries and photos, and every phone the same features.
//
// The older copy is once a backup that the office restores, once a copy of the folder put in place
// with nobody told. In its place the register is once salvaged: five of its entries are
// broken, and the others get into one that no phone knows.
func TestRestoredFromAnOlderCopy(t *testing.T) {
	t.Parallel()
	for name, way := range map[string]wayBack{
		"restored":     {40, func(o *office, backup, _, _ string) { o.restore(backup) }},
		"put-in-place": {40, func(o *office, _, copy, _ string) { o.put(copy) }},
		"salvaged":     {75, func(o *office, _, _, property string) { o.salvage(property) }},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			restoredFromAnOlderCopy(t, way)
		})
	}
}

// wayBack makes a data folder of a backup, of a copy of it, or of the present one.
type wayBack struct {
	has  int // entries, of 80
	make func(o *office, backup, copy, property string)
}

// salvage breaks five entries of a property wherever they stand in the register, and salvages the rest.
func (o *office) salvage(property string) {
	o.t.Helper()
	path := filepath.Join(o.data, "register.bolt")
	var ids []string
	for _, e := range o.read().entries[property] {
		ids = append(ids, string(e.Entry.ID))
	}
	raw, err := os.ReadFile(path)
	must(o.t, err)
	for _, id := range ids[40:45] {
		raw = bytes.ReplaceAll(raw, []byte(id), bytes.Repeat([]byte("?"), len(id)))
	}
	must(o.t, os.WriteFile(path, raw, 0o600))
	old := o.data + "-old"
	must(o.t, os.Rename(o.data, old))
	said, err := exec.Command(built.headcut, "restore", "--from", old, "--data", o.data, "--salvage").CombinedOutput()
	if err == nil || !strings.Contains(string(said), "lost: ") { // it ends as failed, since entries are lost
		o.t.Fatalf("headcut restore --salvage: %v\n%s", err, said)
	}
}

func restoredFromAnOlderCopy(t *testing.T, way wayBack) {
	o := newOffice(t)
	var phones []*device
	for _, name := range []string{"a", "b", "c"} {
		d := newDevice(t, o, name, nil)
		o.enrol(d, "Officer "+name, "Stony Creek")
		phones = append(phones, d)
	}
	property := phones[0].self.Properties[0].ID
	random := randomOf(1, 2)
	saved := map[string]recorded{}
	write := func(d *device, who string, n int) {
		for i := range n { // of features that all know, and edit
			r := recorded{Property: property, Feature: fmt.Sprintf("head-%d", i%10), Set: map[string]any{"kind": "gully-head", "notes": fmt.Sprintf("%s %d", who, i)}}
			if i%10 == 0 {
				r.photo = jpeg(random, 5_000)
			}
			saved[d.save(r)] = r
		}
	}
	write(phones[0], "first", 10)
	settle(t, phones...)
	for _, d := range phones {
		write(d, "before the backup "+d.name, 10)
	}
	settle(t, phones...)
	backup := filepath.Join(t.TempDir(), "backup")
	o.run("backup", "--data", o.data, "--to", backup)
	o.kill()
	copy := o.copied()
	lose(t, copy)
	o.start()
	for i, d := range phones {
		write(d, "after the backup "+d.name, 13+i%2)
	}
	settle(t, phones...)
	for _, d := range phones {
		d.end()
	}
	o.kill()
	if n := len(o.read().entries[property]); n != 80 {
		t.Fatalf("went on to %d entries, want 80", n)
	}
	want := maps.Clone(saved)

	way.make(o, backup, copy, property)
	o.start()
	o.run("devices", "--data", o.data, "--confirm", "all")
	phones[1].line.Cut()
	late := newDevice(t, o, "late", nil)
	o.enrol(late, "Officer late", "Stony Creek")
	write(late, "late", 50)
	settle(t, late)
	if n := late.state().At[property]; n != uint64(way.has)+50 {
		t.Fatalf("with what the new phone wrote there are %d entries, want %d", n, way.has+50)
	}
	for _, d := range phones {
		d.start()
	}
	write(phones[1], "unsent when it happened", 5)
	all := append(slices.Clone(phones), late)
	settle(t, all...)
	o.kill()
	on := o.read()
	if n := len(on.entries[property]); n != 80+50+5 || len(want) != 80 {
		t.Errorf("the register has %d entries, want the %d from before, 50 and 5", n, len(want))
	}
	on.hasOnce(t, saved)
	for _, d := range all {
		d.compareFeatures(property, on.folded[property])
		if s := d.state(); len(s.Refusals) != 0 {
			t.Errorf("phone %s has refused entries: %+v", d.name, s.Refusals)
		}
	}
	o.run("verify", "--data", o.data)
}

// lose takes a photo out of a data folder, which its register names.
func lose(t *testing.T, data string) {
	t.Helper()
	photos, err := filepath.Glob(filepath.Join(data, "photos", "photo", "*"))
	must(t, err)
	if len(photos) == 0 {
		t.Fatal("there is no photo to lose")
	}
	must(t, os.Remove(photos[0]))
}
