package compute

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
	"headcut/model/works"
)

// spread sums up draws of one figure.
type spread struct{ n, sum, squares float64 }

func (s *spread) add(v float64) { s.n, s.sum, s.squares = s.n+1, s.sum+v, s.squares+v*v }

func (s *spread) check(t *testing.T, what string, plusMinus float64) {
	t.Helper()
	if got := math.Sqrt(s.squares/s.n - s.sum*s.sum/s.n/s.n); math.Abs(plusMinus/got-1) > 0.05 {
		t.Errorf("%s ± %v, but 10,000 draws spread by %v", what, plusMinus, got)
	}
}

// TestRipWaterSpread moves every position and every size of lip, slot and slope 10,000 times
// with a fixed seed: what ripped lines hold spreads as its plus-minus says, within 5 %.
func TestRipWaterSpread(t *testing.T) {
	site := func(heightM, faceRunPerRise, heightPlusMinusM, slopePct, slopePlusMinusPct float64) ripAreaIn {
		in := ripAreaIn{Lip: &ripLipIn{HeightM: valueIn{heightM, &heightPlusMinusM}, FaceRunPerRise: &faceRunPerRise}}
		in.GroundSlopePct, in.SlopePlusMinusPct = &slopePct, &slopePlusMinusPct
		return in
	}
	slot := func(in ripAreaIn, plusMinusM float64) ripAreaIn {
		in.Slot = &ripSlotIn{TopWidthM: valueIn{0.4, &plusMinusM}, DepthM: valueIn{0.45, &plusMinusM}}
		return in
	}
	for _, c := range []struct {
		name      string
		in        ripAreaIn
		accuracyM float64
	}{
		{"lip-and-slot", slot(site(0.25, 1.5, 0.015, 2, 0.05), 0.02), 0.3},
		{"rough-fixes-exact-sizes", slot(site(0.25, 1.5, 0, 2, 0), 0), 1},
		{"cut-off-by-the-next-line", site(0.5, 0, 0.004, 1, 0.01), 1.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			const draws = 10_000
			r := rand.New(rand.NewPCG(20261125, 3))
			frame := geodesy.Frame{Origin: orb.Point{146.26, -20.08}}
			hold := func(by float64) *ripWaterOut {
				off := func(value float64, plusMinus *float64) float64 {
					if plusMinus == nil {
						return value
					}
					return value + by**plusMinus*r.NormFloat64()
				}
				in := c.in
				var lines []orb.LineString
				for _, north := range []float64{0, 25, 50} {
					var line orb.LineString
					for east := 0.0; east <= 200; east += 100 {
						line = append(line, frame.Position(east+by*c.accuracyM*r.NormFloat64(), north+by*c.accuracyM*r.NormFloat64()))
					}
					lines = append(lines, line)
				}
				if in.Lip != nil {
					lip, slopePct := *in.Lip, off(*in.GroundSlopePct, in.SlopePlusMinusPct)
					lip.HeightM.Value = off(lip.HeightM.Value, lip.HeightM.PlusMinus)
					in.Lip, in.GroundSlopePct = &lip, &slopePct
				}
				if in.Slot != nil {
					slot := *in.Slot
					slot.TopWidthM.Value, slot.DepthM.Value = off(slot.TopWidthM.Value, slot.TopWidthM.PlusMinus), off(slot.DepthM.Value, slot.DepthM.PlusMinus)
					in.Slot = &slot
				}
				ripped, err := works.RipArea(lines, c.accuracyM, nil)
				if err != nil {
					t.Fatal(err)
				}
				water, _, err := in.water(ripped)
				if err != nil {
					t.Fatal(err)
				}
				return water
			}
			base := hold(0)
			var total, perM, depth spread
			for range draws {
				w := hold(1)
				total.add(w.TotalM3.Value)
				perM.add(w.M3PerM.Value)
				depth.add(*w.DepthMm.Value)
			}
			total.check(t, "water held by all lines", *base.TotalM3.PlusMinus)
			depth.check(t, "depth of rain", *base.DepthMm.PlusMinus)
			if base.M3PerM.PlusMinus > 0 {
				perM.check(t, "water held by a metre", base.M3PerM.PlusMinus)
			}
		})
	}
}
