package works

import (
	"math/rand/v2"
	"testing"
)

// TestRipAreaSpread moves every position 10,000 times with a fixed seed: each figure spreads
// as its plus-minus says, within 5 %. The scatter of so many is itself uncertain by 0.7 %.
func TestRipAreaSpread(t *testing.T) {
	patches := map[string][][][2]float64{
		"bent":   {level(0, 200, 0, 6), level(0, 200, 25, 5), level(0, 200, 50, 7)},
		"ragged": {level(0, 150, 0, 4), level(120, 30, 20, 3), level(-10, 100, 40, 4)},
		"wandering": {
			{{0, 0}, {60, 4}, {120, 2}, {190, -3}}, {{-10, 27}, {55, 29}, {110, 31}, {180, 20}}, {{20, 49}, {90, 52}, {150, 60}},
		},
	}
	for name, patch := range patches {
		t.Run(name, func(t *testing.T) {
			const accuracyM, draws = 0.2, 10_000
			random := rand.New(rand.NewPCG(20261125, 32))
			base, err := RipArea(onGround(patch...), accuracyM, nil)
			if err != nil {
				t.Fatal(err)
			}
			var length, mean, area, least, most, pair spread
			for range draws {
				moved := make([][][2]float64, len(patch))
				for i, line := range patch {
					for _, p := range line {
						moved[i] = append(moved[i], [2]float64{p[0] + accuracyM*random.NormFloat64(), p[1] + accuracyM*random.NormFloat64()})
					}
				}
				r, err := RipArea(onGround(moved...), accuracyM, nil)
				if err != nil {
					t.Fatal(err)
				}
				length.add(r.LengthM - base.LengthM)
				mean.add(r.Spacing.MeanM - base.Spacing.MeanM)
				area.add(r.AreaM2 - base.AreaM2)
				least.add(r.Spacing.MinM - base.Spacing.MinM)
				most.add(r.Spacing.MaxM - base.Spacing.MaxM)
				pair.add(r.Pairs[0].MeanM - base.Pairs[0].MeanM)
			}
			length.check(t, "length", base.LengthPlusMinusM)
			mean.check(t, "mean spacing", base.Spacing.MeanPlusMinusM)
			area.check(t, "area", base.AreaPlusMinusM2)
			pair.check(t, "mean spacing of the first pair", base.Pairs[0].MeanPlusMinusM)
			if name == "wandering" { // elsewhere several places vie for the narrowest
				least.check(t, "least spacing", base.Spacing.MinAt.PlusMinusM)
				most.check(t, "widest spacing", base.Spacing.MaxAt.PlusMinusM)
			}
		})
	}
}
