package server

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"headcut/model"
)

// Rights to one property taken from a device that keeps the others. Besides leaving the list of
// what the device was given, the property is written down as withheld, with the time: a code that
// was used before, a property that the device begins again, and a merge give it back otherwise.

// Narrow takes the rights to properties, given by name or row, from a device, also in the
// conversations it has open. What it sent stays. Widen and a new code give them back.
func (s *Server) Narrow(ctx context.Context, which string, properties ...string) (Revoked, error) {
	var revoked Revoked
	row, err := s.changeDevice(ctx, which, func(o *office, d *deviceRecord) ([]change, error) {
		changes, with, err := o.narrow(d, properties)
		revoked.With = with
		return changes, err
	})
	revoked.DeviceRow = row
	return revoked, err
}

// takenFrom are the devices, with rights still, from which the right to a property was taken.
func (o *office) takenFrom(property string) (devices []string) {
	for _, d := range o.devices.rows {
		if _, taken := d.Withheld[property]; taken && d.RevokedOn.IsZero() {
			devices = append(devices, fmt.Sprintf("%s (row %d)", d.Author, d.row))
		}
	}
	return devices
}

// narrow gives also the names of the properties that are taken because they are merged with those named.
func (o *office) narrow(d *deviceRecord, properties []string) (changes []change, with []string, err error) {
	given, withheld, reach := slices.Clone(d.Properties), maps.Clone(d.Withheld), o.reach(d)
	if withheld == nil {
		withheld = map[string]moment{}
	}
	taken := false
	for _, name := range properties {
		property, err := o.pickProperty(name)
		if err != nil {
			return nil, nil, err
		}
		parts := o.parts(property.id)
		if !slices.ContainsFunc(reach, func(p string) bool { return slices.Contains(parts, p) }) {
			if _, already := withheld[property.id]; already {
				continue
			}
			return nil, nil, &model.Problem{Path: "property", Reason: "this device has no right to " + quote(name), Fix: "'headcut devices' lists what each has"}
		}
		taken = true
		given = slices.DeleteFunc(given, func(p string) bool { return slices.Contains(parts, p) })
		for _, part := range parts {
			if part != property.id && slices.Contains(reach, part) {
				with = append(with, o.property(part).Name)
			}
			withheld[part] = second(o.now())
		}
	}
	if !taken {
		return nil, nil, nil
	}
	changes = []change{changed(d, func(d *deviceRecord) { d.Properties, d.Withheld = given, withheld })}
	for _, c := range o.codes.many(byDevice, d.Device) { // what would enrol it again with them
		if c.open(o.now()) {
			changes = append(changes, changed(c, func(c *codeRecord) {
				c.Properties = o.notWithheld(&deviceRecord{Withheld: withheld}, c.Properties, time.Time{})
			}))
		}
	}
	return changes, with, nil
}

// without is what of the withheld stays so when properties are given.
func (o *office) without(withheld map[string]moment, given []string) map[string]moment {
	roots := map[string]bool{}
	for _, property := range given {
		roots[o.root(property)] = true
	}
	left := map[string]moment{}
	for property, at := range withheld {
		if !roots[o.root(property)] {
			left[property] = at
		}
	}
	return left
}

// notWithheld drops the properties that were taken from a device after the time, with those
// that they are merged with.
func (o *office) notWithheld(d *deviceRecord, properties []string, after time.Time) []string {
	if d == nil || len(d.Withheld) == 0 {
		return properties
	}
	return slices.DeleteFunc(slices.Clone(properties), func(p string) bool {
		return slices.ContainsFunc(o.parts(p), func(part string) bool {
			at, taken := d.Withheld[part]
			return taken && !after.After(at.Time)
		})
	})
}
