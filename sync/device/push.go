package device

import (
	"encoding/json"
	"errors"
	"fmt"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// pushing is the state of sending one property's outbox.
type pushing struct {
	d        *Device
	t        *talk
	property string
	after    uint64                   // place in the outbox of the last entry sent
	flying   map[uint64][]register.ID // by number of push: sent and unanswered
	entries  int                      // in flight
	bytes    int                      // in flight, about
	sizes    map[uint64]int
	highSeq  uint64 // as the last receipt told
	cloned   bool
	answered bool
}

// push sends the outbox and returns when every entry sent has its receipt. It never has
// more in flight than the server allows. When there is doubt about what the server has,
// it asks first.
func (d *Device) push(t *talk, property string) error {
	check := false
	if err := d.view(property, func(s *shelf) error {
		check = s.marks.Get(checkKey) != nil
		return nil
	}); err != nil {
		return err
	}
	if check {
		if err := d.offerAgain(t, property); err != nil {
			return err
		}
	}
	p := &pushing{d: d, t: t, property: property, flying: make(map[uint64][]register.ID), sizes: make(map[uint64]int)}
	err := p.run()
	d.weigh(p.answered, err)
	if err == nil && p.cloned {
		err = d.markCloned()
	}
	if err == nil && p.answered {
		err = d.mindGap(t, property, p.highSeq)
	}
	return err
}

// weigh fits what goes into a frame to what the line carries: half as much when nothing
// got through before it broke, twice as much when something did.
func (d *Device) weigh(through bool, err error) {
	switch {
	case through:
		d.load = min(2*d.load, wire.FrameEntries)
	case err != nil:
		d.load = max(d.load/2, 1)
	}
}

func (p *pushing) run() error {
	for {
		if err := p.fill(); err != nil {
			return err
		}
		if len(p.flying) == 0 {
			return nil
		}
		frame, err := p.t.receive()
		if err != nil {
			return err
		}
		switch f := frame.(type) {
		case *wire.Receipts:
			if err := p.receipts(f); err != nil {
				return err
			}
		case *wire.Problem:
			return refusal{f}
		}
	}
}

// fill sends frames for as long as the limits allow.
func (p *pushing) fill() error {
	for p.entries+p.d.load <= p.t.welcome.Limits.Entries || p.entries == 0 {
		room := p.t.welcome.Limits.Bytes - p.bytes
		ids, raws, last, size, err := p.next(room)
		if err != nil || len(ids) == 0 {
			return err
		}
		p.t.pushes++
		if err := p.t.send(&wire.Push{Push: p.t.pushes, Property: p.property, Entries: raws}); err != nil {
			return err
		}
		p.flying[p.t.pushes], p.sizes[p.t.pushes] = ids, size
		p.entries, p.bytes, p.after = p.entries+len(ids), p.bytes+size, last
	}
	return nil
}

// next reads the next entries of the outbox that fit into room bytes.
func (p *pushing) next(room int) (ids []register.ID, raws []json.RawMessage, last uint64, size int, err error) {
	err = p.d.view(p.property, func(s *shelf) error {
		c := s.waiting.Cursor()
		for k, v := c.Seek(bigEndian(p.after + 1)); k != nil && len(ids) < p.d.load; k, v = c.Next() {
			h, ok := s.get(register.ID(v))
			if !ok {
				return fmt.Errorf("the device's store lacks entry %s", v)
			}
			if size+len(h.raw) > room {
				break
			}
			size += len(h.raw) + 1
			ids = append(ids, register.ID(v))
			raws = append(raws, append(json.RawMessage(nil), h.raw...))
			last = keyNumber(k)
		}
		return nil
	})
	return ids, raws, last, size, err
}

// receipts takes what the server has made durable out of the outbox.
func (p *pushing) receipts(f *wire.Receipts) error {
	ids, ok := p.flying[f.Push]
	if !ok || len(f.Receipts) != len(ids) {
		return errors.New("the server sent receipts for something else")
	}
	done := make(map[register.ID]bool, len(ids))
	err := p.d.update(p.property, func(_ *bbolt.Tx, s *shelf) error {
		for i, r := range f.Receipts {
			if r.ID != ids[i] && r.Refused == "" {
				return errors.New("the server sent a receipt for something else")
			}
			r.ID = ids[i]
			if r.Cloned {
				p.cloned = true // it stays in the outbox for the new device id
				continue
			}
			done[r.ID] = true
			if err := s.settle(r); err != nil {
				return err
			}
			p.highSeq = max(p.highSeq, r.HighSeq)
		}
		return s.clearOutbox(done)
	})
	if err != nil {
		return err
	}
	delete(p.flying, f.Push)
	p.entries, p.bytes, p.answered = p.entries-len(ids), p.bytes-p.sizes[f.Push], true
	delete(p.sizes, f.Push)
	return nil
}

// settle keeps what the server said about an entry.
func (s *shelf) settle(r store.Receipt) error {
	h, ok := s.get(r.ID)
	if !ok {
		return fmt.Errorf("the device's store lacks entry %s", r.ID)
	}
	h.flags &^= unsent
	if r.Refused != "" {
		h.flags |= refused
		if err := s.refused.Put([]byte(r.ID), []byte(r.Refused)); err != nil {
			return err
		}
	}
	return s.put(r.ID, h)
}

// clearOutbox deletes these ids from the outbox.
func (s *shelf) clearOutbox(ids map[register.ID]bool) error {
	var keys [][]byte
	c := s.waiting.Cursor()
	for k, v := c.First(); k != nil && len(keys) < len(ids); k, v = c.Next() {
		if ids[register.ID(v)] {
			keys = append(keys, append([]byte(nil), k...))
		}
	}
	for _, k := range keys {
		if err := s.waiting.Delete(k); err != nil {
			return err
		}
	}
	return nil
}

func (d *Device) markCloned() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	me := d.self
	me.Cloned = true
	if err := d.db.Update(func(tx *bbolt.Tx) error { return d.keepSelf(tx, me) }); err != nil {
		return err
	}
	d.self = me
	return ErrEnrolAnew
}
