package works

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"headcut/model/section"
)

// drawn is the same bed levelled and taped again: every level and chainage errs by itself.
func drawn(r *rand.Rand, bed section.Bed, q section.Quality) section.Bed {
	again := slices.Clone(bed)
	for i := range again {
		again[i].LevelM += r.NormFloat64() * q.LevelPlusMinusM
		again[i].ChainageM += r.NormFloat64() * q.ChainagePlusMinusM
	}
	return again
}

// deviation keeps the mean and the standard deviation of what was drawn.
type deviation struct{ n, sum, squares float64 }

func (s *deviation) add(v float64) { s.n, s.sum, s.squares = s.n+1, s.sum+v, s.squares+v*v }
func (s deviation) value() float64 {
	mean := s.sum / s.n
	return math.Sqrt(s.squares/s.n - mean*mean)
}

// TestDamLayoutSpread surveys one bed 10,000 times, with a station wherever a toe comes to
// stand, and lays the dams out on each. Between stations the errors of the two neighbours
// partly cancel, by up to a third; the stated spread does not count on that, since the bed
// is not truly straight there.
func TestDamLayoutSpread(t *testing.T) {
	const draws = 10_000
	quality := section.Quality{Basis: "levelled", LevelPlusMinusM: 0.003, ChainagePlusMinusM: 0.03}
	for _, c := range []struct {
		name string
		l    DamLayout
		// marks are where the toes stand, the silt ends and the slope changes: the stations
		// of the bed. A station stands half-way between, too, so that errors stay local.
		marks []float64
		slope func(x float64) float64
	}{
		{"level", DamLayout{CrestHeightM: 0.5}, []float64{0, 10, 20, 30, 40}, func(x float64) float64 { return 0.05 * x }},
		{"deposit-slope", DamLayout{CrestHeightM: 0.5, DepositSlopePct: 2}, []float64{0, 10, 20, 30, 40}, func(x float64) float64 { return 0.07 * x }},
		{"slope-that-changes", DamLayout{CrestHeightM: 0.5}, []float64{0, 10, 13, 16.5, 21.5, 24, 29, 39}, func(x float64) float64 {
			if x <= 13 {
				return 0.05 * x
			} else if x <= 24 {
				return 0.65 + 0.1*(x-13)
			}
			return 1.75 + 0.05*(x-24)
		}},
		{"good-site", DamLayout{CrestHeightM: 0.5, Sites: []GoodSite{{ChainageM: 8}}}, []float64{0, 8, 18, 28, 38}, func(x float64) float64 { return 0.05 * x }},
		{"past-rock", DamLayout{CrestHeightM: 0.5, NoDams: []NoDams{{18, 24, "rock"}}}, []float64{0, 10, 20, 24, 34}, func(x float64) float64 { return 0.05 * x }},
	} {
		t.Run(c.name, func(t *testing.T) {
			bed := section.Bed{}
			for i, x := range c.marks {
				if i > 0 {
					mid := (c.marks[i-1] + x) / 2
					bed = append(bed, section.Station{ChainageM: mid, LevelM: c.slope(mid)})
				}
				bed = append(bed, section.Station{ChainageM: x, LevelM: c.slope(x)})
			}
			top := c.marks[len(c.marks)-1] + 3
			bed = append(bed, section.Station{ChainageM: top, LevelM: c.slope(top)})
			for i := range bed { // clear of nought, which no chainage may pass
				bed[i].ChainageM += 10
				bed[i].LevelM += 100
			}
			c.l.Bed, c.l.Quality = bed, quality
			// Good sites and the upper ends of reaches are stations, taped with the bed.
			along := func(l DamLayout, again section.Bed) DamLayout {
				moved := func(x float64) float64 {
					for i := range bed {
						if bed[i].ChainageM == x+10 {
							return again[i].ChainageM
						}
					}
					return x + 10
				}
				l.Bed, l.Sites, l.NoDams = again, slices.Clone(l.Sites), slices.Clone(l.NoDams)
				for i := range l.Sites {
					l.Sites[i].ChainageM = moved(l.Sites[i].ChainageM)
				}
				for i := range l.NoDams {
					l.NoDams[i].FromM, l.NoDams[i].ToM = moved(l.NoDams[i].FromM), moved(l.NoDams[i].ToM)
				}
				return l
			}
			want := plan(t, along(c.l, bed))
			toes, crests, spacings := make([]deviation, len(want.Dams)), make([]deviation, len(want.Dams)), make([]deviation, len(want.Dams))
			var guarded deviation
			r := rand.New(rand.NewPCG(7, 11))
			for range draws {
				got := plan(t, along(c.l, drawn(r, bed, quality)))
				if len(got.Dams) != len(want.Dams) {
					t.Fatalf("%d dams, want %d: the case depends on a touch", len(got.Dams), len(want.Dams))
				}
				for i, d := range got.Dams {
					toes[i].add(d.ChainageM)
					crests[i].add(d.CrestLevelM)
					if i > 0 {
						spacings[i].add(d.ChainageM - got.Dams[i-1].ChainageM)
					}
				}
				guarded.add(got.GuardedM)
			}
			within := func(what string, i int, got, stated float64) {
				t.Helper()
				if math.Abs(got/stated-1) > 0.05 {
					t.Errorf("%s %d spreads by %.4f m, stated %.4f", what, i, got, stated)
				}
			}
			stated := c.l.SpacingsPlusMinusM(want)
			for i, d := range want.Dams {
				within("toe", i, toes[i].value(), d.ChainagePlusMinusM)
				if i > 0 {
					within("spacing", i, spacings[i].value(), stated[i-1])
				}
				if c.l.DepositSlopePct == 0 {
					within("crest", i, crests[i].value(), quality.LevelPlusMinusM)
				}
			}
			if len(want.Bare) > 0 {
				within("guarded length", 0, guarded.value(), c.l.GuardedPlusMinusM(want))
			}
		})
	}
}
