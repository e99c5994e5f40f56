package boltstore

import (
	"cmp"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// PhotoBytes is how large a photo may be.
const PhotoBytes = 64 << 20

// Photos is a [store.Photos] in a folder: parts/DEVICE/SHA grows until the photo is whole, then
// it becomes photo/SHA. What is acknowledged has been flushed, file and folder, and stands in
// the list of what was received, with the device that sent it.
type Photos struct {
	dir     string
	disk    disk
	stopped atomic.Bool
	listing sync.Mutex // one line at a time into the list of what was received
	sent    sentIndex
	flushes chan struct{} // one of each flush of a part that goes on

	mu    sync.Mutex
	busy  map[string]*turn // files that are being written just now, by path
	known map[store.Sending]running
	begun map[string]*begun // by device
}

var _ store.Photos = (*Photos)(nil)

// turn lets one writer at a time at a file.
type turn struct {
	sync.Mutex
	users int
}

// running is the hash of the first bytes of a photo that is coming in, so that the whole need not
// be read again.
type running struct {
	sum   hash.Hash
	off   int64
	since time.Time // by the clock of this process, which nobody sets
}

// runningMost bounds how many unfinished hashes are kept.
const runningMost = 256

// partsOfDevice is how many photos a device may have sent in part. One more drops the one that
// was left longest ago, of those that nobody is writing.
const partsOfDevice = 64

// flushesAtOnce bounds how many parts are flushed at once: entries wait for the same disk.
const flushesAtOnce = 4

// OpenPhotos opens the photo store in a folder, and makes it when there is none.
func OpenPhotos(dir string) (*Photos, error) { return openPhotos(dir, osDisk{}) }

// PhotosReadOnly is the photo store in a folder that is only looked at, such as a backup on a
// medium that cannot be written: nothing is made or changed there.
func PhotosReadOnly(dir string) *Photos { return newPhotos(dir, osDisk{}) }

func newPhotos(dir string, d disk) *Photos {
	return &Photos{dir: dir, disk: d, flushes: make(chan struct{}, flushesAtOnce), busy: make(map[string]*turn),
		known: make(map[store.Sending]running), begun: make(map[string]*begun)}
}

func openPhotos(dir string, d disk) (*Photos, error) {
	for _, sub := range []string{"parts", "photo"} {
		if err := os.MkdirAll(filepath.Join(dir, sub), 0o700); err != nil {
			return nil, err
		}
	}
	// What a killed process named is taken for whole, and may not be on the disk under its name yet.
	for _, folder := range []string{filepath.Join(dir, "parts"), filepath.Join(dir, "photo"), dir} {
		if err := d.syncDir(folder); err != nil {
			return nil, err
		}
	}
	p := newPhotos(dir, d)
	return p, p.openReceived()
}

func (p *Photos) parts(device string) string { return filepath.Join(p.dir, "parts", device) }

func (p *Photos) part(s store.Sending) string {
	return filepath.Join(p.parts(s.Device), s.SHA.String())
}

func (p *Photos) photo(sha register.Hash) string { return filepath.Join(p.dir, "photo", sha.String()) }

// lock waits for its turn at a file.
func (p *Photos) lock(path string) (unlock func()) {
	t := p.turnAt(path)
	t.Lock()
	return func() { p.unlock(path, t) }
}

// tryLock takes the turn at a file that nobody writes.
func (p *Photos) tryLock(path string) (unlock func(), free bool) {
	t := p.turnAt(path)
	if !t.TryLock() {
		p.leave(path, t)
		return nil, false
	}
	return func() { p.unlock(path, t) }, true
}

func (p *Photos) unlock(path string, t *turn) {
	t.Unlock()
	p.leave(path, t)
}

func (p *Photos) turnAt(path string) *turn {
	p.mu.Lock()
	defer p.mu.Unlock()
	t := p.busy[path]
	if t == nil {
		t = new(turn)
		p.busy[path] = t
	}
	t.users++
	return t
}

func (p *Photos) leave(path string, t *turn) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if t.users--; t.users == 0 {
		delete(p.busy, path)
	}
}

// Offset implements [store.Photos].
func (p *Photos) Offset(ctx context.Context, s store.Sending) (int64, error) {
	if err := p.may(ctx, s); err != nil {
		return 0, err
	}
	defer p.lock(p.part(s))()
	off, _, err := p.offset(s)
	return off, err
}

// may refuses a device whose id could not be a folder's name.
func (p *Photos) may(ctx context.Context, s store.Sending) error {
	if !register.ValidID(s.Device) {
		return &model.Problem{Path: "device", Reason: fmt.Sprintf("%q is not a device's id", s.Device)}
	}
	return ctx.Err()
}

// offset is how much a device has sent and whether that is all. It flushes a part first: one that a
// killed process left may not be on the disk yet.
func (p *Photos) offset(s store.Sending) (off int64, whole bool, err error) {
	devices, _, err := p.sentBy(s.SHA)
	if err != nil {
		return 0, false, err
	}
	if slices.Contains(devices, s.Device) {
		if info, err := p.disk.stat(p.photo(s.SHA)); err == nil {
			return info.Size(), true, nil
		}
	}
	if at := p.flushed(s); at > 0 {
		if info, err := p.disk.stat(p.part(s)); err == nil && info.Size() == at {
			return at, false, nil
		}
	}
	f, err := p.disk.open(p.part(s), os.O_RDWR)
	if errors.Is(err, fs.ErrNotExist) {
		return 0, false, nil
	}
	if err != nil {
		return 0, false, err
	}
	off, err = f.Seek(0, io.SeekEnd)
	if err == nil {
		err = p.flush(f, s)
	}
	return off, false, errors.Join(err, f.Close())
}

// flush flushes a part. When that fails, nobody knows what of it is on the disk: the part
// is given up, and no more is taken until the store has been opened again.
func (p *Photos) flush(f diskFile, s store.Sending) error {
	p.flushes <- struct{}{}
	defer func() { <-p.flushes }()
	if err := f.Sync(); err != nil {
		return p.stop(s, err)
	}
	return nil
}

func (p *Photos) stop(s store.Sending, why error) error {
	p.forget(s)
	_ = p.remove(s)
	return p.takeNoMore(why)
}

func (p *Photos) takeNoMore(why error) error {
	p.stopped.Store(true)
	return fmt.Errorf("%w (%v)", store.ErrStopped, why)
}

// WriteAt implements [store.Photos]. When r fails on the way, what came is kept and r's
// error returned with the new offset.
func (p *Photos) WriteAt(ctx context.Context, s store.Sending, off, size int64, r io.Reader, checks ...store.PhotoCheck) (int64, error) {
	if err := p.may(ctx, s); err != nil {
		return 0, err
	}
	defer p.lock(p.part(s))()
	here, whole, err := p.offset(s)
	switch {
	case err != nil:
		return 0, err
	case whole:
		return here, nil
	case p.stopped.Load():
		return here, store.ErrStopped
	case size < 1 || size > PhotoBytes:
		return here, &model.Problem{Path: "size", Reason: fmt.Sprintf("a photo of %d bytes cannot be taken", size), Fix: fmt.Sprintf("send photos of 1 to %d bytes", PhotoBytes)}
	case off != here:
		return here, &model.Problem{Path: "offset", Reason: fmt.Sprintf("the part begins at byte %d, and %d bytes are here", off, here), Fix: "ask for the offset and go on from there"}
	case off > size:
		return here, &model.Problem{Path: "size", Reason: fmt.Sprintf("%d bytes are here of a photo of %d", here, size), Fix: "send the size of the whole photo"}
	}
	if off == 0 {
		if err := p.begin(s); err != nil {
			return 0, p.room(err)
		}
	}
	return p.write(s, off, size, r, checks)
}

func (p *Photos) write(s store.Sending, off, size int64, r io.Reader, checks []store.PhotoCheck) (int64, error) {
	f, err := p.disk.open(p.part(s), os.O_RDWR|os.O_CREATE)
	if err != nil {
		if _, missing := p.disk.stat(p.part(s)); errors.Is(missing, fs.ErrNotExist) {
			p.gone(s)
		}
		return off, p.room(err)
	}
	sum := p.take(s, off)
	n, readErr, err := fill(f, off, size, r)
	if err == nil {
		p.grew(s, off+n)
	}
	switch {
	case err != nil: // put back what was there; when even that fails, stop
		if errors.Join(f.Truncate(off), f.Sync()) != nil || p.room(err) == err {
			return off, errors.Join(p.stop(s, err), f.Close())
		}
		return off, errors.Join(p.room(err), f.Close())
	case off+n == size:
		return p.finish(s, off, size, f, sum, checks)
	}
	flushed, unread := beside(func() error { return p.flushPart(f, s, off) }, func() error { return addTo(sum, f, off, n) })
	if flushed != nil {
		return 0, errors.Join(flushed, f.Close())
	}
	if unread == nil { // else all of it is read again at the end
		p.keep(s, sum, off+n)
	}
	return off + n, errors.Join(readErr, f.Close())
}

// addTo takes n bytes of a file at off into sum, when there is one. What was just written comes from
// memory, so that this costs no time beside its flush.
func addTo(sum hash.Hash, f diskFile, off, n int64) error {
	if sum == nil {
		return nil
	}
	_, err := io.Copy(sum, io.NewSectionReader(f, off, n))
	return err
}

// flushPart flushes a part, and its name when it is new.
func (p *Photos) flushPart(f diskFile, s store.Sending, off int64) error {
	if off > 0 {
		return p.flush(f, s)
	}
	p.flushes <- struct{}{}
	defer func() { <-p.flushes }()
	err := errors.Join(beside(f.Sync, func() error { return p.disk.syncDir(p.parts(s.Device)) }))
	if err != nil {
		return p.stop(s, err)
	}
	return nil
}

// buffers are given back, and small: many parts wait for their lines at once. What a TLS connection
// gives at a time is 16 KiB (RFC 8446, 5.1).
var buffers = sync.Pool{New: func() any { return new([32 << 10]byte) }}

// fill writes what r gives at off, up to size.
func fill(f diskFile, off, size int64, r io.Reader) (n int64, readErr, err error) {
	if _, err := f.Seek(off, io.SeekStart); err != nil {
		return 0, nil, err
	}
	buffer := buffers.Get().(*[32 << 10]byte)
	defer buffers.Put(buffer)
	for off+n < size {
		got, readErr := io.ReadAtLeast(r, buffer[:min(int64(len(buffer)), size-off-n)], 1)
		if got > 0 {
			if _, err := f.Write(buffer[:got]); err != nil {
				return n, nil, err
			}
			n += int64(got)
		}
		if readErr == io.EOF {
			return n, nil, nil
		}
		if readErr != nil {
			return n, readErr, nil
		}
	}
	return n, nil, nil
}

// finish checks the hash of a part that is whole, flushes it from off on and gives it its name.
func (p *Photos) finish(s store.Sending, off, size int64, f diskFile, sum hash.Hash, checks []store.PhotoCheck) (int64, error) {
	from := off
	if sum == nil {
		sum, from = sha256.New(), 0
	}
	if err := addTo(sum, f, from, size-from); err != nil {
		return 0, errors.Join(err, f.Close())
	}
	if register.Hash(sum.Sum(nil)) != s.SHA {
		return 0, errors.Join(store.ErrPhotoDamaged, f.Close(), p.remove(s))
	}
	for _, check := range checks {
		if problem := check(f, size); problem != nil {
			return 0, cmp.Or[error](errors.Join(f.Close(), p.remove(s)), problem)
		}
	}
	defer p.lock(p.photo(s.SHA))()
	if err := p.flushPart(f, s, off); err != nil {
		return 0, errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return 0, p.stop(s, err)
	}
	// From here on the part is whole and on the disk: whatever fails, it stays.
	line := received{s.SHA, s.Device, size}
	if err := p.noteReceived(line); err != nil {
		if full := p.room(err); full != err {
			return size, full // it is finished when it is asked for again
		}
		return 0, p.takeNoMore(err)
	}
	if err := p.name(s); err != nil {
		return 0, p.takeNoMore(err)
	}
	p.sent.add(line)
	return size, nil
}

// name gives a part that is whole its photo's name, also when that is here: the same bytes, and good ones.
func (p *Photos) name(s store.Sending) error {
	if err := p.disk.rename(p.part(s), p.photo(s.SHA)); err != nil {
		return err
	}
	p.gone(s)
	return p.disk.syncDir(filepath.Join(p.dir, "photo"))
}

// room turns a lack of space into ErrFull and leaves other errors as they are.
func (p *Photos) room(err error) error {
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return fmt.Errorf("%w (%w)", store.ErrFull, err)
	}
	return err
}

// take returns the hash of the first off bytes, nil when it is not at hand.
func (p *Photos) take(s store.Sending, off int64) hash.Hash {
	if off == 0 {
		return sha256.New()
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	r, ok := p.known[s]
	delete(p.known, s)
	if !ok || r.off != off {
		return nil
	}
	return r.sum
}

func (p *Photos) keep(s store.Sending, sum hash.Hash, off int64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if sum != nil && len(p.known) < runningMost {
		p.known[s] = running{sum, off, time.Now()}
	}
}

// flushed is how much of a part this process is known to have flushed; 0 when it does not know.
func (p *Photos) flushed(s store.Sending) int64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.known[s].off
}

func (p *Photos) forget(s store.Sending) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.known, s)
}

// Open implements [store.Photos].
func (p *Photos) Open(ctx context.Context, sha register.Hash) (io.ReadSeekCloser, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	f, err := openRegular(p.photo(sha))
	if _, none := errors.AsType[notRegular](err); none {
		return nil, &fs.PathError{Op: "open", Path: p.photo(sha), Err: fs.ErrNotExist}
	}
	return f, err
}
