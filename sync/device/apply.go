package device

import (
	"bytes"
	"fmt"
	"maps"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// apply folds pages into the device in one durable transaction, and moves the cursor.
func (d *Device) apply(property string, pages []*wire.Page) error {
	if len(pages) == 0 {
		return nil
	}
	d.mu.Lock() // a capture sees all of a page or nothing
	defer d.mu.Unlock()
	return d.update(property, func(_ *bbolt.Tx, s *shelf) error {
		at, err := s.cursor()
		if err != nil {
			return err
		}
		a := applying{shelf: s, states: make(map[string]*register.State), stale: make(map[string]bool), arrived: make(map[register.ID]bool)}
		for _, page := range pages {
			if at, err = a.page(at, page); err != nil {
				return err
			}
		}
		if err := a.finish(); err != nil {
			return err
		}
		return s.setCursor(at)
	})
}

// applying is the features touched by the pages of one transaction.
type applying struct {
	*shelf
	states  map[string]*register.State // with what came in folded in
	stale   map[string]bool            // to be gathered from all entries
	arrived map[register.ID]bool       // to be taken out of the outbox
}

// page takes one page, which must continue at the cursor and chain to its own position.
func (a *applying) page(at store.Position, page *wire.Page) (store.Position, error) {
	if len(page.Entries) > 0 && page.First != at.N+1 {
		return at, &model.Problem{Path: "first", Reason: fmt.Sprintf("is %d and the entry after %d was asked for", page.First, at.N)}
	}
	at.Epoch = page.At.Epoch
	for i, raw := range page.Entries {
		hash := register.HashOf(raw)
		at = at.After(hash)
		if err := a.entry(at.N, page.ArrivedMS[i], raw); err != nil {
			return at, fmt.Errorf("entry %d: %w", at.N, err)
		}
		if err := a.line.Put(bigEndian(at.N), at.Hash[:]); err != nil {
			return at, err
		}
	}
	if at.N != page.At.N || len(page.Entries) > 0 && at.Hash != page.At.Hash {
		return at, &model.Problem{Path: "at", Reason: "the entries do not give the server's chain hash", Fix: "they were damaged on their way: pull again"}
	}
	return at, nil
}

func (a *applying) entry(n uint64, arrivedMS int64, raw []byte) error {
	e, err := register.Decode(raw)
	if err != nil {
		return err
	}
	before, known := a.get(e.ID)
	now := held{n: n, arrivedMS: arrivedMS, flags: before.flags &^ (unsent | refused), raw: raw}
	if known && before.flags&unsent != 0 { // the register has it, also if the receipt was lost
		a.arrived[e.ID] = true
	}
	if err := a.put(e.ID, now); err != nil {
		return err
	}
	if known && bytes.Equal(before.raw, raw) {
		a.stale[e.Feature] = true // its number, and perhaps its capped stamp, are new
		return nil
	}
	if err := a.about.Put(aboutKey(e), nil); err != nil {
		return err
	}
	if known { // under another device id: a relabelled entry whose receipt was lost
		a.stale[e.Feature] = true
		return nil
	}
	state := a.states[e.Feature]
	if state == nil {
		if state, err = a.state(e.Feature); err != nil {
			return err
		}
		a.states[e.Feature] = state
	}
	if !a.stale[e.Feature] && !state.Apply(now.numbered(e)) {
		a.stale[e.Feature] = true
	}
	return nil
}

func (a *applying) finish() error {
	if err := a.clearOutbox(a.arrived); err != nil {
		return err
	}
	for _, feature := range slices.Sorted(maps.Keys(a.stale)) {
		if err := a.gather(feature); err != nil {
			return err
		}
	}
	for _, feature := range slices.Sorted(maps.Keys(a.states)) {
		if a.stale[feature] {
			continue
		}
		if err := a.features.Put([]byte(feature), a.states[feature].Encode()); err != nil {
			return err
		}
	}
	return nil
}
