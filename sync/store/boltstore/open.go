package boltstore

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/google/uuid"
	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"

	"headcut/sync/register"
	"headcut/sync/store"
)

// mapBytes is the address space kept for the file, so that a commit never has to wait for
// readers in order to map a grown file. It is not memory, and needs 64-bit addresses: on
// 32-bit machines this package does not compile.
const mapBytes int = 64 << 30

// ServingGCPercent is what a process that serves a store gives to debug.SetGCPercent. Its
// heap is a few megabytes, so that at the usual 100 collections come every few commits and
// make the slowest percent of them half as slow again; more memory is cheaper.
const ServingGCPercent = 400

// Options of a store. The zero value is ready for use.
type Options struct {
	Now         func() time.Time // time.Now when nil
	MaxBytes    int64            // of the file; 0: as large as the disk
	LockTimeout time.Duration    // how long to wait for another process to let go; 0: one second
	QueueFrames int              // Appends that may wait before the next one blocks; 0: 256
	ReadOnly    bool             // nothing is written, as on a medium that cannot be: Append refuses with store.ErrReadOnly
	NoFlush     bool             // never flush, and let no device wait: a crash loses entries. For tests that count, not for data.
}

// Store is a [store.Register] in one file.
type Store struct {
	db     *bbolt.DB
	path   string
	file   fs.FileInfo // of the file that is open
	now    func() time.Time
	epochs []store.Epoch // by age; fixed while open
	update func(func(*bbolt.Tx) error) error
	max    int64

	queue    queue
	room     chan struct{} // holds one for each job that waits
	rewrites rewrites
	noFlush  bool
	walking  chan struct{} // holds one while a feature's entries are read for a job
	quit     chan struct{}
	done     chan struct{}
	closed   atomic.Bool
	stopped  atomic.Pointer[error] // why nothing more is taken

	watch struct {
		sync.Mutex
		byProperty map[string]map[chan uint64]struct{}
	}
}

var _ store.Register = (*Store)(nil)

// Open opens the store in the file at path, and makes it when there is none. It fails at
// once when another process has it open, and on a file that was cut short. A file that
// lost its newest commit with a broken meta page opens in a new epoch, as after a restore. It reads no
// entries.
func Open(path string, o Options) (*Store, error) {
	if !o.ReadOnly {
		if err := create(path); err != nil {
			return nil, err
		}
	}
	return open(path, o)
}

func open(path string, o Options) (*Store, error) {
	db, lossy, err := openChecked(path, o)
	if err != nil {
		return nil, err
	}
	file, err := os.Stat(path)
	if err != nil {
		return nil, errors.Join(err, guarded(db.Close))
	}
	s := &Store{db: db, path: path, file: file, now: o.Now, max: o.MaxBytes, noFlush: o.NoFlush, update: db.Update,
		queue: queue{wake: make(chan struct{}, 1)}, room: make(chan struct{}, cmp.Or(o.QueueFrames, 256)), walking: make(chan struct{}, 1), quit: make(chan struct{}), done: make(chan struct{})}
	if s.now == nil {
		s.now = time.Now
	}
	s.watch.byProperty = make(map[string]map[chan uint64]struct{})
	if o.ReadOnly {
		s.stop(store.ErrReadOnly)
	} else if lossy {
		// bbolt goes on from the older meta page, which may be one commit behind what was
		// acknowledged: to devices that is a restored backup, so it is declared as one.
		err = s.write(branchOff)
	}
	if err := cmp.Or(err, s.start()); err != nil {
		_ = guarded(db.Close)
		return nil, err
	}
	if o.ReadOnly {
		is, err := s.OfBackup()
		if err != nil {
			_ = guarded(db.Close)
			return nil, err
		}
		if is != nil { // which says more than that it can only be read
			var why error = is
			s.stopped.Store(&why)
		}
	}
	go s.commitLoop()
	return s, nil
}

// openChecked opens a file that has all of its pages, and no ring of them. lossy is said of one
// whose newest commit may be lost.
func openChecked(path string, o Options) (db *bbolt.DB, lossy bool, err error) {
	if lossy, err = checkLength(path); err != nil {
		return nil, false, err
	}
	if db, err = openFile(path, o); err != nil {
		return nil, false, err
	}
	if err := checkTree(path); err != nil { // after the lock, so that nobody writes meanwhile
		return nil, false, errors.Join(err, guarded(db.Close))
	}
	return db, lossy, nil
}

// ErrInUse: another process has the file open.
var ErrInUse = errors.New("is open in another process")

func openFile(path string, o Options) (db *bbolt.DB, err error) {
	options := &bbolt.Options{
		Timeout:         cmp.Or(o.LockTimeout, time.Second),
		FreelistType:    bbolt.FreelistMapType,
		InitialMmapSize: mapBytes,
		ReadOnly:        o.ReadOnly,
		MaxSize:         int(o.MaxBytes),
		NoSync:          o.NoFlush,
		NoGrowSync:      o.NoFlush,
		NoStatistics:    true,
	}
	err = guarded(func() (err error) {
		db, err = bbolt.Open(path, 0o600, options)
		return err
	})
	switch {
	case errors.Is(err, berrors.ErrTimeout):
		return nil, fmt.Errorf("%s %w: stop that one first", path, ErrInUse)
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrChecksum), errors.Is(err, berrors.ErrVersionMismatch):
		return nil, damaged("%s: %v", path, err)
	}
	return db, err
}

// create makes an empty store unless there is a file. It is built aside and put in place
// whole, so that being killed on the way leaves nothing that cannot be opened.
func create(path string) error {
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	aside, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".new-*")
	if err != nil {
		return err
	}
	_ = aside.Close()
	defer os.Remove(aside.Name())
	db, err := openFile(aside.Name(), Options{})
	if err != nil {
		return err
	}
	err = db.Update(func(tx *bbolt.Tx) error {
		for _, name := range allBuckets {
			if _, err := tx.CreateBucket(name); err != nil {
				return err
			}
		}
		if err := putFormat(tx, register.Version, register.StateVersion); err != nil {
			return err
		}
		return addEpoch(tx, nil)
	})
	if err := errors.Join(err, db.Close()); err != nil {
		return err
	}
	if err := os.Link(aside.Name(), path); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return FlushFolder(filepath.Dir(path))
}

// FlushFolder makes the names in a folder durable.
func FlushFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

func putFormat(tx *bbolt.Tx, folds ...byte) error {
	return tx.Bucket(metaBucket).Put(formatKey, seal(formatKey, []byte{diskFormat}, folds))
}

// dropPlaces makes a file of the first disk format one of the present format, folded as before.
func dropPlaces(tx *bbolt.Tx, folds []byte) error {
	if err := tx.DeleteBucket(cellsBucket); err != nil && !errors.Is(err, berrors.ErrBucketNotFound) {
		return err
	}
	return putFormat(tx, folds...)
}

// addEpoch begins a new epoch that holds what the one before it holds up to branch.
func addEpoch(tx *bbolt.Tx, branch map[string]uint64) error {
	id, err := uuid.NewV7()
	if err != nil {
		return err
	}
	b := tx.Bucket(epochsBucket)
	k, err := b.NextSequence()
	if err != nil {
		return err
	}
	text, err := json.Marshal(store.Epoch{ID: register.ID(id.String()), Branch: branch})
	if err != nil {
		return err
	}
	return b.Put(u64(k), seal(u64(k), text))
}

// start reads what must be known while the store is open.
func (s *Store) start() error {
	var folds []byte
	places := false
	err := s.view(func(tx *bbolt.Tx) (err error) {
		if err := checkBuckets(tx, s.path); err != nil {
			return err
		}
		format, err := unsealSized(formatKey, tx.Bucket(metaBucket).Get(formatKey), 3)
		if err != nil {
			return err
		}
		if format[0] != diskFormat && format[0] != withPlaces {
			return fmt.Errorf("%s has disk format %d, this headcut reads %d: use a newer headcut", s.path, format[0], diskFormat)
		}
		places, folds = format[0] == withPlaces, append(folds, format[1:]...)
		if s.epochs, err = readEpochs(tx); err != nil {
			return err
		}
		return checkProperties(tx)
	})
	if err != nil {
		return err
	}
	if places && s.Stopped() == nil { // a file that can only be read is read as it is
		if err := s.write(func(tx *bbolt.Tx) error { return dropPlaces(tx, folds) }); err != nil {
			return err
		}
	}
	if folds[0] != register.Version || folds[1] != register.StateVersion {
		if s.Stopped() != nil {
			return fmt.Errorf("%s is of another version of headcut, and must be written to before it is read: copy its folder to a disk that can be", s.path)
		}
		return s.foldAgain()
	}
	return nil
}

func checkBuckets(tx *bbolt.Tx, path string) error {
	for _, name := range allBuckets {
		if tx.Bucket(name) == nil {
			return damaged("%s has no bucket %s: it is not a register, or its root is broken", path, name)
		}
	}
	return nil
}

// checkProperties checks the row of every property. A row whose key is broken would be
// looked up in vain, and its property taken for one without entries: nothing that is read
// later could tell. So whatever property has entries must have a row.
func checkProperties(tx *bbolt.Tx) error {
	entries := tx.Bucket(entriesBucket).Cursor()
	known := make(map[uint32]bool)
	err := eachProperty(tx, func(_ string, p property) error {
		known[p.number] = true
		return nil
	})
	if err != nil {
		return err
	}
	for key, _ := entries.First(); key != nil; { // one step for each property that has entries
		if len(key) != 12 {
			return damaged("an entry has the key %x", key)
		}
		number := beU32(key)
		if !known[number] {
			return damaged("there are entries of property number %d, and no such property", number)
		}
		if number == math.MaxUint32 {
			break
		}
		if key, _, err = seek(entries, u32(number+1)); err != nil {
			return err
		}
	}
	return nil
}

func readEpochs(tx *bbolt.Tx) (epochs []store.Epoch, err error) {
	err = tx.Bucket(epochsBucket).ForEach(func(k, sealed []byte) error {
		text, err := unseal(k, sealed)
		if err != nil {
			return err
		}
		var e store.Epoch
		if err := json.Unmarshal(text, &e); err != nil {
			return damaged("epoch %x cannot be read: %v", k, err)
		}
		epochs = append(epochs, e)
		return nil
	})
	if err == nil && len(epochs) == 0 {
		err = damaged("the store has no epoch")
	}
	return epochs, err
}

// Epochs implements [store.Register].
func (s *Store) Epochs(ctx context.Context) ([]store.Epoch, error) {
	return slices.Clone(s.epochs), ctx.Err()
}

func (s *Store) epoch() register.ID { return s.epochs[len(s.epochs)-1].ID }

// Size is the length of the file and how long it may become, 0 when that is up to the disk.
func (s *Store) Size() (bytes, most int64) {
	info, err := os.Stat(s.path)
	if err != nil {
		return 0, s.max
	}
	return info.Size(), s.max
}

// stop makes the store take nothing more, for the reason that came first.
func (s *Store) stop(why error) { s.stopped.CompareAndSwap(nil, &why) }

// Stopped tells why the store takes nothing more, nil while it does.
func (s *Store) Stopped() error {
	if why := s.stopped.Load(); why != nil {
		return *why
	}
	return nil
}

// Close commits what has been accepted and lets go of the file. It waits for reads that
// are under way.
func (s *Store) Close() error {
	if s.closed.Swap(true) {
		return nil
	}
	close(s.quit)
	<-s.done
	s.endWatches()
	return guarded(s.db.Close)
}

// Properties lists the properties that have entries, with the newest number of each.
func (s *Store) Properties(ctx context.Context) (map[string]uint64, error) {
	out := make(map[string]uint64)
	err := s.view(func(tx *bbolt.Tx) error {
		return eachProperty(tx, func(name string, p property) error {
			out[name] = p.n
			return nil
		})
	})
	return out, err
}
