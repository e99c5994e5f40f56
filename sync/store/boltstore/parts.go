package boltstore

import (
	"context"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// The parts of photos that have not come whole: parts/DEVICE/SHA. Files that stand directly in parts
// are of an earlier version, which kept them by their hash alone; nobody goes on with them.

// begun are the parts of a device, from one listing of its folder and then as they come and go: a
// device that begins many at once has the disk look at none of them.
type begun struct {
	sync.Mutex
	listed bool
	parts  map[register.Hash]begunPart
}

type begunPart struct {
	bytes   int64
	changed time.Time
}

// begunBy returns the parts of a device, which must be unlocked.
func (p *Photos) begunBy(device string) (*begun, error) {
	p.mu.Lock()
	b := p.begun[device]
	if b == nil {
		b = new(begun)
		p.begun[device] = b
	}
	p.mu.Unlock()
	b.Lock()
	if b.listed {
		return b, nil
	}
	files, err := p.disk.readDir(p.parts(device))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		b.Unlock()
		return nil, err
	}
	b.listed, b.parts = true, make(map[register.Hash]begunPart, len(files))
	for _, file := range files {
		var sha register.Hash
		if info, err := file.Info(); err == nil && sha.UnmarshalText([]byte(file.Name())) == nil {
			b.parts[sha] = begunPart{info.Size(), info.ModTime()}
		}
	}
	return b, nil
}

// begin makes room for another part of a device, and its folder, unless the part is there.
func (p *Photos) begin(s store.Sending) error {
	b, err := p.begunBy(s.Device)
	if err != nil {
		return err
	}
	defer b.Unlock()
	if _, there := b.parts[s.SHA]; there {
		return nil
	}
	if len(b.parts) == 0 {
		err := os.Mkdir(p.parts(s.Device), 0o700)
		if err == nil {
			if err = p.disk.syncDir(filepath.Join(p.dir, "parts")); err != nil {
				return p.takeNoMore(err)
			}
		}
		if err != nil && !errors.Is(err, fs.ErrExist) {
			return err
		}
	}
	if len(b.parts) >= partsOfDevice {
		if err := p.makeRoom(s.Device, b); err != nil {
			return err
		}
	}
	b.parts[s.SHA] = begunPart{0, time.Now()}
	return nil
}

// makeRoom drops the parts left longest ago, of those that nobody is writing.
func (p *Photos) makeRoom(device string, b *begun) error {
	oldestFirst := slices.SortedFunc(maps.Keys(b.parts), func(x, y register.Hash) int { return b.parts[x].changed.Compare(b.parts[y].changed) })
	for _, sha := range oldestFirst {
		s := store.Sending{Device: device, SHA: sha}
		unlock, free := p.tryLock(p.part(s))
		if !free {
			continue
		}
		p.forget(s)
		err := p.disk.remove(p.part(s))
		unlock()
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if delete(b.parts, sha); len(b.parts) < partsOfDevice {
			return nil
		}
	}
	return &model.Problem{Reason: "this phone is sending too many photos at once", Fix: "it sends this one when others are through"}
}

// grew takes note of how much of a part has come.
func (p *Photos) grew(s store.Sending, bytes int64) {
	if b, err := p.begunBy(s.Device); err == nil { // else the folder is listed when it can be
		b.parts[s.SHA] = begunPart{bytes, time.Now()}
		b.Unlock()
	}
}

// gone takes note that a part is one no more.
func (p *Photos) gone(s store.Sending) {
	p.mu.Lock()
	b := p.begun[s.Device]
	p.mu.Unlock()
	if b != nil {
		b.Lock()
		delete(b.parts, s.SHA)
		b.Unlock()
	}
}

// remove removes a part.
func (p *Photos) remove(s store.Sending) error {
	err := p.disk.remove(p.part(s))
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		p.gone(s)
	}
	return err
}

// drop removes a part that nobody is writing, if it is to go.
func (p *Photos) drop(path string, goes func(fs.FileInfo) bool) (dropped bool, err error) {
	unlock, free := p.tryLock(path)
	if !free {
		return false, nil
	}
	defer unlock()
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) || err == nil && !goes(info) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	var s store.Sending // of one of an earlier version none that is known
	if s.SHA.UnmarshalText([]byte(filepath.Base(path))) == nil {
		s.Device = filepath.Base(filepath.Dir(path))
		p.forget(s)
	}
	if err = p.disk.remove(path); err == nil {
		p.gone(s)
	}
	return true, err
}

// Sweep implements [store.Photos]. Ages are of the machine's clock, which may jump: a part that
// came in during this run is also held to the time of this process, and one that seems to come
// from the future is counted from now. What is whole is never swept when the list has its photo.
func (p *Photos) Sweep(ctx context.Context, after time.Duration) (swept int, err error) {
	if err := p.KeepWhole(ctx); err != nil {
		return 0, err
	}
	now := time.Now()
	err = p.eachPart(func(path string, s store.Sending) error {
		dropped, err := p.drop(path, func(info fs.FileInfo) bool {
			age := now.Sub(info.ModTime())
			if age < -24*time.Hour {
				_ = os.Chtimes(path, now, now) // when that fails, it stays longer
			}
			return age > after && now.Sub(p.lastWritten(s)) > after
		})
		if dropped {
			swept++
		}
		return errors.Join(err, ctx.Err())
	})
	return swept, err
}

// lastWritten is when something was last added to a part in this run, as far as that is known.
func (p *Photos) lastWritten(s store.Sending) time.Time {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.known[s].since
}

// eachPart calls f for every part, those of an earlier version with no device, and with no hash what
// stands among them.
func (p *Photos) eachPart(f func(path string, s store.Sending) error) error {
	at := filepath.Join(p.dir, "parts")
	all, err := os.ReadDir(at)
	if err != nil {
		return err
	}
	for _, one := range all {
		if !one.IsDir() {
			var s store.Sending
			_ = s.SHA.UnmarshalText([]byte(one.Name())) // the zero hash is of no photo
			if err := f(filepath.Join(at, one.Name()), s); err != nil {
				return err
			}
			continue
		}
		files, err := os.ReadDir(filepath.Join(at, one.Name()))
		if err != nil {
			return err
		}
		for _, file := range files {
			s := store.Sending{Device: one.Name()}
			if s.SHA.UnmarshalText([]byte(file.Name())) != nil {
				continue // no part of ours
			}
			if err := f(p.part(s), s); err != nil {
				return err
			}
		}
	}
	return nil
}

// Room implements [store.Photos].
func (p *Photos) Room(ctx context.Context, device string) (int64, error) {
	if err := p.may(ctx, store.Sending{Device: device}); err != nil {
		return 0, err
	}
	x, err := p.index()
	if err != nil {
		return 0, err
	}
	bytes := x.bytes[device]
	x.mu.Unlock()
	b, err := p.begunBy(device)
	if err != nil {
		return bytes, err
	}
	defer b.Unlock()
	for _, part := range b.parts {
		bytes += part.bytes
	}
	return bytes, nil
}
