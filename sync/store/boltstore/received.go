package boltstore

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"headcut/sync/register"
)

// received is the list of the photos that were taken in whole: a line of hex for each, in
// the order in which they came, added and flushed before the photo gets its name and is
// acknowledged. Without it a photo that is lost from the folder looks like one that never
// came. The list only grows; a photo may be in it twice.
const receivedFile = "received"

// receivedLine is the length of a line: the hash in hex and a newline.
const receivedLine = 2*sha256.Size + 1

func (p *Photos) receivedPath() string { return filepath.Join(p.dir, receivedFile) }

// openReceived makes the list of a folder that has none, from the photos that are there, and
// cuts off a line that a crash left unfinished.
func (p *Photos) openReceived() error {
	info, err := os.Stat(p.receivedPath())
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return p.beginReceived()
	case err != nil:
		return err
	}
	if torn := info.Size() % int64(receivedLine); torn != 0 {
		return os.Truncate(p.receivedPath(), info.Size()-torn)
	}
	return nil
}

func (p *Photos) beginReceived() error {
	aside, err := os.CreateTemp(p.dir, receivedFile+".new-*") // readable by its owner alone
	if err != nil {
		return err
	}
	defer os.Remove(aside.Name())
	list := bufio.NewWriter(aside)
	err = p.eachFile(func(name string) error {
		_, err := fmt.Fprintln(list, name)
		return err
	})
	if err := errors.Join(err, list.Flush(), aside.Sync(), aside.Close()); err != nil {
		return err
	}
	if err := os.Rename(aside.Name(), p.receivedPath()); err != nil {
		return err
	}
	return p.disk.syncDir(p.dir)
}

// noteReceived adds a photo to the list, durably.
func (p *Photos) noteReceived(sha register.Hash) error {
	p.listing.Lock()
	defer p.listing.Unlock()
	f, err := p.disk.open(p.receivedPath(), os.O_RDWR)
	if err != nil {
		return err
	}
	end, err := f.Seek(0, io.SeekEnd)
	if err == nil {
		if _, err = f.Write([]byte(sha.String() + "\n")); err == nil {
			err = f.Sync()
		}
		if err != nil { // no half line may stand before the next one
			err = errors.Join(err, f.Truncate(end))
		}
	}
	return errors.Join(err, f.Close())
}

// Received calls f for each photo of the list. A line that is none is damage.
func (p *Photos) Received(f func(sha register.Hash) error) error {
	list, err := os.Open(p.receivedPath())
	if errors.Is(err, fs.ErrNotExist) {
		return nil // of an earlier version, looked at and not opened
	}
	if err != nil {
		return err
	}
	defer list.Close()
	lines := bufio.NewReader(list)
	for {
		line, err := lines.ReadBytes('\n')
		if errors.Is(err, io.EOF) {
			return nil // a line being added just now has no end yet
		}
		if err != nil {
			return err
		}
		var sha register.Hash
		if err := sha.UnmarshalText(bytes.TrimSuffix(line, []byte("\n"))); err != nil {
			return damaged("%s has the line %q, which is no photo", p.receivedPath(), line)
		}
		if err := f(sha); err != nil {
			return err
		}
	}
}

// eachFile calls f for the name of each file among the whole photos, a thousand at a time,
// so that a large store costs no memory.
func (p *Photos) eachFile(f func(name string) error) error {
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
			if err := f(entry.Name()); err != nil {
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
