package grazing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

const draws = 10_000

func gaussian(r *rand.Rand, q Quantity) Quantity {
	return exactly(q.Value + max(0, q.PlusMinus)*r.NormFloat64())
}

// drawn is the budget with everything that errs off by its plus-minus: each land type one look
// that errs no more, the dry share and the eye alike for all that share them.
func (b Budget) drawn(r *rand.Rand) Budget {
	dry, eye := Quantity{}, gaussian(r, Quantity{1, max(0, b.Paddock.EyePct) / 100})
	if b.Paddock.DryPct != nil {
		dry = gaussian(r, b.Paddock.DryPct.of(1.0/100))
	}
	out := b
	out.Paddock = Paddock{}
	for _, l := range b.Paddock.LandTypes {
		mean := gaussian(r, meanOf(l.sampled())).Value
		switch {
		case l.Cuts == nil:
			mean *= eye.Value
		case l.Cuts.DryPct == nil:
			mean *= dry.Value
		default:
			mean *= gaussian(r, l.Cuts.DryPct.of(1.0/100)).Value
		}
		out.Paddock.LandTypes = append(out.Paddock.LandTypes, LandType{AreaHa: gaussian(r, l.AreaHa), OutHa: l.OutHa, Looks: []float64{mean}})
	}
	out.Detachment.Pct, out.UnpalatablePct, out.IntakeKgDay = gaussian(r, b.Detachment.Pct), gaussian(r, b.UnpalatablePct), gaussian(r, b.IntakeKgDay)
	if b.GrowthKgHaDay != nil {
		out.GrowthKgHaDay = new(gaussian(r, *b.GrowthKgHaDay))
	}
	if b.Utilisation != nil && b.Utilisation.GrowthKgHa != nil {
		out.Utilisation = &Utilisation{b.Utilisation.Pct, new(gaussian(r, *b.Utilisation.GrowthKgHa))}
	}
	out.Mobs = slices.Clone(b.Mobs)
	for i := range out.Mobs {
		out.Mobs[i].UnitsPerHead = gaussian(r, b.Mobs[i].UnitsPerHead)
	}
	return out
}

// paddocks asked in every way.
func paddocks() map[string]Budget {
	cut := func(ha Quantity, dry *Quantity, grams ...float64) LandType {
		return LandType{AreaHa: ha, Cuts: &Cuts{FrameM2: 0.25, Grams: grams, DryPct: dry}}
	}
	eyed := standing(3000)
	eyed.Paddock.EyePct = 8
	eyed.Detachment.Pct, eyed.UnpalatablePct, eyed.ResidualKgHa, eyed.IntakeKgDay = Quantity{15, 5}, Quantity{10, 3}, 1200, Quantity{8.5, 0.4}

	mixed := eyed
	mixed.Paddock = Paddock{EyePct: 12, DryPct: &Quantity{45, 3}, LandTypes: []LandType{
		cut(Quantity{300, 6}, nil, 150, 210, 190, 260, 170), cut(Quantity{200, 5}, nil, 120, 180, 140, 160, 150), cut(Quantity{80, 2}, &Quantity{70, 2}, 90, 110, 140, 80),
		{AreaHa: Quantity{150, 4}, OutHa: 20, Looks: []float64{2400, 3100, 2800}}, {AreaHa: Quantity{90, 3}, Looks: []float64{2000}},
	}}
	mixed.Mobs, mixed.Days = []Mob{{Head: 120, UnitsPerHead: Quantity{1.29, 0.05}}, {Head: 5, UnitsPerHead: Quantity{1.73, 0.1}}}, 90
	mixed.Utilisation = &Utilisation{Pct: 30}

	grown := eyed
	grown.GrowthKgHaDay, grown.Utilisation = &Quantity{2, 0.5}, &Utilisation{25, &Quantity{2600, 200}}
	grown.Mobs = []Mob{{Head: 1, UnitsPerHead: Quantity{0.78, 0.03}}}

	losing := grown
	losing.Detachment = Detachment{Quantity{7, 1.5}, true}

	losingFor := losing
	losingFor.Days = 120
	return map[string]Budget{"by-eye": eyed, "mixed": mixed, "growing": grown, "losing": losing, "losing-for-days": losingFor}
}

// figures are those of an answer that carry a plus-minus, by name.
func (a Answer) figures() map[string]Quantity {
	all := map[string]Quantity{"feed": a.FeedKgHa}
	add := func(name string, q *Quantity) {
		if q != nil {
			all[name] = *q
		}
	}
	allowance := func(name string, w *Allowance) {
		if w != nil {
			add(name+" by residual", w.ByResidual)
			add(name+" by utilisation", w.ByUtilisation)
		}
	}
	add("standing", a.StandingKgHa)
	allowance("eaten", a.EatKgHa)
	allowance("unit days", a.UnitDaysHa)
	allowance("days", a.Days)
	allowance("units", a.Units)
	if d := a.Demand; d != nil {
		add("herd", &d.Units)
		add("demand", &d.KgDay)
		if o := d.Over; o != nil {
			add("stocking", &o.UnitDaysHa)
			add("eats", &o.KgHa)
			add("share", o.OfFeedPct)
			add("left", &o.LeftKgHa)
		}
	}
	return all
}

// TestSpread: each plus-minus is what 10,000 draws of the inputs scatter by, and one draw in
// ten lies below the cautious figure. The lesser of two rules has the plus-minus of its own.
func TestSpread(t *testing.T) {
	for name, b := range paddocks() {
		t.Run(name, func(t *testing.T) {
			stated := answer(t, b)
			figures := stated.figures()
			r := rand.New(rand.NewPCG(20261130, 3))
			sums, squares := map[string]float64{}, map[string]float64{}
			below := 0
			for range draws {
				a := b.drawn(r).work()
				for name, q := range a.figures() {
					v := q.Value - figures[name].Value
					sums[name] += v
					squares[name] += v * v
				}
				if a.EatKgHa.Least.Value < *stated.EatKgHa.Cautious {
					below++
				}
			}
			for name, q := range figures {
				got := math.Sqrt((squares[name] - sums[name]*sums[name]/draws) / (draws - 1))
				t.Logf("%s: %.5g stated ± %.5g, drawn %.5g", name, q.Value, q.PlusMinus, got)
				if math.Abs(got/q.PlusMinus-1) > 0.05 {
					t.Errorf("%s: draws scatter by %v, and %v is stated", name, got, q.PlusMinus)
				}
			}
			if got := float64(below) / draws; math.Abs(got-0.1) > 0.015 {
				t.Errorf("%v of the draws lie below the cautious figure, want 0.1", got)
			}
		})
	}
}

// TestLimitsHoldTheTruth: 95 in 100 samples of five quadrats have it within their limits, dried
// or by a shared dry share.
func TestLimitsHoldTheTruth(t *testing.T) {
	r := rand.New(rand.NewPCG(20261130, 5))
	for name, dry := range map[string]Quantity{"dried": exactly(100), "fresh": {40, 3}} {
		held := 0
		for range draws {
			said := gaussian(r, dry).Value // what the officer's samples came to, of a true share
			grams := make([]float64, 5)
			for i := range grams {
				grams[i] = 200 + 60*r.NormFloat64()
			}
			l := LandType{AreaHa: exactly(1), Cuts: &Cuts{FrameM2: 0.25, Grams: grams, DryPct: &Quantity{said, dry.PlusMinus}}}
			f := Paddock{}.feed(l)
			if truth := 8000 * dry.Value / 100; *f.LowKgHa <= truth && truth <= *f.HighKgHa {
				held++
			}
		}
		if got := float64(held) / draws; math.Abs(got-0.95) > 0.015 {
			t.Errorf("%s: %v of the limits hold the truth, want 0.95", name, got)
		}
	}
}
