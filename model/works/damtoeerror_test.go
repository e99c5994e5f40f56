package works

import (
	"math"
	"math/rand/v2"
	"testing"

	"headcut/model"
	"headcut/model/section"
)

// TestSpacingsOnOrdinaryBeds: beds of stations every 5 to 25 m, whose toes fall where they
// do. Of the spacings of 10,000 draws of each bed nearly all spread as stated.
func TestSpacingsOnOrdinaryBeds(t *testing.T) {
	quality := section.Quality{Basis: model.Levelled, LevelPlusMinusM: 0.002, ChainagePlusMinusM: 0.02}
	r := rand.New(rand.NewPCG(3, 5))
	within, of, worst := 0, 0, 0.0
	for range 12 {
		bed := section.Bed{{ChainageM: 10, LevelM: 100}}
		for range 8 {
			last := bed[len(bed)-1]
			run := 5 + 20*r.Float64()
			bed = append(bed, section.Station{ChainageM: last.ChainageM + run, LevelM: last.LevelM + run*(0.02+0.03*r.Float64())})
		}
		l := DamLayout{Bed: bed, Quality: quality, CrestHeightM: 0.4}
		want := plan(t, l)
		spreads := make([]deviation, len(want.Dams))
		for range 10_000 {
			again := l
			again.Bed = drawn(r, bed, quality)
			got := plan(t, again)
			for i := 1; i < min(len(got.Dams), len(want.Dams)); i++ {
				spreads[i].add(got.Dams[i].ChainageM - got.Dams[i-1].ChainageM)
			}
		}
		for i, stated := range l.SpacingsPlusMinusM(want.Dams) {
			off := math.Abs(spreads[i+1].value()/stated - 1)
			of, worst = of+1, max(worst, off)
			if off <= 0.05 {
				within++
			}
		}
	}
	t.Logf("%d of %d within 5 %%, the worst %.0f %%", within, of, 100*worst)
	if within < of*9/10 {
		t.Errorf("%d of %d spacings spread within 5 %% of what is stated", within, of)
	}
}
