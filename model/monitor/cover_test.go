package monitor

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
)

func TestCoverMeets(t *testing.T) {
	c := Cover{CoverPct: 60, LowPct: 52, HighPct: 67}
	for target, want := range map[float64]Answer{40: Yes, 52: Yes, 52.1: CannotTell, 60: CannotTell, 67: CannotTell, 67.1: No, 75: No} {
		if got := c.Meets(target); got != want {
			t.Errorf("cover from 52 to 67 %% meets %v: %s, want %s", target, got, want)
		}
	}
}

func TestPlots(t *testing.T) {
	// By hand: mean 55, squares 15² + 0 + 7² + 7² + 15² = 548, s = √(548/4) = 11.7047,
	// s/√5 = 5.2345, t with 4 degrees of freedom is 2.776.
	c, err := OfPlots([]float64{40, 55, 62, 48, 70}, -1)
	if err != nil || c.CoverPct != 55 || math.Abs(c.PlusMinusPct-5.2345) > 1e-4 || math.Abs(c.LowPct-(55-2.776*5.2345)) > 0.003 || math.Abs(c.HighPct-(55+2.776*5.2345)) > 0.003 {
		t.Errorf("OfPlots() = %+v, %v; want 55 ± 5.2345 from 40.47 to 69.53", c, err)
	}
	if c, err = OfPlots([]float64{99, 90, 100}, -1); err != nil || c.HighPct != 100 {
		t.Errorf("limits beyond 100 %%: %+v, %v", c, err)
	}
	for name, plots := range map[string][]float64{"one-plot": {80}, "all-alike": {80, 80, 80}} {
		if c, err := OfPlots(plots, -1); err != nil || c.PlusMinusPct != -1 || c.LowPct != 0 || c.HighPct != 100 || c.Meets(50) != CannotTell {
			t.Errorf("%s: %+v, %v; want no limits", name, c, err)
		}
	}
	if c, err := OfPlots([]float64{80, 80, 80}, 5); err != nil || c.PlusMinusPct != 5 || math.Abs(c.LowPct-(80-5*z95)) > 1e-9 {
		t.Errorf("alike, by an eye of ± 5: %+v, %v", c, err)
	}
	if c, err := OfPlots([]float64{0, 0.5, 0}, -1); err == nil {
		t.Errorf("fractions pass for per cent: %+v", c)
	}
	if c, err := OfPlots([]float64{0, 0, 0}, -1); err != nil || c.CoverPct != 0 {
		t.Errorf("bare plots: %+v, %v", c, err)
	}
}

func TestCoverRefuses(t *testing.T) {
	for _, c := range []struct {
		name     string
		plots    []float64
		observer float64
		path     string
	}{
		{"no-plots", nil, -1, "plots"},
		{"too-many", make([]float64, MaxPlots+1), -1, "plots"},
		{"above-100", []float64{50, 101}, -1, "plots[1].coverPct"},
		{"below-nought", []float64{-1, 50}, -1, "plots[0].coverPct"},
		{"not-a-number", []float64{50, math.NaN()}, -1, "plots[1].coverPct"},
		{"fractions", []float64{0.5, 0.7}, -1, "plots"},
		{"observer", []float64{50, 60}, 80, "observerPlusMinusPct"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := OfPlots(c.plots, c.observer)
			problemAt(t, err, c.path)
		})
	}
	for _, c := range []struct {
		hits, total int
		path        string
	}{{0, 0, "points.total"}, {1, -4, "points.total"}, {1, MaxPoints + 1, "points.total"}, {-1, 10, "points.hits"}, {11, 10, "points.hits"}} {
		_, err := OfPoints(c.hits, c.total)
		problemAt(t, err, c.path)
	}
}

// TestPointLaws: limits lie about the cover and within 0 and 100, bare points mirror hits,
// and more points at the same cover narrow them.
func TestPointLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := rapid.IntRange(1, 100_000).Draw(t, "total")
		hits := rapid.IntRange(0, total).Draw(t, "hits")
		c, err := OfPoints(hits, total)
		bare, _ := OfPoints(total-hits, total)
		more, _ := OfPoints(4*hits, 4*total)
		if err != nil || c.LowPct < 0 || c.HighPct > 100 || c.LowPct > c.CoverPct || c.HighPct < c.CoverPct || !(c.PlusMinusPct > 0) {
			t.Fatalf("OfPoints(%d, %d) = %+v, %v", hits, total, c, err)
		}
		if math.Abs(bare.LowPct-(100-c.HighPct)) > 1e-9 || math.Abs(bare.HighPct-(100-c.LowPct)) > 1e-9 {
			t.Fatalf("%d of %d: %+v, and bare %+v", hits, total, c, bare)
		}
		if more.HighPct-more.LowPct >= c.HighPct-c.LowPct {
			t.Fatalf("four times the points: %+v, want it narrower than %+v", more, c)
		}
	})
}

func TestCoverCautions(t *testing.T) {
	late, early := day("2024-10-20"), day("2024-03-01")
	dry := Season{5, 11}
	for _, c := range []struct {
		name string
		at   CoverAt
		want string
	}{
		{"no-date", CoverAt{}, "nobody said"},
		{"no-season", CoverAt{Day: &late}, "give the months"},
		{"early", CoverAt{Day: &early, Dry: &dry}, "not looked at in the last two months"},
		{"late", CoverAt{Day: &late, Dry: &dry}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			i := slices.IndexFunc(c.at.Cautions(), func(c model.Caution) bool { return c.About == "date" })
			if c.want == "" {
				if i >= 0 {
					t.Errorf("a date at the end of the dry is cautioned: %v", c.at.Cautions()[i])
				}
				return
			}
			if i < 0 || !strings.Contains(c.at.Cautions()[i].Text, c.want) {
				t.Errorf("cautions %v, want one that says %q", c.at.Cautions(), c.want)
			}
		})
	}
}

func TestCoverTargetsAreNamed(t *testing.T) {
	for _, target := range CoverTargets {
		if target.Name == "" || target.Why == "" || target.Source.Title == "" || !(target.TargetPct > 1 && target.TargetPct < 100) {
			t.Errorf("target %+v lacks a name, a reason or a source", target)
		}
	}
}

// ExampleOfPoints is the proportion of Newcombe 1998 (Statistics in Medicine 17:857, table
// I, score method): 81 of 263.
func ExampleOfPoints() {
	c, _ := OfPoints(81, 263)
	fmt.Printf("%.1f %%, from %.2f to %.2f; meets 50 %%: %s\n", c.CoverPct, c.LowPct, c.HighPct, c.Meets(50))
	// Output: 30.8 %, from 25.53 to 36.62; meets 50 %: no
}

func FuzzCover(f *testing.F) {
	f.Add(156, 200, 40.0, 55.0, 62.0, 5.0)
	f.Add(0, 0, 80.0, 80.0, 80.0, -1.0)
	f.Add(-1, 7, 0.5, math.NaN(), 101.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, hits, total int, a, b, c, observer float64) {
		points, errPoints := OfPoints(hits, total)
		plots, errPlots := OfPlots([]float64{a, b, c}, observer)
		for _, one := range []struct {
			Cover
			err error
		}{{points, errPoints}, {plots, errPlots}} {
			if one.err != nil {
				if p, ok := errors.AsType[*model.Problem](one.err); !ok || p.Path == "" || p.Reason == "" {
					t.Fatalf("%v, want a problem that names its place", one.err)
				}
				continue
			}
			if !(one.LowPct >= 0 && one.LowPct <= one.CoverPct && one.CoverPct <= one.HighPct && one.HighPct <= 100) || math.IsNaN(one.PlusMinusPct) {
				t.Fatalf("%d of %d, %v %v %v: %+v", hits, total, a, b, c, one.Cover)
			}
		}
	})
}
