package boltstore

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"syscall"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// PhotoBytes is how large a photo may be.
const PhotoBytes = 64 << 20

// Photos is a [store.Photos] in a folder: parts/SHA grows until the photo is whole, then
// it becomes photo/SHA. What is acknowledged has been flushed, file and folder, and stands in
// the list of what was received.
type Photos struct {
	dir     string
	disk    disk
	stopped atomic.Bool
	listing sync.Mutex // one line at a time into the list of what was received

	mu    sync.Mutex
	busy  map[register.Hash]*upload // being written just now
	known map[register.Hash]running // hashes of parts that came in one go
}

var _ store.Photos = (*Photos)(nil)

// upload lets one writer at a time at a photo.
type upload struct {
	sync.Mutex
	users int
}

// running is the hash of the first bytes of a photo, so that a whole photo need not be
// read again.
type running struct {
	sum hash.Hash
	off int64
}

// runningMost bounds how many unfinished hashes are kept.
const runningMost = 256

// OpenPhotos opens the photo store in a folder, and makes it when there is none.
func OpenPhotos(dir string) (*Photos, error) { return openPhotos(dir, osDisk{}) }

// LookAtPhotos is the photo store in a folder that is only looked at, such as a backup on a
// medium that cannot be written: nothing is made or changed there.
func LookAtPhotos(dir string) *Photos {
	return &Photos{dir: dir, disk: osDisk{}, busy: make(map[register.Hash]*upload), known: make(map[register.Hash]running)}
}

func openPhotos(dir string, d disk) (*Photos, error) {
	for _, sub := range []string{"parts", "photo"} {
		if err := os.MkdirAll(filepath.Join(dir, sub), 0o700); err != nil {
			return nil, err
		}
	}
	if err := d.syncDir(dir); err != nil {
		return nil, err
	}
	p := &Photos{dir: dir, disk: d, busy: make(map[register.Hash]*upload), known: make(map[register.Hash]running)}
	return p, p.openReceived()
}

func (p *Photos) part(sha register.Hash) string  { return filepath.Join(p.dir, "parts", sha.String()) }
func (p *Photos) photo(sha register.Hash) string { return filepath.Join(p.dir, "photo", sha.String()) }

// lock waits for its turn at a photo.
func (p *Photos) lock(sha register.Hash) (unlock func()) {
	p.mu.Lock()
	u := p.busy[sha]
	if u == nil {
		u = new(upload)
		p.busy[sha] = u
	}
	u.users++
	p.mu.Unlock()
	u.Lock()
	return func() {
		u.Unlock()
		p.mu.Lock()
		defer p.mu.Unlock()
		if u.users--; u.users == 0 {
			delete(p.busy, sha)
		}
	}
}

// Offset implements [store.Photos].
func (p *Photos) Offset(ctx context.Context, sha register.Hash) (int64, error) {
	if err := ctx.Err(); err != nil {
		return 0, err
	}
	defer p.lock(sha)()
	off, _, err := p.offset(sha)
	return off, err
}

// offset is how much is here and whether that is all. It flushes a part first: one that a
// killed process left may not be on the disk yet.
func (p *Photos) offset(sha register.Hash) (off int64, whole bool, err error) {
	if info, err := p.disk.stat(p.photo(sha)); err == nil {
		return info.Size(), true, nil
	}
	f, err := p.disk.open(p.part(sha), os.O_RDWR)
	if errors.Is(err, fs.ErrNotExist) {
		return 0, false, nil
	}
	if err != nil {
		return 0, false, err
	}
	off, err = f.Seek(0, io.SeekEnd)
	if err == nil {
		err = p.flush(f, sha)
	}
	return off, false, errors.Join(err, f.Close())
}

// flush flushes a part. When that fails, nobody knows what of it is on the disk: the part
// is given up, and no more is taken until the store has been opened again.
func (p *Photos) flush(f diskFile, sha register.Hash) error {
	if err := f.Sync(); err != nil {
		return p.stop(sha, err)
	}
	return nil
}

func (p *Photos) stop(sha register.Hash, why error) error {
	p.stopped.Store(true)
	p.forget(sha)
	_ = p.disk.remove(p.part(sha))
	return fmt.Errorf("%w (%v)", store.ErrStopped, why)
}

// WriteAt implements [store.Photos]. When r fails on the way, what came is kept and r's
// error returned with the new offset.
func (p *Photos) WriteAt(ctx context.Context, sha register.Hash, off, size int64, r io.Reader) (int64, error) {
	if err := ctx.Err(); err != nil {
		return 0, err
	}
	defer p.lock(sha)()
	here, whole, err := p.offset(sha)
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
	return p.write(sha, off, size, r)
}

func (p *Photos) write(sha register.Hash, off, size int64, r io.Reader) (int64, error) {
	f, err := p.disk.open(p.part(sha), os.O_RDWR|os.O_CREATE)
	if err != nil {
		return off, p.room(err)
	}
	sum := p.take(sha, off)
	n, readErr, err := fill(f, off, size, r, sum)
	switch {
	case err != nil: // put back what was there; when even that fails, stop
		if errors.Join(f.Truncate(off), f.Sync()) != nil || p.room(err) == err {
			return off, errors.Join(p.stop(sha, err), f.Close())
		}
		return off, errors.Join(p.room(err), f.Close())
	case p.flush(f, sha) != nil:
		return 0, errors.Join(store.ErrStopped, f.Close())
	}
	if off+n < size {
		p.keep(sha, sum, off+n)
		if off == 0 { // the name of the new part must last too
			if err := p.disk.syncDir(filepath.Join(p.dir, "parts")); err != nil {
				return 0, errors.Join(p.stop(sha, err), f.Close())
			}
		}
		return off + n, errors.Join(readErr, f.Close())
	}
	return p.finish(sha, size, f, sum)
}

// fill writes what r gives at off, up to size, and takes it into sum when there is one.
func fill(f diskFile, off, size int64, r io.Reader, sum hash.Hash) (n int64, readErr, err error) {
	if _, err := f.Seek(off, io.SeekStart); err != nil {
		return 0, nil, err
	}
	buffer := make([]byte, 128<<10)
	for off+n < size {
		got, readErr := io.ReadAtLeast(r, buffer[:min(int64(len(buffer)), size-off-n)], 1)
		if got > 0 {
			if _, err := f.Write(buffer[:got]); err != nil {
				return n, nil, err
			}
			if sum != nil {
				sum.Write(buffer[:got])
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

// finish checks the hash of a whole part and gives it its name.
func (p *Photos) finish(sha register.Hash, size int64, f diskFile, sum hash.Hash) (int64, error) {
	if sum == nil {
		sum = sha256.New()
		_, err := f.Seek(0, io.SeekStart)
		if err == nil {
			_, err = io.Copy(sum, f)
		}
		if err != nil {
			return 0, errors.Join(err, f.Close())
		}
	}
	if err := f.Close(); err != nil {
		return 0, p.stop(sha, err)
	}
	if register.Hash(sum.Sum(nil)) != sha {
		return 0, errors.Join(store.ErrPhotoDamaged, p.disk.remove(p.part(sha)))
	}
	if err := p.noteReceived(sha); err != nil {
		if full := p.room(err); full != err {
			return size, full // the part is whole, and is finished when it is asked for again
		}
		return 0, p.stop(sha, err)
	}
	err := p.disk.rename(p.part(sha), p.photo(sha))
	if err == nil {
		err = p.disk.syncDir(filepath.Join(p.dir, "photo"))
	}
	if err != nil {
		return 0, p.stop(sha, err)
	}
	return size, nil
}

// room turns a lack of space into ErrFull and leaves other errors as they are.
func (p *Photos) room(err error) error {
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return fmt.Errorf("%w (%v)", store.ErrFull, err)
	}
	return err
}

// take returns the hash of the first off bytes, nil when it is not at hand.
func (p *Photos) take(sha register.Hash, off int64) hash.Hash {
	if off == 0 {
		return sha256.New()
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	r, ok := p.known[sha]
	delete(p.known, sha)
	if !ok || r.off != off {
		return nil
	}
	return r.sum
}

func (p *Photos) keep(sha register.Hash, sum hash.Hash, off int64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if sum != nil && len(p.known) < runningMost {
		p.known[sha] = running{sum, off}
	}
}

func (p *Photos) forget(sha register.Hash) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.known, sha)
}

// Open implements [store.Photos].
func (p *Photos) Open(ctx context.Context, sha register.Hash) (io.ReadSeekCloser, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return os.Open(p.photo(sha))
}
