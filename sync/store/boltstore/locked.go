package boltstore

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
)

// LockedRegister is a register that is kept from every other process, to be replaced by a later copy
// of itself. It is read and never written, not even to fold its features again.
type LockedRegister struct {
	db     *bbolt.DB
	epochs []store.Epoch
}

// LockRegister takes the register at path. It fails at once, with what Open says, when a process
// has it open, and with [store.ErrDamaged] when it cannot be read.
func LockRegister(path string) (*LockedRegister, error) {
	db, _, err := openChecked(path, Options{})
	if err != nil {
		return nil, err
	}
	h := &LockedRegister{db: db}
	err = h.view(func(tx *bbolt.Tx) (err error) {
		if err := checkBuckets(tx, path); err != nil {
			return err
		}
		h.epochs, err = readEpochs(tx)
		return err
	})
	if err != nil {
		return nil, errors.Join(err, h.Release())
	}
	return h, nil
}

func (h *LockedRegister) view(f func(*bbolt.Tx) error) error {
	return guarded(func() error { return h.db.View(f) })
}

// Release lets go of the file.
func (h *LockedRegister) Release() error { return guarded(h.db.Close) }

// ErrOtherRegister: two registers have no common beginning.
var ErrOtherRegister = errors.New("it is another register")

// Lacking says how many entries a register has that its copy has not.
type Lacking struct{ Entries uint64 }

func (l *Lacking) Error() string {
	return fmt.Sprintf("it has %d entries that the copy lacks", l.Entries)
}

// Contains tells whether the store has whatever is in h: nil, ErrOtherRegister or *Lacking.
// A property whose chain goes on from that of h is not read; otherwise, as after a restore,
// its entries are looked up one by one.
func (s *Store) Contains(ctx context.Context, h *LockedRegister) error {
	if s.epochs[0].ID != h.epochs[0].ID {
		return ErrOtherRegister
	}
	lacking := &Lacking{}
	err := h.view(func(theirs *bbolt.Tx) error {
		names := map[string]property{}
		err := eachProperty(theirs, func(name string, p property) error {
			names[name] = p
			return nil
		})
		if err != nil {
			return err
		}
		return s.view(func(ours *bbolt.Tx) error {
			for _, name := range slices.Sorted(maps.Keys(names)) {
				n, err := s.lacks(ctx, ours, theirs, name, names[name])
				if err != nil {
					return err
				}
				lacking.Entries += n
			}
			return nil
		})
	})
	if err == nil && lacking.Entries > 0 {
		return lacking
	}
	return err
}

// lacks counts the entries of one property of theirs that ours has not.
func (s *Store) lacks(ctx context.Context, ours, theirs *bbolt.Tx, name string, their property) (n uint64, err error) {
	our, err := readProperty(ours, name)
	if err != nil {
		return 0, err
	}
	if our.n >= their.n {
		at, err := s.position(ours, our, their.n)
		if err != nil || at.Hash == their.chain {
			return 0, err
		}
	}
	err = eachRecord(ctx, theirs, name, their, func(_ uint64, r record) error {
		entry, err := register.Decode(r.raw)
		if err != nil {
			return damaged("an entry of %s cannot be read: %v", name, err)
		}
		here, err := hasID(ours, our, entry.ID, nil)
		if !here {
			n++
		}
		return err
	})
	return n, err
}

// Parts lists what copies of a register to path have written so far, or left when they were cut short.
func Parts(path string) ([]string, error) {
	return filepath.Glob(filepath.Join(globbed(filepath.Dir(path)), filepath.Base(path)+".part-*"))
}

// RemoveParts removes what a copy that was cut short left beside the register at path. No
// other copy to that place may be under way.
func RemoveParts(path string) error {
	parts, err := Parts(path)
	for _, part := range parts {
		err = errors.Join(err, os.Remove(part))
	}
	return err
}

// globbed is a folder's name in a pattern, which means itself.
func globbed(dir string) string {
	var out []rune
	for _, r := range dir {
		if r == '*' || r == '?' || r == '[' || r == '\\' {
			out = append(out, '\\')
		}
		out = append(out, r)
	}
	return string(out)
}
