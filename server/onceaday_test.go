package server

import (
	"bytes"
	"fmt"
	"log/slog"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
	"unique"

	"headcut/sync/exchange"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

// TestSightsOfADay: a record that is used is written down once a day, of UTC, also when another day is
// written already.
func TestSightsOfADay(t *testing.T) {
	at := time.Date(2026, 3, 1, 23, 59, 59, 0, time.UTC)
	var v sights
	for _, c := range []struct {
		id      string
		written time.Time
		now     time.Time
		due     bool
	}{
		{"new", time.Time{}, at, true}, {"new", time.Time{}, at, false}, {"new", time.Time{}, at.Add(time.Second), true}, {"new", at, at.Add(2 * time.Second), false},
		{"today", at.Add(-time.Hour), at, false}, {"yesterday", at.AddDate(0, 0, -1), at, true}, {"the day begins", at.Add(-24*time.Hour + time.Second), at, false},
	} {
		if due := v.note(c.id, c.written, c.now); due != c.due {
			t.Errorf("%s at %v is to be written: %t", c.id, c.now, due)
		}
		if is := v.of(c.id, c.written); !is.Equal(c.now) {
			t.Errorf("%s was used %v, want %v", c.id, is, c.now)
		}
	}
	if is := v.of("never", at); !is.Equal(at) {
		t.Errorf("what was not used here was used %v", is)
	}
	if due := v.takeDue(); !slices.Equal(due, []string{"new", "new", "yesterday"}) || len(v.takeDue()) > 0 {
		t.Errorf("%v are to be written", due)
	}
}

// TestFirstNamings: of each device and feature the naming of the lowest number is kept, in the order in
// which photos were first named.
func TestFirstNamings(t *testing.T) {
	p := namedPhotos{named: map[register.Hash][]naming{}}
	a, b := register.HashOf([]byte("a")), register.HashOf([]byte("b"))
	name := func(feature, device string, seq uint64) naming {
		return naming{feature: unique.Make(feature), device: unique.Make(device), seq: seq}
	}
	p.add(b, name("f", "d", 3))
	p.add(a, name("f", "d", 1))
	for _, n := range []naming{name("f", "d", 2), name("f", "d", 4), name("g", "d", 9), name("f", "e", 8), name("f", "d", 2)} {
		p.add(b, n)
	}
	if want := []naming{name("f", "d", 2), name("g", "d", 9), name("f", "e", 8)}; !reflect.DeepEqual(p.named[b], want) {
		t.Errorf("named by %+v, want %+v", p.named[b], want)
	}
	if !slices.Equal(p.order, []register.Hash{b, a}) {
		t.Errorf("in the order %v", p.order)
	}
}

// TestTendingSaysNothing when there is nothing to do.
func TestTendingSaysNothing(t *testing.T) {
	s := newSite(t)
	var log bytes.Buffer
	s.log = slog.New(slog.NewTextHandler(&log, nil))
	s.tendOnce(t.Context())
	if log.Len() > 0 {
		t.Errorf("it says %s", log.String())
	}
}

// TestWhoAMergeLetsIn: phones that have the one property alone, and may connect.
func TestWhoAMergeLetsIn(t *testing.T) {
	s := newSite(t)
	s.enrolledAs(t, "both1", "Bo Both", "Hut", "Creek Block")
	one := s.enrolledAs(t, "one1", "Ona One", "Hut")
	gone := s.enrolledAs(t, "gone1", "Guy Gone", "Hut")
	if _, err := s.RevokeDevice(t.Context(), gone.Device); err != nil {
		t.Fatal(err)
	}
	merge := PropertyChange{Do: "merge", Which: "Hut", Into: "Creek Block"}
	if _, problem := s.change(t, merge); !strings.Contains(problem, "all of \"Creek Block\": Ona One (row 2)") || strings.Contains(problem, "Both") || strings.Contains(problem, "Gone") {
		t.Errorf("with one that has the one alone: %s", problem)
	}
	if _, err := s.RevokeDevice(t.Context(), one.Device); err != nil {
		t.Fatal(err)
	}
	if _, problem := s.change(t, merge); problem != "" {
		t.Errorf("with those that have both: %s", problem)
	}
}

// TestAbsentPhotosInTurn: a device that brought in more than it is asked for at once is asked for those
// that follow the last time, and from the first again.
func TestAbsentPhotosInTurn(t *testing.T) {
	s := newSite(t)
	phone := s.enrolledAs(t, "d1", "R. Field", "Hut")
	property := phone.Properties[0].ID
	const absent = wire.MaxPhotos + 3
	found := &absence{all: s.at, last: s.at}
	var all []register.Hash
	for i := range absent {
		sha := register.HashOf(fmt.Append(nil, i))
		all = append(all, sha)
		found.photos = append(found.photos, absentPhoto{sha, []string{"d1"}}, absentPhoto{sha, []string{"d1"}}, absentPhoto{register.HashOf(fmt.Append(nil, "of another", i)), []string{"d2"}})
	}
	grant := exchange.Grant{Device: "d1", Properties: []string{property}}
	ask := func(want []register.Hash) {
		t.Helper()
		s.absent.of.Store(property, found)
		if got, err := s.wantedPhotos(t.Context(), grant); err != nil || !slices.Equal(got, want) {
			t.Errorf("asked for %d photos, %v, want %d", len(got), err, len(want))
		}
	}
	twice := slices.Concat(all, all)
	for turn := range 3 {
		from := turn * wire.MaxPhotos % absent
		ask(twice[from : from+wire.MaxPhotos])
	}
	found.photos = found.photos[:3*wire.MaxPhotos] // three have come
	ask(all[:wire.MaxPhotos])
	ask(all[:wire.MaxPhotos])
}

// TestOfficeSeesWhatItWrote: what the office wrote it says to have seen when it goes on, in the same
// millisecond too.
func TestOfficeSeesWhatItWrote(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Hut")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Hut Block", "Shed"} {
		if _, err := s.Rename(t.Context(), p.ID, name); err != nil {
			t.Fatal(err)
		}
	}
	page, _, err := s.store.EntriesAfter(t.Context(), officeProperty, store.Position{}, 100)
	if err != nil || len(page) < 3 {
		t.Fatal(len(page), err)
	}
	for i, n := range page {
		if i > 0 && n.Entry.Stamp <= page[i-1].Entry.Stamp {
			t.Errorf("entry %d is stamped %x after %x", n.N, n.Entry.Stamp, page[i-1].Entry.Stamp)
		}
	}
	last := page[len(page)-1].Entry
	if seq := s.office.saw[last.Feature][last.Device]; seq != last.DeviceSeq {
		t.Errorf("of its own entries it has seen %d, want %d", seq, last.DeviceSeq)
	}
}
