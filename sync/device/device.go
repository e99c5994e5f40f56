package device

import (
	"context"
	"encoding/json"
	"slices"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Property is a holding this device may record on.
type Property struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// Fields are values to set, by field name, of any type that encoding/json writes. A nil
// value clears the field.
type Fields map[string]any

// Device is one device that is enrolled.
type Device struct {
	Properties []Property // on which it may record

	now                       func() time.Time // its clock
	id, server, token, author string
	known                     map[string]*property
	photos                    map[register.Hash][]byte // that have not been sent
}

// property is what a device knows of one.
type property struct {
	entries map[string][]register.Numbered // by feature
	at      store.Position                 // up to which the register is here
	seq     uint64                         // deviceSeq of the last capture
	unsent  []unsent
}

// unsent is an entry that has no receipt.
type unsent struct {
	id  register.ID
	raw json.RawMessage
}

func (d *Device) on(id string) *property {
	p := d.known[id]
	if p == nil {
		p = &property{entries: make(map[string][]register.Numbered)}
		d.known[id] = p
	}
	return p
}

// keep takes an entry, in the place of what it was before the register numbered it.
func (p *property) keep(n register.Numbered) {
	about := p.entries[n.Entry.Feature]
	if i := slices.IndexFunc(about, func(old register.Numbered) bool { return old.Entry.ID == n.Entry.ID }); i >= 0 {
		about[i] = n
		return
	}
	p.entries[n.Entry.Feature] = append(about, n)
}

// Feature is a feature as this device knows it; nothing set when it knows none.
func (d *Device) Feature(property, feature string) register.Folded {
	return register.Fold(feature, d.on(property).entries[feature])
}

// Set records values of a feature.
func (d *Device) Set(property, feature string, fields Fields) error {
	set := make(map[string]json.RawMessage, len(fields))
	for name, value := range fields {
		raw, err := json.Marshal(value)
		if err != nil {
			return &model.Problem{Path: name, Reason: "cannot be written as JSON"}
		}
		set[name] = raw
	}
	id, err := uuid.NewV7()
	if err != nil {
		return err
	}
	p, now := d.on(property), d.now()
	state := register.Gather(feature, p.entries[feature])
	e := register.Entry{Version: register.Version, ID: register.ID(id.String()), Property: property, Feature: feature,
		Device: d.id, DeviceSeq: p.seq + 1, Stamp: register.Next(state.Stamp(), now), SeenAt: now.Format(time.RFC3339Nano),
		Author: d.author, Saw: state.Saw(d.id), Set: model.FieldValuesOf(set)}
	if err := register.Check(e, state.Kind()); err != nil {
		return err
	}
	raw, err := register.Encode(e)
	if err != nil {
		return err
	}
	p.seq++
	p.keep(register.Numbered{Capped: e.Stamp, Entry: e}) // until it is numbered, its stamp counts as it is
	p.unsent = append(p.unsent, unsent{e.ID, raw})
	return nil
}

// Photo adds a photo to those of a feature. It goes to the server after the entry that names it.
func (d *Device) Photo(property, feature string, jpeg []byte) error {
	var names []string
	if raw, ok := d.Feature(property, feature).Fields["photos"]; ok {
		if err := json.Unmarshal(raw, &names); err != nil {
			return err
		}
	}
	sha := register.HashOf(jpeg)
	if err := d.Set(property, feature, Fields{"photos": append(names, sha.String())}); err != nil {
		return err
	}
	d.photos[sha] = jpeg
	return nil
}

// Sync sends all that is unsent and fetches all that is new, of every property, and sends the photos.
func (d *Device) Sync(ctx context.Context) error {
	c, err := d.connect(ctx)
	if err != nil {
		return err
	}
	defer c.close()
	for _, property := range c.properties {
		p := d.on(property)
		if err := c.push(property, p); err != nil {
			return err
		}
		if err := c.pull(property, p); err != nil {
			return err
		}
	}
	return d.sendPhotos(ctx)
}
