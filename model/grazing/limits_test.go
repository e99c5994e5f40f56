package grazing

import (
	"errors"
	"math"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// asked is a budget with everything given, as edited.
func asked(edit func(*Budget)) error {
	b := Budget{
		Paddock: Paddock{DryPct: &Quantity{40, 2}, EyePct: 15, LandTypes: []LandType{
			{AreaHa: Quantity{100, 2}, OutHa: 5, Cuts: &Cuts{FrameM2: 0.25, Grams: []float64{100, 120, 90, 110, 105}}},
			{AreaHa: exactly(50), Looks: []float64{1500, 1800}}}},
		Detachment: Detachment{Pct: Quantity{15, 5}}, UnpalatablePct: Quantity{10, 3}, ResidualKgHa: 600, IntakeKgDay: Quantity{8, 0.4},
		GrowthKgHaDay: &Quantity{2, 1}, Utilisation: &Utilisation{Pct: 25, GrowthKgHa: &Quantity{2000, 200}},
		Mobs: []Mob{{Head: 40, UnitsPerHead: exactly(1)}, {Head: 2, UnitsPerHead: exactly(1.5)}}, Days: 60,
	}
	edit(&b)
	_, err := b.Answer()
	return err
}

// TestLimitsAreTaken: a number at its limit is taken, and refused at its path beyond it.
func TestLimitsAreTaken(t *testing.T) {
	limit := modeltest.Limits(t)
	of := func(edit func(*Budget, float64)) func(float64) error {
		return func(v float64) error { return asked(func(b *Budget) { edit(b, v) }) }
	}
	land := func(b *Budget) *LandType { return &b.Paddock.LandTypes[0] }
	limit("landTypes[0].areaHa", of(func(b *Budget, v float64) { land(b).AreaHa, land(b).OutHa = exactly(v), 0 }), []float64{0.01, 1e6}, []float64{0, 1e6 + 1, math.NaN()})
	limit("landTypes[0].areaPlusMinusHa", of(func(b *Budget, v float64) { land(b).AreaHa.PlusMinus = v }), []float64{-1, 0, 100}, []float64{101})
	limit("landTypes[0].outHa", of(func(b *Budget, v float64) { land(b).OutHa = v }), []float64{0, 99.9}, []float64{-1, 100})
	limit("landTypes[0].quadrats.frameM2", of(func(b *Budget, v float64) { land(b).Cuts.FrameM2 = v }), []float64{0.03, 10}, []float64{0.009, 10.1})
	limit("landTypes[0].quadrats.cutsG[1]", of(func(b *Budget, v float64) { land(b).Cuts.Grams[1] = v }), []float64{0, 5000}, []float64{-1, 50_001})
	limit("landTypes[0].quadrats", of(func(b *Budget, v float64) { land(b).Cuts.Grams = []float64{v, v} }), []float64{0, 1250}, []float64{1251})
	limit("landTypes[0].quadrats.dryMatterPct", of(func(b *Budget, v float64) { land(b).Cuts.DryPct = new(exactly(v)) }), []float64{5, 100}, []float64{0.4, 4.9, 100.1})
	limit("landTypes[0].quadrats.cutsG", of(func(b *Budget, v float64) { land(b).Cuts.Grams = make([]float64, int(v)) }), []float64{1, MaxQuadrats}, []float64{0, MaxQuadrats + 1})
	limit("landTypes[1].photosKgHa[0]", of(func(b *Budget, v float64) { b.Paddock.LandTypes[1].Looks[0] = v }), []float64{0, 20, MostFeedKgHa}, []float64{-1, 3, MostFeedKgHa + 1})
	limit("landTypes[1].photosKgHa", of(func(b *Budget, v float64) { b.Paddock.LandTypes[1].Looks = make([]float64, int(v)) }), []float64{1, MaxQuadrats}, []float64{0, MaxQuadrats + 1})
	limit("landTypes", of(func(b *Budget, v float64) {
		one := b.Paddock.LandTypes[1]
		b.Paddock.LandTypes = nil
		for range int(v) {
			b.Paddock.LandTypes = append(b.Paddock.LandTypes, one)
		}
	}), []float64{1, MaxLandTypes}, []float64{0, MaxLandTypes + 1})
	limit("dryMatterPct", of(func(b *Budget, v float64) { b.Paddock.DryPct.Value = v }), []float64{5, 100}, []float64{0.4, 4.9, 101})
	limit("dryMatterPlusMinusPct", of(func(b *Budget, v float64) { b.Paddock.DryPct.PlusMinus = v }), []float64{-1, 0, 0.1, 50}, []float64{0.05, 50.1, math.NaN()})
	limit("eyePlusMinusPct", of(func(b *Budget, v float64) { b.Paddock.EyePct = v }), []float64{-1, 0, 1, 60}, []float64{0.2, 60.1})
	limit("detachmentPct", of(func(b *Budget, v float64) { b.Detachment.Pct.Value = v }), []float64{0, 1, 95}, []float64{-1, 0.15, 95.1})
	limit("detachmentPer30DaysPct", of(func(b *Budget, v float64) { b.Detachment = Detachment{exactly(v), true} }), []float64{0, 1, 50}, []float64{-1, 0.07, 50.1})
	limit("detachmentPlusMinusPct", of(func(b *Budget, v float64) { b.Detachment.Pct.PlusMinus = v }), []float64{-1, 0, 50}, []float64{0.05, 51})
	limit("detachmentPer30DaysPlusMinusPct", of(func(b *Budget, v float64) { b.Detachment = Detachment{Quantity{7, v}, true} }), []float64{-1, 0, 50}, []float64{0.05, 51})
	limit("unpalatablePct", of(func(b *Budget, v float64) { b.UnpalatablePct.Value = v }), []float64{0, 1, 95}, []float64{-1, 0.1, 95.1})
	limit("unpalatablePlusMinusPct", of(func(b *Budget, v float64) { b.UnpalatablePct.PlusMinus = v }), []float64{-1, 0, 50}, []float64{0.05, 51})
	limit("residualKgHa", of(func(b *Budget, v float64) { b.ResidualKgHa = v }), []float64{0, 20, 10_000}, []float64{-1, 1.2, 10_001, math.NaN()})
	limit("intakeKgDay", of(func(b *Budget, v float64) { b.IntakeKgDay = exactly(v) }), []float64{0.3, 30}, []float64{0.29, 30.1})
	limit("intakePlusMinusKgDay", of(func(b *Budget, v float64) { b.IntakeKgDay.PlusMinus = v }), []float64{-1, 0, 8}, []float64{8.1})
	limit("growthKgHaDay", of(func(b *Budget, v float64) { *b.GrowthKgHaDay = exactly(v) }), []float64{0, 200}, []float64{-1, 201})
	limit("growthPlusMinusKgHaDay", of(func(b *Budget, v float64) { b.GrowthKgHaDay.PlusMinus = v }), []float64{-1, 2}, []float64{2.1})
	limit("utilisationPct", of(func(b *Budget, v float64) { b.Utilisation.Pct = v }), []float64{1, 100}, []float64{0, 0.25, 101})
	limit("yearGrowthKgHa", of(func(b *Budget, v float64) { *b.Utilisation.GrowthKgHa = exactly(v) }), []float64{20, 30_000}, []float64{2, 30_001})
	limit("yearGrowthPlusMinusKgHa", of(func(b *Budget, v float64) { b.Utilisation.GrowthKgHa.PlusMinus = v }), []float64{-1, 2000}, []float64{2001})
	limit("days", of(func(b *Budget, v float64) { b.Days = v }), []float64{0, 1, MostDays}, []float64{-1, 0.5, MostDays + 1})
	limit("mobs[1].unitsPerHead", of(func(b *Budget, v float64) { b.Mobs[1].UnitsPerHead = exactly(v) }), []float64{0.01, 20}, []float64{0, 20.1})
	limit("mobs[1].unitsPlusMinusPerHead", of(func(b *Budget, v float64) { b.Mobs[1].UnitsPerHead.PlusMinus = v }), []float64{-1, 1.5}, []float64{1.6})
	limit("mobs[1].head", of(func(b *Budget, v float64) { b.Mobs[1].Head = int(v) }), []float64{1, MostHead}, []float64{-1, 0, MostHead + 1})
	limit("mobs[0].head", of(func(b *Budget, v float64) { b.Mobs = b.Mobs[:1]; b.Mobs[0].Head = int(v) }), []float64{0, 1}, []float64{-1})
	limit("mobs", of(func(b *Budget, v float64) {
		one := b.Mobs[0]
		b.Mobs = nil
		for range int(v) {
			b.Mobs = append(b.Mobs, one)
		}
	}), []float64{0, 1, MaxMobs}, []float64{MaxMobs + 1})

	cover := func(edit func(*GroundCover, float64)) func(float64) error {
		return func(v float64) error {
			g := GroundCover{Pct: Quantity{60, 5}, LowPct: new(50.0), HighPct: new(70.0), TargetPct: 50}
			edit(&g, v)
			_, err := g.Meets()
			return err
		}
	}
	limit("coverPct", cover(func(g *GroundCover, v float64) { g.Pct.Value, g.LowPct, g.HighPct = v, nil, nil }), []float64{0, 1, 100}, []float64{-1, 0.6, 100.1, math.NaN()})
	limit("coverPlusMinusPct", cover(func(g *GroundCover, v float64) { g.Pct.PlusMinus = v }), []float64{-1, 0, 50}, []float64{0.05, 51})
	limit("coverLowPct", cover(func(g *GroundCover, v float64) { g.LowPct = &v }), []float64{0, 60}, []float64{-1, 60.1})
	limit("coverHighPct", cover(func(g *GroundCover, v float64) { g.HighPct = &v }), []float64{60, 100}, []float64{59.9, 100.1})
	limit("coverTargetPct", cover(func(g *GroundCover, v float64) { g.TargetPct = v }), []float64{1.01, 100}, []float64{0.6, 1, 100.1})
	limit("coverLowPct", cover(func(g *GroundCover, v float64) {
		if v < 1 {
			g.HighPct = nil
		}
	}), []float64{1}, []float64{0})

	sample := func(edit func(*DrySample, float64)) func(float64) error {
		return func(v float64) error {
			s := DrySample{FreshG: 100, DryG: 40, PlateG: 20}
			edit(&s, v)
			_, err := DryShare([]DrySample{s})
			return err
		}
	}
	limit("drySamples[0].freshG", sample(func(s *DrySample, v float64) { s.FreshG = v }), []float64{40, 20_000}, []float64{20, 20_001})
	limit("drySamples[0].dryG", sample(func(s *DrySample, v float64) { s.DryG = v }), []float64{20.1, 100}, []float64{20, 100.1})
	limit("drySamples[0].plateG", sample(func(s *DrySample, v float64) { s.PlateG = v }), []float64{0, 39}, []float64{-1})
	limit("drySamples", func(v float64) error {
		all := make([]DrySample, int(v))
		for i := range all {
			all[i] = DrySample{FreshG: 100, DryG: 40}
		}
		_, err := DryShare(all)
		return err
	}, []float64{1, MaxDrySamples}, []float64{0, MaxDrySamples + 1})
}

// What cannot be budgeted is refused at the value that is missing or one too many.
func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		name, path string
		edit       func(*Budget)
	}{
		{"neither-cuts-nor-looks", "landTypes[1].quadrats", func(b *Budget) { b.Paddock.LandTypes[1].Looks = nil }},
		{"cuts-and-looks", "landTypes[0].quadrats", func(b *Budget) { b.Paddock.LandTypes[0].Looks = []float64{900} }},
		{"fresh-without-a-dry-share", "landTypes[0].quadrats.dryMatterPct", func(b *Budget) { b.Paddock.DryPct = nil }},
		{"growth-without-a-time", "days", func(b *Budget) { b.Days, b.Mobs = 0, nil }},
		{"loss-without-a-time", "days", func(b *Budget) {
			b.Days, b.Mobs, b.GrowthKgHaDay, b.Detachment.Per30Days = 0, b.Mobs[:1], nil, true
			b.Mobs[0].Head = 0
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := asked(c.edit)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("%v, want a problem at %s", err, c.path)
			}
		})
	}
	for name, edit := range map[string]func(*Budget){
		"head-gives-the-time": func(b *Budget) { b.Days = 0 }, "days-alone": func(b *Budget) { b.Mobs = nil },
		"no-time-is-needed": func(b *Budget) { b.Days, b.Mobs, b.GrowthKgHaDay = 0, nil, nil },
	} {
		if err := asked(edit); err != nil {
			t.Errorf("%s: %v, want it taken", name, err)
		}
	}
}
