package boltstore

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// TestRowsThatAreGone: a feature that does not come up, an entry that its index has lost and one that is
// missing are told, and nothing is taken for whole or taken twice.
func TestRowsThatAreGone(t *testing.T) {
	m := &storetest.Maker{Property: "p", Device: "a"}
	raw := []json.RawMessage{m.Entry("f", nil, "name", `"one"`), m.Entry("g", nil, "name", `"two"`), m.Entry("h", nil, "name", `"three"`)}
	second, err := register.Decode(raw[1])
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		bucket []byte
		key    func(p property) []byte
		say    string
		read   func(s *Store) error
	}{
		"a feature": {featuresBucket, func(p property) []byte { return textKey(p.number, "g") }, "features that do not come up: 2 of 3 did", func(s *Store) (err error) {
			for _, e := range s.Features(t.Context(), "p") {
				err = errors.Join(err, e)
			}
			return err
		}},
		"an id": {idsBucket, func(property) []byte { return idKey(second.ID) }, "the index of ids lacks", func(s *Store) error {
			_, err := s.Append(t.Context(), "p", raw)
			return err
		}},
		"an entry": {entriesBucket, func(p property) []byte { return numberKey(p.number, 2) }, "entry 2 is missing", func(s *Store) error {
			_, _, err := s.EntriesAfter(t.Context(), "p", store.Position{}, 10)
			return err
		}},
	} {
		s := openNew(t)
		appendNew(t, s, raw...)
		if err := c.read(s); err != nil {
			t.Errorf("%s: before it was gone: %v", name, err)
		}
		if err := s.db.Update(func(tx *bbolt.Tx) error {
			p, err := readProperty(tx, "p")
			return errors.Join(err, tx.Bucket(c.bucket).Delete(c.key(p)))
		}); err != nil {
			t.Fatal(err)
		}
		if err := c.read(s); !errors.Is(err, store.ErrDamaged) || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%s: %v, want %q", name, err, c.say)
		}
	}
}

// TestFramesOfOneFeatureAreGatheredOnce: a device whose entries have been overtaken has its feature gathered
// once for a frame of them, and otherwise gives way to the others after its turn.
func TestFramesOfOneFeatureAreGatheredOnce(t *testing.T) {
	for name, c := range map[string]struct {
		features int // of the late device's entries
		last     uint64
	}{"all of one feature": {1, 160 + 60 + 1}, "each of its own": {60, 160 + turnWork + 1}} {
		s := openNew(t)
		others, late, one := &storetest.Maker{Property: "p", Device: "b"}, &storetest.Maker{Property: "p", Device: "late"}, &storetest.Maker{Property: "p", Device: "one"}
		var before []json.RawMessage
		for range 160 {
			before = append(before, others.Entry("f0", map[string]uint64{"late": 99}, "name", `"x"`))
		}
		appendNew(t, s, before...)
		var jobs []*job
		var turns []*line
		put := func(raw ...json.RawMessage) *job {
			j := &job{property: "p", items: make([]item, len(raw)), receipts: make([]store.Receipt, len(raw))}
			room := roomFor(raw)
			for i, text := range raw {
				room = j.items[i].read("p", text, room, nil)
			}
			turns = append(turns, &line{device: j.device(), jobs: []*job{j}})
			return j
		}
		var frame []json.RawMessage
		for i := range 60 {
			feature := fmt.Sprint("f", i%c.features)
			if c.features > 1 {
				feature = "g" + feature
			}
			frame = append(frame, late.Entry(feature, nil, "name", `"y"`))
		}
		first, second := put(frame...), put(one.Entry("z", nil, "name", `"z"`))
		if err := s.update(func(tx *bbolt.Tx) error { // the committer, which may not sleep yet, waits for it to end
			s.queue.mu.Lock()
			s.queue.turns = turns
			s.queue.mu.Unlock()
			return s.appendTurns(newBatch(tx, s.now().UTC()), &jobs)
		}); err != nil {
			t.Fatal(err)
		}
		if len(jobs) != 2 || first.next != 60 || second.receipts[0].N != c.last {
			t.Errorf("%s: the other's entry is number %d, want %d; %d of the frame are done", name, second.receipts[0].N, c.last, first.next)
		}
		mustVerify(t, s)
	}
}

// TestHalfALineIsTakenBack: what could not be noted whole leaves the list as it was.
func TestHalfALineIsTakenBack(t *testing.T) {
	for _, step := range []string{"write", "flush"} {
		d := &faultyDisk{left: 1 << 20}
		p, err := openPhotos(t.TempDir(), d)
		if err != nil {
			t.Fatal(err)
		}
		sha := sentWhole(t, p, "a", "a picture")
		before, err := os.ReadFile(p.receivedPath())
		if err != nil {
			t.Fatal(err)
		}
		d.hit = step
		if err := p.noteReceived(received{register.HashOf(nil), "b", 7}); !errors.Is(err, errFault) {
			t.Errorf("%s: %v", step, err)
		}
		if after, err := os.ReadFile(p.receivedPath()); err != nil || !bytes.Equal(after, before) {
			t.Errorf("%s: the list is %q, %v, want %q", step, after, err, before)
		}
		d.hit, d.left = "", 1<<20
		if err := p.noteReceived(received{register.HashOf(nil), "b", 7}); err != nil {
			t.Error(err)
		}
		var all []received
		for l, err := range p.lines() {
			if err != nil {
				t.Error(err)
			}
			all = append(all, l)
		}
		if want := []received{{sha, "a", 9}, {register.HashOf(nil), "b", 7}}; !slices.Equal(all, want) {
			t.Errorf("%s: listed %v, want %v", step, all, want)
		}
	}
}

// TestLinesOfTheList: what is a line of the list of photos, and what of a torn one is cut off.
func TestLinesOfTheList(t *testing.T) {
	sha := register.HashOf(nil).String()
	for line, want := range map[string]bool{sha: true, sha + " a 7": true, sha + " a 0": true, sha + " a -1": false, sha + " A 7": false, sha + " a": false, sha + " a 7 8": false, sha + " a x": false,
		sha + " " + store.Anybody + " 7": true, sha[:63]: false, "": false, sha + " ": false, sha + "  7": false} {
		l, ok := parseReceived([]byte(line))
		if ok != want || ok && l.String() != line {
			t.Errorf("%q is read as %q, %t", line, l, ok)
		}
	}
	whole := sha + " a 7\n"
	for text, want := range map[string]string{
		"": "", whole: whole, whole + "x": whole, whole + whole[:len(whole)-1]: whole, "x": "", whole + strings.Repeat("x", longestReceived-1): whole,
		whole + strings.Repeat("x", longestReceived): whole + strings.Repeat("x", longestReceived), strings.Repeat("x", longestReceived-1): "",
	} {
		path := filepath.Join(t.TempDir(), receivedFile)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		f, err := os.OpenFile(path, os.O_RDWR, 0)
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(cutTorn(f), f.Close()); err != nil {
			t.Errorf("%q: %v", text, err)
		}
		if got, _ := os.ReadFile(path); string(got) != want {
			t.Errorf("of %d bytes %d are left, want %d", len(text), len(got), len(want))
		}
	}
	p := photosIn(t)
	if before, err := p.beforeSenders(); before || err != nil {
		t.Errorf("an empty list is of an earlier version: %t, %v", before, err)
	}
	if err := os.WriteFile(p.receivedPath(), []byte(sha+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if before, err := p.beforeSenders(); !before || err != nil {
		t.Errorf("a list without devices is of an earlier version: %t, %v", before, err)
	}
}

// TestPartsThatChanged: a device goes on from what is there, not from what was there.
func TestPartsThatChanged(t *testing.T) {
	p := photosIn(t)
	s := store.Sending{Device: "a", SHA: register.HashOf([]byte("a picture"))}
	if n, err := p.WriteAt(t.Context(), s, 0, 9, strings.NewReader("a pict")); err != nil || n != 6 {
		t.Fatal(n, err)
	}
	want := func(n int64) {
		t.Helper()
		if off, err := p.Offset(t.Context(), s); off != n || err != nil {
			t.Errorf("%d bytes are here, %v, want %d", off, err, n)
		}
	}
	want(6)
	if err := os.Truncate(p.part(s), 4); err != nil {
		t.Fatal(err)
	}
	want(4)
	if n, err := p.WriteAt(t.Context(), s, 4, 9, strings.NewReader("ct")); err != nil || n != 6 {
		t.Errorf("went on to %d, %v", n, err)
	}
	if err := os.Remove(p.part(s)); err != nil {
		t.Fatal(err)
	}
	want(0)
}

// TestSalvageOfLongPages: a leaf is read as long as it says, also the last of a file that was cut, and no
// longer than an entry can be; what follows one that claims too much is read.
func TestSalvageOfLongPages(t *testing.T) {
	size := os.Getpagesize()
	at := numberKey(7, 1)
	record := string((&record{arrived: time.UnixMilli(7), hash: register.HashOf(nil)}).seal(at, make([]byte, recordStart)))
	for name, c := range map[string]struct {
		overflow uint32
		pages    int
		found    bool
	}{
		"a page":                        {0, 1, true},
		"two":                           {1, 2, true},
		"the last, cut short by a page": {2, 2, true},
		"longer than the file":          {3, 2, false},
		"as long as a leaf may be":      {uint32(mostLeaf/size) - 1, mostLeaf / size, true},
		"longer":                        {uint32(mostLeaf / size), mostLeaf/size + 1, false},
	} {
		key := string(at)
		page := pageOf(0, leafPage, c.overflow, onPage{key: "a", value: strings.Repeat("v", size-200)}, onPage{key: key, value: record})
		if c.overflow > 0 { // the record lies on the second page
			page = pageOf(0, leafPage, c.overflow, onPage{key: "a", value: strings.Repeat("v", size)}, onPage{key: key, value: record})
		}
		path := filepath.Join(t.TempDir(), "file")
		if err := errors.Join(os.WriteFile(path, page, 0o600), os.Truncate(path, int64(c.pages*size))); err != nil {
			t.Fatal(err)
		}
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		notes, err := openNotes(path + ".found")
		if err != nil {
			t.Fatal(err)
		}
		err = notes.findRecords(context.Background(), f)
		found := 0
		for _, records := range notes.properties() {
			for range records {
				found++
			}
		}
		if err := errors.Join(err, notes.close(), f.Close()); err != nil || found != map[bool]int{true: 1}[c.found] {
			t.Errorf("%s: %d records are found, %v", name, found, err)
		}
	}
}
