package server

import (
	"context"
	"encoding/json"
	"slices"
	"time"

	"headcut/model"
)

// Rights to one property taken from a device that keeps the others. Besides leaving the list of
// what the device was given, the property is written down as withheld, with the time: a code that
// was used before, a property that the device begins again, and a merge give it back otherwise.

// Narrow takes the rights to properties, given by name or row, from a device, also in the
// conversations it has open. What it sent stays. Widen and a new code give them back.
func (s *Server) Narrow(ctx context.Context, which string, properties ...string) (DeviceRow, error) {
	o := s.office
	o.mu.Lock()
	device, err := o.narrow(ctx, which, properties)
	o.mu.Unlock()
	if err != nil {
		return DeviceRow{}, err
	}
	s.exchange.Recheck(device)
	return s.deviceRow(device), nil
}

func (o *office) narrow(ctx context.Context, which string, properties []string) (device string, err error) {
	id, err := o.pickDevice(which)
	if err != nil {
		return "", err
	}
	record := o.records[id]
	given, withheld, reach := slices.Clone(texts(record, "properties")), withheldFrom(record), o.reach(record)
	changed := false
	for _, name := range properties {
		property, err := o.pickProperty(name)
		if err != nil {
			return "", err
		}
		parts := o.parts(property)
		if !slices.ContainsFunc(reach, func(p string) bool { return slices.Contains(parts, p) }) {
			if _, already := withheld[property]; already {
				continue
			}
			return "", &model.Problem{Path: "property", Reason: "this device has no right to " + quote(name), Fix: "'headcut devices' lists what each has"}
		}
		changed = true
		given = slices.DeleteFunc(given, func(p string) bool { return slices.Contains(parts, p) })
		for _, part := range parts {
			withheld[part] = o.now()
		}
	}
	device = text(record, "device")
	if !changed {
		return device, nil
	}
	return device, o.write(ctx, id, "office", map[string]any{"properties": given, "withheld": written(withheld)})
}

// withheldFrom is what was taken from a device and when, by property.
func withheldFrom(record map[string]json.RawMessage) map[string]time.Time {
	all := map[string]time.Time{}
	if raw, ok := record["withheld"]; ok {
		_ = json.Unmarshal(raw, &all) // what is not an object of times reads as none
	}
	return all
}

// without is what of the withheld stays so when properties are given.
func (o *office) without(withheld map[string]time.Time, given []string) map[string]time.Time {
	left := map[string]time.Time{}
	for property, at := range withheld {
		if !slices.ContainsFunc(given, func(p string) bool { return o.root(p) == o.root(property) }) {
			left[property] = at
		}
	}
	return written(left)
}

// notWithheld drops the properties that were taken from a device after the time, with those
// that they are merged with.
func (o *office) notWithheld(record map[string]json.RawMessage, properties []string, after time.Time) []string {
	withheld := withheldFrom(record)
	return slices.DeleteFunc(slices.Clone(properties), func(p string) bool {
		return slices.ContainsFunc(o.parts(p), func(part string) bool {
			at, taken := withheld[part]
			return taken && !after.After(at)
		})
	})
}

// written is withheld as it is kept: to the second, as all times of the office's register.
func written(withheld map[string]time.Time) map[string]time.Time {
	for property, at := range withheld {
		withheld[property] = at.UTC().Truncate(time.Second)
	}
	return withheld
}

// barredFrom tells of properties whether a device that is known here has lost the right to them,
// or to all.
func (s *Server) barredFrom(device string) func(property string) bool {
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	record := s.office.records[s.office.find(deviceRecord, "device", device)]
	withheld, revoked := withheldFrom(record), text(record, "revokedOn") != ""
	return func(property string) bool {
		_, taken := withheld[property]
		return revoked || taken
	}
}
