package soilloss

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestPlusMinusBySimulation draws every input 10,000 times with a fixed seed.
func TestPlusMinusBySimulation(t *testing.T) {
	f := Factors{R: 3000, RPlusMinus: 300, RSource: "map", K: 0.03, KPlusMinus: 0.003, KSource: "table"}
	for _, c := range []struct {
		name  string
		alter func(*Change)
	}{
		{"middling", nil},
		{"sure", func(h *Change) { h.CoverBeforePlusMinus, h.CoverAfterPlusMinus = 1, 1 }},
		{"across-the-bend-at-ten", func(h *Change) { h.CoverBeforePct, h.CoverBeforePlusMinus = 10, 6 }},
		{"against-bare", func(h *Change) { h.CoverBeforePct, h.CoverBeforePlusMinus = 3, 5 }},
		{"against-full", func(h *Change) { h.CoverAfterPct, h.CoverAfterPlusMinus = 97, 5 }},
		{"banks-cut-the-slope", func(h *Change) { h.LengthM, h.LengthAfterM, h.LengthPlusMinusM = 120, 40, 3 }},
		{"banks-and-sure-covers", func(h *Change) {
			h.LengthM, h.LengthAfterM, h.LengthPlusMinusM, h.CoverBeforePlusMinus, h.CoverAfterPlusMinus = 120, 40, 3, 0.2, 0.2
		}},
		{"handbook", func(h *Change) { h.Series = AllSeries[1] }},
		{"usle", func(h *Change) { h.Formula, h.SlopePct, h.SlopePlusMinusPct, h.LengthAfterM = USLE, 7, 0.5, 30 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := change(c.alter)
			o, err := h.Compare()
			if err != nil {
				t.Fatal(err)
			}
			tonnes, err := h.Tonnes(f)
			if err != nil {
				t.Fatal(err)
			}
			const times = 10_000
			random := rand.New(rand.NewPCG(20261125, 14))
			normal := func(mean, sd float64) float64 { return mean + sd*random.NormFloat64() }
			cover := func(mean, sd float64) float64 { return min(100, max(0, normal(mean, sd))) }
			names := []string{"ratio", "tonnes before", "tonnes after", "LS before", "LS after", "C before", "C after"}
			var sums, squares [7]float64
			for range times {
				slope := normal(h.SlopePct, h.SlopePlusMinusPct)
				before := h.Formula.lengthSlope(normal(h.LengthM, h.LengthPlusMinusM), slope)
				after := before
				if h.LengthAfterM != h.LengthM {
					after = h.Formula.lengthSlope(normal(h.LengthAfterM, h.LengthPlusMinusM), slope)
				}
				cBefore := h.Series.Factor(cover(h.CoverBeforePct, h.CoverBeforePlusMinus))
				cAfter := h.Series.Factor(cover(h.CoverAfterPct, h.CoverAfterPlusMinus))
				rk := normal(f.R, f.RPlusMinus) * normal(f.K, f.KPlusMinus)
				for k, v := range []float64{cAfter * after / (cBefore * before), rk * before * cBefore, rk * after * cAfter, before, after, cBefore, cAfter} {
					sums[k], squares[k] = sums[k]+v, squares[k]+v*v
				}
			}
			for k, got := range []float64{o.RatioPlusMinus, tonnes.BeforePlusMinus, tonnes.AfterPlusMinus, o.LSBeforePlusMinus, o.LSAfterPlusMinus, o.CBeforePlusMinus, o.CAfterPlusMinus} {
				want := math.Sqrt(squares[k]/times - sums[k]*sums[k]/times/times)
				t.Logf("%s ± %.5g, scatters by %.5g", names[k], got, want)
				if math.Abs(got/want-1) > 0.05 {
					t.Errorf("%s ± %v, but it scatters by %v", names[k], got, want)
				}
			}
		})
	}
}

// A cover that nobody knows at all must not make the plus-minus explode or vanish: the
// moments are compared with sums over fine slices of the normal curve.
func TestMomentsOfWideErrors(t *testing.T) {
	for _, s := range AllSeries {
		for _, power := range []float64{-2, -1, 1, 2} {
			for _, sd := range []float64{0.01, 5, 20, 50} {
				const slices = 40_000
				sum, weight := 0.0, 0.0
				for i := range slices {
					z := -8 + 16*(float64(i)+0.5)/slices
					w := math.Exp(-z * z / 2)
					sum += w * math.Pow(s.Factor(min(100, max(0, 35+sd*z))), power)
					weight += w
				}
				if got, want := s.moment(power, 35, sd), sum/weight; math.Abs(got/want-1) > 1e-4 {
					t.Errorf("%s: moment %v with ± %v %% = %v, want %v", s.Name, power, sd, got, want)
				}
			}
		}
	}
}
