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
	limit := wire.FrameEntries
	at := f.At
	entries, end, err := c.x.Store.RawAfter(c.ctx, f.Property, store.Position(at), limit)
	if fork, ok := errors.AsType[*store.Fork](err); ok {
		return c.forked(f.Property, fork)
	}
	if err == nil && len(entries) == 0 {
		c.hints.pulled(f.Property, end.N)
		return c.send(&wire.Page{Property: f.Property, At: wire.Position(end)})
	}
	var last uint64
	if err == nil {
		last, err = c.x.Store.Newest(c.ctx, f.Property)
	}
	for err == nil && len(entries) > 0 {
		if err := c.ending(); err != nil {
			return err
		}
		var size int
		sending := entries
		entries, end, err = c.x.Store.RawAfter(c.ctx, f.Property, end, limit)
		if err != nil {
			break
		}
		if len(entries) == 0 { // these are the last
			c.hints.pulled(f.Property, end.N)
		}
		at.Epoch = end.Epoch
		at, size, err = c.pages(f, at, sending, last, len(entries) > 0)
		if err != nil {
			return err
		}
		limit = nextLimit(limit, size)
	}
	if err != nil {
		return c.refuse(about, err)
	}
	return nil
}

// pages sends entries as frames, and returns the position after them and their bytes.
// The last frame says whether more will follow it.
func (c *conversation) pages(f *wire.Pull, at wire.Position, entries []register.Numbered, last uint64, more bool) (wire.Position, int, error) {
	most, size := wire.FrameEntries, 0
	if f.Entries > 0 {
		most = min(most, f.Entries)
	}
	for len(entries) > 0 {
		n, bytes := run(entries, most)
		var err error
		if at, err = c.page(f.Property, at, entries[:n], last, more || n < len(entries)); err != nil {
			return at, size, err
		}
		entries, size = entries[n:], size+bytes
	}
	return at, size, nil
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

// page sends one frame of entries and returns the position after them. The register may
// have grown beyond last since that was asked for.
func (c *conversation) page(property string, at wire.Position, run []register.Numbered, last uint64, more bool) (wire.Position, error) {
	page := wire.Page{
		Property: property, First: run[0].N, More: more,
		ArrivedMS: make([]int64, len(run)), Entries: make([]json.RawMessage, len(run)),
	}
	for i, e := range run {
		page.ArrivedMS[i] = e.Arrived.UnixMilli()
		page.Entries[i] = e.Raw
		at = at.After(e.Hash)
	}
	page.At, page.Last = at, max(last, at.N)
	return at, c.send(&page)
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
