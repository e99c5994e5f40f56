package device_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"headcut/sync/device"
	"headcut/sync/register"
	"headcut/sync/store/boltstore"
)

// TestRule4RestoreFromAnOlderCopy: back up at 100 entries, go on to 200 from three
// devices, restore, let one new device write 150 others first, reconnect all. The
// register then has the union of all entries, and every device the same state. The
// restore is once declared, so that the store has a new epoch, and once not: a copy of
// the file was put in place and nobody said so. In place of the backup, the register is once
// salvaged: five of its entries are broken, and the others get into one that no device knows.
func TestRule4RestoreFromAnOlderCopy(t *testing.T) {
	for _, way := range []wayBack{
		{"declared", 100, func(backup, _, register string) error {
			return boltstore.Restore(context.Background(), backup, register)
		}},
		{"undeclared", 100, func(backup, _, register string) error {
			raw, err := os.ReadFile(backup)
			if err != nil {
				return err
			}
			return os.WriteFile(register, raw, 0o600)
		}},
		{"salvaged", 195, func(_, damaged, register string) error {
			out, err := boltstore.Salvage(context.Background(), damaged, register)
			if err == nil && out.Sound() {
				err = errors.New("nothing was lost, though entries are broken")
			}
			return err
		}},
	} {
		t.Run(way.name, func(t *testing.T) { restoreFromAnOlderCopy(t, way) })
	}
}

// wayBack makes a register of a backup, or of one that is damaged.
type wayBack struct {
	name string
	has  int // entries, of 200
	make func(backup, damaged, register string) error
}

// breakEntries overwrites five entries in a register wherever they stand in it.
func breakEntries(t *testing.T, path string, ids []register.ID) {
	t.Helper()
	raw, err := os.ReadFile(path)
	must(t, err)
	slices.Sort(ids)
	for _, id := range ids[40:45] {
		raw = bytes.ReplaceAll(raw, []byte(id), bytes.Repeat([]byte("?"), len(id)))
	}
	must(t, os.WriteFile(path, raw, 0o600))
}

func restoreFromAnOlderCopy(t *testing.T, way wayBack) {
	dir := t.TempDir()
	of, err := openOffice(dir, officeOptions{})
	must(t, err)
	address := of.http.Addr
	devices := []*device.Device{enrolled(t, of.url), enrolled(t, of.url), enrolled(t, of.url)}
	// Features that all devices know, and edit.
	shared := make([]string, 10)
	for i := range shared {
		shared[i] = mark(t, devices[0], fmt.Sprintf("peg %d", i))
	}
	write := func(d *device.Device, who string, n int) {
		for i := range n {
			must(t, d.Set(creek, shared[i%len(shared)], device.Fields{"notes": fmt.Sprintf("%s %d", who, i)}))
		}
	}
	syncAll := func(devices ...*device.Device) {
		for _, d := range devices {
			must(t, d.Sync(t.Context()))
		}
	}
	syncAll(devices...)
	for i, d := range devices {
		write(d, fmt.Sprint("before the backup ", i), 30)
	}
	syncAll(devices...)
	syncAll(devices...)
	backup := filepath.Join(t.TempDir(), "backup.db")
	must(t, of.store.Backup(context.Background(), backup))
	if got := len(entriesOf(t, of.store, creek)); got != 100 {
		t.Fatalf("backed up at %d entries, want 100", got)
	}
	for i, d := range devices {
		write(d, fmt.Sprint("after the backup ", i), 33+i%2)
	}
	syncAll(devices[0], devices[1], devices[2], devices[0]) // two of them have seen all by now
	write(devices[1], "unsent when it happened", 5)
	want := entriesOf(t, of.store, creek)
	if len(want) != 200 {
		t.Fatalf("went on to %d entries, want 200", len(want))
	}

	must(t, of.close())
	place, damaged := filepath.Join(dir, "register.db"), filepath.Join(dir, "damaged.db")
	must(t, os.Rename(place, damaged))
	breakEntries(t, damaged, slices.Collect(maps.Keys(want)))
	must(t, way.make(backup, damaged, place))
	of, err = openOffice(dir, officeOptions{listen: address})
	must(t, err)
	defer of.close()

	late := enrolled(t, of.url)
	for i := range 150 {
		mark(t, late, fmt.Sprint("late ", i))
	}
	syncAll(late)
	if got := len(entriesOf(t, of.store, creek)); got != way.has+150 {
		t.Fatalf("after the new device: %d entries, want %d", got, way.has+150)
	}
	all := append(devices, late)
	syncAll(all...)
	syncAll(all...)
	got := entriesOf(t, of.store, creek)
	for id, hash := range want {
		if got[id] != hash {
			t.Errorf("entry %s from before the restore: got hash %s, want %s", id, got[id], hash)
		}
	}
	if len(got) != 200+5+150 {
		t.Errorf("entries at the end: got %d, want %d", len(got), 200+5+150)
	}
	state := storeFolded(t, of.store, creek)
	for i, d := range all {
		sameFold(t, fmt.Sprint("device ", i), folded(t, d.Features(creek)), state)
		if s, err := d.Status(creek); err != nil || s.Waiting != 0 || s.N != uint64(len(got)) || len(s.Refused) != 0 {
			t.Errorf("device %d at the end: got %+v, %v", i, s, err)
		}
	}
	if _, err := of.store.Verify(context.Background(), nil); err != nil {
		t.Errorf("verify after all that: %v", err)
	}
}
