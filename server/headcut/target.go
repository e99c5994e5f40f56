package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"headcut/model"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// target is the folder of a backup, kept from other processes while its register is replaced.
type target struct {
	data     string // the folder that is backed up
	dir      string
	register string                    // path of its register
	earlier  *boltstore.LockedRegister // nil when there is none, or it is damaged
	damaged  bool
	aside    string // where a damaged register was put
	unlock   func()
}

// notTarget refuses a folder as the target of a backup.
func notTarget(reason, fix string) *model.Problem {
	return &model.Problem{Path: "--to", Reason: reason, Fix: fix}
}

// openTarget makes or takes the folder of a backup. It refuses whatever a backup may not
// be written over, before anything is changed there.
func openTarget(data, to string) (*target, error) {
	if inside, err := within(data, to); err != nil {
		return nil, err
	} else if sameFolder(data, to) {
		return nil, notTarget(to+" is the data folder itself", "give another folder, best on another machine")
	} else if inside {
		return nil, notTarget(to+" is within the data folder "+data+", and would be lost with it", "give a folder elsewhere, best on another machine")
	}
	if err := mayHoldBackup(to); err != nil {
		return nil, err
	}
	if err := notServed(to, served(to)); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(to, 0o700); err != nil {
		return nil, err
	}
	unlock, err := lockFolder(to)
	if err != nil {
		return nil, err
	}
	t := &target{data: data, dir: to, register: filepath.Join(to, registerFile), unlock: unlock}
	if t.earlier, err = boltstore.LockRegister(t.register); err != nil {
		t.damaged = errors.Is(err, store.ErrDamaged)
		if errors.Is(err, boltstore.ErrInUse) {
			err = served(to)
		}
		if !t.damaged && !errors.Is(err, fs.ErrNotExist) {
			return nil, errors.Join(err, t.close())
		}
	}
	if err := boltstore.RemoveParts(t.register); err != nil {
		return nil, errors.Join(err, t.close())
	}
	return t, nil
}

func served(to string) *model.Problem {
	return notTarget("the register in "+to+" is in use: a server or another command runs on it", "give the folder of a backup; if --data and --to are swapped, turn them round")
}

// mayBecome verifies a copy of the register, and that nothing of the earlier one is lost with it.
func (t *target) mayBecome(ctx context.Context, path string) error {
	s, err := boltstore.Open(path, boltstore.Options{})
	if err != nil {
		return inFolder(t.data, err)
	}
	_, err = s.Verify(ctx, nil)
	err = inFolder(t.data, err) // it is a copy of that one
	if err == nil && t.earlier != nil {
		err = t.compared(s.Contains(ctx, t.earlier))
	}
	if err == nil {
		err = s.MarkBackup(time.Now())
	}
	if err := errors.Join(err, s.Close()); err != nil || !t.damaged {
		return err
	}
	// Nobody can tell what a damaged register has, so it is kept.
	t.aside = t.register + ".damaged-" + time.Now().UTC().Format("20060102T150405.000000000")
	return os.Rename(t.register, t.aside)
}

// compared words why the earlier register may not be replaced.
func (t *target) compared(err error) error {
	const fix = "give a new folder; if --data and --to are swapped, turn them round"
	var lacking *boltstore.Lacking
	switch {
	case errors.Is(err, boltstore.ErrOtherRegister):
		return notTarget(t.dir+" has another register, no backup of this data folder", fix)
	case errors.As(err, &lacking):
		return notTarget(fmt.Sprintf("%s has %s that the data folder lacks, and they would be lost", t.dir, many(lacking.Entries, "entry", "entries")), fix)
	}
	return err
}

// release lets go of the earlier register.
func (t *target) release() error {
	if t.earlier == nil {
		return nil
	}
	earlier := t.earlier
	t.earlier = nil
	return earlier.Release()
}

func (t *target) close() error {
	err := t.release()
	t.unlock()
	return err
}

// mayHoldBackup refuses a folder that holds something else than a backup.
func mayHoldBackup(to string) error {
	found, err := os.ReadDir(to)
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(found) == 0 {
		return nil
	}
	if err != nil {
		return err
	}
	if slices.ContainsFunc(found, func(one fs.DirEntry) bool { return one.Name() == unconfirmedFolder }) {
		if err := copiedInPart("--to", to); err != nil {
			return err
		}
	}
	backup := false
	for _, one := range found { // a backup that was cut short may have photos alone, or a part of a register
		switch name := one.Name(); {
		case name == markFile:
			return notTarget(to+" is a data folder, no backup", "give the folder of a backup, or a new one; if --data and --to are swapped, turn them round")
		case name == registerFile || name == photoFolder || strings.HasPrefix(name, registerFile+".part-"):
			backup = true
		}
	}
	if backup {
		return nil
	}
	return notTarget(to+" has other files and no backup", "give a folder for backups alone: a new one, an empty one, or that of an earlier backup")
}

func sameFolder(a, b string) bool {
	one, errA := os.Stat(a)
	other, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(one, other)
}

// within reports whether a folder, which need not be there yet, is or lies in another.
func within(outer, inner string) (bool, error) {
	path, err := filepath.Abs(inner)
	if err != nil {
		return false, err
	}
	for {
		if real, err := filepath.EvalSymlinks(path); err == nil { // the nearest that is there, and its own parents
			path = real
		}
		if sameFolder(outer, path) {
			return true, nil
		}
		parent := filepath.Dir(path)
		if parent == path {
			return false, nil
		}
		path = parent
	}
}

// lockFolder keeps other backups and restores out of a folder until unlock, or until this
// process ends. It waits for nobody. Where the file system has no such locks, it does nothing. The
// error is fs.ErrNotExist when whoever had it before has removed it.
func lockFolder(dir string) (unlock func(), err error) {
	folder, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	if errors.Is(syscall.Flock(int(folder.Fd()), syscall.LOCK_EX|syscall.LOCK_NB), syscall.EWOULDBLOCK) {
		_ = folder.Close()
		return nil, &model.Problem{Reason: "another backup or restore is writing to " + dir, Fix: "wait until it is done, then run this again"}
	}
	locked, err := folder.Stat()
	is, errNow := os.Stat(dir)
	if err = errors.Join(err, errNow); err == nil && !os.SameFile(locked, is) {
		err = fs.ErrNotExist
	}
	if err != nil {
		_ = folder.Close()
		return nil, err
	}
	return func() { _ = folder.Close() }, nil
}
