package track

import (
	"math"
	"testing"

	"headcut/model/section"

	"pgregory.net/rapid"
)

// surveyed draws a track as an officer would level it, in whole centimetres along and
// millimetres up, at most as steep as a table goes.
func surveyed(t *rapid.T, mostPct int) Track {
	made := Track{Quality: section.LevelledAndTaped}
	x, z := 0, 200_000
	for range rapid.IntRange(2, 25).Draw(t, "stations") {
		made.Stations = append(made.Stations, section.Station{ChainageM: float64(x) / 100, LevelM: float64(z) / 1000})
		run := rapid.IntRange(50, 6000).Draw(t, "run cm")
		x += run
		z += rapid.IntRange(-mostPct, mostPct).Draw(t, "grade") * run / 10
	}
	return made
}

// spareM is, by arithmetic of its own, how much farther below a break a place might be by
// the rule for the mean grade between them; negative when it is too far.
func spareM(s Slope, r Rule, fromM, downM float64) float64 {
	level := func(x float64) float64 {
		for i := 1; i < len(s.points); i++ {
			if b := s.points[i]; x <= b.ChainageM {
				a := s.points[i-1]
				return (a.LevelM*(b.ChainageM-x) + b.LevelM*(x-a.ChainageM)) / (b.ChainageM - a.ChainageM)
			}
		}
		return s.points[len(s.points)-1].LevelM
	}
	return r.SpacingM(100*(level(fromM)-level(downM))/(downM-fromM)) - (downM - fromM)
}

// TestWalkStopsFirst steps down every slope in centimetres: up to where the walk stops no
// place is too far, and there or just beyond it nothing is to spare.
func TestWalkStopsFirst(t *testing.T) {
	const stepM = 0.01
	rapid.Check(t, func(t *rapid.T) {
		track, r := surveyed(t, 30), drawnRule(t)
		for _, s := range track.Slopes(HumpM) {
			w := walk{s, r}
			for i, fromM := 0, 0.0; ; {
				got, _, found := w.latestM(i, fromM)
				if !found {
					got = s.LengthM()
				}
				for x := fromM + stepM; x < got-1e-6; x += stepM {
					if spareM(s, r, fromM, x) < 0 {
						t.Fatalf("%s from %v m down %+v: stops at %v m (%v), but %v is too far", r.Table, fromM, s, got, found, x)
					}
				}
				if !found {
					break
				}
				if beyond := min(got+1e-6, s.LengthM()); beyond > got && min(spareM(s, r, fromM, got), spareM(s, r, fromM, beyond)) > 1e-4 {
					t.Fatalf("%s from %v m down %+v: stops at %v m, but %v is not too far", r.Table, fromM, s, got, beyond)
				}
				i, fromM = w.past(i, got), got
			}
		}
	})
}

// TestPegsAtWholeMillimetres, whichever way the chainages run and wherever the top is: to the next one in the
// direction asked for, never to where the last peg stands or above the top.
func TestPegsAtWholeMillimetres(t *testing.T) {
	for _, c := range []struct {
		topM, downM, atM, fromM float64
		round                   func(float64) float64
		want                    float64
	}{
		{100, 1, 10.0004, 0, math.Floor, 10}, {100, 1, 10.0004, 0, math.Ceil, 10.001}, {100, 1, 10.0004, 10, math.Floor, 10.0004},
		{100, -1, 10.0004, 0, math.Floor, 10}, {100, -1, 10.0004, 0, math.Ceil, 10.001}, {100, -1, 10.0004, 10, math.Floor, 10.0004},
		{0, 1, 0.0004, 0, math.Floor, 0.0004}, {0, -1, 0.0004, 0, math.Floor, 0.0004},
		{100.0003, 1, 0.0004, -1, math.Floor, 0.0004}, {100.0003, -1, 0.0004, -1, math.Ceil, 0.0013},
	} {
		s := Slope{Top: section.Station{ChainageM: c.topM}, Foot: section.Station{ChainageM: c.topM + 50*c.downM}, downM: c.downM}
		if got := s.pegM(c.atM, c.fromM, c.round); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v m down from %v m, chainages going %v, after %v m: pegged at %v m, want %v", c.atM, c.topM, c.downM, c.fromM, got, c.want)
		}
	}
}

func TestSlopes(t *testing.T) {
	for _, c := range []struct {
		name    string
		profile []float64
		humpM   float64
		want    []float64 // top and foot of each
	}{
		{"down", []float64{0, 100, 50, 95}, 0.15, []float64{0, 50}},
		{"up", []float64{0, 95, 50, 100}, 0.15, []float64{50, 0}},
		{"crest", []float64{0, 95, 50, 100, 80, 99}, 0.15, []float64{50, 0, 50, 80}},
		{"sag", []float64{0, 100, 50, 95, 80, 99}, 0.15, []float64{0, 50, 80, 50}},
		{"low-hump", []float64{0, 100, 50, 95, 55, 95.1, 90, 92}, 0.15, []float64{0, 90}},
		{"hump-that-counts", []float64{0, 100, 50, 95, 55, 95.1, 90, 92}, 0.09, []float64{0, 50, 55, 50, 55, 90}},
		{"level-crest-goes-with-the-slope-before", []float64{0, 95, 50, 100, 60, 100, 90, 97}, 0.15, []float64{60, 0, 60, 90}},
		{"level-start", []float64{0, 100, 20, 100, 60, 96}, 0.15, []float64{0, 60}},
		{"level-end", []float64{0, 100, 40, 96, 60, 96}, 0.15, []float64{0, 60}},
		{"start-within-the-hump", []float64{0, 100, 20, 100.1, 60, 96}, 0.15, []float64{20, 60}},
		{"no-relief", []float64{0, 100, 20, 100.1, 60, 100}, 0.15, nil},
		{"level-and-no-hump", []float64{0, 100, 20, 100}, 0, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []float64
			for _, s := range profile(c.profile...).Slopes(c.humpM) {
				got = append(got, s.Top.ChainageM, s.Foot.ChainageM)
			}
			if !near(got, c.want, 0) {
				t.Errorf("Slopes(%v) = %v, want %v", c.humpM, got, c.want)
			}
		})
	}
}

// TestSlopesLeaveNoHump: between a top and its foot no level is outside the two, no rise
// going down is as much as the hump, and each slope falls by it at least.
func TestSlopesLeaveNoHump(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track := surveyed(t, 10)
		humpM := rapid.Float64Range(0.01, 2).Draw(t, "hump")
		before := math.NaN()
		for _, s := range track.Slopes(humpM) {
			low := math.Inf(1)
			for _, p := range s.points {
				if p.LevelM > s.Top.LevelM || p.LevelM < s.Foot.LevelM || p.LevelM-low >= humpM {
					t.Fatalf("point %v of %+v, lowest above it %v", p, s, low)
				}
				low = min(low, p.LevelM)
			}
			if s.Top.LevelM-s.Foot.LevelM < humpM || s.chainageM(s.LengthM()) != s.Foot.ChainageM {
				t.Fatalf("slope %+v falls by less than %v", s, humpM)
			}
			if start := min(s.Top.ChainageM, s.Foot.ChainageM); !math.IsNaN(before) && start != before {
				t.Fatalf("a slope begins at %v, the last ended at %v", start, before)
			}
			before = max(s.Top.ChainageM, s.Foot.ChainageM)
		}
	})
}
