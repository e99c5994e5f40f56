package exchange

import (
	"context"
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
	at := f.At
	limit := wire.FrameEntries
	for {
		if c.isStopping() {
			return errStopping
		}
		entries, end, err := c.x.Store.EntriesAfter(c.ctx, f.Property, store.Position(at), limit)
		if errors.Is(err, store.ErrForked) {
			return c.forked(f.Property)
		}
		if err != nil {
			return c.refuse(about, err)
		}
		more := len(entries) == limit
		at.Epoch = end.Epoch
		size := 0
		for len(entries) > 0 {
			n, bytes := run(entries)
			at, err = c.page(f.Property, at, entries[:n], more || n < len(entries))
			if err != nil {
				return err
			}
			entries, size = entries[n:], size+bytes
		}
		if size == 0 {
			return c.send(&wire.Page{Property: f.Property, At: wire.Position(end)})
		}
		if !more {
			return nil
		}
		limit = nextLimit(limit, size)
	}
}

// run is how many entries go into the next frame, and their bytes.
func run(entries []register.Numbered) (n, bytes int) {
	for n < len(entries) && n < wire.FrameEntries && (n == 0 || bytes+len(entries[n].Raw) <= wire.MaxBytes) {
		bytes += len(entries[n].Raw)
		n++
	}
	return n, bytes
}

// nextLimit is how many entries to read from the store next: more while they are small,
// so that what one conversation holds in memory stays near a few frames.
func nextLimit(limit, size int) int {
	if size > 2*wire.MaxBytes {
		return max(limit/2, 1)
	}
	return min(2*limit, wire.PageEntries)
}

// page sends one frame of entries and returns the position after them.
func (c *conversation) page(property string, at wire.Position, run []register.Numbered, more bool) (wire.Position, error) {
	page := wire.Page{
		Property: property, First: run[0].N, More: more,
		ArrivedMS: make([]int64, len(run)), Entries: make([]json.RawMessage, len(run)),
	}
	for i, e := range run {
		page.ArrivedMS[i] = e.Arrived.UnixMilli()
		page.Entries[i] = e.Raw
		at = at.After(e.Hash)
	}
	page.At = at
	return at, c.send(&page)
}

func (c *conversation) forked(property string) error {
	epochs, err := c.x.epochs(c.ctx, property)
	if err != nil {
		return c.refuse(wire.Problem{Property: property}, err)
	}
	c.log.Info("the device's position is not of this register", "property", property)
	return c.send(&wire.Forked{Property: property, Epochs: epochs})
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

// epochs lists the store's epochs with their branch points for one property.
func (x *Exchange) epochs(ctx context.Context, property string) ([]wire.Epoch, error) {
	all, err := x.Store.Epochs(ctx)
	if err != nil {
		return nil, err
	}
	out := make([]wire.Epoch, len(all))
	for i, e := range all {
		out[i] = wire.Epoch{ID: e.ID, Branch: e.Branch[property]}
	}
	return out, nil
}
