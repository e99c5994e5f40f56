package boltstore

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"os"

	"headcut/sync/register"
	"headcut/sync/store"
)

// Parts that are whole, and whose photo the list has but the folder has not: the process was killed
// between the two, or the disk failed.

// KeepWhole gives such parts their names. Only the process that takes photos into the folder may do
// it, and does when it begins and before it sweeps.
func (p *Photos) KeepWhole(ctx context.Context) error {
	return p.eachPart(func(path string, s store.Sending) error {
		listed, err := p.listed(s.SHA)
		if err != nil || !listed || p.Has(s.SHA) {
			return err
		}
		unlock, free := p.tryLock(path)
		if !free {
			return nil // it is finished by who writes it
		}
		defer unlock()
		if whole, err := p.wholePart(ctx, path, s.SHA); err != nil || !whole {
			return err
		}
		defer p.lock(p.photo(s.SHA))()
		f, err := p.disk.open(path, os.O_RDWR)
		if err != nil {
			return err
		}
		if err := errors.Join(f.Sync(), f.Close()); err != nil {
			return err
		}
		return p.name(s)
	})
}

func (p *Photos) listed(sha register.Hash) (bool, error) {
	x, err := p.index()
	if err != nil {
		return false, err
	}
	defer x.mu.Unlock()
	_, listed := x.by[sha]
	return listed, nil
}

// wholePart tells whether all of a photo is in a part. One that is gone is not whole.
func (p *Photos) wholePart(ctx context.Context, path string, sha register.Hash) (bool, error) {
	if _, err := p.disk.stat(path); errors.Is(err, fs.ErrNotExist) {
		return false, ctx.Err()
	}
	whole, err := wholeAt(ctx, path, sha)
	if errors.Is(err, fs.ErrNotExist) {
		err = ctx.Err()
	}
	return whole, err
}

// Unnamed tells the photos of the list that are not under their names from each other: those that are
// whole as parts, with the paths of these, which wait for a process that takes photos to name them, and
// those that are missing. A photo that gets its name meanwhile is neither.
func (p *Photos) Unnamed(ctx context.Context) (waiting map[register.Hash]string, missing []register.Hash, err error) {
	waiting = map[register.Hash]string{}
	var sought []register.Hash
	for one, err := range p.lines() {
		here := false
		if err == nil {
			here, err = p.here(one.sha)
		}
		if err := cmp.Or(err, ctx.Err()); err != nil {
			return nil, nil, err
		}
		if _, twice := waiting[one.sha]; !here && !twice {
			waiting[one.sha] = ""
			sought = append(sought, one.sha)
		}
	}
	if len(sought) == 0 {
		return nil, nil, nil
	}
	err = p.eachPart(func(path string, s store.Sending) error {
		sha := s.SHA
		if known, asked := waiting[sha]; !asked || known != "" {
			return ctx.Err()
		}
		whole, err := p.wholePart(ctx, path, sha)
		if whole {
			waiting[sha] = path
		}
		return err
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) { // a folder that was never opened to take photos has no parts
		return nil, nil, err
	}
	for _, sha := range sought {
		if waiting[sha] != "" {
			continue
		}
		delete(waiting, sha)
		here, err := p.here(sha)
		if err != nil {
			return nil, nil, err
		}
		if !here {
			missing = append(missing, sha)
		}
	}
	return waiting, missing, nil
}
