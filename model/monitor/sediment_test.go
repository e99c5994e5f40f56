package monitor

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
)

// trapOf is the dam of the case RK14: 0.6 m high, bed 1 m, banks 2 to 1, on 5 %.
func trapOf(siltM float64) SiltTrap {
	return SiltTrap{CrestHeightM: 0.6, BedWidthM: 1, WidthAtCrestM: 3.4, BedSlopePct: 5, SiltHeightM: &siltM}
}

var trapTape = TrapAccuracy{HeightM: 0.05, WidthM: 0.05, DistanceM: 0.05, SlopePct: 0.3}

func TestCaughtStates(t *testing.T) {
	for _, c := range []struct {
		name  string
		siltM float64
		want  Filling
	}{{"empty", 0, Empty}, {"some", 0.3, Partly}, {"just-short", 0.549, Partly}, {"within-the-tolerance", 0.55, Filled}, {"full", 0.6, Filled}, {"over", 0.8, Filled}} {
		t.Run(c.name, func(t *testing.T) {
			if out, err := trapOf(c.siltM).Caught(trapTape); err != nil || out.State != c.want {
				t.Errorf("Caught() = %+v, %v; want %s", out, err, c.want)
			}
		})
	}
}

func TestCaughtRefuses(t *testing.T) {
	nan := math.NaN()
	probes := func(p ...Probe) func(*SiltTrap) {
		return func(s *SiltTrap) { s.SiltHeightM, s.Probes = nil, p }
	}
	for _, c := range []struct {
		name   string
		change func(*SiltTrap)
		path   string
	}{
		{"crest-in-millimetres", func(s *SiltTrap) { s.CrestHeightM = 600 }, "crestHeightM"},
		{"crest-not-a-number", func(s *SiltTrap) { s.CrestHeightM = nan }, "crestHeightM"},
		{"bed-below-nought", func(s *SiltTrap) { s.BedWidthM = -1 }, "bedWidthM"},
		{"crest-narrower-than-the-bed", func(s *SiltTrap) { s.WidthAtCrestM = 0.9 }, "widthAtCrestM"},
		{"slope-as-a-ratio", func(s *SiltTrap) { s.BedSlopePct = 0.05 }, "bedSlopePct"},
		{"slope-beyond-belief", func(s *SiltTrap) { s.BedSlopePct = 500 }, "bedSlopePct"},
		{"deposit-not-a-number", func(s *SiltTrap) { s.DepositSlopePct = nan }, "depositSlopePct"},
		{"deposit-as-steep-as-the-bed", func(s *SiltTrap) { s.DepositSlopePct = 5 }, "depositSlopePct"},
		{"silt-below-nought", func(s *SiltTrap) { *s.SiltHeightM = -0.1 }, "siltHeightM"},
		{"silt-far-above-the-crest", func(s *SiltTrap) { *s.SiltHeightM = 1.2 }, "siltHeightM"},
		{"silt-not-a-number", func(s *SiltTrap) { *s.SiltHeightM = nan }, "siltHeightM"},
		{"nothing-measured", func(s *SiltTrap) { s.SiltHeightM = nil }, ""},
		{"both-measured", func(s *SiltTrap) { s.Probes = []Probe{{0, 0.4}} }, ""},
		{"no-probes", probes([]Probe{}...), "probes"},
		{"too-many-probes", probes(make([]Probe, MaxProbes+1)...), "probes"},
		{"first-off-the-dam", probes(Probe{1, 0.4}), "probes[0].distanceM"},
		{"depth-in-millimetres", probes(Probe{0, 0.4}, Probe{3, 300}), "probes[1].depthM"},
		{"distance-not-a-number", probes(Probe{0, 0.4}, Probe{nan, 0.3}), "probes[1].distanceM"},
		{"unsorted", probes(Probe{0, 0.4}, Probe{5, 0.3}, Probe{3, 0.3}), "probes[2].distanceM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := trapOf(0.4)
			c.change(&s)
			_, err := s.Caught(trapTape)
			problemAt(t, err, c.path)
		})
	}
	for path, a := range map[string]TrapAccuracy{"heightPlusMinusM": {HeightM: nan}, "widthPlusMinusM": {WidthM: 1e9}, "distancePlusMinusM": {DistanceM: nan}, "bedSlopePlusMinusPct": {SlopePct: math.Inf(1)}} {
		_, err := trapOf(0.4).Caught(a)
		problemAt(t, err, path)
	}
}

func TestCaughtPlusMinusNotKnown(t *testing.T) {
	unknown := trapTape
	unknown.SlopePct = -1
	if out, err := trapOf(0.4).Caught(unknown); err != nil || out.CaughtPlusMinusM3 != -1 || out.CapacityPlusMinusM3 != -1 {
		t.Errorf("slope of unknown accuracy: %+v, %v; want -1 for both", out, err)
	}
	s := trapOf(0)
	s.SiltHeightM, s.Probes = nil, []Probe{{0, 0.4}, {8, 0}}
	if out, err := s.Caught(unknown); err != nil || !(out.CaughtPlusMinusM3 > 0) {
		t.Errorf("probed until there was no silt, the slope does not matter: %+v, %v", out, err)
	}
	unknown.SlopePct = 6
	if out, err := trapOf(0.4).Caught(unknown); err != nil || out.CaughtPlusMinusM3 != -1 {
		t.Errorf("a slope of 5 ± 6 %%: %+v, %v; want a plus-minus of -1", out, err)
	}
	if _, plusMinus, _ := Total([]Caught{{CaughtPlusMinusM3: 1}, {CaughtPlusMinusM3: -1}}); plusMinus != -1 {
		t.Errorf("a total with one not known is ± %v, want -1", plusMinus)
	}
}

// TestCaughtLaws: probes on the even wedge find the wedge, whatever their number; a wedge
// grows with its height; and the printed short form is never below the exact one.
func TestCaughtLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		s := trapOf(0)
		s.CrestHeightM, s.BedWidthM = number("crest", 0.2, 2), number("bed", 0, 10)
		s.WidthAtCrestM = s.BedWidthM + number("wider", 0.2, 10)
		s.BedSlopePct, s.DepositSlopePct = number("bed slope", 2, 30), number("deposit", 0, 1)
		depth := s.CrestHeightM * number("filled", 0.2, 1)
		s.SiltHeightM = &depth
		even, err := s.Caught(trapTape)
		if err != nil {
			t.Fatal(err)
		}
		s.SiltHeightM = nil
		n := rapid.IntRange(1, min(20, 1+int(even.ReachM/0.02))).Draw(t, "probes")
		for i := range n {
			x := even.ReachM * 0.9 * float64(i) / float64(n)
			s.Probes = append(s.Probes, Probe{x, depth * (1 - x/even.ReachM)})
		}
		probed, err := s.Caught(trapTape)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(probed.CaughtM3-even.CaughtM3) > 1e-9*(1+even.CaughtM3) || math.Abs(probed.ReachM-even.ReachM) > 1e-6 {
			t.Fatalf("probed %+v, want the wedge %+v", probed, even)
		}
		if even.CaughtM3 > even.CapacityM3*(1+1e-12) {
			t.Fatalf("caught %v m3 below the crest, which holds %v", even.CaughtM3, even.CapacityM3)
		}
		g, z := (s.BedSlopePct-s.DepositSlopePct)/100, (s.WidthAtCrestM-s.BedWidthM)/(2*s.CrestHeightM)
		if printed := sq(s.CrestHeightM) * (z*s.CrestHeightM + s.BedWidthM) / (2 * g); printed < even.CapacityM3*(1-1e-12) {
			t.Fatalf("the short form gives %v m3, below the exact %v", printed, even.CapacityM3)
		}
	})
}

// ExampleSiltTrap is the wedge behind a level crest of the case RK14, which the short form
// of a stormwater manual gives as 7.92 cubic metres.
func ExampleSiltTrap() {
	out, _ := trapOf(0.6).Caught(trapTape)
	fmt.Printf("%.2f m3 over %.0f m: %s\n", out.CaughtM3, out.ReachM, out.State)
	// Output: 6.48 m3 over 12 m: filled
}

func TestBulkDensity(t *testing.T) {
	for _, c := range []struct {
		density BulkDensity
		path    string
	}{
		{BulkDensity{1500, -1}, "bulkDensityTM3"}, {BulkDensity{0, -1}, "bulkDensityTM3"}, {BulkDensity{math.NaN(), -1}, "bulkDensityTM3"},
		{BulkDensity{1.5, 2}, "bulkDensityPlusMinusTM3"},
	} {
		problemAt(t, c.density.Check(), c.path)
	}
	// By hand: √((1.5·5)² + (10·0.5)² + (5·0.5)²).
	if tonnes, plusMinus := (BulkDensity{1.5, 0.5}).Mass(10, 5); tonnes != 15 || math.Abs(plusMinus-math.Sqrt(56.25+25+6.25)) > 1e-12 {
		t.Errorf("10 ± 5 m3 of 1.5 ± 0.5 t/m3 is %v ± %v t, want 15 ± 9.354", tonnes, plusMinus)
	}
	if err := (BulkDensity{1.5, -1}).Check(); err != nil {
		t.Errorf("1.5 t/m3 is refused: %v", err)
	}
}

func FuzzCaught(f *testing.F) {
	f.Add(0.6, 1.0, 3.4, 5.0, 0.0, 0.6, 4.0, 0.3, 0.3, true)
	f.Add(0.5, 0.0, 2.0, 3.0, 1.0, 0.4, 2.0, 0.0, -1.0, false)
	f.Add(0.5, math.NaN(), 2.0, 1e-3, 1.0, 0.4, 0.0, 0.1, 9.0, false)
	f.Fuzz(func(t *testing.T, crest, bed, top, slope, deposit, silt, x, depth, slopeError float64, probed bool) {
		s := SiltTrap{CrestHeightM: crest, BedWidthM: bed, WidthAtCrestM: top, BedSlopePct: slope, DepositSlopePct: deposit, SiltHeightM: &silt}
		if probed {
			s.SiltHeightM, s.Probes = nil, []Probe{{0, silt}, {x, depth}}
		}
		out, err := s.Caught(TrapAccuracy{0.05, 0.05, 0.05, slopeError})
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Reason == "" {
				t.Fatalf("Caught(%+v) = %v, want a problem", s, err)
			}
			return
		}
		for _, v := range []float64{out.CaughtM3, out.CapacityM3, out.FilledPct, out.ReachM, out.WedgeM3} {
			if !(v >= 0) || math.IsInf(v, 0) {
				t.Fatalf("Caught(%+v) = %+v", s, out)
			}
		}
		if math.IsNaN(out.CaughtPlusMinusM3 + out.CapacityPlusMinusM3) {
			t.Fatalf("Caught(%+v) = %+v", s, out)
		}
	})
}

func TestSiltAboveTheCrestIsQuestioned(t *testing.T) {
	at := func(m float64) *float64 { return &m }
	for name, c := range map[string]struct {
		trap SiltTrap
		want bool
	}{
		"below":        {SiltTrap{CrestHeightM: 0.5, SiltHeightM: at(0.45)}, false},
		"level":        {SiltTrap{CrestHeightM: 0.5, SiltHeightM: at(0.5)}, false},
		"above":        {SiltTrap{CrestHeightM: 0.5, SiltHeightM: at(0.62)}, true},
		"probed-above": {SiltTrap{CrestHeightM: 0.5, Probes: []Probe{{0, 0.4}, {2, 0.6}}}, true},
		"probed-below": {SiltTrap{CrestHeightM: 0.5, Probes: []Probe{{0, 0.4}, {2, 0.3}}}, false},
	} {
		if got := c.trap.Cautions("dam 3"); (len(got) == 1) != c.want || c.want && !strings.HasPrefix(got[0].Text, "dam 3: ") {
			t.Errorf("%s: Cautions() = %v, want one: %t", name, got, c.want)
		}
	}
}
