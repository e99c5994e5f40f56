package server

import (
	"context"
	"fmt"

	"headcut/model"
)

// A phone that is enrolled again is a new device, which follows the one that it was. The former one has
// ended then: its token gives no access and seals nothing, so a copy of the old phone is of no use.

// present is the device that a phone is now: the one that follows, or d itself.
func (o *office) present(d *deviceRecord) *deviceRecord {
	for range len(o.devices.rows) {
		next := o.devices.one(byDevice, d.FollowedBy)
		if next == nil {
			break
		}
		d = next
	}
	return d
}

// before are the devices that a phone was before it was this one.
func (o *office) before(d *deviceRecord) (all []*deviceRecord) {
	for next := []*deviceRecord{d}; len(next) > 0 && len(all) < len(o.devices.rows); next = next[1:] {
		was := o.devices.many(byFollower, next[0].Device)
		all, next = append(all, was...), append(next, was...)
	}
	return all
}

// toEnrolAgain is what a code that enrols a device again is for: the device that the phone is now, the
// accepted properties that it has, and whether it has any. It takes nothing from the device yet.
func (s *Server) toEnrolAgain(which string) (again *deviceRecord, accepted []Property, hasAny bool, err error) {
	o := s.office
	o.mu.RLock()
	defer o.mu.RUnlock()
	if again, err = o.pickDevice(which); err != nil {
		return nil, nil, false, err
	}
	again = o.present(again)
	reach := o.reach(again)
	within := setOf(reach)
	for _, id := range reach {
		p := o.property(id)
		if root := o.root(id); within[root] {
			p = o.property(root)
		}
		if !p.Begun {
			accepted = union(accepted, []Property{p})
		}
	}
	return again, accepted, len(reach) > 0, nil
}

// mayFollow says why a phone may not follow a device by a code that enrols it again; d is what the
// phone is enrolled as.
func (o *office) mayFollow(was, d *deviceRecord, req enrolRequest) *model.Problem {
	switch {
	case was == nil || o.present(was) != was:
		return &model.Problem{Path: "code", Reason: "the phone that this code was for is not in the office's list any more", Fix: "ask the office for a new one"}
	case d == was:
		return &model.Problem{Path: "device", Reason: "this code gives the phone a new number, and ends the one that it has", Fix: "enrol again with it, as a new phone"}
	case d != nil:
		return &model.Problem{Path: "code", Reason: fmt.Sprintf("this code enrols the phone in row %d of the office's list again, and this phone is row %d", was.row, d.row),
			Fix: "use it on the phone that it is for, or ask the office for a code for this one"}
	case req.Former == nil || req.Former.Device == req.Device:
		return nil
	}
	switch named, proven := o.devices.one(byDevice, req.Former.Device), o.proven(req); {
	case named != nil && proven == nil:
		return &model.Problem{Path: "former", Reason: "this phone says that it was enrolled before, and has not the secret of that", Fix: "ask the office for a code for a new phone"}
	case proven != nil && o.present(proven) != was:
		return &model.Problem{Path: "former", Reason: fmt.Sprintf("this code enrols the phone in row %d of the office's list again, and this phone was row %d", was.row, proven.row),
			Fix: "use it on the phone that it is for, or ask the office for a code for this one"}
	}
	return nil
}

// follow enrols a phone as the device that follows another, and ends that one with the other codes that
// were made to enrol it again.
func (o *office) follow(was *deviceRecord, code *codeRecord, req enrolRequest, author string) []change {
	fresh := &deviceRecord{Device: req.Device, Author: author, TokenHash: digest(req.Token), RunsOn: systemWords(req.agent),
		Properties: union(code.Properties, o.held(was))}
	var given []string // of what was taken from it, by this code
	for _, property := range code.Properties {
		if _, taken := was.Withheld[property]; taken {
			given = append(given, property)
		}
	}
	fresh.Withheld = o.without(was.Withheld, given)
	if proven := o.proven(req); proven != nil {
		fresh.FormerIDs, fresh.FormerAuthors = idsOf(proven), union(authorsOf(was), authorsOf(proven))
	}
	changes := []change{made(fresh), changed(was, func(was *deviceRecord) {
		was.FollowedBy = req.Device
		if was.RevokedOn.IsZero() {
			was.RevokedOn = second(o.now())
		}
	})}
	ended, _ := o.endCodes(was, code)
	return append(changes, ended...)
}

// held is what a phone keeps besides what its code names: all that it has or, when its rights were taken
// away or a restore left it shut, those alone that it began and nobody has accepted yet.
func (o *office) held(was *deviceRecord) (properties []string) {
	if was.KeptShutOn.IsZero() && was.RevokedOn.IsZero() {
		return was.Properties
	}
	ids := setOf(idsOf(was))
	for _, property := range was.Properties {
		if p := o.properties.of(property); p != nil && ids[p.BegunBy] && p.property().Begun {
			properties = append(properties, property)
		}
	}
	return properties
}

// endCodes ends the open codes that enrol a device again, but for one, and counts them.
func (o *office) endCodes(d *deviceRecord, but *codeRecord) (changes []change, n int) {
	for _, c := range o.codes.many(byDevice, d.Device) {
		if c != but && c.open(o.now()) {
			changes = append(changes, changed(c, func(c *codeRecord) { c.EndedOn = second(o.now()) }))
		}
	}
	return changes, len(changes)
}

// Revoked answers the taking away of a device's rights.
type Revoked struct {
	DeviceRow
	Before []int `json:"before,omitempty"` // rows of what the phone was before, which have no rights either
	Codes  int   `json:"codes,omitempty"`  // open codes to enrol it again, which ended too
	Others []int `json:"others,omitempty"` // rows of the same person, or phone, that are let in still
	// With are names of properties that are merged with those that were taken, and were taken too.
	With []string `json:"with,omitempty"`
}

// RevokeDevice takes away the rights of a device, given by id, row or who carries it, also in the
// conversations it has open, and ends the codes that enrol it again. What it sent stays.
func (s *Server) RevokeDevice(ctx context.Context, which string) (Revoked, error) {
	var revoked Revoked
	row, err := s.changeDevice(ctx, which, func(o *office, d *deviceRecord) ([]change, error) {
		for _, was := range o.before(d) {
			revoked.Before = append(revoked.Before, was.row)
		}
		for _, other := range union(o.devices.many(byName, spelt(d.Author)), []*deviceRecord{o.present(d)}) {
			if other != d && other.RevokedOn.IsZero() && spelt(other.Author) == spelt(d.Author) {
				revoked.Others = append(revoked.Others, other.row)
			}
		}
		var changes []change
		changes, revoked.Codes = o.endCodes(d, nil)
		if !d.RevokedOn.IsZero() {
			return changes, nil
		}
		return append(changes, changed(d, func(d *deviceRecord) { d.RevokedOn = second(o.now()) })), nil
	})
	revoked.DeviceRow = row
	return revoked, err
}
