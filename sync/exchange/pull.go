package exchange

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// pull reads a property out from a position to its end, page by page. The store holds no
// transaction between two pages, and the writer sends one while the next is made.
func (c *conversation) pull(f *wire.Pull) error {
	about := wire.Problem{Property: f.Property}
	if err := c.may(f.Property); err != nil {
		return c.refuse(about, err)
	}
	c.hints.pulling(f.Property)
	most := wire.FrameEntries
	if f.Entries > 0 {
		most = min(most, f.Entries)
	}
	for at, limit, sent := f.At, most, false; ; sent = true {
		if err := c.ending(); sent && err != nil {
			return err
		}
		newest, err := c.x.Store.Newest(c.ctx, f.Property)
		if err != nil {
			return c.refuse(about, err)
		}
		page, err := c.x.pages.get(c.ctx, pageKey{f.Property, at, newest, most, c.line.packed}, func(page *readyPage) error { return c.page(page, limit) })
		if fork, ok := errors.AsType[*store.Fork](err); ok {
			return c.forked(f.Property, fork)
		}
		if err != nil {
			return c.refuse(about, err)
		}
		if !page.more {
			c.hints.pulled(f.Property, page.after.N)
		}
		if page.entries > 0 || !sent {
			if err := c.hand(page.frame); err != nil {
				return err
			}
		}
		if !page.more {
			return nil
		}
		at, limit = page.after, min(2*page.entries, most)
	}
}

// page makes a page ready, of at most limit entries.
func (c *conversation) page(page *readyPage, limit int) error {
	property, at := page.key.property, page.key.at
	entries, end, err := c.x.Store.RawAfter(c.ctx, property, at, limit)
	if err != nil {
		return err
	}
	entries = entries[:run(entries)]
	out := wire.Page{Property: property, ArrivedMS: make([]int64, len(entries)), Entries: make([]json.RawMessage, len(entries))}
	at.Epoch = end.Epoch
	for i, e := range entries {
		out.ArrivedMS[i], out.Entries[i] = e.Arrived.UnixMilli(), e.Raw
		at = at.After(e.Hash)
	}
	page.entries, page.after, page.more = len(entries), at, at.N < page.key.newest
	if out.At, out.More = at, page.more; len(entries) > 0 {
		out.First, out.Last = entries[0].N, max(page.key.newest, at.N)
	}
	page.frame, err = c.ready(&out)
	return err
}

// run is how many entries go into one frame.
func run(entries []register.Numbered) (n int) {
	for bytes := 0; n < len(entries) && (n == 0 || bytes+len(entries[n].Raw) <= wire.MaxBytes); n++ {
		bytes += len(entries[n].Raw)
	}
	return n
}

func (c *conversation) forked(property string, fork *store.Fork) error {
	c.log.Info("the device's position is not of this register", "property", property)
	out := wire.Forked{Property: property, Epochs: make([]wire.Epoch, len(fork.Epochs)), Marks: fork.Marks}
	for i, e := range fork.Epochs {
		out.Epochs[i] = wire.Epoch{ID: e.ID, Branch: e.Branch[property]}
	}
	return c.send(&out)
}

// wrote tells whether an entry that is here under one of the device's ids can be its own: under its
// own id, or a name granted to it, as what it sent under a former id is.
func (c *conversation) wrote(e *register.Entry) *model.Problem {
	if e.Device == c.grant.Device || e.Version > register.Version || slices.Contains(c.grant.Authors, strings.TrimSpace(e.Author)) {
		return nil
	}
	return &model.Problem{Path: "id", Reason: "somebody else has written under it"}
}

// missing tells which entries of its own a device must send again.
func (c *conversation) missing(f *wire.Missing) error {
	about := wire.Problem{Property: f.Property}
	if err := c.may(f.Property); err != nil {
		return c.refuse(about, err)
	}
	lacking, err := c.x.Store.Missing(c.ctx, f.Property, f.IDs, c.wrote)
	if err != nil {
		return c.refuse(about, err)
	}
	return c.send(&wire.Lacks{Property: f.Property, IDs: lacking})
}
