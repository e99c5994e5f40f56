package exchange

import (
	"encoding/json"
	"errors"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// pull reads a property out from a position to its end. The store holds no transaction
// between two reads, and the writer sends one run while the next is read.
func (c *conversation) pull(f *wire.Pull) error {
	about := wire.Problem{Property: f.Property}
	if err := c.may(f.Property); err != nil {
		return c.refuse(about, err)
	}
	c.hints.pulling(f.Property)
	limit, at, sent := wire.FrameEntries, f.At, false
	for {
		if err := c.ending(); sent && err != nil {
			return err
		}
		entries, end, err := c.x.Store.RawAfter(c.ctx, f.Property, store.Position(at), limit)
		if fork, ok := errors.AsType[*store.Fork](err); ok {
			return c.forked(f.Property, fork)
		}
		var newest uint64
		if err == nil {
			newest, err = c.x.Store.Newest(c.ctx, f.Property)
		}
		if err != nil {
			return c.refuse(about, err)
		}
		more := end.N < newest
		if !more {
			c.hints.pulled(f.Property, end.N)
		}
		if len(entries) == 0 {
			if sent {
				return nil
			}
			return c.send(&wire.Page{Property: f.Property, At: wire.Position(end)})
		}
		at.Epoch = end.Epoch
		var frames [][]byte
		var size int
		if frames, at, size, err = c.pages(f, at, entries, newest, more); err != nil {
			return err
		}
		entries = nil // so that they do not wait, too, while the device reads slowly
		for _, frame := range frames {
			if err := c.hand(frame); err != nil {
				return err
			}
		}
		if sent, limit = true, nextLimit(limit, size); !more {
			return nil
		}
	}
}

// pages makes frames of entries, and returns the position after them and their bytes. The
// last frame says whether more will follow it.
func (c *conversation) pages(f *wire.Pull, at wire.Position, entries []register.Numbered, newest uint64, more bool) (frames [][]byte, after wire.Position, size int, err error) {
	most := wire.FrameEntries
	if f.Entries > 0 {
		most = min(most, f.Entries)
	}
	for len(entries) > 0 {
		n, bytes := run(entries, most)
		var frame []byte
		if frame, at, err = c.page(f.Property, at, entries[:n], newest, more || n < len(entries)); err != nil {
			return nil, at, size, err
		}
		frames, entries, size = append(frames, frame), entries[n:], size+bytes
	}
	return frames, at, size, nil
}

// run is how many entries go into the next frame, and their bytes.
func run(entries []register.Numbered, most int) (n, bytes int) {
	for n < len(entries) && n < most && (n == 0 || bytes+len(entries[n].Raw) <= wire.MaxBytes) {
		bytes += len(entries[n].Raw)
		n++
	}
	return n, bytes
}

// pullBytes is about how many bytes of entries a pull reads from the store at once.
const pullBytes = 128 << 10

// nextLimit is how many entries to read from the store next: more while they are small,
// so that what one conversation holds in memory stays near a few frames.
func nextLimit(limit, size int) int {
	switch {
	case size > pullBytes:
		return max(limit/2, 1)
	case size < pullBytes/4:
		return min(2*limit, wire.PageEntries)
	}
	return limit
}

// page makes one frame of entries and returns the position after them.
func (c *conversation) page(property string, at wire.Position, run []register.Numbered, newest uint64, more bool) ([]byte, wire.Position, error) {
	page := wire.Page{
		Property: property, First: run[0].N, More: more,
		ArrivedMS: make([]int64, len(run)), Entries: make([]json.RawMessage, len(run)),
	}
	for i, e := range run {
		page.ArrivedMS[i] = e.Arrived.UnixMilli()
		page.Entries[i] = e.Raw
		at = at.After(e.Hash)
	}
	page.At, page.Last = at, max(newest, at.N)
	frame, err := c.ready(&page)
	return frame, at, err
}

func (c *conversation) forked(property string, fork *store.Fork) error {
	c.log.Info("the device's position is not of this register", "property", property)
	out := wire.Forked{Property: property, Epochs: make([]wire.Epoch, len(fork.Epochs)), Marks: make([]wire.Position, len(fork.Marks))}
	for i, e := range fork.Epochs {
		out.Epochs[i] = wire.Epoch{ID: e.ID, Branch: e.Branch[property]}
	}
	for i, mark := range fork.Marks {
		out.Marks[i] = wire.Position(mark)
	}
	return c.send(&out)
}

// missing tells which entries of its own a device must send again.
func (c *conversation) missing(f *wire.Missing) error {
	about := wire.Problem{Property: f.Property}
	if err := c.may(f.Property); err != nil {
		return c.refuse(about, err)
	}
	lacking, err := c.x.Store.Missing(c.ctx, f.Property, f.IDs)
	if err != nil {
		return c.refuse(about, err)
	}
	return c.send(&wire.Lacks{Property: f.Property, IDs: lacking})
}
