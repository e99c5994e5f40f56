package server

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"sync"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// officeProperty is the register that holds properties, devices, one-time codes and
// links. No device may be given it, since no grant ever names it.
const officeProperty = "office"

// OfficeRegister is the name of that register in the store, for who counts what is there.
const OfficeRegister = officeProperty

// office is the folded office register in memory, and the only writer of it. Who reads holds mu,
// which is never held while the disk is waited for. Who reads and then writes what follows from it
// holds writing instead, and reads without mu, since nobody else writes.
type office struct {
	store store.Register
	now   func() time.Time

	writing sync.Mutex
	mu      sync.RWMutex
	device  string // this server's device id, new with each run, so that a restored store never reuses a number
	seq     uint64
	last    register.Stamp
	saw     map[string]map[string]uint64 // feature, device, highest DeviceSeq

	properties table[propertyRecord, *propertyRecord]
	devices    table[deviceRecord, *deviceRecord]
	codes      table[codeRecord, *codeRecord]
	links      table[linkRecord, *linkRecord]
	addresses  table[addressRecord, *addressRecord]
	intakes    table[intakeRecord, *intakeRecord]
	kinds      map[string]string // by id, of those above

	sights sights
}

func openOffice(ctx context.Context, s store.Register, now func() time.Time) (*office, error) {
	o := &office{
		store: s, now: now, device: officePrefix + uuid.NewString(),
		saw: map[string]map[string]uint64{}, kinds: map[string]string{},
	}
	folded := map[string]map[string]json.RawMessage{}
	for f, err := range s.Features(ctx, officeProperty) {
		if err != nil {
			return nil, fmt.Errorf("reading the office register: %w", err)
		}
		folded[f.Feature] = f.Fields
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
			if o.saw[e.Entry.Feature] == nil {
				o.file(e.Entry.Feature, e.Arrived.Time(), folded[e.Entry.Feature])
			}
			o.noteSeen(e.Entry)
		}
		at = next
	}
}

// reading gives what read gives of the office, while nothing is written.
func reading[T any](s *Server, read func(o *office) T) T {
	s.office.mu.RLock()
	defer s.office.mu.RUnlock()
	return read(s.office)
}

func (o *office) noteSeen(e register.Entry) {
	seen := o.saw[e.Feature]
	if seen == nil {
		seen = map[string]uint64{}
		o.saw[e.Feature] = seen
	}
	seen[e.Device] = max(seen[e.Device], e.DeviceSeq)
	o.last = max(o.last, e.Stamp)
}

// file makes or changes a record by fields as they are kept.
func (o *office) file(id string, made time.Time, fields map[string]json.RawMessage) {
	kind := o.kinds[id]
	if kind == "" {
		_ = json.Unmarshal(fields["kind"], &kind) // what has none is no record
		o.kinds[id] = kind
	}
	for _, t := range []interface {
		kind() string
		file(id string, made time.Time, fields map[string]json.RawMessage)
	}{&o.properties, &o.devices, &o.codes, &o.links, &o.addresses, &o.intakes} {
		if t.kind() == kind {
			t.file(id, made, fields)
		}
	}
}

// change is what is to be written of one record.
type change struct {
	id     string
	fields map[string]json.RawMessage
}

// officeAuthor is who answers for what the office's commands change.
const officeAuthor = "office"

// made is a new record to be written, with an id of its own unless it has one.
func made[R any, P filable[R]](r P) change {
	id := r.filing().id
	if id == "" {
		id = uuid.NewString()
	}
	fields := fieldsOf(r)
	fields["kind"], _ = json.Marshal(r.kind()) // text always can be
	return change{id, fields}
}

// changed is a record to be written with what do changes in a copy of it. do replaces slices and
// maps and does not write into them.
func changed[R any, P filable[R]](r P, do func(P)) change {
	copied := P(new(R))
	*copied = *r
	do(copied)
	before, after := fieldsOf(r), fieldsOf(copied)
	fields := map[string]json.RawMessage{}
	for name, value := range after {
		if !bytes.Equal(before[name], value) {
			fields[name] = value
		}
	}
	for name := range before {
		if after[name] == nil {
			fields[name] = json.RawMessage("null")
		}
	}
	return change{r.filing().id, fields}
}

// writtenAtOnce is how many records are made durable together.
const writtenAtOnce = 1000

// write records changes, durably, and returns once that is done; what changes nothing it passes
// over. The caller holds o.writing, so that what it read still holds when this is written.
func (o *office) write(ctx context.Context, author string, changes ...change) error {
	changes = slices.DeleteFunc(changes, func(c change) bool { return len(c.fields) == 0 })
	for batch := range slices.Chunk(changes, writtenAtOnce) {
		if err := o.writeBatch(ctx, author, batch); err != nil {
			return err
		}
	}
	return nil
}

func (o *office) writeBatch(ctx context.Context, author string, batch []change) error {
	now, last := o.now(), o.last
	entries, raws := make([]register.Entry, len(batch)), make([]json.RawMessage, len(batch))
	for i, c := range batch {
		saw := maps.Clone(o.saw[c.id])
		delete(saw, o.device)
		last = register.Next(last, now)
		entries[i] = register.Entry{
			Version: register.Version, ID: newEntryID(), Property: officeProperty,
			Feature: c.id, Device: o.device, DeviceSeq: o.seq + uint64(i) + 1,
			Stamp: last, SeenAt: now.Format(time.RFC3339), Author: author,
			Saw: saw, Set: model.FieldValuesOf(c.fields),
		}
		raw, err := register.Encode(entries[i])
		if err != nil {
			return err
		}
		raws[i] = raw
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	o.seq += uint64(len(batch)) // also of what fails, and may be in: no number is used twice
	receipts, err := o.store.Append(context.WithoutCancel(ctx), officeProperty, raws)
	if err != nil {
		return err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	for i, receipt := range receipts {
		if receipt.Refused != "" {
			return fmt.Errorf("office record refused: %s", receipt.Refused)
		}
		o.noteSeen(entries[i])
		o.file(batch[i].id, now, batch[i].fields)
	}
	return nil
}
