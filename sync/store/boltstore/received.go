package boltstore

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"strconv"

	"headcut/sync/register"
	"headcut/sync/store"
)

// receivedFile is the list of the photos that were taken in whole: a line for each, with its hash in
// hex, the device that sent it and its size, in the order in which they came. A line is added and
// flushed when the photo's bytes have been, before the photo gets its name and is acknowledged: what
// a process that was killed in between leaves is a whole part, which [Photos.KeepWhole] gives the
// name. Without the list a photo that is lost from the folder looks like one that never came, and
// nobody knows who had its bytes.
//
// The list only grows; a photo is in it once for each device that sent it, and may be twice, as when
// it was lost and sent again. Lines of earlier versions have the hash alone: [Photos.Adopt].
const receivedFile = "received"

// received is a line of the list. device is "" and size 0 in one of an earlier version.
type received struct {
	sha    register.Hash
	device string
	size   int64
}

func (l received) String() string {
	if l.device == "" {
		return l.sha.String()
	}
	return fmt.Sprintf("%s %s %d", l.sha, l.device, l.size)
}

// linesOf is a photo that these devices have sent; one without a device when none is known.
func linesOf(sha register.Hash, devices []string, size int64) (lines []received) {
	for _, device := range devices {
		lines = append(lines, received{sha, device, size})
	}
	if len(lines) == 0 {
		lines = append(lines, received{sha: sha})
	}
	return lines
}

func parseReceived(line []byte) (l received, ok bool) {
	fields := bytes.Split(line, []byte(" "))
	if l.sha.UnmarshalText(fields[0]) != nil {
		return l, false
	}
	if len(fields) == 1 {
		return l, true
	}
	if len(fields) != 3 {
		return l, false
	}
	var err error
	l.device = string(fields[1])
	l.size, err = strconv.ParseInt(string(fields[2]), 10, 64)
	return l, err == nil && l.size >= 0 && (register.ValidID(l.device) || l.device == store.Anybody)
}

func (p *Photos) receivedPath() string { return filepath.Join(p.dir, receivedFile) }

// openReceived makes the list of a folder that has none, from the photos that are there, and
// cuts off a line that a crash left unfinished.
func (p *Photos) openReceived() error {
	f, err := os.OpenFile(p.receivedPath(), os.O_RDWR, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return p.writeReceived(func(add func(received) error) error {
			return p.Each(func(sha register.Hash) error { return add(received{sha: sha}) })
		})
	}
	if err != nil {
		return err
	}
	return errors.Join(cutTorn(f), f.Close())
}

// longestReceived is more than the bytes of a line.
const longestReceived = 256

func cutTorn(f *os.File) error {
	end, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	tail := make([]byte, min(end, longestReceived))
	if _, err := f.ReadAt(tail, end-int64(len(tail))); err != nil {
		return err
	}
	torn := len(tail) - 1 - bytes.LastIndexByte(tail, '\n')
	if torn == 0 || torn == longestReceived { // the latter is damage, and is told when it is read
		return nil
	}
	return f.Truncate(end - int64(torn))
}

// writeReceived writes the list new, as a whole or not at all.
func (p *Photos) writeReceived(lines func(add func(received) error) error) error {
	aside, err := os.CreateTemp(p.dir, receivedFile+".new-*") // readable by its owner alone
	if err != nil {
		return err
	}
	defer os.Remove(aside.Name())
	list := bufio.NewWriter(aside)
	err = lines(func(l received) error {
		_, err := fmt.Fprintln(list, l)
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

// noteReceived adds lines to the list, durably.
func (p *Photos) noteReceived(lines ...received) error {
	var text bytes.Buffer
	for _, l := range lines {
		fmt.Fprintln(&text, l)
	}
	p.listing.Lock()
	defer p.listing.Unlock()
	f, err := p.disk.open(p.receivedPath(), os.O_RDWR)
	if err != nil {
		return err
	}
	end, err := f.Seek(0, io.SeekEnd)
	if err == nil {
		if _, err = f.Write(text.Bytes()); err == nil {
			err = f.Sync()
		}
		if err != nil { // no half line may stand before the next one
			err = errors.Join(err, f.Truncate(end))
		}
	}
	return errors.Join(err, f.Close())
}

// lines are those of the list. One that is none is damage, which ends them.
func (p *Photos) lines() iter.Seq2[received, error] {
	return func(yield func(received, error) bool) {
		list, err := openRegular(p.receivedPath())
		if errors.Is(err, fs.ErrNotExist) {
			return // of an earlier version, looked at and not opened
		}
		if err != nil {
			yield(received{}, err)
			return
		}
		defer list.Close()
		text := bufio.NewReader(list)
		for {
			line, err := text.ReadBytes('\n')
			if errors.Is(err, io.EOF) {
				return // a line being added just now has no end yet
			}
			one, ok := parseReceived(bytes.TrimSuffix(line, []byte("\n")))
			if err == nil && !ok {
				err = damaged("%s has the line %q, which is no photo", p.receivedPath(), line)
			}
			if !yield(one, err) || err != nil {
				return
			}
		}
	}
}
