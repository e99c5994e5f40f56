package storetest

import (
	"encoding/json"
	"fmt"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Maker writes entries as a device does, with its own deviceSeq and clock.
type Maker struct {
	Property, Device string
	Seq              uint64
	Stamp            register.Stamp
}

// Entry is the device's next entry, setting fields given as name and JSON text in turn.
func (m *Maker) Entry(feature string, saw map[string]uint64, fields ...string) json.RawMessage {
	set := make(map[string]json.RawMessage, len(fields)/2)
	for i := 0; i+1 < len(fields); i += 2 {
		set[fields[i]] = json.RawMessage(fields[i+1])
	}
	return m.write(register.Entry{Feature: feature, Saw: saw, Set: model.FieldValuesOf(set)})
}

// Strike is the device's next entry, striking the feature out or restoring it.
func (m *Maker) Strike(feature string, saw map[string]uint64, strike bool) json.RawMessage {
	return m.write(register.Entry{Feature: feature, Saw: saw, Strike: &strike})
}

func (m *Maker) write(e register.Entry) json.RawMessage {
	m.Seq++
	m.Stamp = register.Next(m.Stamp, time.Now())
	e.Version, e.ID, e.Property, e.Device, e.DeviceSeq = 1, NewID(), m.Property, m.Device, m.Seq
	e.Stamp, e.SeenAt, e.Author = m.Stamp, "2026-11-25T09:30:00+10:00", "Officer "+m.Device
	raw, err := register.Encode(e)
	if err != nil {
		panic(fmt.Sprintf("storetest makes an entry that cannot be encoded: %v", err))
	}
	return raw
}

// NewID makes an entry's id.
func NewID() register.ID { return register.ID(uuid.Must(uuid.NewV7()).String()) }

// Point is the JSON text of a point.
func Point(lon, lat float64) string {
	return fmt.Sprintf(`{"type":"Point","coordinates":[%v,%v]}`, lon, lat)
}

// appendAll appends and fails unless every entry is taken as new.
func appendAll(t T, s store.Register, property string, raw ...json.RawMessage) []store.Receipt {
	t.Helper()
	receipts := send(t, s, property, raw...)
	for i, r := range receipts {
		if r.Refused != "" || r.Known || r.N == 0 {
			t.Fatalf("Append of the new entry %s = %+v, want a number", raw[i], r)
		}
	}
	return receipts
}

func send(t T, s store.Register, property string, raw ...json.RawMessage) []store.Receipt {
	t.Helper()
	receipts, err := s.Append(t.Context(), property, raw)
	if err != nil {
		t.Fatalf("Append of %d entries: %v", len(raw), err)
	}
	if len(receipts) != len(raw) {
		t.Fatalf("Append of %d entries gives %d receipts", len(raw), len(receipts))
	}
	return receipts
}

// ReadAll reads a property from the beginning and checks numbers, hashes and chain.
func ReadAll(t T, s store.Register, property string) ([]register.Numbered, store.Position) {
	t.Helper()
	var all []register.Numbered
	var at store.Position
	for {
		page, next, err := s.EntriesAfter(t.Context(), property, at, 400)
		if err != nil {
			t.Fatalf("EntriesAfter(%+v): %v", at, err)
		}
		if len(page) == 0 {
			return all, at
		}
		at = checkPage(t, page, at, next)
		all = append(all, page...)
	}
}

// checkPage checks that page follows at and ends at next.
func checkPage(t T, page []register.Numbered, at, next store.Position) store.Position {
	t.Helper()
	for _, e := range page {
		at.N++
		if e.N != at.N {
			t.Fatalf("after entry %d comes %d", at.N-1, e.N)
		}
		if register.HashOf(e.Raw) != e.Hash {
			t.Fatalf("entry %d does not give its hash", e.N)
		}
		at.Hash = register.Chain(at.Hash, e.Hash)
	}
	if next.N != at.N || next.Hash != at.Hash || next.Epoch == "" {
		t.Fatalf("the position after entry %d is %+v, want hash %s", at.N, next, at.Hash)
	}
	return next
}

// features reads all folded features of a property by id.
func features(t T, s store.Register, property string) map[string]register.Folded {
	t.Helper()
	out := make(map[string]register.Folded)
	last := ""
	for f, err := range s.Features(t.Context(), property) {
		if err != nil {
			t.Fatalf("Features: %v", err)
		}
		if f.Feature <= last {
			t.Fatalf("after feature %q comes %q", last, f.Feature)
		}
		last = f.Feature
		out[f.Feature] = f
	}
	return out
}

// sameFold compares a folded feature with the fold of its entries.
func sameFold(t T, got register.Folded, entries []register.Numbered) {
	t.Helper()
	want := register.Fold(got.Feature, entries)
	g, _ := json.Marshal(got)
	w, _ := json.Marshal(want)
	if string(g) != string(w) {
		t.Errorf("feature %s is\n%s\nits entries fold to\n%s", got.Feature, g, w)
	}
}
