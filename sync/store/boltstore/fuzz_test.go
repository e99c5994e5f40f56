package boltstore

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// FuzzPage gives the readers of a damaged file whatever might stand in a page. They never panic,
// and what salvage takes lies within the page.
func FuzzPage(f *testing.F) {
	path := filepath.Join(f.TempDir(), "register.db")
	s, err := Open(path, Options{NoFlush: true})
	if err != nil {
		f.Fatal(err)
	}
	m := storetest.Maker{Property: "p", Device: "phone"}
	for range 3 {
		appendNew(f, s, m.Entry("dam", nil, "kind", `"check-dam"`))
	}
	if err := s.Close(); err != nil {
		f.Fatal(err)
	}
	file, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	for page := range len(file) / os.Getpagesize() {
		f.Add(file[page*os.Getpagesize():][:os.Getpagesize()])
	}
	f.Fuzz(func(t *testing.T, page []byte) {
		if len(page) < pageHeader { // pages have one size
			return
		}
		_, _ = parseMeta(page)
		_, _ = readFreelist(page)
		var n pageNote
		_ = n.readElements(page)
		found := foundNotes{rows: map[uint32]propertyRow{}}
		found.leaf(page, 0)
		for _, one := range found.pending {
			end := one.at + recordKey + int64(one.size)
			if one.at < 0 || end > int64(len(page)) {
				t.Fatalf("a record lies from %d to %d of a page of %d bytes", one.at, end, len(page))
			}
			if _, err := unsealRecord(page[one.at:][:recordKey], page[one.at+recordKey:end]); err != nil {
				t.Fatalf("what was found cannot be read again: %v", err)
			}
		}
	})
}

// FuzzSealed unseals what may have been damaged: what is taken is sealed again to the same bytes.
func FuzzSealed(f *testing.F) {
	key := numberKey(1, 2)
	room, raw, _ := unsealed([]byte(`{"v":1}`), make([]byte, recordStart+len(`{"v":1}`)))
	r := record{hash: register.HashOf(raw), chain: register.HashOf(nil), arrived: time.UnixMilli(1e12), raw: raw}
	f.Add(r.seal(key, room))
	f.Add(seal(key, u64(7)))
	f.Add([]byte(register.HashOf(raw).String() + " phone-1 5000"))
	f.Fuzz(func(t *testing.T, sealed []byte) {
		if value, err := unseal(key, sealed); err == nil && !bytes.Equal(seal(key, value), sealed) {
			t.Fatalf("%x is unsealed to %x, which is sealed otherwise", sealed, value)
		}
		_, _ = unsealRecord(key, sealed)
		_, _ = unsealProperty(key, sealed)
		_, _, _ = unsealFeature(key, sealed)
		_, _ = unsealSeqs(key, sealed)
		if l, ok := parseReceived(sealed); ok && l.size < 0 {
			t.Fatalf("%q is read as %+v", sealed, l)
		}
	})
}

// FuzzAppend gives the store what anybody might send as entries, one a line: each gets a receipt,
// and what was taken is read back byte for byte.
func FuzzAppend(f *testing.F) {
	s, err := Open(filepath.Join(f.TempDir(), "register.db"), Options{NoFlush: true})
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { _ = s.Close() })
	m := storetest.Maker{Property: "p", Device: "phone"}
	first, second := m.Entry("dam", nil, "kind", `"check-dam"`, "crestHeightM", "0.4"), m.Strike("dam", map[string]uint64{"other": 3}, true)
	f.Add([]byte(first))
	f.Add(append(append([]byte{}, first...), append([]byte("\n"), second...)...))
	f.Fuzz(func(t *testing.T, lines []byte) {
		var entries []json.RawMessage
		for line := range bytes.SplitSeq(lines, []byte("\n")) {
			entries = append(entries, line)
		}
		receipts, err := s.Append(context.Background(), "p", entries)
		if err != nil {
			t.Fatalf("Append(%q): %v", lines, err)
		}
		if len(receipts) != len(entries) {
			t.Fatalf("%d entries have %d receipts", len(entries), len(receipts))
		}
		for i, r := range receipts {
			if (r.Refused == "") != (r.N > 0) {
				t.Fatalf("%q is answered %+v", entries[i], r)
			}
			if r.N == 0 {
				continue
			}
			if err := s.view(func(tx *bbolt.Tx) error {
				p, err := readProperty(tx, "p")
				if err != nil {
					return err
				}
				key := numberKey(p.number, r.N)
				kept, err := unsealRecord(key, tx.Bucket(entriesBucket).Get(key))
				if err == nil && !bytes.Equal(kept.raw, entries[i]) {
					t.Errorf("entry %d is %q, want %q", r.N, kept.raw, entries[i])
				}
				return err
			}); err != nil {
				t.Fatal(err)
			}
		}
	})
}
