package grazing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/monitor"
)

// Example is a paddock of two land types before the dry: 214 days for 300 steers.
func Example() {
	b := Budget{
		Paddock: Paddock{LandTypes: []LandType{
			{Name: "black soil", AreaHa: exactly(640), OutHa: 40, Cuts: &Cuts{FrameM2: 0.25, Grams: []float64{78, 92, 61, 85, 74}, DryPct: new(exactly(100))}},
			{Name: "red ridges", AreaHa: exactly(400), Cuts: &Cuts{FrameM2: 1, Grams: []float64{140, 190, 120, 165, 150}, DryPct: new(exactly(100))}}}},
		Detachment: Detachment{Pct: Quantity{15, 5}}, UnpalatablePct: Quantity{10, 3}, ResidualKgHa: 1000, IntakeKgDay: Quantity{8.5, 0.4},
		Utilisation: &Utilisation{Pct: 30},
		Mobs:        []Mob{{Head: 300, UnitsPerHead: exactly(0.78)}}, Days: 214,
	}
	a, err := b.Answer()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f ± %.0f kg/ha on %.0f ha\n", a.FeedKgHa.Value, a.FeedKgHa.PlusMinus, a.GrazedHa.Value)
	fmt.Printf("%.0f head fit by %s, %.0f to be careful\n", a.Head.Least.Value, a.Head.LimitedBy, *a.Head.Cautious)
	fmt.Printf("300 can stay: %s, and leave %.0f kg/ha\n", a.Demand.Over.Enough, a.Demand.Over.LeftKgHa.Value)
	// Output:
	// 2484 ± 134 kg/ha on 1000 ha
	// 472 head fit by utilisation, 424 to be careful
	// 300 can stay: yes, and leave 1475 kg/ha
}

// A figure that rests on something whose ± nobody gave has none, and no cautious figure; one
// that does not keeps its own.
func TestNotKnownIsCarried(t *testing.T) {
	b := paddocks()["mixed"]
	b.UnpalatablePct.PlusMinus = -1
	a := answer(t, b)
	for name, q := range a.figures() {
		rests := !slices.Contains([]string{"feed", "herd", "demand", "stocking", "eats", "share"}, name)
		if rests == (q.PlusMinus >= 0) {
			t.Errorf("%s: %v ± %v, want one: %t", name, q.Value, q.PlusMinus, !rests)
		}
	}
	if a.EatKgHa.Cautious != nil || a.Days.Cautious != nil || a.Demand.Over.Enough != monitor.CannotTell {
		t.Errorf("cautious figures %v and %v, enough: %s; want none", a.EatKgHa.Cautious, a.Days.Cautious, a.Demand.Over.Enough)
	}
}

// One quadrat, and quadrats all alike, tell nothing of how they err; one look has the eye's error.
func TestScatterThatIsNone(t *testing.T) {
	for name, c := range map[string]struct {
		land  LandType
		eye   float64
		known bool
	}{
		"one-quadrat": {dried(1, 100), 10, false}, "alike": {dried(1, 100, 100, 100), 10, false}, "quadrats": {dried(1, 100, 110), 10, true},
		"one-look": {LandType{AreaHa: exactly(1), Looks: []float64{900}}, 10, true}, "eye-not-known": {LandType{AreaHa: exactly(1), Looks: []float64{900, 1200}}, -1, false},
		"looks-alike": {LandType{AreaHa: exactly(1), Looks: []float64{900, 900}}, 10, true},
	} {
		b := standing(0)
		b.Paddock = Paddock{LandTypes: []LandType{c.land}, EyePct: c.eye}
		a := answer(t, b)
		f := a.LandTypes[0]
		if known := a.FeedKgHa.PlusMinus > 0; known != c.known || !near(f.KgHa.Value, a.FeedKgHa.Value) || !near(f.KgHa.PlusMinus, a.FeedKgHa.PlusMinus) || (f.LowKgHa != nil) != c.known || (f.HighKgHa != nil) != c.known {
			t.Errorf("%s: %+v of %+v, want a plus-minus: %t", name, a.FeedKgHa, f, c.known)
		}
	}
}

// Less than the residual stands: no animals and no days, and kg/ha that say by how much.
func TestBelowTheResidual(t *testing.T) {
	b := scenario(t)
	b.Paddock.EyePct, b.Paddock.LandTypes[0].Looks[0], b.Days = 10, 1400, 100
	a := answer(t, b)
	if got := a.EatKgHa.Least; math.Abs(got.Value-(1400*0.85*0.9-1200)) > 1e-9 || got.PlusMinus <= 0 {
		t.Errorf("%+v may be eaten, want -129 with its plus-minus", got)
	}
	for name, w := range map[string]*Allowance{"days": a.Days, "units": a.Units, "head": a.Head, "unit days": a.UnitDaysHa} {
		if w.Least.Value != 0 || w.Least.PlusMinus != -1 || *w.Cautious != 0 {
			t.Errorf("%s: %+v, want none", name, *w)
		}
	}
	if a.Demand.Over.Enough != monitor.No || a.FeedErrorFactor != nil {
		t.Errorf("enough: %s, factor %v", a.Demand.Over.Enough, a.FeedErrorFactor)
	}
	if !said(b.Cautions(a), "stock go out now") {
		t.Error("nobody says that stock go out")
	}
	b.Paddock.LandTypes[0].Looks[0], b.IntakeKgDay.PlusMinus = 1200, -1 // of what there is not, it does not matter how much they eat
	if a = answer(t, b); a.Demand.Over.MarginKgHa.PlusMinus >= 0 || a.Demand.Over.Enough != monitor.No {
		t.Errorf("a margin of %+v is enough: %s, want no", a.Demand.Over.MarginKgHa, a.Demand.Over.Enough)
	}
	b.Paddock.LandTypes[0].Looks[0] = 0
	if a = answer(t, b); a.Demand.Over.OfFeedPct != nil || a.LandTypes[0].VariationPct != nil {
		t.Errorf("a share %v of no feed", a.Demand.Over.OfFeedPct)
	}
}

func said(all []model.Caution, text string) bool {
	return slices.ContainsFunc(all, func(c model.Caution) bool { return strings.Contains(c.Text, text) })
}

// Growth that keeps up with the herd leaves the feed without end, unless a share of it limits.
func TestGrowthKeepsUp(t *testing.T) {
	b := scenario(t)
	b.GrowthKgHaDay = new(exactly(3)) // of 2 that the herd eats
	a := answer(t, b)
	if a.Days != nil || a.EatKgHa != nil || !said(b.Cautions(a), "Growth keeps up") {
		t.Errorf("days %+v, eaten %+v, want neither", a.Days, a.EatKgHa)
	}
	b.Utilisation = &Utilisation{Pct: 10}
	if a = answer(t, b); a.Days == nil || a.Days.ByResidual != nil || a.Days.LimitedBy != ByUtilisation || !said(b.Cautions(a), "Growth keeps up") {
		t.Errorf("days %+v, want those by utilisation", a.Days)
	}
}

func TestEnough(t *testing.T) {
	for _, c := range []struct {
		margin Quantity
		want   monitor.Answer
	}{
		{Quantity{130, 100}, monitor.Yes}, {Quantity{127, 100}, monitor.CannotTell}, {Quantity{-127, 100}, monitor.CannotTell}, {Quantity{-130, 100}, monitor.No},
		{Quantity{0, 0}, monitor.Yes}, {Quantity{-1, 0}, monitor.No}, {Quantity{500, -1}, monitor.CannotTell},
	} {
		if got := enough(c.margin); got != c.want {
			t.Errorf("a margin of %+v is enough: %s, want %s", c.margin, got, c.want)
		}
	}
}

// Each caution comes where what it warns of is there, and not elsewhere.
func TestCautions(t *testing.T) {
	careful := paddocks()["mixed"] // with hectares left out
	careful.Paddock.LandTypes = careful.Paddock.LandTypes[:2]
	careful.Paddock.LandTypes[0].OutHa = 4
	careful.Detachment.Per30Days = true
	for _, c := range []struct {
		says string
		edit func(*Budget)
	}{
		{"No hectares are left out", func(b *Budget) { b.Paddock.LandTypes[0].OutHa = 0 }},
		{"Fewer than 5 quadrats", func(b *Budget) { b.Paddock.LandTypes[1].Cuts.Grams = []float64{120, 180, 140, 160} }},
		{"until they are calibrated", func(b *Budget) {
			b.Paddock.LandTypes[1].Cuts, b.Paddock.LandTypes[1].Looks = nil, []float64{2000}
		}},
		{"A residual below 300 kg/ha", func(b *Budget) { b.ResidualKgHa = 299 }},
		{"no cautious figure", func(b *Budget) { b.IntakeKgDay.PlusMinus, b.UnpalatablePct.PlusMinus = -1, -1 }},
		{"has not grown yet", func(b *Budget) { b.GrowthKgHaDay = &Quantity{1, 0.5} }},
		{"ate of it before", func(b *Budget) { b.Utilisation.GrowthKgHa = &Quantity{2500, 100} }},
		{"past a year", func(b *Budget) {
			b.Mobs, b.Detachment.Per30Days = []Mob{{Head: 20, UnitsPerHead: exactly(1)}}, false
		}},
		{"The detachment given is that of 90 days", func(b *Budget) { b.Detachment.Per30Days = false }},
		{"what may be eaten is out by 21 %", func(b *Budget) {
			b.Paddock, b.Detachment.Per30Days = Paddock{LandTypes: []LandType{{AreaHa: exactly(500), OutHa: 1, Looks: []float64{3000}}}}, false
			b.Utilisation = nil
		}},
	} {
		b := careful
		b.Paddock.LandTypes = slices.Clone(careful.Paddock.LandTypes)
		b.Paddock.LandTypes[1].Cuts = new(*b.Paddock.LandTypes[1].Cuts)
		b.Utilisation = new(*b.Utilisation)
		if a := answer(t, b); said(b.Cautions(a), c.says) {
			t.Errorf("%q is said of a budget that it does not fit", c.says)
		}
		c.edit(&b)
		if a := answer(t, b); !said(b.Cautions(a), c.says) {
			t.Errorf("%q is not said: %v", c.says, b.Cautions(a))
		}
	}
}

// Limits, where they are given, decide; without them the plus-minus does; without either nothing is told.
func TestCoverMeetsItsTarget(t *testing.T) {
	for _, c := range []struct {
		name  string
		cover GroundCover
		want  monitor.Answer
	}{
		{"limits", GroundCover{Pct: Quantity{60, 1}, LowPct: new(49.0), HighPct: new(70.0), TargetPct: 50}, monitor.CannotTell},
		{"limits-above", GroundCover{Pct: Quantity{60, -1}, LowPct: new(50.0), HighPct: new(70.0), TargetPct: 50}, monitor.Yes},
		{"plus-minus", GroundCover{Pct: Quantity{60, 5}, TargetPct: 50}, monitor.Yes},
		{"plus-minus-wide", GroundCover{Pct: Quantity{60, 5.2}, TargetPct: 50}, monitor.CannotTell},
		{"plus-minus-below", GroundCover{Pct: Quantity{40, 5}, TargetPct: 50}, monitor.No},
		{"exact", GroundCover{Pct: Quantity{49.9, 0}, TargetPct: 50}, monitor.No},
		{"neither", GroundCover{Pct: Quantity{90, -1}, TargetPct: 50}, monitor.CannotTell},
	} {
		if got, err := c.cover.Meets(); got != c.want || err != nil {
			t.Errorf("%s: %s, %v; want %s", c.name, got, err, c.want)
		}
	}
}

// Where a share of utilisation limits what is eaten, an error of the feed is not multiplied.
func TestFeedErrorCountsByTheResidual(t *testing.T) {
	b := scenario(t)
	for pct, says := range map[float64]bool{100: true, 20: false} {
		b.Utilisation = &Utilisation{Pct: pct}
		if a := answer(t, b); said(b.Cautions(a), "what may be eaten is out by 21 %") != says {
			t.Errorf("a share of %v %%: by %s, said of an error of the feed: %t, want %t", pct, a.EatKgHa.LimitedBy, !says, says)
		}
	}
}

func TestWhatFollows(t *testing.T) {
	for meets, want := range map[monitor.Answer]string{monitor.Yes: "stock by the lesser", monitor.No: "rest first", monitor.CannotTell: "read more points"} {
		if got := WhatFollows(meets); !strings.Contains(got, want) {
			t.Errorf("cover that meets its target: %s: %q, want %q", meets, got, want)
		}
	}
}

// Names in the tables are there once, and every number has a source.
func TestTablesAreWhole(t *testing.T) {
	for _, r := range AllRatings {
		seen := map[string]bool{}
		for _, c := range r.Classes {
			if seen[c.Name] || c.UnitsPerHead <= 0 {
				t.Errorf("%s: %+v is there twice, or nothing", r.Name, c)
			}
			seen[c.Name] = true
		}
		if r.Source.Title == "" || r.Intake.Title == "" || len(seen) < 10 {
			t.Errorf("%s lacks a source or classes: %+v", r.Name, r)
		}
	}
	for _, p := range Proposed() {
		if p.Input == "" || p.For == "" || p.Source.Title == "" || !(p.Low > 0 && p.High >= p.Low) || !strings.HasPrefix(p.String(), p.Input+" ") {
			t.Errorf("%+v lacks something", p)
		}
	}
	if got, want := AllRatings[0].String(), "ae-low, adult equivalents that eat 8.5 kg a day: females <1 0.57, females 1-2 0.72, "; !strings.HasPrefix(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := Proposed()[1].String(), "detachmentPct 15 to 20, spoiled and wasted in intensive grazing: Making More From Sheep"; !strings.HasPrefix(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
