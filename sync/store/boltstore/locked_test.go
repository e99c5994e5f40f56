package boltstore

import (
	"encoding/json"
	"errors"
	"path/filepath"
	"testing"

	"headcut/sync/store/storetest"
)

// TestContains: a register contains an earlier one when it has all its entries, whatever
// their order; otherwise it counts those it lacks.
func TestContains(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	m := &storetest.Maker{Property: "p", Device: "phone"}
	office := reopen(t, at("office"))
	appendNew(t, office, m.Entry("f", nil, "name", `"one"`), m.Entry("f", nil, "name", `"two"`))
	backup := func(s *Store, name string) string {
		t.Helper()
		if err := s.Backup(t.Context(), at(name)); err != nil {
			t.Fatal(err)
		}
		return at(name)
	}
	first := backup(office, "first")
	late := []json.RawMessage{m.Entry("f", nil, "name", `"three"`), m.Entry("g", nil, "name", `"four"`)}
	appendNew(t, office, late...)
	second := backup(office, "second")

	if err := Restore(t.Context(), first, at("restored")); err != nil {
		t.Fatal(err)
	}
	restored := reopen(t, at("restored"))
	other := &storetest.Maker{Property: "p", Device: "other"}
	appendNew(t, restored, other.Entry("h", nil, "name", `"five"`))

	contains := func(s *Store, path string) error {
		t.Helper()
		h, err := LockRegister(path)
		if err != nil {
			t.Fatal(err)
		}
		defer func() {
			if err := h.Release(); err != nil {
				t.Error(err)
			}
		}()
		if _, err := LockRegister(path); !errors.Is(err, ErrInUse) {
			t.Errorf("a second hold of %s gives %v, want ErrInUse", path, err)
		}
		return s.Contains(t.Context(), h)
	}
	whole := func(s *Store, path string) {
		t.Helper()
		if err := contains(s, path); err != nil {
			t.Errorf("%s: %v, want that all is there", path, err)
		}
	}
	lacks := func(s *Store, path string, n uint64) {
		t.Helper()
		var lacking *Lacking
		if err := contains(s, path); !errors.As(err, &lacking) || lacking.Entries != n {
			t.Errorf("%s: %v, want %d entries that lack", path, err, n)
		}
	}
	whole(office, first)
	whole(office, second)
	whole(restored, first)
	lacks(restored, second, 2)
	lacks(office, backup(restored, "third"), 1)
	appendNew(t, restored, late[0]) // the device sends again, after an entry of another's
	lacks(restored, second, 1)
	appendNew(t, restored, late[1])
	whole(restored, second)
	if err := contains(openNew(t), first); !errors.Is(err, ErrOtherRegister) {
		t.Errorf("another register gives %v", err)
	}
}
