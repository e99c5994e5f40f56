package boltstore

import (
	"context"
	"crypto/sha256"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"headcut/sync/register"
)

// PhotoReport is what a look through all photos found.
type PhotoReport struct {
	Whole   int             // bytes that have their hash
	Damaged []register.Hash // bytes that do not have theirs
	Missing []register.Hash // received whole once, and not here any more
	// Unlisted is how many were received once, and are neither here nor in the list any more.
	Unlisted int
}

// Sound tells whether nothing is wrong.
func (r PhotoReport) Sound() bool { return len(r.Damaged)+len(r.Missing)+r.Unlisted == 0 }

// Verify reads every photo and compares its hash with its name, and looks for each one that
// was ever received. told, unless it is nil, hears how many have been read.
func (p *Photos) Verify(ctx context.Context, told func(done int)) (PhotoReport, error) {
	var report PhotoReport
	read := 0
	err := p.Each(func(sha register.Hash) error {
		if read++; told != nil {
			told(read)
		}
		good, err := p.Whole(ctx, sha)
		switch {
		case errors.Is(err, fs.ErrNotExist): // taken away meanwhile: it is looked for below
		case err != nil:
			return err
		case good:
			report.Whole++
		default:
			report.Damaged = append(report.Damaged, sha)
		}
		return nil
	})
	if err != nil {
		return report, err
	}
	waiting, missing, err := p.Unnamed(ctx)
	report.Whole, report.Missing = report.Whole+len(waiting), missing
	return report, err
}

// Whole tells whether the bytes of a photo have its hash. An error that is fs.ErrNotExist
// says that it is not here; bytes that the disk cannot read are not whole.
func (p *Photos) Whole(ctx context.Context, sha register.Hash) (bool, error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	return wholeAt(ctx, p.photo(sha), sha)
}

func wholeAt(ctx context.Context, path string, sha register.Hash) (bool, error) {
	f, err := openRegular(path)
	if _, none := errors.AsType[notRegular](err); none {
		return false, ctx.Err()
	}
	if err != nil {
		return false, err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, contextReader{ctx, f}); err != nil {
		return false, ctx.Err()
	}
	return register.Hash(sum.Sum(nil)) == sha, nil
}

// contextReader fails once its context has ended.
type contextReader struct {
	ctx context.Context
	r   io.Reader
}

func (c contextReader) Read(b []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.r.Read(b)
}

// ErrBadCopy: the bytes given to repair a photo with do not have its hash either.
var ErrBadCopy = errors.New("the copy of the photo is damaged too")

// Has tells whether a photo is here, whole or damaged.
func (p *Photos) Has(sha register.Hash) bool {
	_, err := p.disk.stat(p.photo(sha))
	return err == nil
}

// here tells whether a photo is under its name, whole or damaged.
func (p *Photos) here(sha register.Hash) (bool, error) {
	_, err := p.disk.stat(p.photo(sha))
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// Each calls f for each photo that is here, whole or damaged, in no order. It reads their names a
// thousand at a time, so that a large store costs no memory.
func (p *Photos) Each(f func(sha register.Hash) error) error {
	folder, err := os.Open(filepath.Join(p.dir, "photo"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer folder.Close()
	for {
		entries, err := folder.ReadDir(1000)
		for _, entry := range entries {
			var sha register.Hash
			if sha.UnmarshalText([]byte(entry.Name())) != nil {
				continue // no photo of ours
			}
			if err := f(sha); err != nil {
				return err
			}
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// Missing lists the photos that came once and are not here any more.
func (p *Photos) Missing(ctx context.Context) ([]register.Hash, error) {
	_, missing, err := p.Unnamed(ctx)
	return missing, err
}

// RemoveAside removes what a repair that was cut short left in the folder. Nobody may be
// repairing there.
func (p *Photos) RemoveAside() error {
	left, err := filepath.Glob(filepath.Join(globbed(p.dir), asidePrefix+"*"))
	for _, one := range left {
		err = errors.Join(err, os.Remove(one))
	}
	return err
}

// asidePrefix begins the name of a photo's bytes until they are proven.
const asidePrefix = "mended-"

// Repair puts the bytes of a photo in place of ones that are damaged or missing: it reads them
// all, compares them with the hash, and only then gives them the name. devices are those that are
// known to have sent it. A store that serves may be repaired meanwhile.
func (p *Photos) Repair(ctx context.Context, sha register.Hash, devices []string, from io.Reader) error {
	defer p.lock(p.photo(sha))()
	aside, err := os.CreateTemp(p.dir, asidePrefix+"*") // readable by its owner alone
	if err != nil {
		return err
	}
	defer os.Remove(aside.Name())
	sum := sha256.New()
	size, err := io.Copy(io.MultiWriter(aside, sum), io.LimitReader(contextReader{ctx, from}, PhotoBytes+1))
	if err := errors.Join(err, aside.Sync(), aside.Close()); err != nil {
		return p.room(err)
	}
	if register.Hash(sum.Sum(nil)) != sha {
		return ErrBadCopy
	}
	lines := linesOf(sha, devices, size)
	if err := p.noteReceived(lines...); err != nil {
		return p.room(err)
	}
	p.sent.add(lines...)
	if err := os.Rename(aside.Name(), p.photo(sha)); err != nil {
		return err
	}
	return p.disk.syncDir(filepath.Join(p.dir, "photo"))
}
