package device

import (
	"encoding/json"
	"time"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/register"
)

// Fields are values to set, by field name, of any type that encoding/json writes. A nil
// value clears the field.
type Fields map[string]any

// Capture records a new feature and returns its id.
func (d *Device) Capture(property string, fields Fields) (feature string, err error) {
	id, err := d.newID()
	if err != nil {
		return "", err
	}
	return string(id), d.Set(property, string(id), fields)
}

// Set records values of a feature.
func (d *Device) Set(property, feature string, fields Fields) error {
	set := make(map[string]json.RawMessage, len(fields))
	for name, value := range fields {
		raw, err := json.Marshal(value)
		if err != nil {
			return &model.Problem{Path: name, Reason: "cannot be written as JSON", Fix: err.Error()}
		}
		set[name] = raw
	}
	return d.write(register.Entry{Property: property, Feature: feature, Set: model.FieldValuesOf(set)}, nil)
}

// Strike strikes a feature out. It stays in the register and can be restored.
func (d *Device) Strike(property, feature string) error { return d.strike(property, feature, true) }

// Restore takes a strike back.
func (d *Device) Restore(property, feature string) error { return d.strike(property, feature, false) }

func (d *Device) strike(property, feature string, out bool) error {
	return d.write(register.Entry{Property: property, Feature: feature, Strike: &out}, nil)
}

// write completes an entry from what the device knows and keeps it, durably, together
// with what also does, in one transaction.
func (d *Device) write(e register.Entry, also func(*bbolt.Tx) error) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.self.Token == "" {
		return ErrNotEnrolled
	}
	now := d.o.Now()
	id, err := d.newID()
	if err != nil {
		return err
	}
	e.Version, e.ID, e.Device, e.Author = register.Version, id, d.self.ID, d.self.Author
	e.SeenAt = now.Format(time.RFC3339Nano)
	return d.update(e.Property, func(tx *bbolt.Tx, s *shelf) error {
		if also != nil {
			if err := also(tx); err != nil {
				return err
			}
		}
		return s.capture(e, now)
	})
}

// capture gives the entry its place in this device's history and folds it in.
func (s *shelf) capture(e register.Entry, now time.Time) error {
	state, err := s.state(e.Feature)
	if err != nil {
		return err
	}
	if err := register.Check(e, state.Kind()); err != nil {
		return err
	}
	e.DeviceSeq = s.number(seqKey) + 1
	e.Stamp = register.Next(state.Stamp(), now)
	e.Saw = state.Saw(e.Device)
	raw, err := register.Encode(e)
	if err != nil {
		return err
	}
	if err := s.keepOwn(e.ID, raw); err != nil {
		return err
	}
	if err := s.marks.Put(seqKey, bigEndian(e.DeviceSeq)); err != nil {
		return err
	}
	if err := s.about.Put(aboutKey(e), nil); err != nil {
		return err
	}
	if !state.Apply(held{}.numbered(e)) {
		return s.gather(e.Feature)
	}
	return s.features.Put([]byte(e.Feature), state.Encode())
}

// keepOwn holds an entry of this device and puts it into the outbox.
func (s *shelf) keepOwn(id register.ID, raw []byte) error {
	if err := s.put(id, held{flags: mine | unsent, raw: raw}); err != nil {
		return err
	}
	return s.wait(id)
}

func aboutKey(e register.Entry) []byte {
	return append(append([]byte(e.Feature), 0), e.ID...)
}

// numbered is a held entry as the fold takes it. Before the register has taken it, its
// stamp counts as it is.
func (h held) numbered(e register.Entry) register.Numbered {
	n := register.Numbered{N: h.n, Capped: e.Stamp, Entry: e}
	if h.arrivedMS != 0 {
		n.Arrived = time.UnixMilli(h.arrivedMS)
		n.Capped = register.Capped(e.Stamp, n.Arrived)
	}
	return n
}
