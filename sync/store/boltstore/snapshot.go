package boltstore

import (
	"cmp"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"go.etcd.io/bbolt"
)

// Snapshot implements [store.Register]. The copy is a whole store file. Its read
// transaction stays open while w takes the copy, so w should be a file on a local disk.
func (s *Store) Snapshot(ctx context.Context, w io.Writer) error {
	return s.view(func(tx *bbolt.Tx) error {
		_, err := tx.WriteTo(contextWriter{ctx, w})
		return cmp.Or(ctx.Err(), err) // bbolt does not wrap what w says
	})
}

// contextWriter fails once its context has ended.
type contextWriter struct {
	ctx context.Context
	w   io.Writer
}

func (c contextWriter) Write(p []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.w.Write(p)
}

// Backup writes a snapshot to a new file, flushes it, and verifies it by opening it.
func (s *Store) Backup(ctx context.Context, to string) error {
	return putInPlace(to, func(aside *os.File) error {
		if err := s.Snapshot(ctx, aside); err != nil {
			return err
		}
		return verifyCopy(ctx, aside)
	})
}

// Restore makes a new store file at to from a backup. The copy begins a new epoch that
// branches off where the backup ends, so that devices notice and offer again what it
// lacks. The backup itself is verified first and not changed.
func Restore(ctx context.Context, backup, to string) error {
	return putInPlace(to, func(aside *os.File) error {
		from, err := openRegular(backup)
		if err != nil {
			return err
		}
		_, err = io.Copy(contextWriter{ctx, aside}, from)
		if err := errors.Join(err, from.Close()); err != nil {
			return err
		}
		if err := verifyCopy(ctx, aside); err != nil {
			return &inCopy{err, aside.Name(), backup}
		}
		return beginEpoch(aside.Name())
	})
}

// inCopy is what was found in a copy and is true of what it was copied from.
type inCopy struct {
	err        error
	copy, from string
}

func (f *inCopy) Error() string { return strings.ReplaceAll(f.err.Error(), f.copy, f.from) }
func (f *inCopy) Unwrap() error { return f.err }

// putInPlace builds a file aside and gives it its name only when it is whole and flushed.
// It never replaces a file.
func putInPlace(to string, fill func(aside *os.File) error) error {
	aside, err := os.CreateTemp(filepath.Dir(to), filepath.Base(to)+".part-*")
	if err != nil {
		return err
	}
	defer os.Remove(aside.Name())
	if err := errors.Join(fill(aside), aside.Sync(), aside.Close()); err != nil {
		return err
	}
	if err := os.Link(aside.Name(), to); err != nil {
		return err
	}
	return FlushFolder(filepath.Dir(to))
}

func verifyCopy(ctx context.Context, f *os.File) error {
	if err := f.Sync(); err != nil {
		return err
	}
	return verifyFile(ctx, f.Name(), Options{})
}

func verifyFile(ctx context.Context, path string, o Options) error {
	s, err := open(path, o)
	if err != nil {
		return err
	}
	_, err = s.Verify(ctx, nil)
	return errors.Join(err, s.Close())
}

// beginEpoch makes a backup a register of its own, which goes on in another epoch.
func beginEpoch(path string) error {
	db, err := openFile(path, Options{})
	if err != nil {
		return err
	}
	err = guarded(func() error {
		return db.Update(func(tx *bbolt.Tx) error {
			if err := tx.Bucket(metaBucket).Delete(backupKey); err != nil {
				return err
			}
			return branchOff(tx)
		})
	})
	return errors.Join(err, db.Close())
}

// branchOff begins a new epoch at the present end of every property.
func branchOff(tx *bbolt.Tx) error {
	branch := make(map[string]uint64)
	err := eachProperty(tx, func(name string, p property) error {
		branch[name] = p.n
		return nil
	})
	if err != nil {
		return err
	}
	return addEpoch(tx, branch)
}
