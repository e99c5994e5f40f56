package works

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/section"
)

func plan(t *testing.T, l DamLayout) DamPlan {
	t.Helper()
	p, err := l.Plan()
	if err != nil {
		t.Fatalf("Plan(%+v) = %v", l, err)
	}
	return p
}

// ramp is a bed of 5 % for 60 m. Dams of 0.5 m stand 10 m apart on it.
func ramp() section.Bed { return bedOf(0, 100, 60, 103) }

// headed is a bed of 5 % with a head 1 m deep at 40 m: wall from 40 to 40.2 m.
func headed() section.Bed { return bedOf(0, 100, 40, 102, 40.2, 103, 70, 104.49) }

// Arithmetic anyone can repeat on paper.
func TestDamPlanPlaces(t *testing.T) {
	for _, c := range []struct {
		name   string
		l      DamLayout
		want   []float64
		stands Stands // of the second dam
		bare   float64
	}{
		{"none-asked", DamLayout{Bed: ramp()}, []float64{0, 10, 20, 30, 40, 50, 60}, StandsLevel, 0},
		// 7 m is 0.35 m up: 0.15 m of the second dam are buried. Then level again from there.
		{"site-a-little-lower", DamLayout{Bed: ramp(), Sites: []GoodSite{{ChainageM: 7}}}, []float64{0, 7, 17, 27, 37, 47, 57}, StandsSite, 0},
		// At 4 m 0.3 m of 0.5 would be buried: more than half.
		{"site-too-low", DamLayout{Bed: ramp(), Sites: []GoodSite{{ChainageM: 4}}}, []float64{0, 10, 20, 30, 40, 50, 60}, StandsLevel, 0},
		{"site-just-half-buried", DamLayout{Bed: ramp(), Sites: []GoodSite{{ChainageM: 5}}}, []float64{0, 5, 15, 25, 35, 45, 55}, StandsSite, 0},
		{"site-allowed-lower", DamLayout{Bed: ramp(), Sites: []GoodSite{{ChainageM: 4}}, BuriedShare: new(0.6)}, []float64{0, 4, 14, 24, 34, 44, 54}, StandsSite, 0},
		{"highest-of-two-sites", DamLayout{Bed: ramp(), Sites: []GoodSite{{ChainageM: 9}, {ChainageM: 6}}}, []float64{0, 9, 19, 29, 39, 49, 59}, StandsSite, 0},
		{"site-on-the-level-point", DamLayout{Bed: ramp(), Sites: []GoodSite{{ChainageM: 10}}}, []float64{0, 10, 20, 30, 40, 50, 60}, StandsSite, 0},
		{"site-that-would-leave-a-gap", DamLayout{Bed: ramp(), Sites: []GoodSite{{ChainageM: 10.5}}}, []float64{0, 10, 20, 30, 40, 50, 60}, StandsLevel, 0},
		{"rock-passed-over", DamLayout{Bed: ramp(), NoDams: []NoDams{{8, 13, "rock"}}}, []float64{0, 13, 23, 33, 43, 53}, StandsAbove, 3},
		{"rock-that-ends-below", DamLayout{Bed: ramp(), NoDams: []NoDams{{4, 9, "rock"}}}, []float64{0, 10, 20, 30, 40, 50, 60}, StandsLevel, 0},
		{"reaches-that-overlap", DamLayout{Bed: ramp(), NoDams: []NoDams{{12, 16, "other"}, {8, 13, "rock"}}}, []float64{0, 16, 26, 36, 46, 56}, StandsAbove, 6},
		{"rock-at-the-start", DamLayout{Bed: ramp(), NoDams: []NoDams{{0, 5, "rock"}}}, []float64{5, 15, 25, 35, 45, 55}, StandsLevel, 0},
		{"rock-to-the-end", DamLayout{Bed: ramp(), NoDams: []NoDams{{8, 60, "rock"}}}, []float64{0, 60}, StandsAbove, 50},
		{"rock-past-the-end", DamLayout{Bed: ramp(), NoDams: []NoDams{{8, 61, "rock"}}}, []float64{0}, "", 50},
		{"rock-from-below-the-start", DamLayout{Bed: ramp(), NoDams: []NoDams{{-1, 5, "rock"}}}, []float64{5, 15, 25, 35, 45, 55}, StandsLevel, 0},
		{"rock-past-to", DamLayout{Bed: ramp(), NoDams: []NoDams{{8, 60, "rock"}}, ToM: new(50.0)}, []float64{0}, "", 40},
		{"site-on-rock", DamLayout{Bed: ramp(), Sites: []GoodSite{{ChainageM: 9}}, NoDams: []NoDams{{8, 9.5, "rock"}}}, []float64{0, 10, 20, 30, 40, 50, 60}, StandsLevel, 0},
		// 10 % from 20 to 30 m: 101 to 102. The dam at 20 m is level; its silt ends at 25 m.
		{"too-steep", DamLayout{Bed: bedOf(0, 100, 20, 101, 30, 102, 50, 103), MaxBedSlopePct: 8}, []float64{0, 10, 20, 30, 40, 50}, StandsLevel, 5},
		{"just-not-too-steep", DamLayout{Bed: bedOf(0, 100, 20, 101, 30, 102, 50, 103), MaxBedSlopePct: 10}, []float64{0, 10, 20, 25, 30, 40, 50}, StandsLevel, 0},
		// The window of the head at 40 m, 1 m deep, is 34 to 36 m; dams may stand again 1 m
		// above the lip at 40.2 m. 30 m is below the window and the level point 40 m in the
		// plunge: so 36 m, whose silt reaches the wall at 102.3, 40.06 m.
		{"head", DamLayout{Bed: headed(), Heads: []HeadAt{{40, 1}}}, []float64{0, 10, 20, 30, 36, 41.2, 51.2, 61.2}, StandsLevel, 1.14},
		{"head-with-a-site-in-its-window", DamLayout{Bed: headed(), Heads: []HeadAt{{40, 1}}, Sites: []GoodSite{{ChainageM: 34.5}}}, []float64{0, 10, 20, 30, 34.5, 41.2, 51.2, 61.2}, StandsLevel, 1.155},
		{"level-toe-guards-the-head", DamLayout{Bed: headed(), Heads: []HeadAt{{40, 1}}, FromM: new(5.0)}, []float64{5, 15, 25, 35, 41.2, 51.2, 61.2}, StandsLevel, 1.15},
		{"head-distance-as-given", DamLayout{Bed: headed(), Heads: []HeadAt{{40, 1}}, HeadNearDepths: new(2.0), HeadFarDepths: new(3.0)}, []float64{0, 10, 20, 30, 38, 41.2, 51.2, 61.2}, StandsLevel, 1.12},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.l.CrestHeightM = 0.5
			p := plan(t, c.l)
			if got := chainages(p.Dams); !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 0.01 }) {
				t.Errorf("dams at %v, want %v", got, c.want)
			}
			if len(p.Dams) > 1 && p.Dams[1].Stands != c.stands {
				t.Errorf("the second dam stands there for %q, want %q", p.Dams[1].Stands, c.stands)
			}
			bare := 0.0
			for _, r := range p.Bare {
				bare += r.ToM - r.FromM
			}
			if math.Abs(bare-c.bare) > 0.01 {
				t.Errorf("%v m stay bare in %+v, want %v", bare, p.Bare, c.bare)
			}
			for _, d := range p.Dams {
				if d.Why == "" || !slices.Contains(AllStands, d.Stands) {
					t.Errorf("dam %+v does not say why it stands there", d)
				}
			}
		})
	}
}

func TestDamPlanTellsOfUnguardedHeads(t *testing.T) {
	for _, c := range []struct {
		name string
		l    DamLayout
		want string
	}{
		{"too-near-the-start", DamLayout{Bed: headed(), Heads: []HeadAt{{40, 12}}}, "plunge"},
		{"on-rock", DamLayout{Bed: headed(), Heads: []HeadAt{{40, 1}}, NoDams: []NoDams{{33, 37, "rock"}}}, "rock"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.l.CrestHeightM, c.l.Quality = 0.5, section.LevelledAndTaped
			p := plan(t, c.l)
			if len(p.Unguarded) != 1 || !strings.Contains(p.Unguarded[0].Why, c.want) {
				t.Fatalf("unguarded %+v, want one for its %s", p.Unguarded, c.want)
			}
			if !slices.ContainsFunc(c.l.Cautions(p), func(c model.Caution) bool { return c.About == "unguarded" }) {
				t.Errorf("no caution of it among %v", c.l.Cautions(p))
			}
		})
	}
}

func TestDamPlanRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		l    DamLayout
		path string
	}{
		{"site-off-the-bed", DamLayout{Sites: []GoodSite{{ChainageM: 5}, {ChainageM: 61}}}, "sites[1].chainageM"},
		{"site-not-a-number", DamLayout{Sites: []GoodSite{{ChainageM: math.NaN()}}}, "sites[0].chainageM"},
		{"width-in-millimetres", DamLayout{Sites: []GoodSite{{ChainageM: 5, WidthM: 1800}}}, "sites[0].widthM"},
		{"width-below-nought", DamLayout{Sites: []GoodSite{{ChainageM: 5, WidthM: -1}}}, "sites[0].widthM"},
		{"reach-turned-round", DamLayout{NoDams: []NoDams{{9, 8, "rock"}}}, "skip[0].toM"},
		{"reach-above-the-bed", DamLayout{NoDams: []NoDams{{61, 70, "rock"}}}, "skip[0].fromM"},
		{"reach-below-the-bed", DamLayout{NoDams: []NoDams{{-9, -1, "rock"}}}, "skip[0].toM"},
		{"start-on-rock-from-below-the-bed", DamLayout{NoDams: []NoDams{{-1, 13, "rock"}}, FromM: new(0.0)}, "fromM"},
		{"start-on-rock", DamLayout{NoDams: []NoDams{{8, 13, "rock"}}, FromM: new(9.0)}, "fromM"},
		{"rock-everywhere", DamLayout{NoDams: []NoDams{{0, 60, "rock"}}, ToM: new(50.0)}, "skip"},
		{"head-off-the-bed", DamLayout{Heads: []HeadAt{{-1, 1}}}, "heads[0].chainageM"},
		{"head-in-millimetres", DamLayout{Heads: []HeadAt{{40, 1200}}}, "heads[0].depthM"},
		{"head-without-depth", DamLayout{Heads: []HeadAt{{40, 0}}}, "heads[0].depthM"},
		{"slope-as-a-ratio", DamLayout{MaxBedSlopePct: 0.08}, "maxBedSlopePct"},
		{"slope-not-a-number", DamLayout{MaxBedSlopePct: math.NaN()}, "maxBedSlopePct"},
		{"buried-whole", DamLayout{BuriedShare: new(1.0)}, "buriedPct"},
		{"in-the-plunge", DamLayout{HeadNearDepths: new(0.5)}, "headNearDepths"},
		{"far-nearer-than-near", DamLayout{HeadFarDepths: new(3.0)}, "headFarDepths"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.l.Bed, c.l.CrestHeightM = ramp(), 0.5
			p, err := c.l.Plan()
			if fault, ok := problemOf(err); !ok || fault.Path != c.path {
				t.Errorf("Plan(%+v) = %+v, %v; want a problem at %q", c.l, p, err, c.path)
			}
		})
	}
}

// The spacings of the runoff handbooks, beside those of the gully ones.
func TestDamPlanMeetsRunoffSpacings(t *testing.T) {
	for _, id := range []string{"CD1", "CD2", "CD3"} {
		c := modeltest.Named(t, "runoff", id)
		l := DamLayout{}
		slope, along := 0.0, 1.0
		switch id {
		case "CD1":
			slope, l.CrestHeightM = c.Number(t, "bed_slope"), c.Number(t, "H_m")
		case "CD2":
			slope, l.CrestHeightM, l.DepositSlopePct = c.Number(t, "S_initial"), c.Number(t, "h_m"), 100*c.Number(t, "S_effective")
		case "CD3": // along the bed
			slope, l.CrestHeightM = c.Number(t, "G"), c.Number(t, "HE_m")
			l.DepositSlopePct, along = DepositRules[3].SlopePct(100*slope), math.Sqrt(1+slope*slope)
		}
		l.Bed = uniform(300, slope, 13)
		p := plan(t, l)
		c.Check(t, "spacing_m", along*(p.Dams[2].ChainageM-p.Dams[1].ChainageM))
	}
}

// The looked-up distance of 4 to 6 depths below a head (CL13) is what the window spans.
func TestDamPlanHeadWindow(t *testing.T) {
	c := modeltest.Named(t, "gully", "CL13")
	w := DamLayout{}.window(HeadAt{ChainageM: 40, DepthM: c.Number(t, "headcut_height")})
	c.Check(t, "min", 40-w.toM)
	c.Check(t, "max", 40-w.fromM)
}

func ExampleDamLayout_Plan() {
	l := DamLayout{Bed: headed(), CrestHeightM: 0.5, Heads: []HeadAt{{ChainageM: 40, DepthM: 1}},
		Sites: []GoodSite{{ChainageM: 8, Quality: "narrow"}}, NoDams: []NoDams{{17, 22, "rock"}}}
	p, _ := l.Plan()
	for _, d := range p.Dams {
		fmt.Printf("%.1f m: %s\n", d.ChainageM, d.Stands)
	}
	for _, r := range p.Bare {
		fmt.Printf("bare from %.1f to %.1f m: %s\n", r.FromM, r.ToM, r.Why)
	}
	// Output:
	// 0.0 m: first
	// 8.0 m: good site
	// 22.0 m: above a reach without dams
	// 32.0 m: level with the crest below
	// 36.0 m: below a head
	// 41.2 m: above a reach without dams
	// 51.2 m: level with the crest below
	// 61.2 m: level with the crest below
	// bare from 18.0 to 22.0 m: rock
	// bare from 40.1 to 41.2 m: head
}
