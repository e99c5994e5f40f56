package section

import (
	"math"
	"math/rand/v2"
	"testing"

	"headcut/model"
)

// TestSpreadOfProfiles surveys a bed again, 10,000 times with the errors that a survey by
// level and tape has; what is stated must be how far the answers spread.
func TestSpreadOfProfiles(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for _, test := range []struct {
		name string
		bed  Bed
		q    Quality
	}{
		{"short-and-steep", bedOf(0, 100, 4, 100.6, 10, 101.4), LevelledAndTaped},
		{"long-and-flat", bedOf(0, 100, 150, 100.5, 400, 101.2), LevelledAndTaped},
		{"rough-tape", bedOf(0, 100, 20, 101, 60, 104), Quality{Basis: model.Levelled, LevelPlusMinusM: 0.01, ChainagePlusMinusM: 0.5}},
	} {
		t.Run(test.name, func(t *testing.T) {
			const draws = 10_000
			var p Profile
			drawn := map[string][]float64{}
			stated := map[string]float64{}
			for range draws {
				bed := make(Bed, len(test.bed))
				for i, s := range test.bed {
					bed[i] = Station{ChainageM: s.ChainageM + 2 + r.NormFloat64()*test.q.ChainagePlusMinusM,
						LevelM: s.LevelM + r.NormFloat64()*test.q.LevelPlusMinusM}
				}
				var err error
				if p, err = LongSection(bed, test.q); err != nil {
					t.Fatal(err)
				}
				for name, v := range map[string][2]float64{
					"length": {p.LengthM, p.LengthPlusMinusM}, "fall": {p.FallM, p.FallPlusMinusM}, "mean slope": {p.MeanSlopePct, p.MeanSlopePlusMinusPct},
				} {
					drawn[name], stated[name] = append(drawn[name], v[0]), v[1]
				}
			}
			for name, values := range drawn {
				var mean, sum float64
				for i, v := range values {
					d := v - mean
					mean += d / float64(i+1)
					sum += d * (v - mean)
				}
				got := math.Sqrt(sum / (draws - 1))
				t.Logf("%s: stated %.5f, drawn %.5f", name, stated[name], got)
				if math.Abs(got/stated[name]-1) > 0.05 {
					t.Errorf("%s: the stated plus-minus is %v, %d draws spread by %v", name, stated[name], draws, got)
				}
			}
		})
	}
}
