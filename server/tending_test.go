package server

import (
	"bytes"
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
)

// TestTendingInWords: what is short, swept or fails is written down, and nothing else is.
func TestTendingInWords(t *testing.T) {
	const disk, phone, land = "the disk is nearly full", "a phone has little room left", "a property has little room left"
	const swept, failed = "parts of photos were left unfinished", "parts of photos could not be swept"
	for name, c := range map[string]struct {
		limits Room
		before func(s *site) // may be nil
		ended  bool          // whoever asked for it has gone
		want   []string
	}{
		"room for all":        {Room{Device: 1e6, Property: 1e6, Free: 1000}, nil, false, nil},
		"a full disk":         {Room{Free: 1001}, nil, false, []string{disk}},
		"a full phone":        {Room{Device: 100, Property: 1e6}, nil, false, []string{phone}},
		"a full property":     {Room{Device: 1e6, Property: 100}, nil, false, []string{land}},
		"an old part":         {Room{}, func(s *site) { s.part(t, 15*24*time.Hour) }, false, []string{swept}},
		"a part of this week": {Room{}, func(s *site) { s.part(t, 13*24*time.Hour) }, false, nil},
		"no folder":           {Room{}, func(s *site) { s.withoutParts(t) }, false, []string{failed}},
		"no folder, ended":    {Room{}, func(s *site) { s.withoutParts(t) }, true, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			as := s.enrolledAs(t, "d1", "R. Field", "Flat")
			s.KeepRoom(c.limits, func() (int64, bool) { return 1000, true })
			s.room.took("d1", as.Properties[0].ID, 90)
			if c.before != nil {
				c.before(s)
			}
			var log bytes.Buffer
			s.log = slog.New(slog.NewTextHandler(&log, nil))
			ctx, stop := context.WithCancel(t.Context())
			if c.ended {
				stop()
			}
			defer stop()
			s.tendOnce(ctx)
			for _, words := range []string{disk, phone, land, swept, failed} {
				if got, want := strings.Contains(log.String(), words), len(c.want) > 0 && c.want[0] == words; got != want {
					t.Errorf("%q is written down: %t in %s", words, got, &log)
				}
			}
			if n := strings.Count(log.String(), "\n"); n != len(c.want) {
				t.Errorf("%d lines are written down: %s", n, &log)
			}
		})
	}
}

// part is a part of a photo to which nothing was added for so long.
func (s *site) part(t *testing.T, ago time.Duration) {
	t.Helper()
	path := filepath.Join(s.dir, "photos", "parts", register.HashOf([]byte("a part")).String())
	if err := os.WriteFile(path, []byte("begun"), 0o600); err != nil {
		t.Fatal(err)
	}
	if at := time.Now().Add(-ago); os.Chtimes(path, at, at) != nil {
		t.Fatal("the part cannot be made old")
	}
}

func (s *site) withoutParts(t *testing.T) {
	t.Helper()
	if err := os.RemoveAll(filepath.Join(s.dir, "photos", "parts")); err != nil {
		t.Fatal(err)
	}
}

// TestPhotosOnTheirWayCount: a photo that was let in takes its room at once, not when it has come.
func TestPhotosOnTheirWayCount(t *testing.T) {
	s := newSite(t)
	as := s.enrolledAs(t, "d1", "R. Field", "Flat")
	conn := s.connects(t, as)
	for n := uint64(1); n <= 3; n++ {
		conn.namesBy(as.Properties[0].ID, n, register.Hash{byte(n)})
	}
	s.KeepRoom(Room{Property: 100_000}, nil)
	for n, want := range []string{"", "photos of Flat", ""} {
		size := int64(60_000 - 30_000*(n/2))
		err := s.photoRoom(t.Context(), as.Token, register.Hash{byte(n + 1)}, size, 0)
		if p, _ := err.(*model.Problem); (err == nil) != (want == "") || p != nil && !strings.Contains(p.Reason, want) {
			t.Errorf("photo %d of %d bytes: %v, want %q", n+1, size, err, want)
		}
	}
}

// TestEntriesAreCountedUpToANumber: those that come while the others are counted are counted once.
func TestEntriesAreCountedUpToANumber(t *testing.T) {
	s := newSite(t)
	as := s.enrolledAs(t, "d1", "R. Field", "Flat")
	property, conn := as.Properties[0].ID, s.connects(t, as)
	sizes := []int64{0}
	for n := uint64(1); n <= 3; n++ {
		conn.namesBy(property, n, register.Hash{byte(n)})
		_, all := s.room.entries("d1", property)
		sizes = append(sizes, all)
	}
	for last, want := range append(sizes, sizes[3]) {
		limits := s.room.limits
		s.room = newRooms()
		s.room.limits = limits
		if err := s.countUpTo(t.Context(), property, uint64(last)); err != nil {
			t.Fatal(err)
		}
		if device, all := s.room.entries("d1", property); device != want || all != want {
			t.Errorf("up to number %d: %d bytes of the phone, %d of the property, want %d", last, device, all, want)
		}
	}
	ended, stop := context.WithCancel(t.Context())
	stop()
	if err := s.countUpTo(ended, property, 3); err == nil {
		t.Error("counting that was ended says that it is done")
	}
}
