package monitor

import (
	"math"
	"testing"

	"headcut/model/modeltest"
	"headcut/model/section"
)

// TestLimitsAreTaken: a number at its limit is taken, and refused at its path beyond it.
func TestLimitsAreTaken(t *testing.T) {
	trap := func(edit func(*SiltTrap)) error {
		s := SiltTrap{CrestHeightM: 0.4, BedWidthM: 2, WidthAtCrestM: 3, BedSlopePct: 5, DepositSlopePct: 1, SiltHeightM: new(0.2)}
		edit(&s)
		return s.check().Err()
	}
	probes := func(all ...Probe) error {
		return trap(func(s *SiltTrap) { s.SiltHeightM, s.Probes = nil, all })
	}
	volume := func(edit func(*VolumeSurvey)) error {
		v := VolumeSurvey{Method: EndArea, MethodErrorPct: -1, Sections: []CrossSection{{AreaM2: new(1.0)}, {ChainageM: 10, AreaM2: new(1.0)}}}
		edit(&v)
		_, err := v.Volume()
		return err
	}
	area := func(m2, plusMinusM2 float64) error {
		_, p := CrossSection{AreaM2: &m2, AreaPlusMinusM2: &plusMinusM2}.measure(Accuracy{})
		return p.Err()
	}
	offsets := func(middle [2]float64) error {
		_, p := ofOffsets([][2]float64{{0, 100}, middle, {10, 100}}, Accuracy{})
		return p.Err()
	}
	limit := modeltest.Limits(t)
	limit("crestHeightM", func(v float64) error { return trap(func(s *SiltTrap) { s.CrestHeightM = v }) }, []float64{0.05, 5}, []float64{0.04, 5.1})
	limit("widthAtCrestM", func(v float64) error { return trap(func(s *SiltTrap) { s.WidthAtCrestM = v }) }, []float64{2, 100}, []float64{1.99, 100.1})
	limit("depositSlopePct", func(v float64) error { return trap(func(s *SiltTrap) { s.DepositSlopePct = v }) }, []float64{0, 4.89}, []float64{-0.1, 4.91, 20.1})
	limit("depositSlopePct", func(v float64) error { return trap(func(s *SiltTrap) { s.BedSlopePct, s.DepositSlopePct = 0.1, v }) }, []float64{0}, []float64{0.01})
	limit("siltHeightM", func(v float64) error { return trap(func(s *SiltTrap) { s.SiltHeightM = &v }) }, []float64{0, 0.9}, []float64{-0.1, 0.91})
	limit("probes[0].distanceM", func(v float64) error { return probes(Probe{v, 0.2}) }, []float64{0}, []float64{0.01})
	limit("probes[1].distanceM", func(v float64) error { return probes(Probe{0, 0.2}, Probe{v, 0.1}) }, []float64{0.01, 1000}, []float64{0, 0.009, 1001})
	limit("probes[0].depthM", func(v float64) error { return probes(Probe{0, v}) }, []float64{0, 0.9}, []float64{-0.1, 0.91})
	limit("downstreamRunOutM", func(v float64) error { return volume(func(s *VolumeSurvey) { s.RunOutDownM = v }) }, []float64{0, 1000}, []float64{-1, 1001})
	limit("upstreamRunOutM", func(v float64) error { return volume(func(s *VolumeSurvey) { s.RunOutUpM = v }) }, []float64{0, 1000}, []float64{-1, 1001})
	limit("methodErrorPct", func(v float64) error { return volume(func(s *VolumeSurvey) { s.MethodErrorPct = v }) }, []float64{-1, 0, 100}, []float64{101})
	limit("heightPlusMinusM", func(v float64) error { return volume(func(s *VolumeSurvey) { s.Accuracy.HeightM = v }) }, []float64{-1, 0, MaxPlusMinusM}, []float64{1001, math.NaN()})
	limit("sections[1].chainageM", func(v float64) error { return volume(func(s *VolumeSurvey) { s.Sections[1].ChainageM = v }) }, []float64{section.LeastApartM, section.MaxChainageM}, []float64{0, section.LeastApartM / 2, section.MaxChainageM + 1})
	limit("sections", func(v float64) error {
		return volume(func(s *VolumeSurvey) { s.Sections, s.RunOutUpM = s.Sections[:1], v })
	}, []float64{1}, []float64{0})
	limit("areaM2", func(v float64) error { return area(v, 1) }, []float64{0, MaxAreaM2}, []float64{-1, MaxAreaM2 + 1})
	limit("areaPlusMinusM2", func(v float64) error { return area(1, v) }, []float64{0, MaxAreaM2}, []float64{-1, MaxAreaM2 + 1})
	limit("dimensions.depthM", func(v float64) error { _, p := Dimensions{1, 2, v}.measure(); return p.Err() }, []float64{0, MaxReliefM}, []float64{-1, MaxReliefM + 1})
	limit("[1]", func(v float64) error { return offsets([2]float64{5, v}) }, []float64{40, 99}, []float64{39.9})
	limit("points.hits", func(v float64) error { _, err := OfPoints(int(v), 10); return err }, []float64{0, 10}, []float64{-1, 11})
	limit("points.total", func(v float64) error { _, err := OfPoints(0, int(v)); return err }, []float64{1, MaxPoints}, []float64{0, MaxPoints + 1})
	limit("plots[0].coverPct", func(v float64) error { _, err := OfPlots([]float64{v, 50}, -1); return err }, []float64{0, 100}, []float64{-1, 101})
	limit("observerPlusMinusPct", func(v float64) error { _, err := OfPlots([]float64{40, 50}, v); return err }, []float64{-1, 0, 50}, []float64{51})
	limit("plots", func(v float64) error { _, err := OfPlots([]float64{v, 0.5}, -1); return err }, []float64{1.01}, []float64{0, 1})
	limit("bulkDensityTM3", func(v float64) error { return BulkDensity{v, -1}.Check() }, []float64{0.2, 2.65}, []float64{0.19, 2.66})
	limit("bulkDensityPlusMinusTM3", func(v float64) error { return BulkDensity{1.5, v}.Check() }, []float64{-1, 0, 1}, []float64{1.1})
	limit("firstMonth", func(v float64) error { return Season{int(v), 4}.Check() }, []float64{1, 12}, []float64{0, 13})
	limit("lastMonth", func(v float64) error { return Season{11, int(v)}.Check() }, []float64{1, 12}, []float64{0, 13})
	// Together at 95 %: a change of just the limit is no more than noise, and one of no known limit cannot be told.
	for change, want := range map[float64]Answer{1: No, -1: No, 1.01: Yes, -1.01: Yes} {
		if got := moreThanNoise(change, new(1.0)); got != want || moreThanNoise(change, nil) != CannotTell {
			t.Errorf("a change of %v beside a limit of 1: %s, want %s", change, got, want)
		}
	}
}

// TestAreaOfReadingsTakenAsExact: an accuracy of nought is known, one below is not.
func TestAreaOfReadingsTakenAsExact(t *testing.T) {
	for accuracy, known := range map[Accuracy]bool{{0, 0, 0}: true, {0.05, 0, 0}: true, {0, 0.01, 0}: true, {-1, 0.01, 0}: false, {0.05, -1, 0}: false} {
		got, p := ofOffsets([][2]float64{{0, 100}, {2, 98}, {4, 100}}, accuracy)
		if p != nil || got.areaM2 != 4 || (got.plusMinusM2 >= 0) != known {
			t.Errorf("%+v: %+v, %v, want a plus-minus: %t", accuracy, got, p, known)
		}
	}
}
