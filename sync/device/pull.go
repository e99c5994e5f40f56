package device

import (
	"encoding/binary"
	"errors"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

func keyNumber(k []byte) uint64 { return binary.BigEndian.Uint64(k) }

// applyEntries is about how many pulled entries go into one transaction.
const applyEntries = 1000

// pull reads the property from the cursor to its end. What came before a cut is applied.
func (d *Device) pull(t *talk, property string) (*wire.Forked, error) {
	var at store.Position
	err := d.view(property, func(s *shelf) (err error) {
		at, err = s.cursor()
		return err
	})
	if err != nil {
		return nil, err
	}
	if err := t.send(&wire.Pull{Property: property, At: at, Entries: d.load}); err != nil {
		return nil, err
	}
	var pages []*wire.Page
	through, entries := false, 0
	for {
		frame, err := t.receive()
		if err != nil {
			d.weigh(through, err)
			return nil, errors.Join(err, d.apply(property, pages))
		}
		switch f := frame.(type) {
		case *wire.Page:
			through = true
			pages = append(pages, f)
			if entries += len(f.Entries); f.More && entries < applyEntries {
				continue
			}
			if err := d.apply(property, pages); err != nil {
				return nil, err
			}
			if !f.More {
				d.weigh(through, nil)
				return nil, nil
			}
			pages, entries = pages[:0], 0
		case *wire.Forked:
			return f, nil
		case *wire.Problem:
			return nil, refusal{f}
		}
	}
}

// pullThroughForks pulls; when the server was restored from an older copy it goes back to
// where both are the same, sends again what the server lacks, and pulls from there.
func (d *Device) pullThroughForks(t *talk, property string) error {
	for {
		forked, err := d.pull(t, property)
		if err != nil || forked == nil {
			return err
		}
		n, err := d.goBack(property, forked.Marks)
		if err != nil {
			return err
		}
		d.o.Logger.Info("the register has forked: sending what it lacks", "property", property, "same up to", n)
		if err := d.push(t, property); err != nil {
			return err
		}
	}
}

// goBack moves the cursor to the highest of the server's marks that is on this device's
// own chain. Whatever the device wrote and photographed is offered again before the next pull, and that
// is noted in the same transaction: a cut in between does not make it forget.
func (d *Device) goBack(property string, marks []store.Position) (n uint64, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return n, d.update(property, func(tx *bbolt.Tx, s *shelf) error {
		at, err := s.cursor()
		if err != nil {
			return err
		}
		if at == (store.Position{}) {
			return errors.New("the server says that the beginning of its register is not its own")
		}
		var to store.Position // the beginning
		for _, mark := range marks {
			hash, ok := s.chainAt(mark.N)
			if mark.N > 0 && mark.N <= at.N && ok && hash == mark.Hash {
				to = mark
				break
			}
		}
		n = to.N
		if err := s.marks.Put(checkKey, []byte{1}); err != nil {
			return err
		}
		if err := photosAgain(tx); err != nil {
			return err
		}
		return s.setCursor(to)
	})
}

// offerAgain asks which of its own entries the register lacks, and puts them back into
// the outbox.
func (d *Device) offerAgain(t *talk, property string) error {
	t.checked[property] = true
	ids, err := d.ownIDs(property)
	if err != nil {
		return err
	}
	for ask := range slices.Chunk(ids, wire.MaxIDs) {
		if err := t.send(&wire.Missing{Property: property, IDs: ask}); err != nil {
			return err
		}
		frame, err := t.receive()
		if err != nil {
			return err
		}
		switch f := frame.(type) {
		case *wire.Lacks:
			if err := d.resend(property, ask, f.IDs); err != nil {
				return err
			}
		case *wire.Problem:
			return refusal{f}
		default:
			return errors.New("the server did not answer what it lacks")
		}
	}
	return d.update(property, func(_ *bbolt.Tx, s *shelf) error { return s.marks.Delete(checkKey) })
}

// ownIDs lists the entries written on this device that the server has not refused, in
// the order of their ids, which is about that of their capture.
func (d *Device) ownIDs(property string) ([]register.ID, error) {
	var ids []register.ID
	err := d.view(property, func(s *shelf) error {
		return s.entries.ForEach(func(k, v []byte) error {
			if len(v) >= heldHead && v[16]&mine != 0 && v[16]&refused == 0 {
				ids = append(ids, register.ID(k))
			}
			return nil
		})
	})
	return ids, err
}

// resend puts what the register lacks into the outbox and takes out what it has.
func (d *Device) resend(property string, asked, lacking []register.ID) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	lacks := make(map[register.ID]bool, len(lacking))
	for _, id := range lacking {
		lacks[id] = true
	}
	return d.update(property, func(tx *bbolt.Tx, s *shelf) error {
		has := make(map[register.ID]bool)
		lost := false
		for _, id := range asked {
			h, ok := s.get(id)
			if !ok {
				continue
			}
			switch {
			case lacks[id] && h.flags&unsent == 0:
				lost = true
				h.flags |= unsent
				h.n, h.arrivedMS = 0, 0
				if err := s.put(id, h); err != nil {
					return err
				}
				if err := s.wait(id); err != nil {
					return err
				}
				if err := s.relabelOne(id, d.self.ID); err != nil { // as a former id's token is no more
					return err
				}
			case !lacks[id] && h.flags&unsent != 0:
				h.flags &^= unsent
				if err := s.put(id, h); err != nil {
					return err
				}
				has[id] = true
			}
		}
		if lost {
			if err := photosAgain(tx); err != nil {
				return err
			}
		}
		return s.clearOutbox(has)
	})
}

// mindGap compares the server's highest deviceSeq without a gap with the device's own,
// once a connection: behind it, something acknowledged has been lost.
func (d *Device) mindGap(t *talk, property string, highSeq uint64) error {
	if t.checked[property] {
		return nil
	}
	var own uint64
	err := d.view(property, func(s *shelf) error {
		if k, _ := s.refused.Cursor().First(); k == nil { // a refused entry leaves a gap that stays
			own = s.number(seqKey)
		}
		if k, _ := s.waiting.Cursor().First(); k != nil { // captured meanwhile
			own = 0
		}
		return nil
	})
	if err != nil || highSeq >= own {
		return err
	}
	d.o.Logger.Warn("the server lacks entries it had acknowledged", "property", property, "has", highSeq, "of", own)
	if err := d.offerAgain(t, property); err != nil {
		return err
	}
	return d.push(t, property)
}
