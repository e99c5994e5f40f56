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

// stepped walks down a slope in steps of a few millimetres until the next is farther than
// the rule allows.
func stepped(s Slope, r Rule, fromM, stepM float64) (float64, bool) {
	level := func(x float64) float64 {
		for i := 1; i < len(s.points); i++ {
			if b := s.points[i]; x <= b.ChainageM {
				a := s.points[i-1]
				return (a.LevelM*(b.ChainageM-x) + b.LevelM*(x-a.ChainageM)) / (b.ChainageM - a.ChainageM)
			}
		}
		return s.points[len(s.points)-1].LevelM
	}
	top := level(fromM)
	for x := fromM + stepM; x <= s.LengthM(); x += stepM {
		if x-fromM > r.SpacingM(100*(top-level(x))/(x-fromM)) {
			return x, true
		}
	}
	return 0, false
}

func TestWalkAgreesWithSteppedWalk(t *testing.T) {
	const stepM = 0.01
	rapid.Check(t, func(t *rapid.T) {
		track, r := surveyed(t, 30), drawnRule(t)
		for _, s := range track.Slopes(HumpM) {
			w := walk{s, r}
			for i, fromM := 0, 0.0; ; {
				got, _, found := w.latestM(i, fromM)
				want, stepFound := stepped(s, r, fromM, stepM)
				if found != stepFound {
					// Only where the stop lies within a step of the foot may they differ.
					if !found || got < s.LengthM()-2*stepM {
						t.Fatalf("%s from %v m down %+v: found %v at %v, stepped %v at %v", r.Table, fromM, s, found, got, stepFound, want)
					}
				} else if found && !(want-got >= -2e-5 && want-got <= stepM+2e-5) {
					t.Fatalf("%s from %v m down %+v: %v m, stepped walk %v", r.Table, fromM, s, got, want)
				}
				if !found || !stepFound {
					break
				}
				i, fromM = w.past(i, got), got
			}
		}
	})
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
