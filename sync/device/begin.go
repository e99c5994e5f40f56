package device

import (
	"fmt"
	"slices"

	"go.etcd.io/bbolt"

	"headcut/model"
	"headcut/sync/wire"
)

// Begin makes a property on this device alone, as on a place that the officer drives onto with
// no signal. Entries can be captured on it at once. At each connection to a server that does not
// name it the device has it made there, so also after the server was restored from an older backup.
func (d *Device) Begin(name string) (property string, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.self.Token == "" {
		return "", ErrNotEnrolled
	}
	id, err := d.newID()
	if err != nil {
		return "", err
	}
	me := d.self
	me.Properties = append(slices.Clone(me.Properties), Property{ID: string(id), Name: name, Begun: true})
	if err := d.db.Update(func(tx *bbolt.Tx) error { return d.keepSelf(tx, me) }); err != nil {
		return "", err
	}
	d.self = me
	return string(id), nil
}

// begin has the server make what was begun here and it does not name, and gives every property
// that this connection reaches. What it refuses is complained of and waits.
func (d *Device) begin(t *talk) (reached []string, complaints []error, err error) {
	reached = slices.Clone(t.welcome.Properties)
	for _, p := range d.who().Properties {
		if !p.Begun || slices.Contains(reached, p.ID) {
			continue
		}
		if t.welcome.Version < 2 {
			complaints = append(complaints, &model.Problem{Path: "property", Reason: "the server is too old to take a property that was begun on a device", Fix: "ask the office to update it"})
			continue
		}
		if err := t.send(&wire.Begin{Property: p.ID, Name: p.Name}); err != nil {
			return nil, nil, err
		}
		frame, err := t.receive()
		if err != nil {
			return nil, nil, err
		}
		switch f := frame.(type) {
		case *wire.Begun:
			reached = append(reached, f.Property.ID)
		case *wire.Problem:
			if f.Closing {
				return nil, nil, refusal{f}
			}
			complaints = append(complaints, refusal{f})
		default:
			return nil, nil, fmt.Errorf("the server answered a begin with %T", frame)
		}
	}
	return reached, complaints, nil
}
