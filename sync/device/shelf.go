package device

import (
	"encoding/binary"
	"encoding/json"
	"fmt"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
)

var (
	deviceBucket = []byte("device")
	photosBucket = []byte("photos")
	selfKey      = []byte("self")
	cursorKey    = []byte("cursor")
	seqKey       = []byte("seq")
	checkKey     = []byte("check")
)

// shelf is one property's part of the device's store, within a transaction.
type shelf struct {
	property                                                string
	entries, waiting, refused, about, features, line, marks *bbolt.Bucket
}

// shelfOf opens a property's shelf; in a writable transaction it makes it. It is nil when
// nothing was ever kept of the property.
func shelfOf(tx *bbolt.Tx, property string) (*shelf, error) {
	name := []byte("p/" + property)
	root := tx.Bucket(name)
	if root == nil {
		if !tx.Writable() {
			return nil, nil
		}
		var err error
		if root, err = tx.CreateBucket(name); err != nil {
			return nil, err
		}
	}
	s := &shelf{property: property}
	for name, part := range map[string]**bbolt.Bucket{"entries": &s.entries, "waiting": &s.waiting, "refused": &s.refused,
		"about": &s.about, "features": &s.features, "line": &s.line, "marks": &s.marks} {
		if *part = root.Bucket([]byte(name)); *part == nil {
			var err error
			if *part, err = root.CreateBucket([]byte(name)); err != nil {
				return nil, err
			}
		}
	}
	return s, nil
}

// view runs f on a property's shelf, or not at all when there is none.
func (d *Device) view(property string, f func(*shelf) error) error {
	return d.db.View(func(tx *bbolt.Tx) error {
		s, err := shelfOf(tx, property)
		if err != nil || s == nil {
			return err
		}
		return f(s)
	})
}

// update runs f on a property's shelf in one durable transaction.
func (d *Device) update(property string, f func(*bbolt.Tx, *shelf) error) error {
	return d.db.Update(func(tx *bbolt.Tx) error {
		s, err := shelfOf(tx, property)
		if err != nil {
			return err
		}
		return f(tx, s)
	})
}

// flags of a held entry.
const (
	mine    = 1 << iota // written on this device
	unsent              // no receipt yet
	refused             // the server did not take it
)

// held is an entry as the device keeps it.
type held struct {
	n         uint64 // 0 until it has come back from the register
	arrivedMS int64  // 0 until then too
	flags     byte
	raw       []byte // valid within the transaction
}

const heldHead = 8 + 8 + 1

func (s *shelf) get(id register.ID) (held, bool) {
	v := s.entries.Get([]byte(id))
	if len(v) < heldHead {
		return held{}, false
	}
	return held{
		n: binary.BigEndian.Uint64(v), arrivedMS: int64(binary.BigEndian.Uint64(v[8:])),
		flags: v[16], raw: v[heldHead:],
	}, true
}

func (s *shelf) put(id register.ID, h held) error {
	v := make([]byte, heldHead, heldHead+len(h.raw))
	binary.BigEndian.PutUint64(v, h.n)
	binary.BigEndian.PutUint64(v[8:], uint64(h.arrivedMS))
	v[16] = h.flags
	return s.entries.Put([]byte(id), append(v, h.raw...))
}

func (s *shelf) number(key []byte) uint64 {
	if v := s.marks.Get(key); len(v) == 8 {
		return binary.BigEndian.Uint64(v)
	}
	return 0
}

func bigEndian(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

// wait puts an entry at the end of the outbox.
func (s *shelf) wait(id register.ID) error {
	place, err := s.waiting.NextSequence()
	if err != nil {
		return err
	}
	return s.waiting.Put(bigEndian(place), []byte(id))
}

func (s *shelf) cursor() (store.Position, error) {
	var at store.Position
	raw := s.marks.Get(cursorKey)
	if raw == nil {
		return at, nil
	}
	return at, json.Unmarshal(raw, &at)
}

func (s *shelf) setCursor(at store.Position) error {
	raw, err := json.Marshal(at)
	if err != nil {
		return err
	}
	return s.marks.Put(cursorKey, raw)
}

// chainAt is the chain hash up to n, where the device has been.
func (s *shelf) chainAt(n uint64) (register.Hash, bool) {
	var h register.Hash
	if n == 0 {
		return h, true
	}
	return h, copy(h[:], s.line.Get(bigEndian(n))) == len(h)
}

// state is a feature as it stands.
func (s *shelf) state(feature string) (*register.State, error) {
	raw := s.features.Get([]byte(feature))
	if raw == nil {
		return register.NewState(feature), nil
	}
	return register.DecodeState(feature, raw)
}

// gather folds a feature again from all entries held about it.
func (s *shelf) gather(feature string) error {
	var all []register.Numbered
	prefix := append([]byte(feature), 0)
	c := s.about.Cursor()
	for k, _ := c.Seek(prefix); len(k) > len(prefix) && string(k[:len(prefix)]) == string(prefix); k, _ = c.Next() {
		id := register.ID(k[len(prefix):])
		h, ok := s.get(id)
		if !ok {
			return fmt.Errorf("the device's store lacks entry %s", id)
		}
		e, err := register.Decode(h.raw)
		if err != nil {
			return fmt.Errorf("entry %s: %w", id, err)
		}
		all = append(all, h.numbered(e))
	}
	return s.features.Put([]byte(feature), register.Gather(feature, all).Encode())
}
