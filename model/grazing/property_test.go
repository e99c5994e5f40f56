package grazing

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyBudget draws a budget of one herd that leaves something to eat.
func anyBudget(t *rapid.T) Budget {
	b := standing(rapid.Float64Range(1500, 6000).Draw(t, "feed")).on(rapid.Float64Range(10, 5000).Draw(t, "ha"))
	b.Detachment = Detachment{exactly(rapid.Float64Range(1, 20).Draw(t, "detachment")), rapid.Bool().Draw(t, "rate")}
	b.UnpalatablePct = exactly(rapid.Float64Range(1, 20).Draw(t, "unpalatable"))
	b.ResidualKgHa = rapid.Float64Range(100, 800).Draw(t, "residual")
	b.Mobs = []Mob{{Head: rapid.IntRange(1, 2000).Draw(t, "head"), UnitsPerHead: exactly(rapid.Float64Range(0.5, 1.6).Draw(t, "units"))}}
	if rapid.Bool().Draw(t, "grows") {
		b.GrowthKgHaDay = new(exactly(rapid.Float64Range(0, 3).Draw(t, "growth")))
	}
	return b
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-6*max(1, math.Abs(b)) }

// TestDaysAndHeadAgree: as many as are there fit for as long as they can stay, and the residual
// stands when they leave; twice the herd on twice the land stays as long.
func TestDaysAndHeadAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.Custom(anyBudget).Filter(func(b Budget) bool { // one that ends, in a time that can be asked for
			days := b.work().Days
			return days != nil && days.Least.Value >= 1 && days.Least.Value <= MostDays
		}).Draw(t, "budget")
		a := b.work()
		days := a.Days.Least.Value
		twice := b.on(2 * b.Paddock.LandTypes[0].AreaHa.Value)
		twice.Mobs = []Mob{{Head: 2 * b.Mobs[0].Head, UnitsPerHead: b.Mobs[0].UnitsPerHead}}
		if got := twice.work().Days.Least.Value; !near(got, days) {
			t.Fatalf("twice the herd on twice the land stays %v days, want %v", got, days)
		}
		b.Days = days
		stay := b.work()
		if !near(stay.Units.Least.Value, stay.Demand.Units.Value) {
			t.Fatalf("%v units fit for the %v days that %v stay", stay.Units.Least.Value, days, stay.Demand.Units.Value)
		}
		if over := stay.Demand.Over; !near(over.LeftKgHa.Value, b.ResidualKgHa) || math.Abs(over.MarginKgHa.Value) > 1e-6*a.FeedKgHa.Value {
			t.Fatalf("%v kg/ha are left and the margin is %v, want the residual of %v and none", over.LeftKgHa.Value, over.MarginKgHa.Value, b.ResidualKgHa)
		}
		if got := a.EatKgHa.Least.Value; !near(got, a.Demand.Units.Value*8*days/a.GrazedHa.Value) {
			t.Fatalf("%v kg/ha may be eaten, and the herd eats %v", got, a.Demand.Units.Value*8*days/a.GrazedHa.Value)
		}
	})
}

// TestLossBesideGrazing walks the feed down day by day in small steps.
func TestLossBesideGrazing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBudget(t)
		b.Detachment.Per30Days, b.Days = true, float64(rapid.IntRange(1, 200).Draw(t, "days"))
		a := b.work()
		const steps = 20_000
		loss := -math.Log(1-b.Detachment.Pct.Value/100) / 30
		feed, eaten := a.FeedKgHa.Value*(1-b.UnpalatablePct.Value/100), a.Demand.KgDay.Value/a.GrazedHa.Value
		grown := orNought(b.GrowthKgHaDay).Value
		for range steps {
			dt := b.Days / steps
			middle := feed + dt/2*(grown-eaten-loss*feed)
			feed += dt * (grown - eaten - loss*middle)
		}
		if got := a.Demand.Over.LeftKgHa.Value; math.Abs(got-feed) > 1e-4*max(1, math.Abs(feed)) {
			t.Fatalf("%v kg/ha are left after %v days, want %v", got, b.Days, feed)
		}
	})
}

// TestMoreOfItLastsLonger: more feed, fewer animals and a smaller residual never mean fewer days.
func TestMoreOfItLastsLonger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBudget(t)
		days := func(b Budget) float64 {
			if a := b.work(); a.Days != nil {
				return a.Days.Least.Value
			}
			return math.Inf(1)
		}
		base := days(b)
		fed, spared, fewer := b, b, b
		fed.Paddock.LandTypes = []LandType{b.Paddock.LandTypes[0]}
		fed.Paddock.LandTypes[0].Looks = []float64{1.1 * b.Paddock.LandTypes[0].Looks[0]}
		spared.ResidualKgHa *= 0.9
		fewer.Mobs = []Mob{{Head: b.Mobs[0].Head, UnitsPerHead: b.Mobs[0].UnitsPerHead.of(0.9)}}
		for what, other := range map[string]Budget{"more feed": fed, "a smaller residual": spared, "fewer animals": fewer} {
			if got := days(other); got < base*(1-1e-9) {
				t.Fatalf("%s lasts %v days, less than %v", what, got, base)
			}
		}
	})
}
