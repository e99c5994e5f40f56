package track

import (
	"errors"
	"math"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/section"

	"github.com/paulmach/orb"
)

func TestTrackRefuses(t *testing.T) {
	taped := func(values ...float64) []section.Point {
		var all []section.Point
		for i := 0; i < len(values); i += 2 {
			all = append(all, section.Point{ChainageM: &values[i], LevelM: values[i+1]})
		}
		return all
	}
	here, there := orb.Point{148, -25}, orb.Point{148.001, -25}
	place := func(p orb.Point) section.Point { return section.Point{Position: &p, LevelM: 100} }
	nan := math.NaN()
	for _, c := range []struct {
		name   string
		points []section.Point
		path   string
	}{
		{"empty", nil, ""},
		{"one", taped(0, 100), ""},
		{"unsorted", taped(0, 100, 20, 99, 10, 98), "[2].chainageM"},
		{"twice", taped(0, 100, 20, 99, 20, 98), "[2].chainageM"},
		{"chainage-nan", taped(0, 100, nan, 99), "[1].chainageM"},
		{"chainage-negative", taped(-5, 100, 20, 99), "[0].chainageM"},
		{"chainage-in-millimetres", taped(0, 100, 250_000, 99), "[1].chainageM"},
		{"level-nan", taped(0, 100, 20, nan), "[1].levelM"},
		{"level-in-millimetres", taped(0, 100, 20, 9900), "[1].levelM"},
		{"level-beyond-belief", taped(0, 100_000, 20, 99), "[0].levelM"},
		{"jump", taped(0, 100, 20, 79), "[1].levelM"},
		{"step-of-a-metre", taped(0, 100, 0.5, 98.9), "[1].levelM"},
		{"neither", []section.Point{{LevelM: 1}, {LevelM: 2}}, "[0].chainageM"},
		{"both", append(taped(0, 100), section.Point{ChainageM: new(float64), Position: &here}), "[1].position"},
		{"position-among-chainages", append(taped(0, 100), place(here)), "[1].position"},
		{"chainage-among-positions", append([]section.Point{place(here)}, taped(0, 100)...), "[1].chainageM"},
		{"latitude", []section.Point{place(here), place(orb.Point{-25, 148})}, "[1].position"},
		{"position-twice", []section.Point{place(here), place(there), place(there)}, "[2].position"},
		{"another-country", []section.Point{place(here), place(orb.Point{150, -25})}, "[1].position"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := New(c.points)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("New() = %v, want a problem at %q", err, c.path)
			}
		})
	}
}

func TestTrackByPosition(t *testing.T) {
	track := hairpin(t)
	if got := []float64{track.Stations[1].ChainageM, track.Stations[2].ChainageM, track.Stations[3].ChainageM}; !near(got, []float64{100, 112, 212}, 1e-4) {
		t.Errorf("chainages %v, want 100, 112, 212", got)
	}
	for _, s := range track.Stations[:3] {
		for _, past := range []float64{0, 5} {
			p, ok := track.PositionAt(s.ChainageM + past)
			x, err := track.Along(p)
			if !ok || err != nil || math.Abs(x-s.ChainageM-past) > 1e-5 {
				t.Errorf("position at %v m is at %v m, %v", s.ChainageM+past, x, err)
			}
		}
	}
	if _, ok := track.PositionAt(213); ok {
		t.Error("there is a position past the end")
	}
	if p, _ := track.PositionAt(106); geodesy.Distance(p, track.Positions[1]) > 6.001 {
		t.Errorf("106 m is %v m from the turn, want 6", geodesy.Distance(p, track.Positions[1]))
	}
}

func TestShape(t *testing.T) {
	good := Shape{AngleDeg: 30, TrackWidthM: 4, PastEdgeM: 0.5, OneIn: 300, SettledHeightM: 0.3, SettlePct: 25}
	if err := good.Check(); err != nil || math.Abs(good.LengthM()-10) > 1e-9 || math.Abs(good.BuiltHeightM()-0.4) > 1e-9 {
		t.Errorf("%v: length %v, height %v; want 10 m (5 m across at 30°) and 0.4 m", err, good.LengthM(), good.BuiltHeightM())
	}
	if none := (Shape{AngleDeg: 45}); none.Check() != nil || none.LengthM() != 0 || none.BuiltHeightM() != 0 {
		t.Errorf("nothing given: %v, %v, %v", none.Check(), none.LengthM(), none.BuiltHeightM())
	}
	for path, f := range map[string]func(*Shape){
		"angleDeg": func(s *Shape) { s.AngleDeg = 0.8 }, "trackWidthM": func(s *Shape) { s.TrackWidthM = 4000 }, "pastEdgeM": func(s *Shape) { s.PastEdgeM = math.NaN() },
		"oneIn": func(s *Shape) { s.OneIn = 0.003 }, "settledHeightM": func(s *Shape) { s.SettledHeightM = 300 }, "settlePct": func(s *Shape) { s.SettlePct = 100 },
	} {
		bad := good
		f(&bad)
		if p, ok := errors.AsType[*model.Problem](bad.Check()); !ok || p.Path != path {
			t.Errorf("%+v: %v, want a problem at %s", bad, bad.Check(), path)
		}
	}
	// Both heights of the guides stand beside each other, unblended: 75 to 150 mm and 18 in.
	i := slices.IndexFunc(ShapeAdvice, func(a Advice) bool { return a.Item == "height" && a.Low == 0.075 && a.High == 0.15 })
	j := slices.IndexFunc(ShapeAdvice, func(a Advice) bool { return a.Item == "height" && math.Abs(a.Low-0.4572) < 1e-9 && a.High < 0 })
	if i < 0 || j < 0 {
		t.Errorf("heights: %+v", ShapeAdvice)
	}
}

// FuzzLayout: no panic, no number that is not finite, and a problem that names its place.
func FuzzLayout(f *testing.F) {
	f.Add(0.0, 100.0, 60.0, 97.0, 140.0, 89.0, 200.0, 93.0, uint8(0), 0.15, 30.0, 50.0, 12.0)
	f.Add(0.0, 100.0, 0.001, 100.0, 140.0, 100.0, 200.0, 100.2, uint8(2), 0.0, 0.0, 0.0, 0.0)
	f.Add(5.0, -12000.0, 60.0, math.NaN(), 1e300, 89.0, math.Inf(1), 93.0, uint8(9), -1.0, 1e9, -5.0, math.NaN())
	f.Fuzz(func(t *testing.T, x0, z0, x1, z1, x2, z2, x3, z3 float64, pick uint8, hump, clearance, head, offset float64) {
		x := []float64{x0, x1, x2, x3}
		var points []section.Point
		for i, z := range []float64{z0, z1, z2, z3} {
			points = append(points, section.Point{ChainageM: &x[i], LevelM: z})
		}
		track, err := New(points)
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Reason == "" || p.Path == "" {
				t.Fatalf("New() = %v", err)
			}
			return
		}
		track.Quality = section.LevelledAndTaped
		table := Tables[int(pick)%len(Tables)]
		rule, err := table.Rule(table.Columns[0], Steeper)
		if err != nil {
			t.Fatal(err)
		}
		o := Outlets{Side: Left, ClearanceM: clearance, Heads: []Head{{ChainageM: head, OffsetM: offset, Side: Left, LipLevelM: math.NaN(), PlusMinusM: -1}}}
		plan, err := Layout{Track: track, Rule: rule, Outlets: o, HumpM: hump}.Lay()
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Reason == "" || p.Path == "" {
				t.Fatalf("Lay() = %v", err)
			}
			return
		}
		var banks []Built
		for _, s := range plan.Sites {
			for _, v := range []float64{s.ChainageM, s.LevelM, s.SpacingM, s.SpacingPlusMinusM, s.GradePct, s.GradePlusMinusPct, s.AllowedM, s.MovedM} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("site %+v of %+v", s, track)
				}
			}
			banks = append(banks, Built{ChainageM: s.ChainageM, Side: s.Side})
		}
		r, err := Check{Track: track, Rule: rule, Outlets: o, HumpM: hump, Banks: banks}.Run()
		if err != nil {
			t.Fatalf("Run() on what was laid = %v", err)
		}
		for _, n := range r.Intervals {
			if n.Verdict == TooFar && len(plan.Unserved) == 0 {
				t.Fatalf("interval %+v of a layout of %+v", n, track)
			}
		}
	})
}
