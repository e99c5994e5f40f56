package soilloss

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/modeltest"
)

// change is a hillslope that passes, for tests to alter.
func change(alter func(*Change)) Change {
	c := Change{LengthM: 60.96, LengthAfterM: 60.96, LengthPlusMinusM: 2, SlopePct: 8, SlopePlusMinusPct: 0.3,
		CoverBeforePct: 20, CoverBeforePlusMinus: 4, CoverAfterPct: 60, CoverAfterPlusMinus: 4, Series: AllSeries[0], Formula: RUSLE}
	if alter != nil {
		alter(&c)
	}
	return c
}

func TestSeriesAgainstPrintedRows(t *testing.T) {
	seen := map[string]int{}
	for _, c := range modeltest.Cases(t, "soilloss", "cover_factor") {
		s, ok := SeriesNamed(c.Text(t, "series"))
		if !ok {
			t.Fatalf("%s: no series %q", c.ID, c.Text(t, "series"))
		}
		c.Check(t, "C", s.Factor(c.Number(t, "cover_pct")))
		seen[s.Name]++
	}
	for _, s := range AllSeries {
		if seen[s.Name] < len(s.Rows) {
			t.Errorf("%s: %d printed rows are checked, want at least %d", s.Name, seen[s.Name], len(s.Rows))
		}
	}
	if s, ok := SeriesNamed("mixed"); ok {
		t.Errorf("SeriesNamed(mixed) = %v", s)
	}
}

func TestCompareAgainstCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "runoff", "cover_factor_change") {
		o, err := change(func(h *Change) {
			h.CoverBeforePct, h.CoverAfterPct = c.Number(t, "cover_before_pct"), c.Number(t, "cover_after_pct")
		}).Compare()
		if err != nil {
			t.Fatalf("%s: %v", c.ID, err)
		}
		c.Check(t, "C_before", o.CBefore)
		c.Check(t, "C_after", o.CAfter)
		c.Check(t, "ratio", o.Ratio)
	}
}

func TestSeriesAreNeverMixed(t *testing.T) {
	// Bare ground to 60 %: the same printed factor at 60 %, more than twice apart at 0.
	ratio := map[string]float64{}
	for _, s := range AllSeries {
		o, err := change(func(h *Change) { h.CoverBeforePct, h.Series = 0, s }).Compare()
		if err != nil {
			t.Fatal(err)
		}
		ratio[s.Name] = o.Ratio
	}
	for name, want := range map[string]float64{"pasture-set": 0.042, "handbook-537-grass": 0.042 / 0.45, "handbook-537-weeds": 0.09 / 0.45, "epa-1977-grass": 0.042} {
		if got := ratio[name]; math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: ratio = %v, want %v", name, got, want)
		}
	}
}

func TestVerdict(t *testing.T) {
	for _, c := range []struct {
		name                     string
		before, after, plusMinus float64
		want                     Verdict
	}{
		{"clear-gain", 20, 60, 4, Less},
		{"clear-loss", 60, 20, 4, More},
		{"within-noise", 50, 55, 4, TooNear},
		{"at-the-noise", 50, 50 + 1.96*4*math.Sqrt2 - 1e-9, 4, TooNear},
		{"past-the-noise", 50, 50 + 1.96*4*math.Sqrt2 + 1e-9, 4, Less},
		{"just-a-loss", 60, 48, 4, More},
		{"not-known", 20, 60, -1, Unknown},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, err := change(func(h *Change) {
				h.CoverBeforePct, h.CoverAfterPct, h.CoverBeforePlusMinus, h.CoverAfterPlusMinus = c.before, c.after, c.plusMinus, c.plusMinus
			}).Compare()
			if err != nil || o.Verdict != c.want || (o.RatioPlusMinus < 0) != (c.plusMinus < 0) {
				t.Errorf("from %v to %v ± %v: %q ± %v, %v, want %q", c.before, c.after, c.plusMinus, o.Verdict, o.RatioPlusMinus, err, c.want)
			}
		})
	}
}

func TestCompareRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		alter func(*Change)
		path  string
	}{
		{"cover-over-100", func(h *Change) { h.CoverAfterPct = 101 }, "coverAfterPct"},
		{"cover-negative", func(h *Change) { h.CoverBeforePct = -1 }, "coverBeforePct"},
		{"cover-part-of-one", func(h *Change) { h.CoverAfterPct = 0.6 }, "coverAfterPct"},
		{"cover-not-a-number", func(h *Change) { h.CoverBeforePct = math.NaN() }, "coverBeforePct"},
		{"plus-minus-not-a-number", func(h *Change) { h.CoverAfterPlusMinus = math.NaN() }, "coverAfterPlusMinusPct"},
		{"plus-minus-huge", func(h *Change) { h.CoverBeforePlusMinus = 60 }, "coverBeforePlusMinusPct"},
		{"slope-worse-than-half", func(h *Change) { h.SlopePlusMinusPct = 5 }, "slopePlusMinusPct"},
		{"length-worse-than-half", func(h *Change) { h.LengthPlusMinusM = 40 }, "lengthPlusMinusM"},
		{"longer-after", func(h *Change) { h.LengthAfterM = 61 }, "lengthAfterM"},
		{"after-too-short", func(h *Change) { h.LengthAfterM = 1 }, "lengthAfterM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, err := change(c.alter).Compare()
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("Compare = %+v, %v, want a problem at %s", o, err, c.path)
			}
		})
	}
}

func TestTonnes(t *testing.T) {
	f := Factors{R: 3000, RPlusMinus: 300, RSource: "map", K: 0.03986, KPlusMinus: 0.004, KSource: "table"}
	got, err := change(nil).Tonnes(f)
	// R K LS C by hand: LS is the 1.4524 of case LS5, C 0.20 and 0.042.
	if err != nil || math.Abs(got.Before-3000*0.03986*1.4524*0.20) > 0.01 || math.Abs(got.After-3000*0.03986*1.4524*0.042) > 0.01 {
		t.Errorf("Tonnes = %+v, %v, want 34.73 and 7.29", got, err)
	}
	cut, err := change(func(h *Change) { h.LengthAfterM = 30.48 }).Tonnes(f)
	// The printed table has 1.45 for 200 ft and 1.04 for 100 ft at 8 %.
	if err != nil || math.Abs(cut.After/got.After-1.04/1.45) > 0.005 || cut.Before != got.Before {
		t.Errorf("Tonnes with the slope cut in two = %+v, %v, want 1.04/1.45 of %v", cut, err, got.After)
	}
	f.KPlusMinus = -1
	if got, err = change(nil).Tonnes(f); err != nil || got.BeforePlusMinus != -1 || got.AfterPlusMinus != -1 {
		t.Errorf("Tonnes with an unknown K = %+v, %v, want plus-minus -1", got, err)
	}
	for _, c := range []struct {
		name string
		f    Factors
		path string
	}{
		{"no-source-of-r", Factors{R: 3000, RSource: " ", K: 0.04, KSource: "table"}, "rSource"},
		{"no-source-of-k", Factors{R: 3000, RSource: "map", K: 0.04}, "kSource"},
		{"k-in-us-units", Factors{R: 3000, RSource: "map", K: 0.3, KSource: "table"}, "k"},
		{"r-nought", Factors{RSource: "map", K: 0.04, KSource: "table"}, "r"},
		{"r-not-a-number", Factors{R: math.NaN(), RSource: "map", K: 0.04, KSource: "table"}, "r"},
		{"r-plus-minus", Factors{R: 100, RPlusMinus: 200, RSource: "map", K: 0.04, KSource: "table"}, "rPlusMinus"},
		{"k-plus-minus", Factors{R: 100, RSource: "map", K: 0.04, KPlusMinus: math.NaN(), KSource: "table"}, "kPlusMinus"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := change(nil).Tonnes(c.f)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("Tonnes = %+v, %v, want a problem at %s", got, err, c.path)
			}
		})
	}
}

// Laws: there and back is 1, more cover is never more loss, and the formula of LS does not
// matter to the ratio unless the slope was cut.
func TestCompareLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cover := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1, 100))
		s := rapid.SampledFrom(AllSeries).Draw(t, "series")
		h := change(func(h *Change) {
			h.Series, h.CoverBeforePct, h.CoverAfterPct = s, cover.Draw(t, "before"), cover.Draw(t, "after")
		})
		there, err := h.Compare()
		if err != nil {
			t.Fatal(err)
		}
		back := h
		back.CoverBeforePct, back.CoverAfterPct, back.Formula = h.CoverAfterPct, h.CoverBeforePct, USLE
		home, err := back.Compare()
		if err != nil || math.Abs(there.Ratio*home.Ratio-1) > 1e-9 {
			t.Fatalf("%v to %v %% = %v, back %v, %v: want 1 over it", h.CoverBeforePct, h.CoverAfterPct, there.Ratio, home.Ratio, err)
		}
		if h.CoverAfterPct > h.CoverBeforePct && there.Ratio > 1 {
			t.Fatalf("%s: more cover, %v to %v %%, gave a ratio of %v", s.Name, h.CoverBeforePct, h.CoverAfterPct, there.Ratio)
		}
		if math.IsNaN(there.RatioPlusMinus) || there.RatioPlusMinus < 0 {
			t.Fatalf("ratio ± %v", there.RatioPlusMinus)
		}
	})
}

// The worked change of the teaching set: 20 to 60 % cover leaves a fifth of the loss.
func ExampleChange_Compare() {
	series, _ := SeriesNamed("pasture-set")
	o, err := Change{LengthM: 60, LengthAfterM: 60, SlopePct: 5, CoverBeforePct: 20, CoverBeforePlusMinus: 4,
		CoverAfterPct: 60, CoverAfterPlusMinus: 4, Series: series, Formula: RUSLE}.Compare()
	fmt.Printf("%.2f ± %.2f, %s, %v\n", o.Ratio, o.RatioPlusMinus, o.Verdict, err)
	// Output:
	// 0.21 ± 0.06, less loss, <nil>
}

// Factors, slope and cover taken as exact give tonnes taken as exact, each by itself what it gives alone.
func TestTonnesTakenAsExact(t *testing.T) {
	exact := change(func(h *Change) {
		h.LengthPlusMinusM, h.SlopePlusMinusPct, h.CoverBeforePlusMinus, h.CoverAfterPlusMinus = 0, 0, 0, 0
	})
	f := Factors{R: 1000, K: 0.04, RSource: "map 2016", KSource: "table 2016"}
	got, err := exact.Tonnes(f)
	if err != nil || got.BeforePlusMinus > 1e-6*got.Before || got.BeforePlusMinus < 0 || got.AfterPlusMinus < 0 {
		t.Fatalf("%+v, %v; want a ± of nought", got, err)
	}
	for name, f := range map[string]Factors{"r": {R: 1000, K: 0.04, RPlusMinus: 100, RSource: "m", KSource: "t"}, "k": {R: 1000, K: 0.04, KPlusMinus: 0.004, RSource: "m", KSource: "t"}} {
		if got, err := exact.Tonnes(f); err != nil || math.Abs(got.BeforePlusMinus/got.Before-0.1) > 1e-6 || math.Abs(got.AfterPlusMinus/got.After-0.1) > 1e-6 {
			t.Errorf("%s errs by a tenth: %+v, %v", name, got, err)
		}
	}
}
