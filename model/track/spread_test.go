package track

import (
	"math"
	"math/rand/v2"
	"testing"

	"headcut/model"
	"headcut/model/section"
)

const draws = 10_000

// spread is the standard deviation of what draw returns over 10,000 draws. It is itself
// uncertain by 0.7 %, so that 5 % is a fair allowance.
func spread(draw func() float64) float64 {
	sum, squares := 0.0, 0.0
	first := draw()
	for range draws {
		d := draw() - first
		sum, squares = sum+d, squares+d*d
	}
	return math.Sqrt(squares/draws - sum*sum/draws/draws)
}

func within5(t *testing.T, what string, stated, seen float64) {
	t.Helper()
	if !(math.Abs(stated/seen-1) <= 0.05) {
		t.Errorf("%s: stated ± %v, it scatters by %v", what, stated, seen)
	}
}

// shaken is the track surveyed once more, with errors of the stated size.
func shaken(r *rand.Rand, t Track) Track {
	again := t
	again.Stations = make([]section.Station, len(t.Stations))
	for i, s := range t.Stations {
		again.Stations[i] = section.Station{ChainageM: s.ChainageM + t.Quality.ChainagePlusMinusM*r.NormFloat64(), LevelM: s.LevelM + t.Quality.LevelPlusMinusM*r.NormFloat64()}
	}
	return again
}

// TestGradeSpread surveys the track and tapes the banks again and again.
func TestGradeSpread(t *testing.T) {
	base := profile(0, 100, 30, 98.5, 55, 93, 90, 91)
	base.Quality = section.Quality{Basis: model.Levelled, LevelPlusMinusM: 0.03, ChainagePlusMinusM: 0.2}
	back := profile(0, 91, 35, 93, 60, 98.5, 90, 100)
	back.Quality = base.Quality
	for _, c := range []struct {
		name   string
		track  Track
		banks  []float64
		picked int
	}{
		{"from-the-top-within-its-reach", base, []float64{20}, 0},
		{"from-the-top-into-the-next-reach", base, []float64{40}, 0},
		{"two-in-one-reach", base, []float64{35, 50}, 1},
		{"in-reaches-that-touch", base, []float64{20, 45}, 1},
		{"far-apart", base, []float64{10, 80}, 1},
		{"to-the-foot", base, []float64{20, 60}, 2},
		{"climbing-chainages", back, []float64{20, 45}, 1},
		{"to-a-foot-at-the-start", back, []float64{20, 45}, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(20261125, uint64(c.picked)))
			rule := rule(t, "water-bars-by-class", "erosive")
			n := check(t, Check{Track: c.track, Rule: rule, Outlets: anySide, HumpM: HumpM, Banks: built(c.banks...)}).Intervals[c.picked]
			again := func() Interval {
				banks := built(c.banks...)
				for i := range banks {
					banks[i].ChainageM += c.track.Quality.ChainagePlusMinusM * r.NormFloat64()
				}
				return check(t, Check{Track: shaken(r, c.track), Rule: rule, Outlets: anySide, HumpM: HumpM, Banks: banks}).Intervals[c.picked]
			}
			within5(t, "slopePct", n.GradePlusMinusPct, spread(func() float64 { return again().GradePct }))
			within5(t, "spacingM", n.SpacingPlusMinusM, spread(func() float64 { return again().SpacingM }))
		})
	}
}

// TestLayoutSpread lays the first bank on the track surveyed again and again, and pegs it.
func TestLayoutSpread(t *testing.T) {
	packer, _ := Named("water-bars-two-soils")
	for _, c := range []struct {
		name    string
		track   Track
		between Between
	}{
		{"spacing-of-a-row", profile(0, 100, 100, 96.5), Steeper},
		{"where-the-row-changes", profile(0, 100, 30, 99.4, 80, 91.9), Steeper},
		{"straight-line", profile(0, 100, 30, 98.7, 80, 94.2), StraightLine},
		{"log-log-as-it-grows-gentler", profile(0, 100, 20, 98, 80, 94.4), LogLog},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.track.Quality = section.Quality{Basis: model.Levelled, LevelPlusMinusM: 0.02, ChainagePlusMinusM: 0.05}
			rule, err := packer.Rule("general", c.between)
			if err != nil {
				t.Fatal(err)
			}
			r := rand.New(rand.NewPCG(20261125, 7))
			first := func(track Track) Site {
				return lay(t, Layout{Track: track, Rule: rule, Outlets: anySide, HumpM: HumpM}).Sites[0]
			}
			tape := func() float64 { return c.track.Quality.ChainagePlusMinusM * r.NormFloat64() }
			// The place that is laid, from the top as it was found, and both ends pegged.
			seen := spread(func() float64 { return first(shaken(r, c.track)).SpacingM + tape() - tape() })
			within5(t, "spacingM", first(c.track).SpacingPlusMinusM, seen)
		})
	}
}

func TestHeadSpread(t *testing.T) {
	track := profile(0, 100, 100, 92)
	track.Quality.ChainagePlusMinusM = 0.5
	head := Head{ChainageM: 60, OffsetM: 25, Side: Left, LipLevelM: math.NaN(), PlusMinusM: 1}
	bank := Built{ChainageM: 40, Side: Left}
	r := rand.New(rand.NewPCG(20261125, 9))
	outlet := func(h Head, b Built) Outlet {
		return check(t, Check{Track: track, Rule: rule(t, "water-bars-one-soil", ""), Outlets: Outlets{Side: Either, ClearanceM: 30, Heads: []Head{h}}, HumpM: HumpM, Banks: []Built{b}}).Outlets[0]
	}
	seen := spread(func() float64 {
		h, b := head, bank
		h.ChainageM += r.NormFloat64()
		h.OffsetM += r.NormFloat64()
		b.ChainageM += 0.5 * r.NormFloat64()
		return *outlet(h, b).HeadM
	})
	within5(t, "headM", outlet(head, bank).HeadPlusMinusM, seen)
}

func TestPlusMinusNotKnown(t *testing.T) {
	for _, q := range []section.Quality{{Basis: model.GPS, LevelPlusMinusM: -1, ChainagePlusMinusM: 5}, {Basis: model.Levelled, LevelPlusMinusM: 0.005, ChainagePlusMinusM: -1}} {
		track := profile(0, 100, 100, 92)
		track.Quality = q
		s := lay(t, Layout{Track: track, Rule: rule(t, "water-bars-one-soil", ""), Outlets: anySide, HumpM: HumpM}).Sites[0]
		n := check(t, Check{Track: track, Rule: rule(t, "water-bars-one-soil", ""), Outlets: anySide, HumpM: HumpM, Banks: built(20)}).Intervals[0]
		if s.GradePlusMinusPct != -1 || n.GradePlusMinusPct != -1 || n.Close || (q.ChainagePlusMinusM < 0) != (s.SpacingPlusMinusM < 0) || (q.ChainagePlusMinusM < 0) != (n.SpacingPlusMinusM < 0) {
			t.Errorf("with %+v: %+v, %+v", q, s, n)
		}
	}
}
