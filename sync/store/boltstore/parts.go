package boltstore

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
)

// The parts of photos that have not come whole: parts/DEVICE/SHA. Files that stand directly in parts
// are of an earlier version, which kept them by their hash alone; nobody goes on with them.

// begin makes room for another part of a device, and its folder, unless the part is there.
func (p *Photos) begin(s store.Sending) error {
	if _, err := p.disk.stat(p.part(s)); err == nil {
		return nil
	}
	folder := p.parts(s.Device)
	switch err := os.Mkdir(folder, 0o700); {
	case err == nil:
		if err := p.disk.syncDir(filepath.Join(p.dir, "parts")); err != nil {
			return p.stop(s, err)
		}
		return nil
	case !errors.Is(err, fs.ErrExist):
		return err
	}
	files, err := os.ReadDir(folder)
	for err == nil && len(files) >= partsOfDevice {
		oldest, at := -1, time.Time{}
		for i, file := range files {
			if info, err := file.Info(); err == nil && (oldest < 0 || info.ModTime().Before(at)) {
				oldest, at = i, info.ModTime()
			}
		}
		if oldest < 0 {
			return nil
		}
		_, err = p.drop(filepath.Join(folder, files[oldest].Name()), func(fs.FileInfo) bool { return true })
		files = append(files[:oldest], files[oldest+1:]...)
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
	var sha register.Hash
	if sha.UnmarshalText([]byte(filepath.Base(path))) == nil {
		p.forget(store.Sending{Device: filepath.Base(filepath.Dir(path)), SHA: sha})
	}
	return true, p.disk.remove(path)
}

// Sweep implements [store.Photos]. Ages are of the machine's clock, which may jump: a part that
// came in during this run is also held to the time of this process, and one that seems to come
// from the future is counted from now.
func (p *Photos) Sweep(ctx context.Context, after time.Duration) (swept int, err error) {
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

// eachPart calls f for every part, those of an earlier version with no device.
func (p *Photos) eachPart(f func(path string, s store.Sending) error) error {
	at := filepath.Join(p.dir, "parts")
	all, err := os.ReadDir(at)
	if err != nil {
		return err
	}
	for _, one := range all {
		if !one.IsDir() {
			if err := f(filepath.Join(at, one.Name()), store.Sending{}); err != nil {
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
	files, err := os.ReadDir(p.parts(device))
	if errors.Is(err, fs.ErrNotExist) {
		return bytes, nil
	}
	for _, file := range files {
		if info, err := file.Info(); err == nil { // else it has just become a photo
			bytes += info.Size()
		}
	}
	return bytes, err
}
