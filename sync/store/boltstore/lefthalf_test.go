package boltstore

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"go.etcd.io/bbolt"

	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// TestSalvageMissesTheLast: an entry that the property's row counts and that is nowhere in the file is
// told as lost.
func TestSalvageMissesTheLast(t *testing.T) {
	from, to := filepath.Join(t.TempDir(), "from"), filepath.Join(t.TempDir(), "to")
	all := writtenRegister(t, from)["ridge"]
	file, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	for _, raw := range all[len(all)-2:] {
		broken := bytes.Clone([]byte(raw))
		broken[len(broken)/2] ^= 1
		if !bytes.Contains(file, []byte(raw)) {
			t.Fatal("the entry is not in the file")
		}
		file = bytes.ReplaceAll(file, []byte(raw), broken)
	}
	if err := os.WriteFile(from, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := Salvage(t.Context(), from, to)
	if err != nil || out.Damage == nil || out.Entries != 238 || len(out.Properties) != 2 {
		t.Fatalf("Salvage = %+v, %v", out, err)
	}
	if got, want := out.Properties[1], (SalvagedProperty{ID: "ridge", Entries: 78, Last: 80, Lost: []NumberRun{{79, 80}}}); !reflect.DeepEqual(got, want) {
		t.Errorf("of the property is told %+v, want %+v", got, want)
	}
	if got := out.Properties[0]; got.Last != 160 || len(got.Lost) > 0 {
		t.Errorf("of the other is told %+v", got)
	}
}

// TestBucketsWithinLeaves: a small bucket lies in its parent's page; one that leads elsewhere, or is too
// short to be one, holds nothing.
func TestBucketsWithinLeaves(t *testing.T) {
	path := filepath.Join(t.TempDir(), "few")
	s, err := Open(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	m := &storetest.Maker{Property: "p", Device: "a"}
	if _, err = s.Append(t.Context(), "p", []json.RawMessage{m.Entry("f", nil, "kind", `"peg"`)}); err != nil {
		t.Fatal(err)
	}
	var key, sealed []byte
	if err := errors.Join(s.view(func(tx *bbolt.Tx) error {
		k, v := tx.Bucket(entriesBucket).Cursor().First()
		key, sealed = bytes.Clone(k), bytes.Clone(v)
		return nil
	}), s.Close()); err != nil {
		t.Fatal(err)
	}
	inner := pageOf(0, leafPage, 0, onPage{key: string(key), value: string(sealed)})
	header := func(root uint64) string { return string(order.AppendUint64(order.AppendUint64(nil, root), 0)) }
	for name, c := range map[string]struct {
		value string
		want  int
	}{
		"within": {header(0) + string(inner), 1}, "elsewhere": {header(5) + string(inner), 0}, "empty": {header(0) + string(pageOf(0, leafPage, 0)), 0},
		"nothing": {"", 0}, "short": {"\x00\x00\x00\x00", 0}, "half a header": {header(0), 0}, "no count": {header(0) + string(inner[:pageHeader-1]), 0},
	} {
		r := &foundNotes{rows: map[uint32]propertyRow{}}
		r.leaf(pageOf(3, leafPage, 0, onPage{key: "entries", value: c.value, flags: bucketLeaf}), 0)
		if len(r.pending) != c.want {
			t.Errorf("%s: %d records are found, want %d", name, len(r.pending), c.want)
		}
	}
}

// TestFeaturesAfterOneThatIsNotThere begin with the next.
func TestFeaturesAfterOneThatIsNotThere(t *testing.T) {
	s, err := Open(filepath.Join(t.TempDir(), "r"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	m := &storetest.Maker{Property: "p", Device: "a"}
	if _, err := s.Append(t.Context(), "p", []json.RawMessage{m.Entry("b", nil, "kind", `"peg"`), m.Entry("d", nil, "kind", `"peg"`)}); err != nil {
		t.Fatal(err)
	}
	for last, want := range map[string]string{"": "bd", "a": "bd", "b": "d", "c": "d", "d": "", "e": ""} {
		got := ""
		if err := s.view(func(tx *bbolt.Tx) error {
			p, err := readProperty(tx, "p")
			if err != nil {
				return err
			}
			var after []byte
			if last != "" {
				after = []byte(last)
			}
			more, err := eachFeature(tx, p, after, func(key, _ []byte) (int, error) {
				got += string(key[len(u32(p.number)):])
				return 0, nil
			})
			if more {
				t.Errorf("after %q there are more", last)
			}
			return err
		}); err != nil || got != want {
			t.Errorf("after %q come %q, %v, want %q", last, got, err, want)
		}
	}
}

// TestFileThatDoesNotOpenIsLetGo: it can be opened again at once, and says the same.
func TestFileThatDoesNotOpenIsLetGo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "other")
	db, err := bbolt.Open(path, 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	first := ""
	for range 2 {
		s, err := Open(path, Options{})
		if s != nil || err == nil || errors.Is(err, ErrInUse) || first != "" && err.Error() != first {
			t.Fatalf("another program's file: %v, %v, and before it %q", s, err, first)
		}
		first = err.Error()
	}
}

// TestChecksEndWithWhoAsked: neither the pages nor a salvage go on for somebody who has gone.
func TestChecksEndWithWhoAsked(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r")
	writtenRegister(t, path)
	ended, stop := context.WithCancel(t.Context())
	stop()
	if err := verifyFile(ended, path, Options{ReadOnly: true}); !errors.Is(err, context.Canceled) {
		t.Errorf("a check: %v", err)
	}
	to := filepath.Join(t.TempDir(), "to")
	if _, err := Salvage(ended, path, to); !errors.Is(err, context.Canceled) {
		t.Errorf("a salvage: %v", err)
	}
	if _, err := os.Stat(to); err == nil {
		t.Error("a salvage that was ended has made its file")
	}
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	notes, err := openNotes(path + ".found")
	if err != nil {
		t.Fatal(err)
	}
	defer notes.close()
	if err := notes.findRecords(ended, f); !errors.Is(err, context.Canceled) {
		t.Errorf("a search: %v", err)
	}
}

// TestTurnsAtPhotosAreLeft: nothing is kept of a photo for whoever was at it.
func TestTurnsAtPhotosAreLeft(t *testing.T) {
	p := photosIn(t)
	sha := sentWhole(t, p, "d1", "a photo")
	if _, err := p.Offset(t.Context(), store.Sending{Device: "d1", SHA: sha}); err != nil {
		t.Fatal(err)
	}
	if _, err := p.Sweep(t.Context(), 0); err != nil {
		t.Fatal(err)
	}
	if len(p.busy) > 0 {
		t.Errorf("%d are kept", len(p.busy))
	}
}
