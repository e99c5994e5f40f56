package works

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func sights(t *testing.T, instrumentM, staffM float64, readings ...PegReading) []PegSight {
	t.Helper()
	pegs := Pegs([]DamSite{{BedLevelM: 100, CrestLevelM: 100.4}, {BedLevelM: 100.4, CrestLevelM: 100.8}, {BedLevelM: 104, CrestLevelM: 104.4}}, 0.45)
	all, err := SetOut(pegs, instrumentM, staffM, readings)
	if err != nil {
		t.Fatalf("SetOut(%v) = %v", readings, err)
	}
	return all
}

func TestSetOut(t *testing.T) {
	for _, c := range []struct {
		name        string
		instrumentM float64
		peg         int // toe, crest, abutment of each dam in turn
		readM       float64
		want        string // reading, off and move
	}{
		// Wanted 1.435, read 1.62: the staff stands too low and must go up.
		{"too-great-a-reading-goes-up", 101.435, 0, 1.62, "1.435 -0.185 up 0.185 m"},
		{"too-small-a-reading-goes-down", 101.435, 0, 1.4, "1.435 0.035 down 0.035 m"},
		{"on-the-level", 101.435, 0, 1.435, "1.435 0.000 stay: the staff is on the level"},
		{"crest", 101.435, 1, 1.0, "1.035 0.035 down 0.035 m"},
		{"abutment", 101.435, 2, 0.6, "0.585 -0.015 up 0.015 m"},
		{"second-dam", 101.435, 3, 1.0, "1.035 0.035 down 0.035 m"},
		{"foot-of-the-staff-on-the-sight", 104, 6, 0, "0.000 0.000 stay: the staff is on the level"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := sights(t, c.instrumentM, 5, PegReading{1 + c.peg/3, DamSpots[c.peg%3], c.readM})[c.peg]
			if s.ReadingM == nil || s.OffM == nil {
				t.Fatalf("%+v, want a reading and how far off", s)
			}
			if got := fmt.Sprintf("%.3f %.3f %s", *s.ReadingM, *s.OffM, s.Move); got != c.want {
				t.Errorf("from %v m reading %v: %q, want %q", c.instrumentM, c.readM, got, c.want)
			}
		})
	}
}

func TestSetOutKeepsPegsInSight(t *testing.T) {
	all := sights(t, 101.435, 5)
	for i, s := range all {
		if visible := i < 6; (s.ReadingM != nil) != visible || (s.Cannot == "") != visible {
			t.Errorf("peg %d (%s of dam %d at %v m) from 101.435 m: reading %v, %q", i, s.Spot, s.Dam, s.LevelM, s.ReadingM, s.Cannot)
		}
	}
	if !strings.Contains(all[6].Cannot, "above the line of sight") {
		t.Errorf("a toe above the sight says %q", all[6].Cannot)
	}
	if low := sights(t, 105.2, 5)[0]; !strings.Contains(low.Cannot, "below the line of sight") || low.ReadingM != nil {
		t.Errorf("a toe 5.2 m below the sight says %q, reading %v", low.Cannot, low.ReadingM)
	}
	// What was read where no reading could be given still tells the way.
	if s := sights(t, 101.435, 5, PegReading{3, DamToe, 0.1})[6]; s.Move != "up 2.665 m" {
		t.Errorf("staff at 101.335 m for a toe at 104 m: %q, want up 2.665 m", s.Move)
	}
}

func TestSetOutRefuses(t *testing.T) {
	for _, c := range []struct {
		name                string
		instrumentM, staffM float64
		reading             PegReading
		path                string
	}{
		{"sight-not-a-number", math.NaN(), 5, PegReading{1, DamToe, 1}, "instrumentLevelM"},
		{"sight-in-millimetres", 101_435, 5, PegReading{1, DamToe, 1}, "instrumentLevelM"},
		{"staff-in-millimetres", 101, 5000, PegReading{1, DamToe, 1}, "staffLengthM"},
		{"read-above-the-staff", 101, 5, PegReading{1, DamToe, 5.01}, "readings[0].readM"},
		{"read-in-millimetres", 101, 5, PegReading{1, DamToe, 1435}, "readings[0].readM"},
		{"read-below-nought", 101, 5, PegReading{1, DamToe, -0.1}, "readings[0].readM"},
		{"read-not-a-number", 101, 5, PegReading{1, DamToe, math.NaN()}, "readings[0].readM"},
		{"no-such-dam", 101, 5, PegReading{4, DamToe, 1}, "readings[0].dam"},
		{"no-such-spot", 101, 5, PegReading{1, "top", 1}, "readings[0].dam"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := SetOut(Pegs([]DamSite{{BedLevelM: 100, CrestLevelM: 100.4}}, 0), c.instrumentM, c.staffM, []PegReading{c.reading})
			if p, ok := problemOf(err); !ok || p.Path != c.path {
				t.Errorf("SetOut = %v, %v; want a problem at %q", got, err, c.path)
			}
		})
	}
	_, err := SetOut(Pegs([]DamSite{{}}, 0), 1, 5, []PegReading{{1, DamToe, 1}, {1, DamToe, 1.1}})
	if p, ok := problemOf(err); !ok || p.Path != "readings[1].dam" {
		t.Errorf("a peg read twice: %v, want a problem at readings[1].dam", err)
	}
}

// Doing what the move says brings the staff onto the level.
func TestSetOutMoveLeadsToTheLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		level, above, read := rapid.IntRange(-50_000, 50_000).Draw(t, "level 0.1 mm"), rapid.IntRange(0, 50_000).Draw(t, "above"), rapid.IntRange(0, 50_000).Draw(t, "read")
		m := func(tenths int) float64 { return float64(tenths) / 10_000 }
		all, err := SetOut([]Peg{{1, DamToe, m(level)}}, m(level+above), 5, []PegReading{{1, DamToe, m(read)}})
		if err != nil {
			t.Fatal(err)
		}
		s := all[0]
		if got := m(level+above) - m(read) - *s.OffM; math.Abs(got-m(level)) > 1e-9 {
			t.Fatalf("read %v from %v m: off %v leads to %v, want %v", m(read), m(level+above), *s.OffM, got, m(level))
		}
		if up := strings.HasPrefix(s.Move, "up "); up != (read-above >= 5) {
			t.Fatalf("read %v, wanted %v: %q", m(read), *s.ReadingM, s.Move)
		}
	})
}
