package boltstore

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/fnv"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// photosIn is a folder of photos.
func photosIn(t testing.TB) *Photos {
	t.Helper()
	p, err := OpenPhotos(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// sentWhole sends a photo and gives its hash.
func sentWhole(t testing.TB, p *Photos, device, photo string) register.Hash {
	t.Helper()
	sha := register.HashOf([]byte(photo))
	if n, err := p.WriteAt(t.Context(), store.Sending{Device: device, SHA: sha}, 0, int64(len(photo)), strings.NewReader(photo)); err != nil || n != int64(len(photo)) {
		t.Fatalf("%d bytes of %d are sent: %v", n, len(photo), err)
	}
	return sha
}

// TestAudit: what is whole, damaged, missing, awaited and unlisted is told apart, and who may have what
// is not here.
func TestAudit(t *testing.T) {
	s, p := openNew(t), photosIn(t)
	whole, damagedOne, gone := sentWhole(t, p, "a", "whole"), sentWhole(t, p, "a", "damaged"), sentWhole(t, p, "b", "gone")
	sentWhole(t, p, "c", "gone") // by another too: it is missing once
	awaited, alsoAwaited, unnamed := register.HashOf([]byte("awaited")), register.HashOf([]byte("also awaited")), sentWhole(t, p, "b", "named by nobody")
	list := func(shas ...register.Hash) string {
		var b strings.Builder
		for i, sha := range shas {
			fmt.Fprintf(&b, `%s"%s"`, map[bool]string{true: ",", false: ""}[i > 0], sha)
		}
		return "[" + b.String() + "]"
	}
	ana, ben := &storetest.Maker{Property: "p", Device: "a"}, &storetest.Maker{Property: "p", Device: "b"}
	other := &storetest.Maker{Property: "q", Device: "c"}
	appendNew(t, s, ana.Entry("f", nil, "photos", list(whole, damagedOne)), ben.Entry("g", nil, "photos", list(gone)))
	appendNew(t, s, ben.Entry("f", map[string]uint64{"a": 1}, "photos", list(whole, damagedOne, awaited)))
	appendNew(t, s, ana.Entry("f", map[string]uint64{"b": 2}, "photos", list(alsoAwaited, awaited, whole, damagedOne)), ana.Entry("i", nil, "name", `"no photos"`))
	if _, err := s.Append(t.Context(), "q", nil); err != nil {
		t.Fatal(err)
	}
	storetestAppend(t, s, "q", other.Entry("z", nil, "photos", list(awaited)))
	look := func() Audited {
		t.Helper()
		said := map[string]uint64{}
		found, err := Audit(t.Context(), s, p, func(what string, done uint64) { said[what] = done })
		if err != nil {
			t.Fatal(err)
		}
		if said["photos"] != uint64(found.Photos.Whole+len(found.Photos.Damaged)) {
			t.Errorf("told of %v, found %+v", said, found.Photos)
		}
		again, err := Audit(t.Context(), s, p, nil)
		if err != nil || fmt.Sprint(again) != fmt.Sprint(found) {
			t.Errorf("with nobody to tell it finds %+v, %v", again, err)
		}
		return found
	}
	if err := s.NotePhotos(p); err != nil {
		t.Fatal(err)
	}
	if found := look(); !found.Photos.Sound() || found.Photos.Whole != 4 || found.Entries != 6 || found.Unfinished || found.Awaited != 2 {
		t.Errorf("of a sound register: %+v", found)
	}
	if err := os.WriteFile(p.photo(damagedOne), []byte("damaged?"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(p.photo(gone)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(p.dir, "photo", "readme"), []byte("no photo"), 0o600); err != nil {
		t.Fatal(err)
	}
	found := look()
	if found.Photos.Sound() || found.Photos.Whole != 2 || !slices.Equal(found.Photos.Damaged, []register.Hash{damagedOne}) || !slices.Equal(found.Photos.Missing, []register.Hash{gone}) || found.Photos.Unlisted != 0 || found.Awaited != 2 {
		t.Errorf("found %+v, %d awaited", found.Photos, found.Awaited)
	}
	byBen := []register.Hash{gone, awaited} // by what they are
	slices.SortFunc(byBen, func(a, b register.Hash) int { return bytes.Compare(a[:], b[:]) })
	want := []PhotosWith{{Device: "a", Author: "Officer a", Photos: []register.Hash{alsoAwaited}}, {Device: "b", Author: "Officer b", Photos: byBen}}
	if fmt.Sprint(found.With) != fmt.Sprint(want) {
		t.Errorf("may be with %v, want %v", found.With, want)
	}
	if p.Has(gone) || !p.Has(damagedOne) || !p.Has(unnamed) {
		t.Error("which photos are here")
	}
	if good, err := p.Whole(t.Context(), gone); good || !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("one that is not here is whole %t, %v", good, err)
	}

	// The folder is lost with its list: the register remembers how many came.
	lost := photosIn(t)
	found, err := Audit(t.Context(), s, lost, nil)
	if err != nil || found.Photos.Unlisted != 4 || found.Photos.Sound() || found.Awaited != 5 {
		t.Errorf("without its folder: %+v, %d awaited, %v", found.Photos, found.Awaited, err)
	}
	if err := s.NotePhotos(lost); err != nil { // fewer than it knows of
		t.Fatal(err)
	}
	if n, err := s.photosNoted(); n != 4 || err != nil {
		t.Errorf("%d are noted, %v", n, err)
	}
	sentWhole(t, lost, "a", "one more")
	if found, err = Audit(t.Context(), s, lost, nil); err != nil || found.Photos.Unlisted != 3 {
		t.Errorf("with one that came since: %+v, %v", found.Photos, err)
	}
}

// storetestAppend appends to a property, all as new.
func storetestAppend(t testing.TB, s *Store, property string, raw []byte) {
	t.Helper()
	if receipts, err := s.Append(t.Context(), property, []json.RawMessage{raw}); err != nil || receipts[0].N == 0 {
		t.Fatal(receipts, err)
	}
}

// TestPhotosAreRepaired by bytes that have their hash, and by no others; who sent them is kept.
func TestPhotosAreRepaired(t *testing.T) {
	p := photosIn(t)
	sha := sentWhole(t, p, "a", "a picture")
	if err := os.WriteFile(p.photo(sha), []byte("scratched"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := p.Repair(t.Context(), sha, []string{"b"}, strings.NewReader("another")); !errors.Is(err, ErrBadCopy) {
		t.Errorf("a bad copy gives %v", err)
	}
	if good, err := p.Whole(t.Context(), sha); good || err != nil {
		t.Errorf("after a bad copy it is whole %t, %v", good, err)
	}
	if err := p.Repair(t.Context(), sha, []string{"b", "a"}, strings.NewReader("a picture")); err != nil {
		t.Error(err)
	}
	if good, err := p.Whole(t.Context(), sha); !good || err != nil {
		t.Errorf("after a good one it is whole %t, %v", good, err)
	}
	if devices, size, err := p.Sent(t.Context(), sha); !slices.Equal(devices, []string{"a", "b"}) || size != 9 || err != nil {
		t.Errorf("it was sent by %v, %d bytes, %v", devices, size, err)
	}
	left := filepath.Join(p.dir, asidePrefix+"1")
	if err := os.WriteFile(left, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := p.RemoveAside(); err != nil {
		t.Error(err)
	}
	if files, _ := filepath.Glob(filepath.Join(p.dir, asidePrefix+"*")); len(files) != 0 {
		t.Errorf("left aside: %v", files)
	}
}

// TestSendersOfACopy: what another list knows of the photos that are here, once each.
func TestSendersOfACopy(t *testing.T) {
	here, there := photosIn(t), photosIn(t)
	both := sentWhole(t, here, "a", "both")
	sentWhole(t, there, "a", "both")
	sentWhole(t, there, "b", "both")
	alone := sentWhole(t, there, "b", "there alone")
	for range 2 { // again it changes nothing
		if err := here.SentAlso(t.Context(), there); err != nil {
			t.Fatal(err)
		}
		for sha, want := range map[register.Hash][]string{both: {"a", "b"}, alone: nil} {
			if devices, _, err := here.Sent(t.Context(), sha); err != nil || !slices.Equal(devices, want) {
				t.Errorf("sent by %v, %v, want %v", devices, err, want)
			}
		}
		if room, err := here.Room(t.Context(), "b"); err != nil || room != int64(len("both")) {
			t.Errorf("b has sent %d bytes, %v", room, err)
		}
	}
	again, err := OpenPhotos(here.dir)
	if err != nil {
		t.Fatal(err)
	}
	if devices, size, err := again.Sent(t.Context(), both); err != nil || !slices.Equal(devices, []string{"a", "b"}) || size != 4 {
		t.Errorf("after a restart sent by %v, %d bytes, %v", devices, size, err)
	}
}

// TestMarksOfBackups: a backup says what it is until it is restored, when it was taken, and whether its
// photos came too.
func TestMarksOfBackups(t *testing.T) {
	dir := t.TempDir()
	s, p := openNew(t), photosIn(t)
	sentWhole(t, p, "a", "a picture")
	m := &storetest.Maker{Property: "p", Device: "a"}
	appendNew(t, s, m.Entry("f", nil, "name", `"one"`))
	path := filepath.Join(dir, "backup")
	if err := s.Backup(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	says := func(path string, at time.Time, unfinished bool) {
		t.Helper()
		is, err := BackupAt(path)
		if err != nil || (is == nil) != at.IsZero() || is != nil && (!is.At.Equal(at) || is.Unfinished != unfinished) {
			t.Errorf("%s is %+v, %v, want one of %v, unfinished %t", filepath.Base(path), is, err, at, unfinished)
		}
	}
	mark := func(path string, at time.Time) {
		t.Helper()
		b, err := open(path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(b.MarkBackup(at), b.Close()); err != nil {
			t.Fatal(err)
		}
	}
	says(path, time.Time{}, false)
	if err := FinishBackup(path, p); err != nil { // of an earlier version, which has no mark
		t.Fatal(err)
	}
	says(path, time.Time{}, false)
	taken := time.Date(2026, 5, 13, 9, 0, 0, 0, time.UTC)
	mark(path, taken)
	says(path, taken, true)
	opened, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	_, err = opened.Append(t.Context(), "p", []json.RawMessage{m.Entry("f", nil, "name", `"two"`)})
	if is, ok := errors.AsType[*store.IsBackup](err); !ok || !is.At.Equal(taken) || !errors.Is(err, store.ErrReadOnly) {
		t.Errorf("an entry is appended to a backup: %v", err)
	}
	if err := opened.Close(); err != nil {
		t.Fatal(err)
	}
	if err := FinishBackup(path, p); err != nil {
		t.Fatal(err)
	}
	says(path, taken, false)
	mark(path, taken.Add(time.Hour)) // a copy of it keeps the time
	says(path, taken, true)
	b, err := open(path, Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	if n, err := b.photosNoted(); n != 1 || err != nil {
		t.Errorf("it has noted %d photos, %v", n, err)
	}
	found, err := Audit(t.Context(), b, p, nil)
	if err := errors.Join(err, b.Close()); err != nil || !found.Unfinished {
		t.Errorf("looked through it is unfinished %t, %v", found.Unfinished, err)
	}
	restored := filepath.Join(dir, "restored")
	if err := Restore(t.Context(), path, restored); err != nil {
		t.Fatal(err)
	}
	says(restored, time.Time{}, false)
}

// metaWritten is a meta page as bbolt writes it.
func metaWritten(pageSize uint32, pages, txid uint64, change func([]byte)) []byte {
	page := make([]byte, pageHeader+64)
	b := page[pageHeader:]
	order.PutUint32(b, boltMagic)
	order.PutUint32(b[4:], boltVersion)
	order.PutUint32(b[8:], pageSize)
	order.PutUint64(b[16:], 3)
	order.PutUint64(b[32:], 2)
	order.PutUint64(b[40:], pages)
	order.PutUint64(b[48:], txid)
	if change != nil {
		change(b)
	}
	sum := fnv.New64a()
	sum.Write(b[:56])
	order.PutUint64(b[56:], sum.Sum64())
	return page
}

// TestMetaPages: which are whole, and of two which is in force.
func TestMetaPages(t *testing.T) {
	for name, c := range map[string]struct {
		page []byte
		want bool
	}{
		"whole":          {metaWritten(4096, 10, 7, nil), true},
		"least pages":    {metaWritten(4096, 4, 7, nil), true},
		"too few pages":  {metaWritten(4096, 3, 7, nil), false},
		"most pages":     {metaWritten(4096, 1<<44-1, 7, nil), true},
		"too many":       {metaWritten(4096, 1<<44, 7, nil), false},
		"smallest page":  {metaWritten(512, 10, 7, nil), true},
		"too small":      {metaWritten(256, 10, 7, nil), false},
		"largest page":   {metaWritten(64<<10, 10, 7, nil), true},
		"too large":      {metaWritten(128<<10, 10, 7, nil), false},
		"no power":       {metaWritten(4097, 10, 7, nil), false},
		"another magic":  {metaWritten(4096, 10, 7, func(b []byte) { b[0]++ }), false},
		"another layout": {metaWritten(4096, 10, 7, func(b []byte) { b[4]++ }), false},
		"another sum":    {func() []byte { p := metaWritten(4096, 10, 7, nil); p[pageHeader+60]++; return p }(), false},
		"cut short":      {metaWritten(4096, 10, 7, nil)[:pageHeader+63], false},
	} {
		m, ok := parseMeta(c.page)
		if ok != c.want || ok && (m.root != 3 || m.freelist != 2 || m.txid != 7) {
			t.Errorf("%s: %+v, %t", name, m, ok)
		}
	}
	for name, c := range map[string]struct {
		size          int
		first, second []byte
		txid          uint64 // 0: neither is whole
		alone         bool
	}{
		"the second is later": {4096, metaWritten(4096, 10, 7, nil), metaWritten(4096, 10, 8, nil), 8, false},
		"the first is later":  {4096, metaWritten(4096, 10, 9, nil), metaWritten(4096, 10, 8, nil), 9, false},
		"the second is torn":  {4096, metaWritten(4096, 10, 7, nil), nil, 7, true},
		"the first is torn":   {4096, nil, metaWritten(4096, 10, 8, nil), 8, true},
		"small pages":         {1024, nil, metaWritten(1024, 10, 8, nil), 8, true},
		"large pages":         {64 << 10, nil, metaWritten(64<<10, 10, 8, nil), 8, true},
		"both are torn":       {4096, nil, nil, 0, false},
	} {
		file := make([]byte, 2*c.size)
		copy(file, c.first)
		copy(file[c.size:], c.second)
		m, err := readMeta(bytes.NewReader(file))
		if (err == nil) != (c.txid > 0) || err == nil && (m.txid != c.txid || m.alone != c.alone) {
			t.Errorf("%s: %+v, %v", name, m, err)
		}
	}
}

// TestFilesThatAreNone are not read from.
func TestFilesThatAreNone(t *testing.T) {
	dir := t.TempDir()
	if _, err := openRegular(dir); err == nil || !strings.Contains(err.Error(), "is no file, but a folder") {
		t.Errorf("a folder gives %v", err)
	}
	if _, err := openRegular(filepath.Join(dir, "none")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("what is not there gives %v", err)
	}
	p := photosIn(t)
	sha := register.HashOf([]byte("x"))
	if err := os.Mkdir(p.photo(sha), 0o700); err != nil {
		t.Fatal(err)
	}
	if good, err := p.Whole(t.Context(), sha); good || err != nil {
		t.Errorf("a folder in a photo's place is whole %t, %v", good, err)
	}
}

// TestClocksThatAreOff are told with the receipt from a day upwards, ahead and behind.
func TestClocksThatAreOff(t *testing.T) {
	at := time.Date(2026, 5, 13, 9, 0, 0, 0, time.UTC)
	s, err := Open(filepath.Join(t.TempDir(), "register.db"), Options{Now: func() time.Time { return at }})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	const day = 24 * time.Hour
	for i, c := range []struct{ ahead, want time.Duration }{{0, 0}, {day - time.Second, 0}, {day, day}, {400 * day, 400 * day}, {-day + time.Second, 0}, {-day, -day}, {-3 * day, -3 * day}} {
		raw, err := register.Encode(register.Entry{Version: 1, ID: storetest.NewID(), Property: "p", Feature: "f", Device: "a", DeviceSeq: uint64(i + 1), Stamp: register.StampAt(at.Add(c.ahead)),
			SeenAt: "2026-05-13T09:00:00Z", Author: "Ana", Set: model.FieldValues{{Name: "name", Raw: json.RawMessage(`"x"`)}}})
		if err != nil {
			t.Fatal(err)
		}
		receipts, err := s.Append(t.Context(), "p", []json.RawMessage{raw})
		if err != nil || receipts[0].N == 0 || receipts[0].ClockOffS != int64(c.want/time.Second) {
			t.Errorf("%v ahead: %+v, %v, want %v", c.ahead, receipts, err, c.want)
		}
	}
}

// TestLongestEntry: one of as many bytes as an entry may have is kept, to the byte; a longer one is not.
func TestLongestEntry(t *testing.T) {
	s := openNew(t)
	m := &storetest.Maker{Property: "p", Device: "a"}
	pad := func(raw []byte, n int) json.RawMessage {
		return append(bytes.Clone(raw), bytes.Repeat([]byte(" "), n-len(raw))...)
	}
	longest, tooLong := pad(m.Entry("f", nil, "name", `"x"`), register.EntryBytes), pad(m.Entry("f", nil, "name", `"y"`), register.EntryBytes+1)
	receipts, err := s.Append(t.Context(), "p", []json.RawMessage{longest, tooLong})
	if err != nil || receipts[0].N != 1 || receipts[1].N != 0 || !strings.Contains(receipts[1].Refused, "has 262145 bytes and may have 262144") {
		t.Fatalf("%+v, %v", receipts, err)
	}
	if all, _ := storetest.ReadAll(t, s, "p"); len(all) != 1 || !bytes.Equal(all[0].Raw, longest) {
		t.Errorf("%d entries are kept", len(all))
	}
}
