package works

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestWindrowsSpread moves every position, chainage and the bearing 10,000 times, with a
// fixed seed: overlap, shift and the way down spread as their plus-minus says, within 5 %.
// The scatter of so many is itself uncertain by 0.7 %.
func TestWindrowsSpread(t *testing.T) {
	bent := [][2]float64{{0, 42}, {45, 40}, {80, 46}, {130, 44}}
	tests := []struct {
		name         string
		upper, lower [][2]float64
		gaps         [2]RowGap
		fall         float64
		turnDeg      float64
	}{
		{"turned-bearing", level(0, 120, 40, 2), level(0, 120, 0, 2), [2]RowGap{{30, 50}, {40, 70}}, 180, 2},
		{"bent", bent, [][2]float64{{-10, 0}, {40, 3}, {90, 0}, {150, 5}}, [2]RowGap{{30, 60}, {60, 90}}, 186, 1},
		{"backwards", [][2]float64{{130, 44}, {80, 46}, {45, 40}, {0, 42}}, [][2]float64{{-10, 0}, {60, 9}, {150, 5}}, [2]RowGap{{40, 70}, {30, 80}}, 175, 0},
		{"slant-gap-in-front", [][2]float64{{0, 40}, {80, 70}}, [][2]float64{{-10, 0}, {90, 0}}, [2]RowGap{{25, 45}, {40, 70}}, 180, 1},
		{"slant-below", [][2]float64{{0, 70}, {80, 70}}, [][2]float64{{-10, 0}, {90, 45}}, [2]RowGap{{25, 45}, {48, 70}}, 180, 1},
		{"slant-both", [][2]float64{{0, 70}, {80, 50}}, [][2]float64{{-10, 0}, {90, 30}}, [2]RowGap{{25, 50}, {50, 65}}, 180, 1},
		{"within", bent, [][2]float64{{-10, 0}, {40, 3}, {90, 0}, {150, 5}}, [2]RowGap{{30, 80}, {52, 70}}, 180, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			const accuracyM, chainageM, draws = 0.8, 1.3, 10_000
			random := rand.New(rand.NewPCG(20261125, 41))
			scatter := func(line [][2]float64, by float64) [][2]float64 {
				moved := make([][2]float64, len(line))
				for i, p := range line {
					moved[i] = [2]float64{p[0] + by*random.NormFloat64(), p[1] + by*random.NormFloat64()}
				}
				return moved
			}
			lay := func(by float64) GapPair {
				w := Windrows{FallBearingDeg: test.fall + by*test.turnDeg*random.NormFloat64(), BearingPlusMinusDeg: test.turnDeg, AccuracyM: accuracyM, ChainagePlusMinusM: chainageM}
				for i, line := range [][][2]float64{test.upper, test.lower} {
					gap := test.gaps[i]
					gap.FromM += by * chainageM * random.NormFloat64()
					gap.ToM += by * chainageM * random.NormFloat64()
					w.Rows = append(w.Rows, Windrow{Line: onGround(scatter(line, by*accuracyM))[0], Gaps: []RowGap{gap}})
				}
				s, err := w.Stagger(nil)
				if err != nil {
					t.Fatal(err)
				}
				return s.Pairs[0]
			}
			base := lay(0)
			var overlap, shift, down spread
			for range draws {
				p := lay(1)
				overlap.add(p.OverlapM - base.OverlapM)
				shift.add(p.ShiftM - base.ShiftM)
				down.add(p.DownM - base.DownM)
			}
			overlap.check(t, "overlap", base.OverlapPlusMinusM)
			shift.check(t, "shift", base.ShiftPlusMinusM)
			down.check(t, "the way down", base.DownPlusMinusM)
		})
	}
}

// spread sums up draws of one figure.
type spread struct{ n, sum, squares float64 }

func (s *spread) add(d float64) { s.n, s.sum, s.squares = s.n+1, s.sum+d, s.squares+d*d }

func (s *spread) check(t *testing.T, what string, plusMinus float64) {
	t.Helper()
	if want := math.Sqrt(s.squares/s.n - s.sum*s.sum/s.n/s.n); math.Abs(plusMinus/want-1) > 0.05 {
		t.Errorf("%s ± %v, but it spreads by %v", what, plusMinus, want)
	}
}
