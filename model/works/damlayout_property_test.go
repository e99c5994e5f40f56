package works

import (
	"errors"
	"math"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/section"

	"pgregory.net/rapid"
)

// surveyed draws a bed as an officer would survey it, holes and heads included, in whole
// centimetres along and millimetres up.
func surveyed(t *rapid.T) section.Bed {
	n := rapid.IntRange(2, 25).Draw(t, "stations")
	x, z := 0, 100_000
	var bed section.Bed
	for range n {
		bed = append(bed, section.Station{ChainageM: float64(x) / 100, LevelM: float64(z) / 1000})
		x += rapid.IntRange(1, 1500).Draw(t, "run cm")
		z += rapid.IntRange(-700, 1600).Draw(t, "rise mm")
	}
	return bed
}

func layoutOf(t *rapid.T) DamLayout {
	return DamLayout{Bed: surveyed(t), Quality: section.LevelledAndTaped,
		CrestHeightM:    float64(rapid.IntRange(10, 100).Draw(t, "crest cm")) / 100,
		DepositSlopePct: float64(rapid.IntRange(0, 40).Draw(t, "deposit ‰")) / 10}
}

func laid(t *rapid.T, l DamLayout) []DamSite {
	plan, err := l.Plan()
	if err != nil {
		t.Fatalf("Plan of %+v: %v", l, err)
	}
	return plan.Dams
}

// walkSteps is an independent walker: it goes up the bed in small steps, and over every
// surveyed point, until it stands on or above the line from the crest.
func walkSteps(bed section.Bed, fromM, heightM, grade, stepM float64) (foundM float64, found bool) {
	level := func(x float64) float64 {
		for i := 1; i < len(bed); i++ {
			if x <= bed[i].ChainageM {
				a, b := bed[i-1], bed[i]
				return (a.LevelM*(b.ChainageM-x) + b.LevelM*(x-a.ChainageM)) / (b.ChainageM - a.ChainageM)
			}
		}
		return math.Inf(-1)
	}
	crest := level(fromM) + heightM
	next := 0
	for x := fromM; ; {
		for next < len(bed) && bed[next].ChainageM <= x {
			next++
		}
		if next == len(bed) {
			return 0, false
		}
		x = min(x+stepM, bed[next].ChainageM)
		if level(x) >= crest+grade*(x-fromM)-touchM {
			return x, true
		}
	}
}

func TestDamLayoutAgreesWithSteppedWalk(t *testing.T) {
	const stepM = 0.002
	rapid.Check(t, func(t *rapid.T) {
		l := layoutOf(t)
		sites := laid(t, l)
		for i, s := range sites {
			want, found := walkSteps(l.Bed, s.ChainageM, l.CrestHeightM, l.DepositSlopePct/100, stepM)
			last := i == len(sites)-1
			if found == last {
				t.Fatalf("after the toe at %v m: another dam %v, the stepped walk finds one %v (at %v m)\n%+v", s.ChainageM, !last, found, want, l)
			}
			if last {
				continue
			}
			// The walk stops at its first step on or past the meeting point, or where the bed is
			// within touchM of it, which on a bed just steeper than the deposit is a little before.
			const slackM = 1e-4
			if got := sites[i+1].ChainageM; got > want+slackM || got < want-stepM-slackM {
				t.Fatalf("toe after %v m: got %v m, the stepped walk in %v m steps stops at %v m\n%+v", s.ChainageM, got, stepM, want, l)
			}
		}
	})
}

func TestDamLayoutToesLieOnCrestLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := layoutOf(t)
		sites := laid(t, l)
		for i := 1; i < len(sites); i++ {
			lower, upper := sites[i-1], sites[i]
			want := lower.CrestLevelM + l.DepositSlopePct/100*(upper.ChainageM-lower.ChainageM)
			bed, ok := l.Bed.LevelAt(upper.ChainageM)
			if !ok || math.Abs(upper.BedLevelM-want) > 1e-6 || math.Abs(bed-want) > 1e-6 {
				t.Fatalf("toe at %v m lies at %v on a bed at %v, want %v on the crest line\n%+v", upper.ChainageM, upper.BedLevelM, bed, want, l)
			}
		}
	})
}

// Seen along the deposit slope every dam climbs by one crest height, so the highest point
// of the tilted bed tells how many there are.
func TestDamLayoutCountFollowsFromTheHighestPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := layoutOf(t)
		tilted := func(s section.Station) float64 { return s.LevelM - l.DepositSlopePct/100*s.ChainageM }
		highest := math.Inf(-1)
		for _, s := range l.Bed {
			highest = max(highest, tilted(s))
		}
		exact := (highest - tilted(l.Bed[0])) / l.CrestHeightM
		if math.Abs(exact-math.Round(exact)) < 1e-5 {
			return // the last toe just touches the top: whether it counts depends on rounding
		}
		if got, want := len(laid(t, l)), 1+int(math.Floor(exact)); got != want {
			t.Fatalf("%d dams, want %d\n%+v", got, want, l)
		}
	})
}

func TestDamLayoutIgnoresTheDatum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := layoutOf(t)
		before := chainages(laid(t, l))
		raised := l
		raised.Bed = slices.Clone(l.Bed)
		by := float64(rapid.IntRange(-500_000, 500_000).Draw(t, "datum mm")) / 1000
		for i := range raised.Bed {
			raised.Bed[i].LevelM += by
		}
		after := chainages(laid(t, raised))
		if !slices.EqualFunc(before, after, func(a, b float64) bool { return math.Abs(a-b) < 1e-5 }) {
			t.Fatalf("datum raised by %v m moves the dams from %v to %v\n%+v", by, before, after, l)
		}
	})
}

func TestDamLayoutHigherCrestsAreNeverMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := layoutOf(t)
		low := len(laid(t, l))
		higher := l
		higher.CrestHeightM = rapid.Float64Range(l.CrestHeightM, MaxCrestM).Draw(t, "higher crest")
		if high := len(laid(t, higher)); high > low {
			t.Fatalf("%d dams of %v m, but %d of %v m\n%+v", high, higher.CrestHeightM, low, l.CrestHeightM, l)
		}
	})
}

func TestDamCheckPassesItsOwnLayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := layoutOf(t)
		check := DamCheck{Bed: l.Bed, BedBasis: model.Levelled, DepositSlopePct: l.DepositSlopePct}
		for _, s := range laid(t, l) {
			check.Dams = append(check.Dams, Dam{ChainageM: s.ChainageM, ToeLevelM: s.BedLevelM, CrestLevelM: s.CrestLevelM, LevelBasis: model.Levelled})
		}
		check.ToleranceM = 1e-6
		pairs, _, err := check.Pairs()
		if err != nil {
			// Dams that stand on one another are a head's business, and refused.
			if p, ok := errors.AsType[*model.Problem](err); ok && p.Fix == "tape the two again" {
				return
			}
			t.Fatalf("Pairs() = %v\n%+v", err, l)
		}
		for _, p := range pairs {
			if p.Verdict != Level {
				t.Fatalf("%s to %s: %s, step %v m, want level\n%+v", p.Lower, p.Upper, p.Verdict, p.StepM, l)
			}
		}
	})
}

func FuzzDamLayout(f *testing.F) {
	f.Add(0.0, 100.0, 10.0, 100.5, 20.0, 101.5, 1.0, 0.0, 0.0, 20.0)
	f.Add(0.0, 100.0, 10.0, 99.0, 60.0, 104.0, 0.4, 2.0, 5.0, 55.0)
	f.Add(0.0, 0.0, math.NaN(), 1.0, math.Inf(1), -12001.0, 0.1, 21.0, -1.0, 1e300)
	f.Fuzz(func(t *testing.T, x0, z0, x1, z1, x2, z2, crest, deposit, from, to float64) {
		l := DamLayout{Bed: bedOf(x0, z0, x1, z1, x2, z2), CrestHeightM: crest, DepositSlopePct: deposit, FromM: &from, ToM: &to}
		plan, err := l.Plan()
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
				t.Fatalf("Plan of %+v: %v, want a problem that names its place", l, err)
			}
			return
		}
		for i, s := range plan.Dams {
			if !(s.ChainageM >= from && s.ChainageM <= to+touchM) || math.IsNaN(s.BedLevelM) || math.IsNaN(s.ChainagePlusMinusM) {
				t.Fatalf("site %d is %+v, outside %v to %v m", i, s, from, to)
			}
			if i > 0 && s.ChainageM <= plan.Dams[i-1].ChainageM {
				t.Fatalf("site %d at %v m is not upstream of %v m", i, s.ChainageM, plan.Dams[i-1].ChainageM)
			}
		}
		l.Cautions(plan)
	})
}

// BenchmarkDamLayout lays about 1,000 dams on a bed of 10,000 points.
func BenchmarkDamLayout(b *testing.B) {
	l := DamLayout{Bed: uniform(10_000, 0.04, 1), CrestHeightM: 0.4, Quality: section.LevelledAndTaped}
	for b.Loop() {
		plan, err := l.Plan()
		if err != nil || len(plan.Dams) != 1001 {
			b.Fatal(len(plan.Dams), err)
		}
	}
}
