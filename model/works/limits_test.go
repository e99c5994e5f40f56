package works

import (
	"math"
	"testing"

	"headcut/model/modeltest"
	"headcut/model/section"
)

// TestLimitsAreTaken: a number at its limit is taken, and refused at its path beyond it.
func TestLimitsAreTaken(t *testing.T) {
	bed := uniform(40, 0.1, 40)
	top := bed[len(bed)-1].ChainageM
	layout := func(edit func(*DamLayout)) error {
		l := DamLayout{Bed: bed, Quality: section.LevelledAndTaped, CrestHeightM: 0.4}
		edit(&l)
		_, _, err := l.check()
		return err
	}
	dam := func(edit func(*Dam)) error {
		d := Dam{ChainageM: 5, ToeLevelM: 100, CrestLevelM: 100.4}
		edit(&d)
		return DamCheck{}.settle(&d).Err()
	}
	build := func(edit func(*DamBuild)) error {
		d := cased()
		edit(&d)
		_, p := d.settled()
		return p.Err()
	}
	sow := func(edit func(*Sowing)) error {
		s := Sowing{Item: "gypsum", AreaM2: 100, Rate: 1}
		edit(&s)
		_, err := s.Quantity()
		return err
	}
	amount := func(edit func(*Quantity)) error {
		q := Quantity{Item: "rock", Unit: "m3", Amount: 1}
		edit(&q)
		return q.check().Err()
	}
	gap := func(from, to float64) error {
		_, err := Windrows{Rows: []Windrow{rowOf(0, 100, 40, RowGap{from, to})}, FallBearingDeg: 180}.Stagger(nil)
		return err
	}
	batter := func(edit func(*Batter)) error {
		b := Batter{HeightM: 1, TargetRunPerRise: 2, LengthM: 10}
		edit(&b)
		return b.check().Err()
	}
	limit := modeltest.Limits(t)
	limit("toM", func(v float64) error { return layout(func(l *DamLayout) { l.ToM = &v }) }, []float64{0, top}, []float64{-0.01, top + 0.01})
	limit("fromM", func(v float64) error { return layout(func(l *DamLayout) { l.FromM = &v }) }, []float64{0, top}, []float64{-0.01, top + 0.01, math.NaN()})
	limit("crestHeightM", func(v float64) error { return layout(func(l *DamLayout) { l.CrestHeightM = v }) }, []float64{LeastCrestM, MaxCrestM}, []float64{0.09, 1.01, math.NaN()})
	limit("depositSlopePct", func(v float64) error { return layout(func(l *DamLayout) { l.DepositSlopePct = v }) }, []float64{0, MaxDepositPct}, []float64{-0.1, 20.1})
	limit("maxBedSlopePct", func(v float64) error { return layout(func(l *DamLayout) { l.MaxBedSlopePct = v }) }, []float64{0, 1, 100}, []float64{0.9, 100.1, -1})
	limit("buriedPct", func(v float64) error { return layout(func(l *DamLayout) { l.BuriedShare = &v }) }, []float64{0, 0.9}, []float64{-0.1, 0.91})
	limit("headNearDepths", func(v float64) error {
		return layout(func(l *DamLayout) { l.HeadNearDepths = &v; l.HeadFarDepths = &v })
	}, []float64{1, 20}, []float64{0.9, 20.1})
	limit("headFarDepths", func(v float64) error { return layout(func(l *DamLayout) { l.HeadFarDepths = &v }) }, []float64{4, 20}, []float64{3.9, 20.1})
	limit("sites[0].widthM", func(v float64) error {
		return layout(func(l *DamLayout) { l.Sites = []GoodSite{{ChainageM: 3, WidthM: v}} })
	}, []float64{0, MaxSiteM}, []float64{-0.1, 100.1})
	limit("sites[0].chainageM", func(v float64) error { return layout(func(l *DamLayout) { l.Sites = []GoodSite{{ChainageM: v}} }) }, []float64{0, top}, []float64{-0.1, top + 0.1})
	limit("skip[0].toM", func(v float64) error { return layout(func(l *DamLayout) { l.NoDams = []NoDams{{FromM: 5, ToM: v}} }) }, []float64{5.01, top, top + 0.1}, []float64{5, 4.9})
	limit("heads[0].depthM", func(v float64) error { return layout(func(l *DamLayout) { l.Heads = []HeadAt{{10, v}} }) }, []float64{LeastHeadM, DeepestHead}, []float64{0.04, 50.1})
	limit("chainageM", func(v float64) error { return dam(func(d *Dam) { d.ChainageM = v }) }, []float64{0, section.MaxChainageM}, []float64{-0.1, section.MaxChainageM + 1})
	limit("crestLevelM", func(v float64) error { return dam(func(d *Dam) { d.CrestLevelM = v }) }, []float64{100.001, section.MaxLevelM}, []float64{100, 99, section.MaxLevelM + 1, math.NaN()})
	limit("buriedM", func(v float64) error { return dam(func(d *Dam) { d.BuriedM = v }) }, []float64{0, section.MaxStepM}, []float64{-0.1, section.MaxStepM + 1, math.NaN()})
	limit("toeLevelM", func(v float64) error { return dam(func(d *Dam) { d.ToeLevelM = v }) }, []float64{-section.MaxLevelM, 100.3}, []float64{-section.MaxLevelM - 1})
	limit("notchDepthM", func(v float64) error { return build(func(d *DamBuild) { d.CrestHeightM, d.NotchDepthM = 0.75, v }) }, []float64{0.75}, []float64{0.751, -0.1})
	limit("accuracyM", func(v float64) error { return build(func(d *DamBuild) { d.AccuracyM = v }) }, []float64{-1, 0, 0.5}, []float64{0.51, math.NaN()})
	limit("notchLengthM", func(v float64) error { return build(func(d *DamBuild) { d.NotchLengthM = v }) }, []float64{3.2}, []float64{3.21, 0})
	limit("bale.stakesEach", func(v float64) error { return build(func(d *DamBuild) { baled(d); d.Bale.StakesEach = int(v) }) }, []float64{0, 1, 10}, []float64{-1, 11})
	limit("bedSlopePct", func(v float64) error { return build(func(d *DamBuild) { baled(d); d.BedSlopePct = v }) }, []float64{0, 20}, []float64{20.1, -1})
	limit("catchmentHa", func(v float64) error { return build(func(d *DamBuild) { baled(d); d.CatchmentHa = v }) }, []float64{0, acreHa}, []float64{0.41, -1})
	limit("downstreamRunPerRise", func(v float64) error {
		return build(func(d *DamBuild) { d.BedSlopePct, d.DownstreamRunPerRise = 40, v })
	}, []float64{2}, []float64{2.01})
	limit("areaM2", func(v float64) error { return sow(func(s *Sowing) { s.AreaM2 = v }) }, []float64{0.1, maxSownM2}, []float64{0, maxSownM2 * 1.1})
	limit("areaPlusMinusM2", func(v float64) error { return sow(func(s *Sowing) { s.AreaPlusMinusM2 = v }) }, []float64{-1, 0, 100}, []float64{100.1, math.Inf(-1), math.NaN()})
	limit("rate", func(v float64) error { return sow(func(s *Sowing) { s.Rate = v }) }, []float64{0.1, maxSpreadKgHa}, []float64{0, maxSpreadKgHa + 1})
	limit("rate", func(v float64) error { return sow(func(s *Sowing) { s.Rate, s.Method = v, Drilled }) }, []float64{0.1, maxSowingKgHa}, []float64{0, maxSowingKgHa + 1})
	limit("purityPct", func(v float64) error { return sow(func(s *Sowing) { s.PurityPct = &v }) }, []float64{1, 100}, []float64{0.9, 100.1})
	limit("germinationPct", func(v float64) error { return sow(func(s *Sowing) { s.GerminationPct = &v }) }, []float64{1, 100}, []float64{0.9, 100.1})
	limit("quantity", func(v float64) error { return amount(func(q *Quantity) { q.Amount = v }) }, []float64{0, MaxAmount}, []float64{-1, 2 * MaxAmount})
	limit("plusMinus", func(v float64) error { return amount(func(q *Quantity) { q.PlusMinus = v }) }, []float64{-1, MaxAmount}, []float64{2 * MaxAmount, math.Inf(-1), math.NaN()})
	limit("bulkDensityTM3", func(v float64) error { return amount(func(q *Quantity) { q.TonnesPerM3 = v }) }, []float64{0, 0.8, 2.6}, []float64{0.79, 2.61})
	limit("[0].costPerUnit", func(v float64) error { return Rates{{Item: "a", Unit: "m", CostPerUnit: &v}}.Check() }, []float64{0, 1e6}, []float64{-1, 1e6 + 1})
	limit("rows[0].gaps[0].fromM", func(v float64) error { return gap(v, 20) }, []float64{0, 19.95}, []float64{-0.01})
	limit("rows[0].gaps[0].toM", func(v float64) error { return gap(20, v) }, []float64{20.05, 100}, []float64{20.04, 101})
	limit("lengthPlusMinusM", func(v float64) error { return batter(func(b *Batter) { b.LengthPlusMinusM = v }) }, []float64{0, maxWallM}, []float64{-0.01, maxWallM + 1, math.NaN()})
	limit("rate", func(v float64) error { return sow(func(s *Sowing) { s.Item, s.Seed, s.Rate = "grass", true, v }) }, []float64{0.1, maxSowingKgHa}, []float64{0, maxSowingKgHa + 1})
	limit("heightM", func(v float64) error { return batter(func(b *Batter) { b.HeightM = v }) }, []float64{LeastBatterM, MaxBatterM}, []float64{0.09, 3.01})
	limit("targetRunPerRise", func(v float64) error {
		return batter(func(b *Batter) { b.PresentRunPerRise, b.TargetRunPerRise = 1.5, v })
	}, []float64{1.51, MaxBatterRun}, []float64{1.5, 1, 10.1})
	limit("targetRunPerRise", func(v float64) error { return batter(func(b *Batter) { b.Soil, b.TargetRunPerRise = "loam", v }) }, []float64{2}, []float64{1.99})
	limit("unitFlowM2S", func(v float64) error { _, p := ChuteStoneM(v, 20); return p.Err() }, []float64{0.01, maxChuteM2S}, []float64{0, 2.1})
	limit("slopePct", func(v float64) error { _, p := ChuteStoneM(1, v); return p.Err() }, []float64{leastChutePct, mostChutePct}, []float64{1.9, 40.1})
	limit("groundSlopePct", func(v float64) error { _, err := RipSite{SlopePct: v}.Check(); return err }, []float64{0, 14.99, math.NaN()}, []float64{-0.1, 15, 1001})
}
