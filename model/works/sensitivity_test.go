package works

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/section"
)

// firstOrder is the plus-minus of each figure by the sum of its sensitivities: the inputs are moved one
// by one by step standard deviations either way (JCGM 100:2008, 5.1.2, with differences for derivatives).
func firstOrder(figures func([]float64) []float64, at, sd []float64, step float64) []float64 {
	var sums []float64
	for i := range at {
		if sd[i] == 0 {
			continue
		}
		moved := slices.Clone(at)
		moved[i] = at[i] + step*sd[i]
		up := figures(moved)
		moved[i] = at[i] - step*sd[i]
		down := figures(moved)
		if sums == nil {
			sums = make([]float64, len(up))
		}
		for k := range up {
			d := (up[k] - down[k]) / (2 * step)
			sums[k] += d * d
		}
	}
	for k := range sums {
		sums[k] = math.Sqrt(sums[k])
	}
	return sums
}

// agree holds stated plus-minuses to those of firstOrder.
func agree(t *testing.T, names []string, stated, want []float64, within float64) {
	t.Helper()
	for k, name := range names {
		if !(math.Abs(stated[k]/want[k]-1) <= within) {
			t.Errorf("%s ± %v, by its sensitivities %v", name, stated[k], want[k])
		}
	}
}

// flatten puts lines and other numbers into one list.
func flatten(lines [][][2]float64, more ...float64) (all []float64) {
	for _, line := range lines {
		for _, p := range line {
			all = append(all, p[0], p[1])
		}
	}
	return append(all, more...)
}

// unflatten takes as many positions from the list as the lines have, and gives back the rest.
func unflatten(lines [][][2]float64, all []float64) (moved [][][2]float64, rest []float64) {
	for _, line := range lines {
		var one [][2]float64
		for range line {
			one = append(one, [2]float64{all[0], all[1]})
			all = all[2:]
		}
		moved = append(moved, one)
	}
	return moved, all
}

// TestWindrowSensitivities holds the plus-minus of overlap, shift and way down to what moving each
// position, each chainage and the bearing alone does to them.
func TestWindrowSensitivities(t *testing.T) {
	const accuracyM, chainageM = 0.8, 1.3
	bent, below := [][2]float64{{0, 42}, {45, 40}, {80, 46}, {130, 44}}, [][2]float64{{-10, 0}, {40, 3}, {90, 0}, {150, 5}}
	for _, test := range []struct {
		name          string
		lines         [][][2]float64
		gaps          [2]RowGap
		fall, turnDeg float64
	}{
		{"turned-bearing", [][][2]float64{level(0, 120, 40, 2), level(0, 120, 0, 2)}, [2]RowGap{{30, 50}, {40, 70}}, 180, 2},
		{"turned-bearing-the-other-way", [][][2]float64{level(0, 120, 40, 2), level(0, 120, 0, 2)}, [2]RowGap{{40, 70}, {30, 50}}, 180, 2},
		{"bent", [][][2]float64{bent, below}, [2]RowGap{{30, 60}, {60, 90}}, 186, 1},
		{"bent-moved-on", [][][2]float64{bent, below}, [2]RowGap{{60, 100}, {52, 85}}, 171, 3},
		{"backwards", [][][2]float64{{{130, 44}, {80, 46}, {45, 40}, {0, 42}}, {{-10, 0}, {60, 9}, {150, 5}}}, [2]RowGap{{40, 70}, {30, 80}}, 175, 0},
		{"slant-gap-in-front", [][][2]float64{{{0, 40}, {80, 70}}, {{-10, 0}, {90, 0}}}, [2]RowGap{{25, 45}, {40, 70}}, 180, 1},
		{"slant-below", [][][2]float64{{{0, 70}, {80, 70}}, {{-10, 0}, {90, 45}}}, [2]RowGap{{25, 45}, {48, 70}}, 180, 1},
		{"slant-both", [][][2]float64{{{0, 70}, {80, 50}}, {{-10, 0}, {90, 30}}}, [2]RowGap{{25, 50}, {50, 65}}, 180, 1},
		{"within", [][][2]float64{bent, below}, [2]RowGap{{30, 80}, {52, 70}}, 180, 1},
		{"without", [][][2]float64{bent, below}, [2]RowGap{{52, 60}, {40, 90}}, 180, 1},
	} {
		t.Run(test.name, func(t *testing.T) {
			lay := func(in []float64) GapPair {
				lines, rest := unflatten(test.lines, in)
				w := Windrows{FallBearingDeg: rest[4], BearingPlusMinusDeg: test.turnDeg, AccuracyM: accuracyM, ChainagePlusMinusM: chainageM}
				for i, line := range onGround(lines...) {
					w.Rows = append(w.Rows, Windrow{Line: line, Gaps: []RowGap{{rest[2*i], rest[2*i+1]}}})
				}
				s, err := w.Stagger(nil)
				if err != nil {
					t.Fatal(err)
				}
				return s.Pairs[0]
			}
			at := flatten(test.lines, test.gaps[0].FromM, test.gaps[0].ToM, test.gaps[1].FromM, test.gaps[1].ToM, test.fall)
			sd := make([]float64, len(at))
			for i := range sd {
				sd[i] = accuracyM
			}
			for k := 2; k <= 5; k++ {
				sd[len(sd)-k] = chainageM
			}
			sd[len(sd)-1] = test.turnDeg
			base := lay(at)
			want := firstOrder(func(in []float64) []float64 {
				p := lay(in)
				return []float64{p.OverlapM, p.ShiftM, p.DownM}
			}, at, sd, 0.01)
			names := []string{"overlap", "shift", "way down"}
			if strings.HasPrefix(test.name, "turned") { // the rows are parallel: all places vie for the shortest way
				names = names[:2]
			}
			agree(t, names, []float64{base.OverlapPlusMinusM, base.ShiftPlusMinusM, base.DownPlusMinusM}, want, 2e-3)
		})
	}
}

// TestOpenGroundSensitivities does so for what of a gap looks past an end of the row below, on either side and with
// rows drawn either way, and for a gap with no row below.
func TestOpenGroundSensitivities(t *testing.T) {
	const accuracyM, chainageM, turnDeg = 0.5, 0.3, 1.0
	upper := [][2]float64{{0, 40}, {60, 44}, {120, 38}}
	for _, test := range []struct {
		name  string
		lines [][][2]float64
		gap   RowGap
	}{
		{"past-the-east-end", [][][2]float64{upper, {{-20, 0}, {40, 3}, {95, 1}}}, RowGap{85, 105}},
		{"past-the-east-end-drawn-back", [][][2]float64{upper, {{95, 1}, {40, 3}, {-20, 0}}}, RowGap{85, 105}},
		{"past-the-west-end", [][][2]float64{upper, {{25, 3}, {80, 0}, {140, 4}}}, RowGap{15, 40}},
		{"past-the-west-end-drawn-back", [][][2]float64{upper, {{140, 4}, {80, 0}, {25, 3}}}, RowGap{15, 40}},
		{"nothing-below", [][][2]float64{upper}, RowGap{45, 80}},
	} {
		t.Run(test.name, func(t *testing.T) {
			lay := func(in []float64) GapPair {
				lines, rest := unflatten(test.lines, in)
				w := Windrows{FallBearingDeg: rest[2], BearingPlusMinusDeg: turnDeg, AccuracyM: accuracyM, ChainagePlusMinusM: chainageM}
				for i, line := range onGround(lines...) {
					w.Rows = append(w.Rows, Windrow{Line: line})
					if i == 0 {
						w.Rows[0].Gaps = []RowGap{{rest[0], rest[1]}}
					}
				}
				s, err := w.Stagger(nil)
				if err != nil {
					t.Fatal(err)
				}
				for _, p := range s.Pairs {
					if p.Meets == MeetsOpen {
						return p
					}
				}
				t.Fatalf("no open ground in %+v", s.Pairs)
				return GapPair{}
			}
			at := flatten(test.lines, test.gap.FromM, test.gap.ToM, 180)
			sd := make([]float64, len(at))
			for i := range sd {
				sd[i] = accuracyM
			}
			n := len(sd)
			sd[n-3], sd[n-2], sd[n-1] = chainageM, chainageM, turnDeg
			if len(test.lines) == 1 {
				sd[n-1] = 0 // what a turn of the fall does to the width of a gap by itself is left out
			}
			base := lay(at)
			want := firstOrder(func(in []float64) []float64 { return []float64{lay(in).OverlapM} }, at, sd, 0.01)
			agree(t, []string{"open ground"}, []float64{base.OverlapPlusMinusM}, want, 2e-3)
			if base.ShiftPlusMinusM != base.OverlapPlusMinusM || (base.Below == 0) || (base.Below < 0) != (len(test.lines) == 1) {
				t.Errorf("%+v", base)
			}
		})
	}
	unknown := Windrows{FallBearingDeg: 180, Rows: []Windrow{rowOf(0, 100, 40, RowGap{20, 26})}}
	if s, err := unknown.Stagger(nil); err != nil || s.Pairs[0].OverlapPlusMinusM != -1 || s.Pairs[0].Meets != MeetsOpen {
		t.Errorf("without an accuracy: %+v, %v", s.Pairs, err)
	}
}

// TestRipSensitivities does so for rip lines.
func TestRipSensitivities(t *testing.T) {
	const accuracyM = 0.2
	for name, patch := range map[string][][][2]float64{
		"bent":   {level(0, 200, 0, 6), level(0, 200, 25, 5), level(0, 200, 50, 7)},
		"ragged": {level(0, 150, 0, 4), level(120, 30, 20, 3), level(-10, 100, 40, 4)},
		"wandering": {
			{{0, 0}, {60, 4}, {120, 2}, {190, -3}}, {{-10, 27}, {55, 29}, {110, 31}, {180, 20}}, {{20, 49}, {90, 52}, {150, 60}},
		},
		"wandering-the-other-way": {
			{{190, -3}, {120, 2}, {60, 4}, {0, 0}}, {{-10, 27}, {55, 29}, {110, 31}, {180, 20}}, {{150, 60}, {90, 52}, {20, 49}},
		},
	} {
		t.Run(name, func(t *testing.T) {
			figures := func(r Ripped) []float64 {
				return []float64{r.LengthM, r.Spacing.MeanM, r.AreaM2, r.Pairs[0].MeanM, r.Pairs[1].MeanM, r.Spacing.MinM, r.Spacing.MaxM}
			}
			lay := func(in []float64) Ripped {
				lines, _ := unflatten(patch, in)
				r, err := RipArea(onGround(lines...), accuracyM, nil)
				if err != nil {
					t.Fatal(err)
				}
				return r
			}
			at := flatten(patch)
			sd := make([]float64, len(at))
			for i := range sd {
				sd[i] = accuracyM
			}
			base := lay(at)
			names := []string{"length", "mean spacing", "area", "mean spacing of the first pair", "of the second", "least spacing", "widest spacing"}
			stated := []float64{base.LengthPlusMinusM, base.Spacing.MeanPlusMinusM, base.AreaPlusMinusM2, base.Pairs[0].MeanPlusMinusM, base.Pairs[1].MeanPlusMinusM, base.Spacing.MinAt.PlusMinusM, base.Spacing.MaxAt.PlusMinusM}
			if len(name) < 7 { // several places vie for the narrowest
				names = names[:5]
			}
			agree(t, names, stated, firstOrder(func(in []float64) []float64 { return figures(lay(in)) }, at, sd, 0.01), 1e-2)
		})
	}
}

// TestDamLayoutSensitivities does so for the toes, the spacings and the guarded length of dams laid out
// on beds of stations that err by so little that no toe is carried past one.
func TestDamLayoutSensitivities(t *testing.T) {
	const tiny = 1e-5
	quality := section.Quality{Basis: model.Levelled, LevelPlusMinusM: tiny, ChainagePlusMinusM: 3 * tiny}
	r := rand.New(rand.NewPCG(20261125, 43))
	for n := range 40 {
		bed := section.Bed{{ChainageM: 10, LevelM: 100}}
		for range 8 {
			last := bed[len(bed)-1]
			run := 5 + 20*r.Float64()
			bed = append(bed, section.Station{ChainageM: last.ChainageM + run, LevelM: last.LevelM + run*(0.02+0.03*r.Float64())})
		}
		at := make([]float64, 0, 2*len(bed))
		sd := make([]float64, 0, 2*len(bed))
		for _, s := range bed {
			at, sd = append(at, s.LevelM, s.ChainageM), append(sd, quality.LevelPlusMinusM, quality.ChainagePlusMinusM)
		}
		with := func(in []float64) DamLayout {
			l := DamLayout{Quality: quality, CrestHeightM: 0.4, DepositSlopePct: float64(n % 3)}
			for i := range bed {
				l.Bed = append(l.Bed, section.Station{ChainageM: in[2*i+1], LevelM: in[2*i]})
			}
			if n%2 == 1 { // good sites and reaches without dams are stations, taped with the bed
				l.NoDams = []NoDams{{l.Bed[3].ChainageM, l.Bed[4].ChainageM, "rock"}}
				l.Sites = []GoodSite{{ChainageM: l.Bed[2].ChainageM}}
			}
			return l
		}
		figures := func(in []float64) []float64 {
			p := plan(t, with(in))
			all := []float64{p.GuardedM}
			for i, d := range p.Dams[1:] {
				all = append(all, d.ChainageM, d.ChainageM-p.Dams[i].ChainageM)
			}
			return all
		}
		l := with(at)
		base := plan(t, l)
		stated, names := []float64{l.GuardedPlusMinusM(base)}, []string{"guarded length"}
		spacings := l.SpacingsPlusMinusM(base)
		for i, d := range base.Dams[1:] {
			stated, names = append(stated, d.ChainagePlusMinusM, spacings[i]), append(names, fmt.Sprintf("bed %d toe %d", n, i+1), fmt.Sprintf("bed %d spacing %d", n, i+1))
		}
		agree(t, names, stated, firstOrder(figures, at, sd, 0.5), 1e-3)
	}
}
