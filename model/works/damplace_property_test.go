package works

import (
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/section"

	"pgregory.net/rapid"
)

// placed draws a layout with good sites, reaches without dams and heads strewn over it.
func placed(t *rapid.T) DamLayout {
	l := layoutOf(t)
	low, top := l.Bed[0].ChainageM, l.Bed[len(l.Bed)-1].ChainageM
	at := func(name string) float64 {
		return low + (top-low)*float64(rapid.IntRange(0, 1000).Draw(t, name))/1000
	}
	for range rapid.IntRange(0, 20).Draw(t, "sites") {
		l.Sites = append(l.Sites, GoodSite{ChainageM: at("site"), Quality: rapid.SampledFrom(SiteQualities).Draw(t, "quality")})
	}
	for range rapid.IntRange(0, 3).Draw(t, "reaches") {
		a, b := at("from"), at("to")
		if a > b {
			a, b = b, a
		}
		if b > a {
			if rapid.Bool().Draw(t, "past the ends") {
				a, b = a-(top-low)/4, b+(top-low)/4
			}
			l.NoDams = append(l.NoDams, NoDams{a, b, rapid.SampledFrom([]string{"rock", "steep", "other"}).Draw(t, "why")})
		}
	}
	for range rapid.IntRange(0, 3).Draw(t, "heads") {
		l.Heads = append(l.Heads, HeadAt{at("head"), float64(rapid.IntRange(1, 40).Draw(t, "depth dm")) / 10})
	}
	if rapid.Bool().Draw(t, "limit") {
		l.MaxBedSlopePct = float64(rapid.IntRange(2, 30).Draw(t, "limit %"))
	}
	return l
}

// planned lays out a drawn layout, or tells that no dams are wanted anywhere.
func planned(t *rapid.T, l DamLayout) (DamPlan, bool) {
	plan, err := l.Plan()
	if err != nil {
		fault, ok := problemOf(err)
		if !ok || fault.Path != "skip" {
			t.Fatalf("Plan(%+v) = %v", l, err)
		}
		return plan, false
	}
	return plan, true
}

// forbidden tells by itself, without the merged lists of the layout, whether no toe may
// stand at a chainage.
func forbidden(l DamLayout, x float64) bool {
	const ends = 1e-6 // of reaches, where dams may stand
	for _, r := range l.NoDams {
		if x > r.FromM+ends && x < r.ToM-ends {
			return true
		}
	}
	for i := 1; i < len(l.Bed); i++ {
		a, b := l.Bed[i-1], l.Bed[i]
		if l.MaxBedSlopePct > 0 && x > a.ChainageM+ends && x < b.ChainageM-ends && 100*(b.LevelM-a.LevelM)/(b.ChainageM-a.ChainageM) > l.MaxBedSlopePct+1e-3 {
			return true
		}
	}
	for _, h := range l.Heads { // the plunge and the set-back above the foot; the wall is the layout's to find
		if x > h.ChainageM-HeadNearDepths*h.DepthM+ends && x < h.ChainageM+HeadSetBackDepths*h.DepthM-ends {
			return true
		}
	}
	return false
}

func TestDamPlanLeavesNoGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placed(t)
		plan, ok := planned(t, l)
		if !ok {
			return
		}
		grade := l.DepositSlopePct / 100
		top := l.Bed[len(l.Bed)-1].ChainageM
		covered := func(x float64) bool { // by the silt of the dam below, the bed between never above its line
			i := len(plan.Dams) - 1
			for plan.Dams[i].ChainageM > x {
				i--
			}
			d := plan.Dams[i]
			over := func(at, level float64) bool { return level > d.CrestLevelM+grade*(at-d.ChainageM)+1e-5 }
			for _, s := range l.Bed {
				if s.ChainageM > d.ChainageM && s.ChainageM < x && over(s.ChainageM, s.LevelM) {
					return false
				}
			}
			level, _ := l.Bed.LevelAt(x)
			return !over(x, level)
		}
		inBare := func(x float64) bool {
			return slices.ContainsFunc(plan.Bare, func(r BareReach) bool { return x > r.FromM-1e-6 && x < r.ToM+1e-6 })
		}
		first := plan.Dams[0].ChainageM
		guardedM := 0.0
		const n = 400
		for k := range n {
			x := first + (top-first)*(float64(k)+0.5)/n
			if c, b := covered(x), inBare(x); !c && !b {
				t.Fatalf("bed at %v m is neither under silt nor told as bare\n%+v\n%+v", x, plan, l)
			} else if !b {
				guardedM += (top - first) / n
			}
		}
		if math.Abs(guardedM-plan.GuardedM) > (top-first)/n*float64(1+2*len(plan.Bare))+1e-6 {
			t.Fatalf("%v m guarded, want about %v\n%+v\n%+v", plan.GuardedM, guardedM, plan, l)
		}
		for _, r := range plan.Bare {
			if mid := (r.FromM + r.ToM) / 2; !slices.ContainsFunc(l.barred(), func(n NoDams) bool { return mid > n.FromM && mid < n.ToM }) {
				t.Fatalf("bare bed %+v outside of every reach without dams\n%+v", r, l)
			}
		}
	})
}

func TestDamPlanKeepsOutOfReachesWithoutDams(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placed(t)
		plan, ok := planned(t, l)
		if !ok {
			return
		}
		for i, d := range plan.Dams {
			if forbidden(l, d.ChainageM) {
				t.Fatalf("a dam stands at %v m, where none is wanted\n%+v", d.ChainageM, l)
			}
			if i > 0 && d.ChainageM <= plan.Dams[i-1].ChainageM {
				t.Fatalf("dam at %v m is not upstream of %v m\n%+v", d.ChainageM, plan.Dams[i-1].ChainageM, l)
			}
		}
	})
}

func TestDamPlanGuardsEveryHead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placed(t)
		plan, ok := planned(t, l)
		if !ok {
			return
		}
		first, top := plan.Dams[0].ChainageM, l.Bed[len(l.Bed)-1].ChainageM
		for _, h := range l.Heads {
			from, to := h.ChainageM-HeadFarDepths*h.DepthM-1e-6, h.ChainageM-HeadNearDepths*h.DepthM+1e-6
			if h.ChainageM <= first || from > top {
				continue
			}
			guarded := slices.ContainsFunc(plan.Dams, func(d DamSite) bool { return d.ChainageM >= from && d.ChainageM <= to })
			told := slices.ContainsFunc(plan.Unguarded, func(u UnguardedHead) bool { return u.ChainageM == h.ChainageM && u.DepthM == h.DepthM })
			if guarded == told {
				t.Fatalf("head %+v: guarded %v, told as unguarded %v\n%+v\n%+v", h, guarded, told, plan, l)
			}
		}
	})
}

// A dam stands on a good site only where no less than half of it is free of silt, and the
// next dam up was not passed by for it: toes never climb above the silt line but past a
// reach without dams.
func TestDamPlanToesAreNeverAboveTheSilt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placed(t)
		plan, ok := planned(t, l)
		if !ok {
			return
		}
		for i := 1; i < len(plan.Dams); i++ {
			lower, d := plan.Dams[i-1], plan.Dams[i]
			under := lower.CrestLevelM + l.DepositSlopePct/100*(d.ChainageM-lower.ChainageM) - d.BedLevelM
			if under < -1e-5 && d.Stands != StandsAbove {
				t.Fatalf("dam %d (%s) has its toe %v m above the silt from below\n%+v", i+1, d.Stands, -under, l)
			}
			if math.Abs(max(0, under)-d.BuriedM) > 1e-5 {
				t.Fatalf("dam %d is buried %v m, want %v\n%+v", i+1, d.BuriedM, under, l)
			}
			if d.Stands == StandsSite && (under > BuriedShare*l.CrestHeightM+1e-5 || !slices.ContainsFunc(l.Sites, func(s GoodSite) bool { return s.ChainageM == d.ChainageM })) {
				t.Fatalf("dam %d on a good site at %v m is buried %v m\n%+v", i+1, d.ChainageM, under, l)
			}
		}
	})
}

func TestDamPlanDoesNotMindOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placed(t)
		want, wantErr := l.Plan()
		turned := l
		turned.Sites, turned.NoDams, turned.Heads = slices.Clone(l.Sites), slices.Clone(l.NoDams), slices.Clone(l.Heads)
		slices.Reverse(turned.Sites)
		slices.Reverse(turned.NoDams)
		slices.Reverse(turned.Heads)
		got, err := turned.Plan()
		if (err == nil) != (wantErr == nil) || !slices.Equal(got.Dams, want.Dams) || !slices.Equal(got.Bare, want.Bare) || !slices.Equal(got.Unguarded, want.Unguarded) || got.GuardedM != want.GuardedM {
			t.Fatalf("lists turned round: %+v, %v; want %+v, %v\n%+v", got, err, want, wantErr, l)
		}
	})
}

func TestDamPlanMovesWithTheChainage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placed(t)
		by := float64(rapid.IntRange(1, 60_000).Draw(t, "shift m"))
		moved := l
		moved.Bed, moved.Sites, moved.NoDams, moved.Heads = slices.Clone(l.Bed), slices.Clone(l.Sites), slices.Clone(l.NoDams), slices.Clone(l.Heads)
		for i := range moved.Bed {
			moved.Bed[i].ChainageM += by
		}
		for i := range moved.Sites {
			moved.Sites[i].ChainageM += by
		}
		for i := range moved.NoDams {
			moved.NoDams[i].FromM, moved.NoDams[i].ToM = moved.NoDams[i].FromM+by, moved.NoDams[i].ToM+by
		}
		for i := range moved.Heads {
			moved.Heads[i].ChainageM += by
		}
		if touching(l) {
			return // what just touches in one may just miss in the other: it depends on rounding
		}
		want, ok := planned(t, l)
		got, okMoved := planned(t, moved)
		if ok != okMoved || !slices.EqualFunc(got.Dams, want.Dams, func(a, b DamSite) bool {
			return math.Abs(a.ChainageM-by-b.ChainageM) < 1e-4 && a.Stands == b.Stands
		}) {
			t.Fatalf("moved by %v m: %+v, want %+v\n%+v", by, got.Dams, want.Dams, l)
		}
	})
}

// touching tells whether anything in the plan depends on less than a hundredth of a
// millimetre: two ends that meet, a station on a silt line, a site at its limit.
func touching(l DamLayout) bool {
	plan, err := l.Plan()
	if err != nil {
		return true
	}
	const near = 1e-5
	var marks []float64
	for _, s := range l.Sites {
		marks = append(marks, s.ChainageM)
	}
	for _, r := range l.barred() {
		marks = append(marks, r.FromM, r.ToM)
	}
	for _, h := range l.Heads {
		w := l.window(h)
		marks = append(marks, w.fromM, w.toM, h.ChainageM)
	}
	marks = append(marks, l.Bed[0].ChainageM, l.Bed[len(l.Bed)-1].ChainageM)
	for _, d := range plan.Dams {
		line := func(s section.Station) float64 {
			return s.LevelM - d.CrestLevelM - l.DepositSlopePct/100*(s.ChainageM-d.ChainageM)
		}
		for _, s := range l.Bed {
			if math.Abs(line(s)) < near {
				return true
			}
		}
		for _, s := range l.Sites {
			level, _ := l.Bed.LevelAt(s.ChainageM)
			if math.Abs(line(section.Station{ChainageM: s.ChainageM, LevelM: level})+BuriedShare*l.CrestHeightM) < near {
				return true
			}
		}
		if d.Stands == StandsLevel {
			marks = append(marks, d.ChainageM)
		}
	}
	for i := 1; i < len(l.Bed); i++ { // slopes at the limit
		a, b := l.Bed[i-1], l.Bed[i]
		if l.MaxBedSlopePct > 0 && math.Abs(b.LevelM-a.LevelM-l.MaxBedSlopePct/100*(b.ChainageM-a.ChainageM)) < near {
			return true
		}
	}
	for _, h := range l.Heads { // walls at nine tenths of the depth
		foot, _ := l.Bed.LevelAt(h.ChainageM)
		for _, s := range l.Bed {
			if math.Abs(s.LevelM-foot-0.9*h.DepthM) < near || math.Abs(s.ChainageM-h.ChainageM-2*h.DepthM) < near || math.Abs(s.ChainageM-h.ChainageM) < near {
				return true
			}
		}
	}
	slices.Sort(marks)
	for i := 1; i < len(marks); i++ {
		if d := marks[i] - marks[i-1]; d > 0 && d < near {
			return true
		}
	}
	return false
}

// A layout passes the check, save where the layout itself says why: above a reach without dams it tells
// what stays bare.
func TestDamPlanPassesTheCheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := placed(t)
		plan, ok := planned(t, l)
		if !ok {
			return
		}
		c := DamCheck{Bed: l.Bed, BedBasis: model.Levelled, ToleranceM: 1e-4, DepositSlopePct: l.DepositSlopePct}
		for _, d := range plan.Dams {
			c.Dams = append(c.Dams, Dam{ChainageM: d.ChainageM, ToeLevelM: d.BedLevelM, CrestLevelM: d.CrestLevelM, LevelBasis: model.Levelled, BuriedM: d.BuriedM})
		}
		pairs, _, err := c.Pairs()
		if err != nil {
			if fault, ok := problemOf(err); ok && strings.Contains(fault.Reason, "stands too") {
				return // on a wall two meet
			}
			t.Fatal(err)
		}
		for i, p := range pairs {
			if d := plan.Dams[i+1]; p.Verdict != Level && !((p.Verdict == Gap || p.Verdict == Humped) && d.Stands == StandsAbove) {
				t.Fatalf("dam %d, %s, is %s by %v m\n%+v\n%+v", i+2, d.Stands, p.Verdict, p.StepM, plan, l)
			}
		}
	})
}
