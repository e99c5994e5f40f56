package device

import (
	"errors"
	"fmt"

	"headcut/sync/register"
)

// relabel moves all that is unsent to the device's new id. The order of capture stays;
// what the old device wrote and the server has counts as seen.
func (s *shelf) relabel(to string) error {
	if err := s.marks.Put(seqKey, bigEndian(0)); err != nil {
		return err
	}
	var ids []register.ID
	if err := s.waiting.ForEach(func(_, id []byte) error {
		ids = append(ids, register.ID(id))
		return nil
	}); err != nil {
		return err
	}
	for _, id := range ids {
		if err := s.relabelOne(id, to); err != nil {
			return err
		}
	}
	return s.marks.Put(checkKey, []byte{1}) // a receipt may have been lost: ask before sending
}

func (s *shelf) relabelOne(id register.ID, to string) error {
	h, ok := s.get(id)
	if !ok {
		return fmt.Errorf("the device's store lacks entry %s", id)
	}
	e, err := register.Decode(h.raw)
	if err != nil {
		return err
	}
	if e.Device == to {
		return nil
	}
	seen, err := s.ownBefore(e)
	if err != nil {
		return err
	}
	if seen > 0 {
		if e.Saw == nil {
			e.Saw = make(map[string]uint64, 1)
		}
		e.Saw[e.Device] = max(e.Saw[e.Device], seen)
	}
	delete(e.Saw, to)
	e.Device, e.DeviceSeq = to, s.number(seqKey)+1
	raw, err := register.Encode(e)
	if err != nil {
		return err
	}
	if err := s.put(id, held{flags: mine | unsent, raw: raw}); err != nil {
		return err
	}
	if err := s.marks.Put(seqKey, bigEndian(e.DeviceSeq)); err != nil {
		return err
	}
	return s.gather(e.Feature)
}

// ownBefore is the highest deviceSeq below e's of the entries about its feature that this
// device wrote under the same id and that keep that id.
func (s *shelf) ownBefore(e register.Entry) (uint64, error) {
	var seq uint64
	prefix := append([]byte(e.Feature), 0)
	c := s.about.Cursor()
	for k, _ := c.Seek(prefix); len(k) > len(prefix) && string(k[:len(prefix)]) == string(prefix); k, _ = c.Next() {
		h, ok := s.get(register.ID(k[len(prefix):]))
		if !ok || h.flags&mine == 0 || h.flags&unsent != 0 {
			continue
		}
		other, err := register.Decode(h.raw)
		if err != nil {
			return 0, errors.Join(errors.New("an entry of the device's store cannot be read"), err)
		}
		if other.Device == e.Device && other.DeviceSeq < e.DeviceSeq {
			seq = max(seq, other.DeviceSeq)
		}
	}
	return seq, nil
}
