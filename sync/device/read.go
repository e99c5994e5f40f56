package device

import (
	"iter"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
)

// Feature is a feature as this device knows it; nothing set when it knows none.
func (d *Device) Feature(property, feature string) (register.Folded, error) {
	folded := register.NewState(feature).Folded()
	err := d.view(property, func(s *shelf) error {
		state, err := s.state(feature)
		if err == nil {
			folded = state.Folded()
		}
		return err
	})
	return folded, err
}

// Features yields the features of a property by id, struck ones included, as this device
// knows them. It ends after yielding an error.
func (d *Device) Features(property string) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		var ids []string
		err := d.view(property, func(s *shelf) error {
			return s.features.ForEach(func(k, _ []byte) error {
				ids = append(ids, string(k))
				return nil
			})
		})
		if err != nil {
			yield(register.Folded{}, err)
			return
		}
		for _, id := range ids { // each in its own transaction: the caller may capture
			folded, err := d.Feature(property, id)
			if !yield(folded, err) || err != nil {
				return
			}
		}
	}
}

// Status is what an officer wants to know before driving home.
type Status struct {
	Entries int                    // on this device, of this property
	Waiting int                    // not yet on the server
	Refused map[register.ID]string // the server did not take, and why
	N       uint64                 // the register is here up to this number
	Seq     uint64                 // deviceSeq of the last capture
}

// Status tells how much of a property is here, and how much only here.
func (d *Device) Status(property string) (Status, error) {
	out := Status{Refused: make(map[register.ID]string)}
	err := d.view(property, func(s *shelf) error {
		out.Entries = s.entries.Stats().KeyN
		out.Waiting = s.waiting.Stats().KeyN
		out.Seq = s.number(seqKey)
		at, err := s.cursor()
		if err != nil {
			return err
		}
		out.N = at.N
		return s.refused.ForEach(func(id, why []byte) error {
			out.Refused[register.ID(id)] = string(why)
			return nil
		})
	})
	return out, err
}

// PhotosWaiting is how many photos have no receipt yet.
func (d *Device) PhotosWaiting() (int, error) {
	n := 0
	err := d.db.View(func(tx *bbolt.Tx) error {
		return tx.Bucket(photosBucket).ForEach(func(_, v []byte) error {
			if len(v) == 9 && v[8] == 'w' {
				n++
			}
			return nil
		})
	})
	return n, err
}
