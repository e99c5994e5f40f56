package storage

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"headcut/sync/phonecompute"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// desk is a real store in this process; the test carries entries between it and a phone.
type desk struct {
	*boltstore.Store
	t *testing.T
}

func newDesk(t *testing.T) *desk {
	t.Helper()
	return openDesk(t, filepath.Join(t.TempDir(), "register.bolt"))
}

func openDesk(t *testing.T, path string) *desk {
	t.Helper()
	s, err := boltstore.Open(path, boltstore.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return &desk{s, t}
}

// restored is this desk's store as it was when it was written to backup.
func restored(t *testing.T, backup []byte) *desk {
	t.Helper()
	from, to := filepath.Join(t.TempDir(), "backup"), filepath.Join(t.TempDir(), "register.bolt")
	if err := os.WriteFile(from, backup, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := boltstore.Restore(t.Context(), from, to); err != nil {
		t.Fatal(err)
	}
	return openDesk(t, to)
}

func (d *desk) backup() []byte {
	d.t.Helper()
	var b bytes.Buffer
	if err := d.Snapshot(d.t.Context(), &b); err != nil {
		d.t.Fatal(err)
	}
	return b.Bytes()
}

// take appends what the phone's outbox offers and gives the receipts, which the phone
// does not get yet.
func (d *desk) take(s tab) []store.Receipt {
	d.t.Helper()
	texts := did[[]string](s, fmt.Sprintf("store.outbox.waiting(%q, 1000, 1e7).then(all => all.map(e => e.text))", property))
	raw := make([]json.RawMessage, len(texts))
	for i, text := range texts {
		raw[i] = json.RawMessage(text)
	}
	if len(raw) == 0 {
		return nil
	}
	receipts, err := d.Append(d.t.Context(), property, raw)
	if err != nil {
		d.t.Fatal(err)
	}
	return receipts
}

// push sends the outbox and gives the phone its receipts.
func (d *desk) push(s tab) []store.Receipt {
	d.t.Helper()
	receipts := d.take(s)
	settle(s, receipts)
	return receipts
}

func settle(s tab, receipts []store.Receipt) {
	s.t.Helper()
	raw, err := json.Marshal(receipts)
	if err != nil {
		s.t.Fatal(err)
	}
	did[any](s, fmt.Sprintf("store.outbox.settle(%q, %s)", property, raw))
}

// page is store.Pulled.
type page struct {
	First     uint64         `json:"first"`
	ArrivedMS []int64        `json:"arrivedMS"`
	Entries   []string       `json:"entries"`
	At        store.Position `json:"at"`
}

// after is what the desk answers to a pull.
func (d *desk) after(at store.Position, limit int) (page, error) {
	all, next, err := d.RawAfter(d.t.Context(), property, at, limit)
	p := page{First: at.N + 1, ArrivedMS: []int64{}, Entries: []string{}, At: next}
	for _, n := range all {
		p.ArrivedMS = append(p.ArrivedMS, n.Arrived.UnixMilli())
		p.Entries = append(p.Entries, string(n.Raw))
	}
	return p, err
}

func position(s tab) store.Position {
	s.t.Helper()
	at := did[*store.Position](s, fmt.Sprintf("store.outbox.position(%q)", property))
	if at == nil {
		return store.Position{}
	}
	return *at
}

func apply(s tab, pages ...page) outcome[any] {
	s.t.Helper()
	raw, err := json.Marshal(pages)
	if err != nil {
		s.t.Fatal(err)
	}
	return tried[any](s, fmt.Sprintf("store.outbox.apply(%q, %s)", property, raw))
}

// pull brings the phone up to the register's end, in pages of a few entries.
func (d *desk) pull(s tab) {
	d.t.Helper()
	for {
		p, err := d.after(position(s), 7)
		if err != nil {
			d.t.Fatal(err)
		}
		if got := apply(s, p); got.Kind != "" {
			d.t.Fatalf("apply: %s: %s", got.Kind, got.Words)
		}
		if len(p.Entries) == 0 {
			return
		}
	}
}

// write appends entries of another device.
func (d *desk) write(entries ...register.Entry) {
	d.t.Helper()
	raw := make([]json.RawMessage, len(entries))
	for i, e := range entries {
		text, err := register.Encode(e)
		if err != nil {
			d.t.Fatal(err)
		}
		raw[i] = text
	}
	receipts, err := d.Append(d.t.Context(), property, raw)
	if err != nil {
		d.t.Fatal(err)
	}
	for _, r := range receipts {
		if r.Refused != "" {
			d.t.Fatalf("entry %s was refused: %s", r.ID, r.Refused)
		}
	}
}

// registered are the entries that the desk has, by id.
func (d *desk) registered() map[register.ID]register.Numbered {
	d.t.Helper()
	all := map[register.ID]register.Numbered{}
	for at := (store.Position{}); ; {
		got, next, err := d.EntriesAfter(d.t.Context(), property, at, 1000)
		if err != nil {
			d.t.Fatal(err)
		}
		if len(got) == 0 {
			return all
		}
		for _, n := range got {
			if _, twice := all[n.Entry.ID]; twice {
				d.t.Errorf("the register holds %s twice", n.Entry.ID)
			}
			all[n.Entry.ID] = n
		}
		at = next
	}
}

// standing is entry.ts's Feature.
type standing struct {
	ID      string                     `json:"id"`
	Fields  map[string]json.RawMessage `json:"fields"`
	Struck  bool                       `json:"struck"`
	Clashes []string                   `json:"clashes"`
	Saw     map[string]uint64          `json:"saw"`
	Stamp   register.Stamp             `json:"stamp"`
	Unsent  int                        `json:"unsent"`
}

func (s tab) features() map[string]standing {
	s.t.Helper()
	all := map[string]standing{}
	for _, f := range did[[]standing](s, fmt.Sprintf("store.features(%q)", property)) {
		all[f.ID] = f
	}
	return all
}

// record is schema.ts's HeldEntry.
type record struct {
	Text      string `json:"text"`
	N         uint64 `json:"n"`
	ArrivedMS int64  `json:"arrivedMS"`
	Feature   string `json:"feature"`
	Waiting   any    `json:"waiting"`
}

func (s tab) records() []record {
	s.t.Helper()
	return did[[]record](s, `store.db.read(db => db.getAll("entries"))`)
}

// wantFolded checks that every feature on the phone stands as Go folds all the entries
// about it that the phone holds, in memory as on disk.
func (s tab) wantFolded(when string) {
	s.t.Helper()
	type kept struct {
		N         uint64 `json:"n"`
		ArrivedMS int64  `json:"arrivedMS"`
		Text      string `json:"text"`
	}
	about, unsent := map[string][]kept{}, map[string]int{}
	for _, r := range s.records() {
		about[r.Feature] = append(about[r.Feature], kept{r.N, r.ArrivedMS, r.Text})
		if r.Waiting != nil {
			unsent[r.Feature]++
		}
	}
	onDisk := did[[]standing](s, `store.db.read(db => db.getAll("features"))`)
	shown := s.features()
	if len(onDisk) != len(about) || len(shown) != len(about) {
		s.t.Errorf("%s: %d features on disk, %d shown, entries about %d", when, len(onDisk), len(shown), len(about))
	}
	for _, f := range onDisk {
		question, err := json.Marshal(map[string]any{"features": []any{map[string]any{"feature": f.ID, "entries": about[f.ID]}}})
		if err != nil {
			s.t.Fatal(err)
		}
		answer, err := phonecompute.Fold(question)
		if err != nil {
			s.t.Fatal(err)
		}
		var got struct {
			Features []struct {
				register.Folded
				Saw   map[string]uint64 `json:"saw"`
				Stamp register.Stamp    `json:"stamp"`
			} `json:"features"`
		}
		if err := json.Unmarshal(answer, &got); err != nil {
			s.t.Fatal(err)
		}
		g := got.Features[0]
		want := standing{ID: f.ID, Fields: g.Fields, Struck: g.Struck, Clashes: []string{}, Saw: g.Saw, Stamp: g.Stamp, Unsent: unsent[f.ID]}
		for _, c := range g.Clashes {
			want.Clashes = append(want.Clashes, c.Field)
		}
		slices.Sort(want.Clashes)
		for where, f := range map[string]standing{"on disk": f, "shown": shown[f.ID]} {
			slices.Sort(f.Clashes)
			if !sameStanding(s.t, f, want) {
				s.t.Errorf("%s: feature %s %s is\n%s, want\n%s", when, f.ID, where, text(f), text(want))
			}
		}
	}
}

func sameStanding(t *testing.T, a, b standing) bool {
	t.Helper()
	return sameJSON(t, []byte(text(a)), []byte(text(b)))
}

func text(v any) string {
	raw, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	return string(raw)
}

// entryOf is an entry of another device.
func entryOf(t *testing.T, device string, seq uint64, feature string, saw map[string]uint64, at time.Time, fields string) register.Entry {
	t.Helper()
	e := register.Entry{Version: 1, ID: register.ID(newUUID(t, at)), Property: property, Feature: feature, Device: device, DeviceSeq: seq,
		Stamp: register.StampAt(at), SeenAt: at.Format(time.RFC3339), Author: "A. Neighbour", Saw: saw}
	switch fields {
	case "strike":
		yes := true
		e.Strike = &yes
	default:
		if err := json.Unmarshal([]byte(fields), &e.Set); err != nil {
			t.Fatal(err)
		}
	}
	return e
}
