package works

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
)

func dam(name string, chainageM, toeM, crestM float64) Dam {
	return Dam{Name: name, ChainageM: chainageM, ChainagePlusMinusM: 0.05, ToeLevelM: toeM, CrestLevelM: crestM, LevelPlusMinusM: 0.005, LevelBasis: model.Levelled}
}

func TestDamCheckVerdicts(t *testing.T) {
	gps := func(d Dam) Dam { d.LevelBasis = model.GPS; return d }
	open := func(d Dam) Dam { d.LevelBasis = model.Unproven; return d }
	for _, c := range []struct {
		name    string
		dams    []Dam
		deposit float64
		step    float64
		want    Meeting
	}{
		{"level", []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.4, 100.8)}, 0, 0, Level},
		{"gap-of-18-cm", []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.58, 101)}, 0, 0.18, Gap},
		{"drowned-by-12-cm", []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.28, 100.7)}, 0, -0.12, Drowned},
		{"just-the-tolerance", []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.45, 100.8)}, 0, 0.05, Level},
		{"just-the-tolerance-below", []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.35, 100.8)}, 0, -0.05, Level},
		{"a-millimetre-over", []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.451, 100.8)}, 0, 0.051, Gap},
		{"on-the-deposit-slope", []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.56, 101)}, 2, 0, Level},
		{"level-but-deposit-given", []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.4, 100.8)}, 2, -0.16, Drowned},
		{"listed-from-the-top", []Dam{dam("b", 8, 100.58, 101), dam("a", 0, 100, 100.4)}, 0, 0.18, Gap},
		{"upper-from-gps", []Dam{dam("a", 0, 100, 100.4), gps(dam("b", 8, 100.4, 100.8))}, 0, 0, NotLevelled},
		{"lower-from-an-open-run", []Dam{open(dam("a", 0, 100, 100.4)), dam("b", 8, 100.4, 100.8)}, 0, 0, NotLevelled},
		{"nobody-said-how", []Dam{{Name: "a", CrestLevelM: 100.4, ToeLevelM: 100}, dam("b", 8, 100.9, 101.3)}, 0, 0.5, NotLevelled},
	} {
		t.Run(c.name, func(t *testing.T) {
			pairs, worst, err := DamCheck{Dams: c.dams, ToleranceM: DamToleranceM, DepositSlopePct: c.deposit}.Pairs()
			if err != nil || len(pairs) != 1 || worst != 0 {
				t.Fatalf("Pairs() = %v, %d, %v; want one pair", pairs, worst, err)
			}
			p := pairs[0]
			if p.Verdict != c.want || math.Abs(p.StepM-c.step) > 1e-9 || p.Lower != "a" || p.Upper != "b" || math.Abs(p.SpacingM-8) > 1e-9 {
				t.Errorf("got %+v, want %s with step %v m from a to b, 8 m apart", p, c.want, c.step)
			}
		})
	}
}

func TestDamCheckFindsTheWorst(t *testing.T) {
	c := DamCheck{ToleranceM: 0.05, Dams: []Dam{dam("a", 0, 100, 100.4), dam("b", 8, 100.5, 100.9), dam("c", 16, 100.6, 101), dam("d", 24, 101, 101.4)}}
	pairs, worst, err := c.Pairs()
	// b to c is drowned by 0.30 m, the largest step; a to b is a gap of 0.10 m, and scours.
	if err != nil || len(pairs) != 3 || pairs[worst].Lower != "a" || pairs[worst].Verdict != Gap {
		t.Errorf("Pairs() = %+v, worst %d, %v; want a to b, the gap", pairs, worst, err)
	}
	without := DamCheck{ToleranceM: 0.05, Dams: c.Dams[1:]} // no gap among b, c and d
	if pairs, worst, err := without.Pairs(); err != nil || pairs[worst].Lower != "b" || pairs[worst].Verdict != Drowned {
		t.Errorf("without a gap: %+v, worst %d, %v; want b to c drowned", pairs, worst, err)
	}
	if pairs, worst, err := (DamCheck{Dams: c.Dams[:1]}).Pairs(); pairs != nil || worst != -1 || err != nil {
		t.Errorf("one dam: %v, %d, %v; want no pairs", pairs, worst, err)
	}
}

// TestNamelessDamsAreCalledByTheirNumber in the list as it was given, from the top down here.
func TestNamelessDamsAreCalledByTheirNumber(t *testing.T) {
	c := DamCheck{ToleranceM: 0.05, Dams: []Dam{dam("", 16, 100.6, 103), dam("b", 8, 100.5, 100.9), dam("", 0, 100, 100.4)}}
	pairs, _, err := c.Pairs()
	if err != nil || len(pairs) != 2 || pairs[0].Lower != "dam 3" || pairs[0].Upper != "b" || pairs[1].Upper != "dam 1" {
		t.Errorf("Pairs() = %+v, %v; want dam 3 to b and b to dam 1", pairs, err)
	}
	for _, caution := range c.Cautions(pairs) {
		if strings.HasPrefix(caution.Text, "dam 1 is 2.40 m high") {
			return
		}
	}
	t.Errorf("cautions %v, want one of dam 1, 2.40 m high", c.Cautions(pairs))
}

func TestDamCheckPlusMinus(t *testing.T) {
	// Two fixes of 5 m, nine metres apart: 5 √2 = 7 m. On a 2 % deposit that is 0.14 m of step.
	lower, upper := dam("a", 0, 100, 100.4), dam("b", 9, 100.58, 101)
	lower.ChainagePlusMinusM, upper.ChainagePlusMinusM = 5, 5
	level, _, _ := DamCheck{Dams: []Dam{lower, upper}, ToleranceM: 0.05}.Pairs()
	slope, _, _ := DamCheck{Dams: []Dam{lower, upper}, ToleranceM: 0.05, DepositSlopePct: 2}.Pairs()
	if got := level[0].SpacingPlusMinusM; math.Abs(got-7.0711) > 1e-4 {
		t.Errorf("spacing ± %v, want 7.0711", got)
	}
	if got := level[0].StepPlusMinusM; math.Abs(got-0.005*math.Sqrt2) > 1e-9 {
		t.Errorf("step ± %v, want 0.0071", got)
	}
	if got, want := slope[0].StepPlusMinusM, math.Hypot(0.005*math.Sqrt2, 0.02*5*math.Sqrt2); math.Abs(got-want) > 1e-9 {
		t.Errorf("step on a deposit ± %v, want %v", got, want)
	}
	upper.ChainagePlusMinusM = -1
	unknown, _, _ := DamCheck{Dams: []Dam{lower, upper}, ToleranceM: 0.05, DepositSlopePct: 2}.Pairs()
	if unknown[0].SpacingPlusMinusM != -1 || unknown[0].StepPlusMinusM != -1 {
		t.Errorf("unknown error of a place gives %+v, want -1 for spacing and step", unknown[0])
	}
}

func TestDamCheckTakesToesFromTheBed(t *testing.T) {
	nan := math.NaN()
	c := DamCheck{Bed: bedOf(0, 100, 20, 101), BedBasis: model.Levelled, ToleranceM: 0.05, Dams: []Dam{dam("a", 0, nan, 100.4), dam("b", 8, nan, 100.8)}}
	pairs, _, err := c.Pairs()
	if err != nil || pairs[0].Verdict != Level || math.Abs(pairs[0].StepM) > 1e-9 {
		t.Errorf("Pairs() = %+v, %v; want level", pairs, err)
	}
	c.BedBasis = model.Unproven
	if pairs, _, err = c.Pairs(); err != nil || pairs[0].Verdict != NotLevelled {
		t.Errorf("with an unproven bed: %+v, %v; want not levelled", pairs, err)
	}
}

func TestDamCheckRefuses(t *testing.T) {
	nan := math.NaN()
	a, b := dam("a", 0, 100, 100.4), dam("b", 8, 100.4, 100.8)
	change := func(d Dam, f func(*Dam)) Dam { f(&d); return d }
	for _, c := range []struct {
		name string
		c    DamCheck
		path string
	}{
		{"bed-of-one-point", DamCheck{Bed: bedOf(0, 100), Dams: []Dam{a, b}}, "bed"},
		{"tolerance", DamCheck{Dams: []Dam{a, b}, ToleranceM: nan}, "toleranceM"},
		{"deposit", DamCheck{Dams: []Dam{a, b}, DepositSlopePct: nan}, "depositSlopePct"},
		{"chainage-below-nought", DamCheck{Dams: []Dam{a, change(b, func(d *Dam) { d.ChainageM = -8 })}}, "dams[1].chainageM"},
		{"crest-not-a-number", DamCheck{Dams: []Dam{change(a, func(d *Dam) { d.CrestLevelM = nan }), b}}, "dams[0].crestLevelM"},
		{"toe-beyond-belief", DamCheck{Dams: []Dam{a, change(b, func(d *Dam) { d.ToeLevelM = -1e9 })}}, "dams[1].toeLevelM"},
		{"toe-missing-no-bed", DamCheck{Dams: []Dam{a, change(b, func(d *Dam) { d.ToeLevelM = nan })}}, "dams[1].toeLevelM"},
		{"toe-missing-bed-too-short", DamCheck{Bed: bedOf(0, 100, 5, 100.2), Dams: []Dam{a, change(b, func(d *Dam) { d.ToeLevelM = nan })}}, "dams[1].toeLevelM"},
		{"toe-and-crest-swapped", DamCheck{Dams: []Dam{a, dam("b", 8, 100.8, 100.4)}}, "dams[1].crestLevelM"},
		{"two-at-one-place", DamCheck{Dams: []Dam{dam("b", 8, 100.4, 100.8), a, dam("c", 8, 100.4, 100.8)}}, "dams[2].chainageM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			pairs, _, err := c.c.Pairs()
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("Pairs() = %v, %v; want a problem at %q", pairs, err, c.path)
			}
		})
	}
}

func TestDamCheckCautionsHighDams(t *testing.T) {
	c := DamCheck{Dams: []Dam{dam("weir", 0, 100, 101.2), dam("b", 8, 100.4, 100.8)}}
	told := func(start string) bool {
		return slices.ContainsFunc(c.Cautions(nil), func(c model.Caution) bool { return strings.HasPrefix(c.Text, start) })
	}
	if !told("weir is 1.20 m high") {
		t.Errorf("Cautions() = %v, want one about the weir", c.Cautions(nil))
	}
	c.Bed, c.Dams[0].ToeLevelM = bedOf(0, 99.9, 20, 101), math.NaN() // its toe is the bed's
	if !told("weir is 1.30 m high") {
		t.Errorf("Cautions() = %v, want one about the weir above the bed", c.Cautions(nil))
	}
	c.Dams = c.Dams[1:]
	if got := len(c.Cautions(nil)); got != len(DamCautions) {
		t.Errorf("%d cautions for a low dam, want the %d general ones", got, len(DamCautions))
	}
}

func TestDamCheckTellsOfABedAboveTheCrest(t *testing.T) {
	a, b := dam("a", 0, 100, 100.4), dam("b", 20, 100.4, 100.8)
	for name, c := range map[string]struct {
		bed         []float64
		depositPct  float64
		at, aboveM  float64
		wantVerdict Meeting
	}{
		"hump":                {[]float64{0, 100, 8, 100.9, 14, 100.2, 20, 100.4, 30, 101}, 0, 8, 0.5, Humped},
		"higher-of-two":       {[]float64{0, 100, 5, 100.6, 7, 100.3, 8, 100.9, 14, 100.2, 20, 100.4}, 0, 8, 0.5, Humped},
		"even-bed":            {[]float64{0, 100, 10, 100.2, 20, 100.4, 30, 101}, 0, 0, 0, Level},
		"within-tolerance":    {[]float64{0, 100, 10, 100.44, 20, 100.4, 30, 101}, 0, 0, 0, Level},
		"under-the-deposit":   {[]float64{0, 100, 10, 100.5, 20, 100.4, 30, 101}, 2, 0, 0, Drowned},
		"above-the-deposit":   {[]float64{0, 100, 10, 100.9, 20, 100.4, 30, 101}, 2, 10, 0.3, Humped},
		"surveyed-only-below": {[]float64{-0, 99, 0.5, 99.2}, 0, 0, 0, Level},
	} {
		t.Run(name, func(t *testing.T) {
			check := DamCheck{Bed: bedOf(c.bed...), BedBasis: model.Levelled, Dams: []Dam{a, b}, ToleranceM: 0.05, DepositSlopePct: c.depositPct}
			pairs, _, err := check.Pairs()
			if err != nil || pairs[0].Verdict != c.wantVerdict {
				t.Fatalf("Pairs() = %+v, %v; want %s", pairs, err, c.wantVerdict)
			}
			h := pairs[0].Hump
			if (h != nil) != (c.aboveM > 0) || h != nil && (h.ChainageM != c.at || math.Abs(h.AboveM-c.aboveM) > 1e-9) {
				t.Fatalf("hump %+v, want %v m above at %v m", h, c.aboveM, c.at)
			}
			if told := len(check.Cautions(pairs)) > len(DamCautions); told != (h != nil) {
				t.Errorf("cautions %v, want one about the bed only where it rises", check.Cautions(pairs))
			}
		})
	}
}

// Water falls off a hump as it falls over a gap: the higher fall of the two does most harm,
// and either more than the deepest drowned toe.
func TestHumpsRankByHarm(t *testing.T) {
	for name, c := range map[string]struct {
		humpM, upperToeM float64 // of the bed half-way between the lowest two; of the third dam's toe
		wantWorst        int
	}{
		"hump-over-level":    {100.9, 100.8, 0},
		"hump-over-drowned":  {100.9, 100.1, 0},
		"hump-over-less-gap": {100.9, 101.1, 0},
		"greater-gap":        {100.9, 101.5, 1},
		"no-hump":            {100.3, 100.1, 1},
	} {
		check := DamCheck{Bed: bedOf(0, 100, 10, c.humpM, 20, 100.4, 40, c.upperToeM), BedBasis: model.Levelled, ToleranceM: 0.05,
			Dams: []Dam{dam("a", 0, 100, 100.4), dam("b", 20, 100.4, 100.8), dam("c", 40, c.upperToeM, c.upperToeM+0.4)}}
		if pairs, worst, err := check.Pairs(); err != nil || worst != c.wantWorst {
			t.Errorf("%s: Pairs() = %+v, worst %d, %v; want %d", name, pairs, worst, err, c.wantWorst)
		}
	}
	check := DamCheck{Bed: bedOf(0, 100, 10, 100.9, 20, 100.4), BedBasis: model.Unproven, ToleranceM: 0.05, Dams: []Dam{dam("a", 0, 100, 100.4), dam("b", 20, 100.4, 100.8)}}
	if pairs, _, err := check.Pairs(); err != nil || pairs[0].Verdict != NotLevelled {
		t.Errorf("a hump of a bed that no closed run stands behind: %+v, %v; want not levelled", pairs, err)
	}
}

// A bed that climbs steadily to a toe that stands too high is a gap, and told once.
func TestGapIsNoHump(t *testing.T) {
	c := DamCheck{Bed: bedOf(0, 100, 10, 100.5, 20, 101), BedBasis: model.Levelled, ToleranceM: 0.05, Dams: []Dam{dam("a", 0, 100, 100.4), dam("b", 20, 101, 101.4)}}
	pairs, _, err := c.Pairs()
	if err != nil || pairs[0].Verdict != Gap || pairs[0].Hump != nil {
		t.Errorf("Pairs() = %+v, %v; want a gap without a hump", pairs, err)
	}
}

// ExampleDamCheck checks the second dam of the walk SP14 (level crest to toe on paper)
// built 0.2 m too far up the bank.
func ExampleDamCheck() {
	pairs, _, _ := DamCheck{
		Bed: bedOf(0, 100, 10, 100.5, 20, 101.5, 30, 102.5), ToleranceM: DamToleranceM,
		Dams: []Dam{
			{Name: "lowest", ChainageM: 0, ToeLevelM: 100, CrestLevelM: 101, LevelBasis: model.Levelled},
			{Name: "second", ChainageM: 17, ToeLevelM: 101.2, CrestLevelM: 102.2, LevelBasis: model.Levelled},
		},
	}.Pairs()
	fmt.Printf("%s to %s: %s, step %.2f m over %.0f m\n", pairs[0].Lower, pairs[0].Upper, pairs[0].Verdict, pairs[0].StepM, pairs[0].SpacingM)
	// Output: lowest to second: gap, step 0.20 m over 17 m
}

func FuzzDamCheck(f *testing.F) {
	f.Add(0.0, 100.0, 100.4, 8.0, 100.4, 100.8, 0.05, 0.0)
	f.Add(8.0, 100.0, 100.4, 0.0, math.NaN(), 100.8, 0.0, 2.0)
	f.Add(0.0, -12001.0, math.Inf(1), 1e300, 0.0, 0.0, -1.0, 30.0)
	f.Fuzz(func(t *testing.T, x0, toe0, crest0, x1, toe1, crest1, tolerance, deposit float64) {
		c := DamCheck{Bed: bedOf(0, 100, 50, 102), BedBasis: model.Levelled, ToleranceM: tolerance, DepositSlopePct: deposit,
			Dams: []Dam{dam("a", x0, toe0, crest0), dam("b", x1, toe1, crest1)}}
		pairs, worst, err := c.Pairs()
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
				t.Fatalf("Pairs(%+v) = %v, want a problem that names its place", c, err)
			}
			return
		}
		if len(pairs) != 1 || worst != 0 || !slices.Contains(Meetings, pairs[0].Verdict) || math.IsNaN(pairs[0].StepM) || pairs[0].SpacingM <= 0 {
			t.Fatalf("Pairs(%+v) = %+v, %d", c, pairs, worst)
		}
		c.Cautions(pairs)
	})
}

// BenchmarkDamCheck checks 1,000 dams whose toes come from a bed of 10,000 points.
func BenchmarkDamCheck(b *testing.B) {
	c := DamCheck{Bed: uniform(10_000, 0.04, 1), BedBasis: model.Levelled, ToleranceM: DamToleranceM}
	for i := range 1000 {
		x := 10 * float64(i)
		c.Dams = append(c.Dams, dam("", x, math.NaN(), 100.4+0.04*x))
	}
	for b.Loop() {
		if pairs, _, err := c.Pairs(); err != nil || len(pairs) != 999 {
			b.Fatal(len(pairs), err)
		}
	}
}
