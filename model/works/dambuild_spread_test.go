package works

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// spreadOf is the standard deviation of each of the figures that draw returns, over draws.
func spreadOf(draws int, draw func(r *rand.Rand) []float64) []float64 {
	r := rand.New(rand.NewPCG(20, 26))
	var sum, squares []float64
	for range draws {
		for i, v := range draw(r) {
			if i == len(sum) {
				sum, squares = append(sum, 0), append(squares, 0)
			}
			sum[i] += v
			squares[i] += v * v
		}
	}
	n := float64(draws)
	for i := range sum {
		squares[i] = math.Sqrt((squares[i] - sum[i]*sum[i]/n) / (n - 1))
	}
	return squares
}

// TestDamQuantitiesSpread draws every size again, 10,000 times and compares the spread of
// what comes out with what is stated.
func TestDamQuantitiesSpread(t *testing.T) {
	const accuracyM = 0.02
	surveyed := cased()
	surveyed.BedWidthM, surveyed.LeftRunPerRise, surveyed.RightRunPerRise, surveyed.BedSlopePct = 0, 0, 0, 8
	surveyed.Section = [][2]float64{{0, 13}, {1.2, 12.1}, {2, 11.75}, {2.8, 11.6}, {3.5, 11.7}, {4.6, 12.9}}
	fences := cased()
	fences.Kind = Netting
	upright(&fences)
	brush := DamBuild{Kind: Brushwood, CrestHeightM: 0.4, BedWidthM: 1, LeftRunPerRise: 1, RightRunPerRise: 1, CrestBreadthM: 0.5, KeyDepthM: 0.2, KeyWidthM: 0.5}
	for _, c := range []struct {
		name string
		dam  DamBuild
	}{{"loose-rock", cased()}, {"surveyed-on-a-slope", surveyed}, {"two-fences", fences}, {"brushwood", brush}} {
		t.Run(c.name, func(t *testing.T) {
			exact, p := c.dam.settled()
			if p != nil {
				t.Fatal(p)
			}
			exact.AccuracyM = accuracyM
			stated := exact.spread()
			got := spreadOf(10_000, func(r *rand.Rand) []float64 {
				d := exact
				for _, size := range []*float64{&d.CrestHeightM, &d.BedWidthM, &d.CrestBreadthM, &d.NotchDepthM, &d.NotchLengthM,
					&d.KeyDepthM, &d.KeyWidthM, &d.KeyIntoBankM, &d.ApronLengthM, &d.ApronWidthM, &d.ApronThicknessM} {
					if *size > 0 {
						*size += accuracyM * r.NormFloat64()
					}
				}
				for _, run := range []*float64{&d.UpstreamRunPerRise, &d.DownstreamRunPerRise, &d.LeftRunPerRise, &d.RightRunPerRise} {
					if *run > 0 { // run and rise are both taped over the height of the dam
						h := exact.totalHeightM()
						*run = (*run*h + accuracyM*r.NormFloat64()) / (h + accuracyM*r.NormFloat64())
					}
				}
				d.Section = slices.Clone(d.Section)
				for i := range d.Section {
					d.Section[i][0] += accuracyM * r.NormFloat64()
					d.Section[i][1] += accuracyM * r.NormFloat64()
				}
				var figures []float64
				taken := d.take()
				for _, part := range taken.each() {
					figures = append(figures, *part)
				}
				return figures
			})
			compared := 0
			for i, part := range stated.each() {
				if *part == 0 && got[i] < 1e-12 {
					continue
				}
				compared++
				if math.Abs(got[i] / *part - 1) > 0.05 {
					t.Errorf("part %d of a take: stated ± %v, 10,000 draws spread by %v", i, *part, got[i])
				}
			}
			if compared < 4 {
				t.Errorf("only %d parts were compared", compared)
			}
		})
	}
}
