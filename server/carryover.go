package server

import (
	"context"
	"errors"
	"maps"
	"slices"

	"headcut/sync/store"
)

// CarriedOver is what the office took away in a register that a restored one replaces, and that the
// restored one did not know.
type CarriedOver struct {
	Revoked  []DeviceRow
	Narrowed []NarrowedDevice
	Links    []LinkRow // withdrawn
	Lacking  Lacking
}

// Lacking is what is in force in a replaced register and is not in the restored one at all.
type Lacking struct {
	Devices []DeviceRow
	Links   []LinkRow
	Intakes []Intake
}

// ErrOtherRegister refuses to carry over from a register that has nothing in common with this one.
var ErrOtherRegister = errors.New("it is another register")

// NarrowedDevice is a device that lost the right to some of its properties.
type NarrowedDevice struct {
	DeviceRow
	Lost []string // names of properties
}

// CarryOver takes away here what was taken away in the register that this one replaces. Nothing is
// given back. What only that register has is listed and not copied: it grants no access here.
func (s *Server) CarryOver(ctx context.Context, replaced store.Register) (CarriedOver, error) {
	then, err := openOffice(ctx, replaced, s.now)
	if err != nil {
		return CarriedOver{}, err
	}
	o := s.office
	if same, err := o.sameRegister(ctx, then); err != nil {
		return CarriedOver{}, err
	} else if !same {
		return CarriedOver{}, ErrOtherRegister
	}
	o.writing.Lock()
	defer o.writing.Unlock()
	var changes []change
	var revoked, narrowed []*deviceRecord
	var withdrawn []*linkRecord
	lost := map[string][]string{} // names of properties, by device
	for _, was := range then.devices.rows {
		d := o.devices.of(was.id)
		if d == nil || !d.RevokedOn.IsZero() {
			continue
		}
		if !was.RevokedOn.IsZero() {
			revoked = append(revoked, d)
			changes = append(changes, changed(d, func(d *deviceRecord) { d.RevokedOn, d.FollowedBy = was.RevokedOn, was.FollowedBy }))
			continue
		}
		taken := maps.Clone(was.Withheld)
		maps.DeleteFunc(taken, func(property string, _ moment) bool { _, known := d.Withheld[property]; return known })
		if len(taken) == 0 {
			continue
		}
		narrowed = append(narrowed, d)
		for property := range taken {
			lost[d.id] = append(lost[d.id], o.property(property).Name)
		}
		changes = append(changes, changed(d, func(d *deviceRecord) {
			given := slices.Clone(d.Properties)
			d.Properties = slices.DeleteFunc(given, func(p string) bool { _, gone := taken[p]; return gone })
			maps.Copy(taken, d.Withheld)
			d.Withheld = taken
		}))
	}
	for _, was := range then.links.rows {
		if l := o.links.of(was.id); l != nil && l.RevokedOn.IsZero() && !was.RevokedOn.IsZero() {
			withdrawn = append(withdrawn, l)
			changes = append(changes, changed(l, func(l *linkRecord) { l.RevokedOn = was.RevokedOn }))
		}
	}
	if err := o.write(ctx, officeAuthor, changes...); err != nil {
		return CarriedOver{}, err
	}
	over := CarriedOver{Lacking: o.lacking(then)}
	for _, d := range revoked {
		over.Revoked = append(over.Revoked, o.deviceRow(d))
	}
	for _, d := range narrowed {
		slices.Sort(lost[d.id])
		over.Narrowed = append(over.Narrowed, NarrowedDevice{o.deviceRow(d), slices.Compact(lost[d.id])})
	}
	for _, l := range withdrawn {
		over.Links = append(over.Links, o.linkRow(l))
	}
	return over, nil
}

// sameRegister reports whether two registers began as one. A salvage begins a new life and keeps the
// records, so that one record in common is enough.
func (o *office) sameRegister(ctx context.Context, then *office) (bool, error) {
	ours, err := o.store.Epochs(ctx)
	if err != nil {
		return false, err
	}
	theirs, err := then.store.Epochs(ctx)
	if err != nil || ours[0].ID == theirs[0].ID || len(o.kinds) == 0 { // a salvage may have found no record
		return err == nil, err
	}
	for id := range then.kinds {
		if _, both := o.kinds[id]; both {
			return true, nil
		}
	}
	return false, nil
}

// lacking is what is in force in a register that this one replaces, and is not here.
func (o *office) lacking(then *office) (l Lacking) {
	for _, d := range then.devices.rows {
		if o.devices.of(d.id) == nil && d.RevokedOn.IsZero() {
			l.Devices = append(l.Devices, then.deviceRow(d))
		}
	}
	for _, link := range then.links.rows {
		if o.links.of(link.id) == nil && link.RevokedOn.IsZero() && link.Until.After(o.now()) {
			l.Links = append(l.Links, then.linkRow(link))
		}
	}
	for _, i := range then.intakes.rows {
		if o.intakes.of(i.id) == nil && !i.Undone {
			l.Intakes = append(l.Intakes, i.intake())
		}
	}
	return l
}
