package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// push appends a frame of entries and sends their receipts once they are durable.
func (c *conversation) push(f *wire.Push) error {
	about := wire.Problem{Push: f.Push, Property: f.Property}
	if err := c.may(f.Property); err != nil {
		return c.refuse(about, err)
	}
	if c.x.Room != nil {
		if err := c.x.Room(c.grant.Device, f.Property); err != nil {
			return c.refuse(about, err)
		}
	}
	receipts, err := c.x.Store.Append(c.ctx, f.Property, f.Entries, c.mayWrite)
	if err != nil {
		return c.untaken(about, err)
	}
	cloned, bytes := false, 0
	for i, receipt := range receipts {
		cloned = cloned || receipt.Cloned
		if receipt.N > 0 && !receipt.Known {
			bytes += len(f.Entries[i])
		}
	}
	if c.x.Took != nil && bytes > 0 {
		c.x.Took(c.grant.Device, f.Property, bytes)
	}
	if cloned && c.x.Cloned != nil {
		c.x.Cloned(c.ctx, c.grant.Device)
	}
	return c.send(&wire.Receipts{Push: f.Push, Property: f.Property, Receipts: receipts})
}

// mayWrite tells whether this device may write an entry: the store checks what it says, but only
// the conversation knows who is speaking.
func (c *conversation) mayWrite(e *register.Entry) *model.Problem {
	switch {
	case e.Device != c.grant.Device:
		return &model.Problem{Path: "device", Reason: fmt.Sprintf("is %q and this is device %q", e.Device, c.grant.Device),
			Fix: "a device sends its own entries only"}
	case e.Version <= register.Version && !slices.Contains(c.grant.Authors, strings.TrimSpace(e.Author)):
		return &model.Problem{Path: "author", Reason: fmt.Sprintf("is %q and this phone is enrolled for %s", e.Author, quoted(c.grant.Authors)),
			Fix: "it stays on the phone: save it to a file and give that to the office, or ask for a code under this name and enrol again"}
	case c.x.Home != nil:
		return c.x.Home(c.ctx, e)
	}
	return nil
}

func quoted(names []string) string {
	return strings.Join(model.Each(names, strconv.Quote), " and ")
}

// untaken answers a push that the store did not take.
func (c *conversation) untaken(about wire.Problem, err error) error {
	switch {
	case errors.Is(err, store.ErrFull):
		return c.refuse(about, &model.Problem{Reason: "the server's disk is full", Fix: "nothing was stored: keep it and send it again later"})
	case errors.Is(err, store.ErrStopped), errors.Is(err, store.ErrDamaged):
		c.log.Error("the store takes no more", "error", err)
		return c.later(about, &model.Problem{Reason: "the server's store has stopped", Fix: "nothing was stored: keep it and send it again later"})
	}
	return c.refuse(about, err)
}

// pushNumber digs the number of a push out of a frame that could not be read.
func pushNumber(data []byte) uint64 {
	head, _, _ := bytes.Cut(data, []byte{'\n'})
	var of struct {
		Push uint64 `json:"push"`
	}
	_ = json.Unmarshal(head, &of) // no number is as good as 0
	return of.Push
}
