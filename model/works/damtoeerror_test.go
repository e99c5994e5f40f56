package works

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"headcut/model"
	"headcut/model/section"
)

// TestPlusMinusOnOrdinaryBeds: beds of stations every 5 to 25 m, whose toes fall where they
// do. Of the spacings, and of the toes' chainages, of 10,000 draws of each bed all spread
// as stated.
func TestPlusMinusOnOrdinaryBeds(t *testing.T) {
	quality := section.Quality{Basis: model.Levelled, LevelPlusMinusM: 0.002, ChainagePlusMinusM: 0.02}
	for _, depositPct := range []float64{0, 1} {
		r := rand.New(rand.NewPCG(3, 5))
		var spacings, chainages agreement
		for range 12 {
			bed := section.Bed{{ChainageM: 10, LevelM: 100}}
			for range 8 {
				last := bed[len(bed)-1]
				run := 5 + 20*r.Float64()
				bed = append(bed, section.Station{ChainageM: last.ChainageM + run, LevelM: last.LevelM + run*(0.02+0.03*r.Float64())})
			}
			l := DamLayout{Bed: bed, Quality: quality, CrestHeightM: 0.4, DepositSlopePct: depositPct}
			want := plan(t, l)
			between, at := make([]deviation, len(want.Dams)), make([]deviation, len(want.Dams))
			for range 10_000 {
				again := l
				again.Bed = drawn(r, bed, quality)
				got := plan(t, again)
				for i := 1; i < min(len(got.Dams), len(want.Dams)); i++ {
					between[i].add(got.Dams[i].ChainageM - got.Dams[i-1].ChainageM)
					at[i].add(got.Dams[i].ChainageM)
				}
			}
			for i, stated := range l.SpacingsPlusMinusM(want) {
				if at[i+1].n < 10_000 { // at the very end of the bed: in some draws there is none
					continue
				}
				spacings.add(between[i+1].value(), stated)
				chainages.add(at[i+1].value(), want.Dams[i+1].ChainagePlusMinusM)
			}
		}
		spacings.judge(t, fmt.Sprintf("spacings, deposit %v %%", depositPct))
		chainages.judge(t, fmt.Sprintf("chainages, deposit %v %%", depositPct))
	}
}

// agreement counts how many figures spread as stated.
type agreement struct {
	within, of int
	worst      float64
}

func (a *agreement) add(spread, stated float64) {
	off := math.Abs(spread/stated - 1)
	a.of, a.worst = a.of+1, max(a.worst, off)
	if off <= 0.05 {
		a.within++
	}
}

func (a agreement) judge(t *testing.T, what string) {
	t.Helper()
	t.Logf("%s: %d of %d within 5 %%, the worst %.0f %%", what, a.within, a.of, 100*a.worst)
	if a.of < 50 || a.within < a.of {
		t.Errorf("%s: %d of %d spread within 5 %% of what is stated", what, a.within, a.of)
	}
}
