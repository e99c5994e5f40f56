package server

import (
	"bytes"
	"log/slog"
	"math"
	"strings"
	"testing"
	"time"
)

// TestSizesInWords and back.
func TestSizesInWords(t *testing.T) {
	for bytes, want := range map[int64]string{0: "0 bytes", 999: "999 bytes", 1000: "1 kB", 1049: "1 kB", 1050: "1.1 kB", 999_999: "1000 kB", 1e6: "1 MB", 1_500_000: "1.5 MB",
		1e9: "1 GB", 41_200_000_000: "41.2 GB", 1e12: "1 TB", 1e15: "1000 TB"} {
		if got := SizeWords(bytes); got != want {
			t.Errorf("%d is %s, want %s", bytes, got, want)
		}
	}
	for text, want := range map[string]int64{"0": 0, "7": 7, " 50GB ": 50e9, "0.5 TB": 5e11, "1.5kb": 1500, "2 MB": 2e6, "1e18": 1e18, "1000000TB": 1e18} {
		if got, err := ParseSize(text); err != nil || got != want {
			t.Errorf("%q is %d (%v), want %d", text, got, err, want)
		}
	}
	for _, text := range []string{"", "GB", "-1", "-1 GB", "NaN", "1.1e18", "1000001TB", "Inf", "5 XB", "five"} {
		if got, err := ParseSize(text); err == nil || !strings.Contains(err.Error(), "is not a size") {
			t.Errorf("%q is %d, %v", text, got, err)
		}
	}
}

// TestRoomInWords: nearly full from eighty hundredths, full at its size.
func TestRoomInWords(t *testing.T) {
	for _, c := range []struct {
		used RoomUsed
		want string
	}{
		{RoomUsed{79_999, 100_000}, "80 kB of 100 kB"}, {RoomUsed{80_000, 100_000}, "80 kB of 100 kB, nearly full"}, {RoomUsed{99_999, 100_000}, "100 kB of 100 kB, nearly full"},
		{RoomUsed{100_000, 100_000}, "100 kB of 100 kB, full"}, {RoomUsed{100_001, 100_000}, "100 kB of 100 kB, full"}, {RoomUsed{5000, 0}, "5 kB"}, {RoomUsed{0, 0}, "0 bytes"},
	} {
		if got := c.used.String(); got != c.want {
			t.Errorf("%+v is %s, want %s", c.used, got, c.want)
		}
		if c.used.Short() != (strings.HasSuffix(c.want, "full")) {
			t.Errorf("%+v is short: %t", c.used, c.used.Short())
		}
	}
	for _, c := range []struct {
		used RoomUsed
		size int64
		want bool
	}{
		{RoomUsed{90, 100}, 10, false}, {RoomUsed{90, 100}, 11, true}, {RoomUsed{99, 100}, 0, false}, {RoomUsed{100, 100}, 0, true}, {RoomUsed{1000, 0}, math.MaxInt32, false},
	} {
		if got := c.used.full(c.size); got != c.want {
			t.Errorf("%d more in %+v are too many: %t", c.size, c.used, got)
		}
	}
}

// TestRoomOfTheDisk: photos are refused below what must stay free, entries below a tenth of it; nobody
// where nothing must, or where nobody knows.
func TestRoomOfTheDisk(t *testing.T) {
	for _, c := range []struct {
		free          int64
		left          int64
		known         bool
		photo, entry  bool // refused
		words         string
		withoutMeasur bool
	}{
		{1000, 1000, true, false, false, "1 kB", false}, {1000, 999, true, true, false, "999 bytes", false}, {1000, 100, true, true, false, "100 bytes", false},
		{1000, 99, true, true, true, "99 bytes", false}, {0, 0, true, false, false, "0 bytes", false}, {1000, 0, false, false, false, "not known", false}, {1000, 0, true, false, false, "not known", true},
	} {
		r := newRooms()
		if r.limits.Free = c.free; !c.withoutMeasur {
			r.free = func() (int64, bool) { return c.left, c.known }
		}
		if photo, entry := r.short(1) != nil, r.short(entriesOfRoom) != nil; photo != c.photo || entry != c.entry || r.freeWords() != c.words {
			t.Errorf("%+v: photos are refused %t, entries %t, free is %s", c, photo, entry, r.freeWords())
		}
	}
}

// TestRoomOfEntries: they are taken until they alone fill a tenth.
func TestRoomOfEntries(t *testing.T) {
	for _, c := range []struct {
		limits Room
		bytes  int
		want   string
	}{
		{Room{Device: 1000}, 100, ""}, {Room{Device: 1000}, 101, "entries of this phone"}, {Room{Property: 1000}, 100, ""}, {Room{Property: 1000}, 101, "entries of "},
		{Room{}, 1 << 30, ""}, {Room{Device: 2000, Property: 1000}, 150, "entries of "},
	} {
		s := newSite(t)
		s.KeepRoom(c.limits, nil)
		s.room.took("d", "p", c.bytes-1)
		s.room.took("d", "p", 1)
		s.room.took("another", "elsewhere", 1<<30)
		if err := s.entryRoom("d", "p"); (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), "has no more room for "+c.want) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	r := newRooms()
	r.add("p", 5) // nobody has counted it: the count to come has it
	if len(r.photos) != 0 {
		t.Errorf("%v is remembered", r.photos)
	}
	r.photos["p"] = photosTaken{bytes: 7}
	if r.add("p", 5); r.photos["p"].bytes != 12 {
		t.Errorf("%v is remembered", r.photos)
	}
}

// TestWarningsComeOnceADay of each phone or property.
func TestWarningsComeOnceADay(t *testing.T) {
	s := newSite(t)
	var log bytes.Buffer
	s.log = slog.New(slog.NewTextHandler(&log, nil))
	for _, c := range []struct {
		about string
		ago   time.Duration
		want  int
	}{{"a", 0, 1}, {"a", 0, 1}, {"b", 0, 2}, {"a", 23 * time.Hour, 2}, {"a", 25 * time.Hour, 3}, {"a", 0, 3}} {
		if last, ok := s.room.warned[c.about]; ok {
			s.room.warned[c.about] = last.Add(-c.ago)
		}
		s.warn(c.about, "mind it")
		if got := strings.Count(log.String(), "mind it"); got != c.want {
			t.Errorf("%s, %v later: said %d times, want %d", c.about, c.ago, got, c.want)
		}
	}
}
