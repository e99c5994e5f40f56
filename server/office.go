package server

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"sync"
	"time"

	"github.com/google/uuid"

	"headcut/sync/register"
	"headcut/sync/store"
)

// officeProperty is the register that holds properties, devices, one-time codes and
// links. No device may be given it, since no grant ever names it.
const officeProperty = "office"

// OfficeRegister is the name of that register in the store, for who counts what is there.
const OfficeRegister = officeProperty

// office is the folded office register in memory, and the only writer of it.
type office struct {
	store store.Register
	now   func() time.Time

	mu      sync.Mutex
	device  string // this server's device id, new with each run, so that a restored store never reuses a number
	seq     uint64
	last    register.Stamp
	records map[string]map[string]json.RawMessage // by feature
	saw     map[string]map[string]uint64          // feature, device, highest DeviceSeq
	found   map[string]string                     // feature by kind, field and value, of the fields that find knows
	order   []string                              // features in the order in which they were made
	made    map[string]time.Time                  // by feature

	sights map[string]time.Time // by feature of a device or a link: when it was last used, in this run
}

// The kinds of an office record. They are not kinds of features: nothing here is on a map.
const (
	propertyRecord = "property"
	codeRecord     = "code"
	deviceRecord   = "device"
	linkRecord     = "link"
)

func openOffice(ctx context.Context, s store.Register, now func() time.Time) (*office, error) {
	o := &office{
		store: s, now: now, device: "office-" + uuid.NewString(),
		records: map[string]map[string]json.RawMessage{},
		found:   map[string]string{},
		saw:     map[string]map[string]uint64{},
		made:    map[string]time.Time{},
		sights:  map[string]time.Time{},
	}
	for folded, err := range s.Features(ctx, officeProperty, nil) {
		if err != nil {
			return nil, fmt.Errorf("reading the office register: %w", err)
		}
		o.records[folded.Feature] = folded.Fields
		o.index(folded.Feature)
	}
	var at store.Position
	for {
		page, next, err := s.EntriesAfter(ctx, officeProperty, at, 1000)
		if err != nil {
			return nil, fmt.Errorf("reading the office register: %w", err)
		}
		if len(page) == 0 {
			return o, nil
		}
		for _, e := range page {
			o.noteSeen(e.Entry, e.Arrived)
		}
		at = next
	}
}

func (o *office) noteSeen(e register.Entry, arrived time.Time) {
	if _, known := o.made[e.Feature]; !known {
		o.made[e.Feature] = arrived
		o.order = append(o.order, e.Feature)
	}
	seen := o.saw[e.Feature]
	if seen == nil {
		seen = map[string]uint64{}
		o.saw[e.Feature] = seen
	}
	seen[e.Device] = max(seen[e.Device], e.DeviceSeq)
	o.last = max(o.last, e.Stamp)
}

// write records fields of one office record, durably, and returns once that is done.
// The caller holds o.mu, so that what it read still holds when this is written.
func (o *office) write(ctx context.Context, feature, author string, fields map[string]any) error {
	set := make(map[string]json.RawMessage, len(fields))
	for name, value := range fields {
		raw, err := json.Marshal(value)
		if err != nil {
			return fmt.Errorf("office record field %s: %w", name, err)
		}
		set[name] = raw
	}
	now := o.now()
	id, err := uuid.NewV7()
	if err != nil {
		return err
	}
	saw := maps.Clone(o.saw[feature])
	delete(saw, o.device)
	e := register.Entry{
		Version: register.Version, ID: register.ID(id.String()), Property: officeProperty,
		Feature: feature, Device: o.device, DeviceSeq: o.seq + 1,
		Stamp: register.Next(o.last, now), SeenAt: now.Format(time.RFC3339), Author: author,
		Saw: saw, Set: set,
	}
	raw, err := register.Encode(e)
	if err != nil {
		return err
	}
	receipts, err := o.store.Append(ctx, officeProperty, []json.RawMessage{raw})
	if err != nil {
		return err
	}
	if receipts[0].Refused != "" {
		return fmt.Errorf("office record refused: %s", receipts[0].Refused)
	}
	o.seq++
	o.noteSeen(e, now)
	record := maps.Clone(o.records[feature])
	if record == nil {
		record = map[string]json.RawMessage{}
	}
	maps.Copy(record, set)
	o.records[feature] = record
	o.index(feature)
	return nil
}

// all lists the ids of the records of this kind in the order in which they were made, which
// never changes: a record's place in it is the row that the office's lists give it. The
// caller holds o.mu.
func (o *office) all(kind string) []string {
	var ids []string
	for _, id := range o.order {
		if text(o.records[id], "kind") == kind {
			ids = append(ids, id)
		}
	}
	return ids
}

// find returns the id of a record of this kind whose field, one of sought, has this value, ""
// when there is none. It takes as long however many there are. The caller holds o.mu.
func (o *office) find(kind, field, value string) string {
	id := o.found[foundKey(kind, field, value)]
	if text(o.records[id], field) != value { // it has another value by now
		return ""
	}
	return id
}

// sought are the fields by which records are found.
var sought = []string{"codeHash", "device", "tokenHash", "linkHash", "url"}

// index lets find find a record.
func (o *office) index(id string) {
	record := o.records[id]
	for _, field := range sought {
		if value := text(record, field); value != "" {
			o.found[foundKey(text(record, "kind"), field, value)] = id
		}
	}
}

func foundKey(kind, field, value string) string { return kind + "\x00" + field + "\x00" + value }

func text(record map[string]json.RawMessage, field string) string {
	var s string
	if raw, ok := record[field]; ok {
		_ = json.Unmarshal(raw, &s) // what is not text reads as none
	}
	return s
}

func instant(record map[string]json.RawMessage, field string) (time.Time, bool) {
	t, err := time.Parse(time.RFC3339, text(record, field))
	return t, err == nil
}
