package boltstore

import (
	"context"
	"errors"
	"runtime/debug"
	"syscall"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"

	"headcut/sync/store"
)

// guarded runs f, which touches the mapped file. bbolt trusts its pages: a broken one
// makes it panic or read outside the file, which would end the process by a signal. Here
// both become ErrDamaged.
func guarded(f func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if r := recover(); r != nil {
			err = damaged("reading it failed: %v", r)
		}
	}()
	return f()
}

// view runs f in a read transaction. f copies what it keeps, calls nobody else, and does
// not come back here.
func (s *Store) view(f func(tx *bbolt.Tx) error) error {
	if s.closed.Load() {
		return store.ErrClosed
	}
	err := guarded(func() error { return s.db.View(f) })
	if errors.Is(err, berrors.ErrDatabaseNotOpen) {
		return store.ErrClosed
	}
	if errors.Is(err, store.ErrDamaged) {
		s.stop(err)
	}
	return err
}

// write runs f in a transaction of its own, beside those of the committer.
func (s *Store) write(f func(tx *bbolt.Tx) error) error {
	return guarded(func() error { return s.db.Update(f) })
}

// viewProperty runs f as view does, on a property: the zero one while that has no entries.
func (s *Store) viewProperty(ctx context.Context, name string, f func(tx *bbolt.Tx, p property) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return s.view(func(tx *bbolt.Tx) error {
		p, err := readProperty(tx, name)
		if err != nil {
			return err
		}
		return f(tx, p)
	})
}

// full tells whether a failed commit only lacked room: a write, not a flush, that was
// refused for want of space. bbolt has then put nothing in place of what was there.
func full(err error) bool {
	if errors.Is(err, berrors.ErrMaxSizeReached) {
		return true
	}
	var write interface{ Unwrap() error } // a bare errno comes from a flush
	return errors.As(err, &write) && (errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT))
}
