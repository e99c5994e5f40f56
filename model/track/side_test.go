package track

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/section"
)

// apartM is odd, as no spacing of a table is.
const apartM = 23.71

// straight is a track of levels every apartM going north, with positions, surveyed from its
// south end, or from its north end.
func straight(t testing.TB, levels []float64, fromNorth bool) Track {
	t.Helper()
	south := orb.Point{147.5, -22.5}
	points := make([]section.Point, len(levels))
	for i, level := range levels {
		at := geodesy.Destination(south, 0, apartM*float64(i))
		points[i] = section.Point{Position: &at, LevelM: level}
	}
	if fromNorth {
		slices.Reverse(points)
	}
	track, err := New(points)
	if err != nil {
		t.Fatal(err)
	}
	track.Quality = section.Quality{Basis: model.Levelled}
	return track
}

// TestOutletTowardsAHeadIsCaught: a track falls north. Looking down it, east is right,
// whichever end it was surveyed from. A gully head lies 15 m to the east: a bank that lets
// its water out to the right pours at it, one to the left does not.
func TestOutletTowardsAHeadIsCaught(t *testing.T) {
	levels := []float64{110, 108, 106, 104, 102}
	for _, fromNorth := range []bool{false, true} {
		track := straight(t, levels, fromNorth)
		head, err := track.Beside(Head{Name: "the head", PlusMinusM: 0, LipLevelM: math.NaN()}, geodesy.Destination(geodesy.Destination(orb.Point{147.5, -22.5}, 0, 2*apartM), 90, 15), HumpM)
		if err != nil || head.Side != Right {
			t.Fatalf("from the north %t: the head is on the %s (%v), want right", fromNorth, head.Side, err)
		}
		for _, heads := range [][]Head{{head}, {{Name: "the head", ChainageM: 2 * apartM, OffsetM: 15, Side: Right, LipLevelM: math.NaN()}}} {
			for side, want := range map[Side]Outfall{Right: Unsafe, Left: Safe} {
				r, err := Check{Track: track, Rule: rule(t, "water-bars-two-soils", "general"), HumpM: HumpM,
					Outlets: Outlets{Side: Either, Heads: heads, ClearanceM: ClearanceM}, Banks: []Built{{ChainageM: 2 * apartM, Side: side}}}.Run()
				if err != nil || r.Outlets[0].Verdict != want || (side == Right) != (r.Outlets[0].HeadM != nil && math.Abs(*r.Outlets[0].HeadM-15) < 1e-3) {
					t.Errorf("from the north %t: an outlet on the %s is %+v (%v), want %s", fromNorth, side, r.Outlets, err, want)
				}
			}
			p := lay(t, Layout{Track: track, Rule: rule(t, "water-bars-two-soils", "general"), HumpM: HumpM, Outlets: Outlets{Side: Right, Heads: heads, ClearanceM: ClearanceM}})
			for _, s := range p.Sites {
				if math.Abs(s.ChainageM-2*apartM) < 25 {
					t.Errorf("from the north %t: a bank at %.1f m pours at the head", fromNorth, s.ChainageM)
				}
			}
		}
	}
}

// TestSidesDoNotDependOnTheSurvey: a track surveyed from either end has the same banks with
// the same sides, but for the millimetres that each is pegged to, and the same outlets pass.
func TestSidesDoNotDependOnTheSurvey(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		levels := []float64{200}
		for i := range rapid.IntRange(2, 12).Draw(r, "stations") { // odd falls, so that no bank lies on the very edge of a reach
			levels = append(levels, levels[len(levels)-1]+0.0137*math.Sin(float64(7*i+1))+rapid.Float64Range(-3, 3).Filter(func(v float64) bool { return math.Abs(v) > 0.2 }).Draw(r, "rise"))
		}
		o := drawnOutlets(r)
		for _, all := range [][]SideReach{o.Reaches, o.NoOutlet} { // nor at the least spacing, to a millimetre
			for i := range all {
				all[i].FromM, all[i].ToM = all[i].FromM+0.37, all[i].ToM+0.37
			}
		}
		var plans [2]Plan
		var reports [2]Report
		for k, fromNorth := range []bool{false, true} {
			track := straight(t, levels, fromNorth)
			length := track.endM()
			mirrored := o
			banks := []Built{}
			for i := range 9 {
				banks = append(banks, Built{Name: fmt.Sprint(i), ChainageM: length * (float64(i) + 0.43) / 9, Side: []Side{Left, Right}[i%2]})
			}
			if fromNorth {
				mirrored.Reaches, mirrored.NoOutlet, mirrored.Heads = nil, nil, nil
				turn := func(all []SideReach) (turned []SideReach) {
					for _, reach := range all {
						if from, to := max(0, length-reach.ToM), length-reach.FromM; to > from {
							turned = append(turned, SideReach{FromM: from, ToM: to, Side: reach.Side})
						}
					}
					return turned
				}
				mirrored.Reaches, mirrored.NoOutlet = turn(o.Reaches), turn(o.NoOutlet)
				for _, h := range o.Heads {
					h.ChainageM = length - min(h.ChainageM, length)
					mirrored.Heads = append(mirrored.Heads, h)
				}
				for i := range banks {
					banks[i].ChainageM = length - banks[i].ChainageM
				}
			} else {
				mirrored.Heads = slices.Clone(o.Heads)
				for i := range mirrored.Heads {
					mirrored.Heads[i].ChainageM = min(mirrored.Heads[i].ChainageM, length)
				}
			}
			l := Layout{Track: track, Rule: rule(t, "water-bars-two-soils", "general"), Outlets: mirrored, HumpM: HumpM}
			l.Rule.Table = "a local table"
			var err error
			if plans[k], err = l.Lay(); err != nil {
				return // steeper than the table goes, whichever way
			}
			if reports[k], err = (Check{Track: track, Rule: l.Rule, Outlets: mirrored, HumpM: HumpM, Banks: banks}).Run(); err != nil {
				r.Fatal(err)
			}
		}
		length := apartM * float64(len(levels)-1)
		if len(plans[0].Sites) != len(plans[1].Sites) {
			r.Fatalf("%d banks from the south, %d from the north", len(plans[0].Sites), len(plans[1].Sites))
		}
		for i, a := range plans[0].Sites {
			b := plans[1].Sites[len(plans[1].Sites)-1-i]
			if math.Abs(a.ChainageM-(length-b.ChainageM)) > 0.05 || a.Side != b.Side {
				r.Fatalf("bank %d: %v on the %s from the south, %v on the %s from the north", i, a.ChainageM, a.Side, length-b.ChainageM, b.Side)
			}
		}
		verdicts := map[string]Outlet{}
		for _, a := range reports[0].Outlets {
			verdicts[a.Name] = a
		}
		for _, b := range reports[1].Outlets {
			if a := verdicts[b.Name]; a.Verdict != b.Verdict || (a.HeadM == nil) != (b.HeadM == nil) || a.HeadM != nil && math.Abs(*a.HeadM-*b.HeadM) > 1e-3 {
				r.Fatalf("outlet %s: %+v from the south, %+v from the north", b.Name, a, b)
			}
		}
	})
}
