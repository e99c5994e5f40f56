package track

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"headcut/model"

	"pgregory.net/rapid"
)

func check(t testing.TB, c Check) Report {
	t.Helper()
	r, err := c.Run()
	if err != nil {
		t.Fatalf("Run(%+v) = %v", c, err)
	}
	return r
}

// built are banks that let their water out to the left.
func built(at ...float64) []Built {
	var all []Built
	for _, x := range at {
		all = append(all, Built{ChainageM: x, Side: Left})
	}
	return all
}

// TestCheckIntervals: Packer general on 100 m at 8 %, for which the 10 % row allows 25 m.
func TestCheckIntervals(t *testing.T) {
	track := profile(0, 100, 100, 92)
	gps, open := track, track
	gps.Quality.Basis, open.Quality.Basis = model.GPS, model.Unproven
	bend := profile(0, 100, 30, 97, 130, 96) // 10 % for 30 m, then 1 %
	for _, c := range []struct {
		name    string
		track   Track
		banks   []Built
		want    []Spacing
		verdict model.Verdict
	}{
		{"all-near-enough", track, built(25, 50, 75), []Spacing{OK, OK, OK, OK}, model.OK},
		{"listed-backwards", track, built(75, 50, 25), []Spacing{OK, OK, OK, OK}, model.OK},
		{"first-too-low", track, built(26, 50, 75), []Spacing{TooFar, OK, OK, OK}, model.Fails},
		{"one-missing", track, built(25, 75), []Spacing{OK, TooFar, OK}, model.Fails},
		{"none-above-the-foot", track, built(25, 50), []Spacing{OK, OK, TooFar}, model.Fails},
		{"no-banks", track, nil, []Spacing{TooFar}, model.Fails},
		{"gps", gps, built(25, 50, 75), []Spacing{NotLevelled, NotLevelled, NotLevelled, NotLevelled}, model.NotLevelled},
		{"open-run", open, built(25, 50, 74), []Spacing{NotLevelled, NotLevelled, NotLevelled, NotLevelled}, model.NotLevelled},
		{"gps-but-longer-than-any-grade-allows", gps, built(80), []Spacing{TooFar, NotLevelled}, model.Fails},
		{"steep-pitch-under-the-top", bend, built(50), []Spacing{TooFar, TooFar}, model.Fails},
		// 5.1 % for 26 m calls for a bank at 25 m; the mean to 35 m, 4.0 %, would allow 40.
		{"steep-pitch-made-good-by-the-mean", profile(0, 100, 26, 98.674, 70, 98.234), built(35), []Spacing{TooFar, OK}, model.Fails},
		{"bank-on-the-top", track, built(0, 25, 50, 75), []Spacing{OK, OK, OK, OK}, model.OK},
		{"beyond-the-table", profile(0, 100, 20, 93), nil, []Spacing{NoRow}, model.Fails},
		{"level-track", profile(0, 100, 500, 100), built(200), nil, model.OK},
		{"crest", profile(0, 98, 50, 100, 100, 98), built(10, 90), []Spacing{OK, OK, OK, OK}, model.OK},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := check(t, Check{Track: c.track, Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM, Banks: c.banks})
			var got []Spacing
			for _, n := range r.Intervals {
				got = append(got, n.Verdict)
				if (n.Verdict == OK) != (n.Reason == "") && !n.Close {
					t.Errorf("%+v lacks a reason, or has one too many", n)
				}
			}
			if fmt.Sprint(got) != fmt.Sprint(c.want) || r.Verdict != c.verdict || len(r.Outlets) != len(c.banks) {
				t.Errorf("Run() = %v, %s, %d outlets; want %v, %s", got, r.Verdict, len(r.Outlets), c.want, c.verdict)
			}
		})
	}
}

func TestCheckTellsTheInterval(t *testing.T) {
	r := check(t, Check{Track: profile(0, 92, 100, 100), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM,
		Banks: []Built{{Name: "gate", ChainageM: 80}, {ChainageM: 40}}})
	want := []struct {
		from, to                     string
		fromM, toM, nextByM, spacing float64
		verdict                      Spacing
	}{{"top", "gate", 100, 80, 80, 20, OK}, {"gate", "bank 2", 80, 40, 55, 40, TooFar}, {"bank 2", "foot", 40, 0, 15, 40, TooFar}}
	if len(r.Intervals) != len(want) {
		t.Fatalf("intervals %+v", r.Intervals)
	}
	for i, w := range want {
		n := r.Intervals[i]
		if n.From != w.from || n.To != w.to || n.FromM != w.fromM || n.ToM != w.toM || math.Abs(n.NextByM-w.nextByM) > 1e-6 || n.SpacingM != w.spacing || n.Verdict != w.verdict || n.AllowedM != 25 || n.Row != "10 %" {
			t.Errorf("interval %d = %+v, want %+v", i, n, w)
		}
	}
}

func TestCheckTellsOfClose(t *testing.T) {
	for _, c := range []struct {
		name       string
		at, levelM float64
		verdict    Spacing
		close      bool
	}{
		{"plainly-near-enough", 20, 92, OK, false},
		{"a-tape-within-the-limit", 24.95, 92, OK, true}, // ± 0.07 m
		{"a-tape-beyond-it", 25.05, 92, TooFar, true},
		{"plainly-too-far", 30, 92, TooFar, false},
		{"grade-near-the-next-row", 20, 90.01, OK, true}, // 9.99 ± 0.05 %: 18 m beyond 10 %
	} {
		t.Run(c.name, func(t *testing.T) {
			r := check(t, Check{Track: profile(0, 100, 100, c.levelM), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM, Banks: built(c.at)})
			if n := r.Intervals[0]; n.Verdict != c.verdict || n.Close != c.close {
				t.Errorf("%+v, want %s, close %v", n, c.verdict, c.close)
			}
		})
	}
}

// TestLayoutPassesCheck: what is laid out has every interval in order, but for those said
// to be unserved.
func TestLayoutPassesCheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Layout{Track: surveyed(t, 25), Rule: drawnRule(t), Outlets: drawnOutlets(t), HumpM: HumpM}
		p, err := l.Lay()
		if err != nil {
			if fault, ok := errors.AsType[*model.Problem](err); !ok || fault.Path != "track" || !math.IsInf(l.Rule.MaxPct(), 1) == false {
				t.Fatalf("Lay(%+v) = %v", l, err)
			}
			return
		}
		var banks []Built
		for _, s := range p.Sites {
			banks = append(banks, Built{ChainageM: s.ChainageM, Side: s.Side})
			if s.Side == None || s.MovedM > 0 && s.TooFar || s.SpacingM < LeastSpacingM-1e-9 {
				t.Fatalf("site %+v of %+v", s, l)
			}
		}
		r, err := Check{Track: l.Track, Rule: l.Rule, Outlets: l.Outlets, HumpM: l.HumpM, Banks: banks}.Run()
		if err != nil {
			t.Fatal(err)
		}
		failed := 0
		for _, n := range r.Intervals {
			if n.Verdict == TooFar {
				failed++
			} else if n.Verdict != OK && n.SpacingM > LeastSpacingM {
				t.Fatalf("interval %+v of %+v", n, l)
			}
		}
		if failed != len(p.Unserved) {
			t.Fatalf("%d intervals fail, %d are said to be unserved: %+v %+v", failed, len(p.Unserved), r.Intervals, p.Unserved)
		}
		for _, o := range r.Outlets {
			if o.Verdict != Safe {
				t.Fatalf("outlet %+v of %+v", o, l)
			}
		}
	})
}

func TestCheckRefuses(t *testing.T) {
	good := Check{Track: profile(0, 100, 100, 92), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM}
	for _, c := range []struct {
		name  string
		banks []Built
		path  string
	}{
		{"off-the-track", built(20, 101), "banks[1].chainageM"},
		{"nan", built(math.NaN()), "banks[0].chainageM"},
		{"twice", built(50, 20, 50), "banks[2].chainageM"},
		{"side", []Built{{ChainageM: 5, Side: "north"}}, "banks[0].side"},
		{"too-many", make([]Built, MaxBanks+1), "banks"},
	} {
		t.Run(c.name, func(t *testing.T) {
			good.Banks = c.banks
			_, err := good.Run()
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Run() = %v, want a problem at %q", err, c.path)
			}
		})
	}
}
