package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"

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
	receipts := make([]wire.Receipt, len(f.Entries))
	good := make([]json.RawMessage, 0, len(f.Entries))
	places := make([]int, 0, len(f.Entries)) // in f.Entries, of the good ones
	for i, raw := range f.Entries {
		if id, problem := c.check(raw, f.Property); problem != nil {
			receipts[i] = wire.Receipt{ID: id, Refused: problem.Words()}
			continue
		}
		good = append(good, bytes.Clone(raw)) // raw lies in the reader's buffer
		places = append(places, i)
	}
	if len(good) > 0 {
		taken, err := c.x.Store.Append(c.ctx, f.Property, good)
		if err != nil {
			return c.untaken(about, err)
		}
		for i, receipt := range taken {
			receipts[places[i]] = wire.Receipt(receipt)
		}
	}
	return c.send(&wire.Receipts{Push: f.Push, Property: f.Property, Receipts: receipts})
}

// check tells whether an entry may be appended for this device: the store checks what it
// says, but only the conversation knows who is speaking.
func (c *conversation) check(raw []byte, property string) (register.ID, *model.Problem) {
	var of struct {
		ID       register.ID `json:"id"`
		Property string      `json:"property"`
		Device   string      `json:"device"`
	}
	if err := json.Unmarshal(raw, &of); err != nil {
		return of.ID, &model.Problem{Path: "entry", Reason: "is not a JSON object", Fix: err.Error()}
	}
	switch {
	case !utf8.Valid(raw):
		return of.ID, &model.Problem{Path: "entry", Reason: "is not UTF-8 text"}
	case of.Property != property:
		return of.ID, &model.Problem{Path: "property", Reason: fmt.Sprintf("is %q in an entry sent for %q", of.Property, property),
			Fix: "send each property's entries apart"}
	case of.Device != c.grant.Device:
		return of.ID, &model.Problem{Path: "device", Reason: fmt.Sprintf("is %q and this is device %q", of.Device, c.grant.Device),
			Fix: "a device sends its own entries only"}
	}
	return of.ID, nil
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
