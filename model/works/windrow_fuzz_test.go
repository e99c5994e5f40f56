package works

import (
	"math"
	"math/rand/v2"
	"testing"
)

// FuzzWindrows lays rows at random, folded, crossing and doubled ones among them: nothing may
// panic, and every gap is told of with finite numbers.
func FuzzWindrows(f *testing.F) {
	f.Add(uint64(1), 3, 4, 180.0)
	f.Add(uint64(2), 1, 2, math.NaN())
	f.Add(uint64(3), 6, 7, 359.9)
	f.Add(uint64(4), 2, 3, 90.0)
	f.Fuzz(func(t *testing.T, seed uint64, rows, positions int, fall float64) {
		rows, positions = 1+(rows&7), 2+(positions&7)
		random := rand.New(rand.NewPCG(seed, 43))
		w := Windrows{FallBearingDeg: fall, BearingPlusMinusDeg: 3, AccuracyM: float64(random.IntN(3)), ChainagePlusMinusM: 0.1}
		gaps := 0
		for range rows {
			var line [][2]float64
			for range positions {
				line = append(line, [2]float64{math.Round(50 * random.NormFloat64()), math.Round(10 * random.NormFloat64())})
			}
			var all []RowGap
			at := 0.0
			for range random.IntN(4) {
				from := at + float64(random.IntN(10))
				at = from + 1 + float64(random.IntN(8))
				all = append(all, RowGap{from, at})
			}
			gaps += len(all)
			w.Rows = append(w.Rows, Windrow{Line: onGround(line)[0], Gaps: all})
		}
		s, err := w.Stagger(nil)
		if err != nil {
			return
		}
		told := map[[2]int]bool{}
		for _, p := range s.Pairs {
			told[[2]int{p.Row, p.Gap}] = true
			for _, v := range []float64{p.OverlapM, p.OverlapPlusMinusM, p.ShiftM, p.ShiftPlusMinusM, p.DownM, p.DownPlusMinusM} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%+v of %+v", p, w)
				}
			}
			if p.BelowGap >= 0 && p.ShiftM < p.OverlapM-1e-9 {
				t.Fatalf("%+v: to stand clear takes less than the overlap", p)
			}
		}
		if len(told) != gaps {
			t.Fatalf("%d of %d gaps are told of: %+v", len(told), gaps, s.Pairs)
		}
		w.Cautions(s)
	})
}
