package server

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"headcut/model"
)

// Who and what has access: devices and links, and when each was last used.

// DeviceRow is an enrolled device as the office's list shows it.
type DeviceRow struct {
	Row        int       `json:"row"` // stays the same for ever
	Device     string    `json:"device"`
	Author     string    `json:"author"`
	Label      string    `json:"label,omitempty"` // the office's word for it, or else what its browser said it runs on
	Properties []string  `json:"properties"`
	Enrolled   time.Time `json:"enrolled"`
	Seen       time.Time `json:"seen,omitzero"` // last connected; to the day, from before this run of the server
	Revoked    time.Time `json:"revoked,omitzero"`
	Shut       time.Time `json:"shut,omitzero"` // since a restore, until the office confirms it
}

// LinkRow is a landholder's link as the office's list shows it; its secret is not kept.
type LinkRow struct {
	Row      int       `json:"row"` // stays the same for ever
	Property string    `json:"property"`
	For      string    `json:"for,omitempty"`
	Made     time.Time `json:"made"`
	Until    time.Time `json:"until"`
	Seen     time.Time `json:"seen,omitzero"` // as for a device
	Revoked  time.Time `json:"revoked,omitzero"`
	Shut     time.Time `json:"shut,omitzero"` // as for a device
}

// Devices lists every device that was ever enrolled.
func (s *Server) Devices() []DeviceRow {
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	rows := []DeviceRow{}
	for i, id := range o.all(deviceRecord) {
		record := o.records[id]
		row := DeviceRow{Row: i + 1, Device: text(record, "device"), Author: text(record, "author"), Label: cmp.Or(text(record, "label"), text(record, "runsOn")),
			Properties: []string{}, Enrolled: o.made[id], Seen: o.seenOn(id)}
		row.Revoked, _ = instant(record, "revokedOn")
		row.Shut, _ = instant(record, keptShutOn)
		for _, property := range o.reach(record) {
			if root := o.root(property); root != property && slices.Contains(o.reach(record), root) {
				continue
			}
			if name := o.property(property).Name; !slices.Contains(row.Properties, name) {
				row.Properties = append(row.Properties, name)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// Links lists every link that was ever made.
func (s *Server) Links() []LinkRow {
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	rows := []LinkRow{}
	for i, id := range o.all(linkRecord) {
		record := o.records[id]
		row := LinkRow{Row: i + 1, Property: text(o.records[text(record, "property")], "name"), For: text(record, "for"), Made: o.made[id], Seen: o.seenOn(id)}
		row.Until, _ = instant(record, "until")
		row.Revoked, _ = instant(record, "revokedOn")
		row.Shut, _ = instant(record, keptShutOn)
		rows = append(rows, row)
	}
	return rows
}

// sighted notes that a device or a link was used now: in memory, and once a day in the
// register, so that the list still knows after a restart. What keeps it from being written
// keeps nobody out. The caller holds o.mu.
func (s *Server) sighted(ctx context.Context, id string) {
	o := s.office
	now := o.now()
	before := o.seenOn(id)
	o.sights[id] = now
	if y, m, d := now.UTC().Date(); !before.IsZero() {
		if by, bm, bd := before.UTC().Date(); y == by && m == bm && d == bd {
			return
		}
	}
	if err := o.write(ctx, id, "office", map[string]any{"seenOn": now.UTC().Format(time.RFC3339)}); err != nil {
		s.log.Warn("when a device or link was last used could not be written down", "error", err)
	}
}

func (o *office) seenOn(id string) time.Time {
	if at, ok := o.sights[id]; ok {
		return at
	}
	at, _ := instant(o.records[id], "seenOn")
	return at
}

// pickDevice finds a device by its id, its row, or its label or the name of who carries it when
// only one device that has rights goes by it.
func (o *office) pickDevice(which string) (string, error) {
	return o.pick(deviceRecord, which, "device", func(id string) []string {
		record := o.records[id]
		if text(record, "revokedOn") != "" {
			return []string{text(record, "device")}
		}
		return []string{text(record, "device"), text(record, "author"), text(record, "label")}
	})
}

// Widen gives an enrolled device more properties. It learns of them at its next connection,
// and at once when it is connected.
func (s *Server) Widen(ctx context.Context, which string, properties ...Property) (DeviceRow, error) {
	o := s.office
	o.mu.Lock()
	id, err := o.pickDevice(which)
	if err == nil && text(o.records[id], "revokedOn") != "" {
		err = &model.Problem{Path: "device", Reason: "the rights of this device were taken away", Fix: "enrol it again with a new code"}
	}
	if err == nil {
		var ids []string
		for _, p := range properties {
			if p.Begun {
				err = notAccepted(p)
			}
			ids = append(ids, p.ID)
		}
		if err == nil {
			err = o.give(ctx, id, ids)
		}
	}
	device := text(o.records[id], "device")
	o.mu.Unlock()
	if err != nil {
		return DeviceRow{}, err
	}
	s.exchange.Recheck(device)
	return s.deviceRow(device), nil
}

// Label names a device for the office, to tell apart those that one person carries; "" takes
// the name off.
func (s *Server) Label(ctx context.Context, which, label string) (DeviceRow, error) {
	label = strings.Join(strings.Fields(strings.ToValidUTF8(label, "")), " ")
	if len(label) > 100 {
		return DeviceRow{}, &model.Problem{Path: "label", Reason: "is longer than 100 letters"}
	}
	o := s.office
	o.mu.Lock()
	id, err := o.pickDevice(which)
	if err == nil && text(o.records[id], "label") != label {
		err = o.write(ctx, id, "office", map[string]any{"label": label})
	}
	device := text(o.records[id], "device")
	o.mu.Unlock()
	if err != nil {
		return DeviceRow{}, err
	}
	return s.deviceRow(device), nil
}

func (s *Server) deviceRow(device string) DeviceRow {
	rows := s.Devices()
	return rows[slices.IndexFunc(rows, func(r DeviceRow) bool { return r.Device == device })]
}

// give adds properties to those of a device's record. The caller holds o.mu.
func (o *office) give(ctx context.Context, id string, properties []string) error {
	given, withheld := texts(o.records[id], "properties"), withheldFrom(o.records[id])
	wider, left := union(given, properties), o.without(withheld, properties)
	if len(wider) == len(given) && len(left) == len(withheld) {
		return nil
	}
	return o.write(ctx, id, "office", map[string]any{"properties": wider, "withheld": left})
}

// union is a and those of b that are not in it, each once.
func union(a, b []string) []string {
	all := slices.Clone(a)
	for _, s := range b {
		if !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	return all
}

// RevokeLink takes a link back by its secret, by its row, by the name of whom it was made for, or by its
// property when that has only one.
func (s *Server) RevokeLink(ctx context.Context, which string) (LinkRow, error) {
	id, err := s.revokeLink(ctx, which)
	if err != nil {
		return LinkRow{}, err
	}
	s.office.mu.Lock()
	at := slices.Index(s.office.all(linkRecord), id)
	s.office.mu.Unlock()
	return s.Links()[at], nil
}

func (s *Server) revokeLink(ctx context.Context, which string) (string, error) {
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	id, err := o.find(linkRecord, "linkHash", digest(which)), error(nil)
	if id == "" {
		id, err = s.pickLink(which)
	}
	if err != nil || text(o.records[id], "revokedOn") != "" {
		return id, err
	}
	return id, o.write(ctx, id, "office", map[string]any{"revokedOn": s.now().UTC().Format(time.RFC3339)})
}

func (s *Server) pickLink(which string) (string, error) {
	o := s.office
	return o.pick(linkRecord, which, "link", func(id string) []string {
		record := o.records[id]
		if !s.opens(record) {
			return nil
		}
		return []string{text(record, "for"), text(o.records[text(record, "property")], "name")}
	})
}

// opens tells whether a link still shows its property.
func (s *Server) opens(record map[string]json.RawMessage) bool {
	until, ok := instant(record, "until")
	return ok && !s.now().After(until) && text(record, "revokedOn") == "" && text(record, keptShutOn) == ""
}
