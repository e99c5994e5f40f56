package works

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
	"headcut/model/section"
)

// Reaches without dams bar what lies inside them and not their ends; a layout begins above one that begins where it does.
func TestInsideReachesWithoutDams(t *testing.T) {
	g := ground{barred: []NoDams{{10, 20, "rock"}, {30, 40, "soft"}}}
	for x, want := range map[float64]string{0: "", 10: "", 10.1: "rock", 19.9: "rock", 20: "", 25: "", 30: "", 30.1: "soft", 40: "", 41: ""} {
		if r, ok := g.bars(x); ok != (want != "") || r.Why != want {
			t.Errorf("%v m is barred by %q, want %q", x, r.Why, want)
		}
	}
	for x, want := range map[float64]float64{9: 9, 10: 20, 15: 20, 20: 20, 29: 29, 30: 40, 40: 40} {
		if got := g.above(x); got != want {
			t.Errorf("a layout from %v m begins at %v, want %v", x, got, want)
		}
	}
}

// Reaches given, too steep and below heads are one where they touch, with each reason once.
func TestBarredReachesAreMerged(t *testing.T) {
	bed := section.Bed{{ChainageM: 0, LevelM: 100}, {ChainageM: 10, LevelM: 100.5}, {ChainageM: 20, LevelM: 101.5}, {ChainageM: 30, LevelM: 102.5}, {ChainageM: 40, LevelM: 103}, {ChainageM: 50, LevelM: 104}}
	for _, c := range []struct {
		name  string
		noes  []NoDams
		steep float64
		want  []NoDams
	}{
		{"none", nil, 0, nil}, {"apart", []NoDams{{25, 30, "rock"}, {1, 5, "soft"}}, 0, []NoDams{{1, 5, "soft"}, {25, 30, "rock"}}},
		{"touching", []NoDams{{1, 5, "rock"}, {5, 9, "soft"}}, 0, []NoDams{{1, 9, "rock, soft"}}}, {"within", []NoDams{{1, 9, "rock"}, {2, 5, "rock"}}, 0, []NoDams{{1, 9, "rock"}}},
		{"just apart", []NoDams{{1, 5, "rock"}, {5.001, 9, "rock"}}, 0, []NoDams{{1, 5, "rock"}, {5.001, 9, "rock"}}},
		{"steep, neighbours joined", nil, 9, []NoDams{{10, 30, "steep"}, {40, 50, "steep"}}}, {"as steep as may be", nil, 10, nil}, {"steep beside soft", []NoDams{{30, 35, "soft"}}, 9, []NoDams{{10, 35, "steep, soft"}, {40, 50, "steep"}}},
	} {
		got := DamLayout{Bed: bed, NoDams: c.noes, MaxBedSlopePct: c.steep}.barred()
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// The lip of a head is where the bed has climbed nine tenths of its depth, within twice its depth.
func TestLipOfAHead(t *testing.T) {
	for _, c := range []struct {
		bed  section.Bed
		want float64
	}{
		{section.Bed{{ChainageM: 0, LevelM: 100}, {ChainageM: 10, LevelM: 100}, {ChainageM: 11, LevelM: 101}, {ChainageM: 20, LevelM: 101}}, 11},
		{section.Bed{{ChainageM: 0, LevelM: 100}, {ChainageM: 10, LevelM: 100}, {ChainageM: 12, LevelM: 101}, {ChainageM: 20, LevelM: 101}}, 12},
		{section.Bed{{ChainageM: 0, LevelM: 100}, {ChainageM: 10, LevelM: 100}, {ChainageM: 12.1, LevelM: 101}, {ChainageM: 20, LevelM: 101}}, 10},
		{section.Bed{{ChainageM: 0, LevelM: 100}, {ChainageM: 10, LevelM: 100}, {ChainageM: 11, LevelM: 100.5}, {ChainageM: 11.5, LevelM: 100.9}, {ChainageM: 12, LevelM: 101}}, 11.5},
		{section.Bed{{ChainageM: 20, LevelM: 100}, {ChainageM: 30, LevelM: 100}}, 10},
	} {
		if got := (DamLayout{Bed: c.bed}).lip(HeadAt{ChainageM: 10, DepthM: 1}); got != c.want {
			t.Errorf("%v: the lip is at %v m, want %v", c.bed, got, c.want)
		}
	}
}

// The line of one layout beside others, with what is known of it.
func TestLineOfALayout(t *testing.T) {
	dams := DamPlan{Dams: []DamSite{{ChainageM: 10}, {ChainageM: 18}, {ChainageM: 30}}, GuardedM: 41.6}
	for want, a := range map[string]Alternative{
		"0.4 m high: 3 dams, 10.0 m apart on average, 42 m of bed guarded.":                                   {CrestHeightM: 0.4, DamPlan: dams},
		"0.5 m high: 1 dams, 12 m of bed guarded.":                                                            {CrestHeightM: 0.5, DamPlan: DamPlan{Dams: dams.Dams[:1], GuardedM: 12}},
		"0.4 m high: 3 dams, 10.0 m apart on average, 42 m of bed guarded, 6.5 m3 of rock, 13.0 h, cost 651.": {CrestHeightM: 0.4, DamPlan: dams, Bill: &DamBill{RockM3: 6.5, Hours: new(13.0), Cost: new(650.6)}},
		"0.4 m high: 3 dams, 10.0 m apart on average, 42 m of bed guarded, cost 0.":                           {CrestHeightM: 0.4, DamPlan: dams, Bill: &DamBill{Cost: new(0.0)}},
	} {
		if got := Compare([]Alternative{a}); len(got) != 1 || got[0] != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Rows that lie any way round on the ground, one of them drawn the other way, show the same fall: square
// to them, towards the last.
func TestFallOfRowsTurnedRound(t *testing.T) {
	frame := geodesy.Frame{Origin: orb.Point{146.26, -20.08}}
	for bearing := 0.0; bearing < 360; bearing += 15 {
		for turned := range 8 {
			sin, cos := math.Sincos(bearing * math.Pi / 180)
			var w Windrows
			for i := range 3 { // 100 m long, 40 m down the fall from each other, each shifted along
				var line orb.LineString
				for _, along := range []float64{float64(30 * i), float64(30*i + 100)} {
					down := float64(40 * i)
					line = append(line, frame.Position(along*cos+down*sin, -along*sin+down*cos))
				}
				if turned>>i&1 == 1 {
					slices.Reverse(line)
				}
				w.Rows = append(w.Rows, Windrow{Line: line, Gaps: []RowGap{{40, 60}}})
			}
			w.FallBearingDeg = math.NaN()
			s, err := w.Stagger(nil)
			if err != nil || math.Abs(math.Remainder(s.FallBearingDeg-bearing, 360)) > 0.01 {
				t.Errorf("rows that fall to %v°, turned %b, show %v° (%v)", bearing, turned, s.FallBearingDeg, err)
			}
		}
	}
	if _, err := (Windrows{Rows: []Windrow{rowOf(0, 100, 0)}, FallBearingDeg: math.NaN()}).Stagger(nil); err == nil {
		t.Error("one row shows a fall")
	}
}

// A rate given twice names the first.
func TestRateGivenTwice(t *testing.T) {
	v := new(1.0)
	p, ok := problemOf(Rates{{Item: "rock", Unit: "m3", CostPerUnit: v}, {Item: "post", Unit: "each", CostPerUnit: v}, {Item: "post", Unit: "each", CostPerUnit: v}}.Check())
	if !ok || p.Path != "[2].item" || p.Reason != `rate 2 is for "post" too` {
		t.Errorf("%v", p)
	}
}

// The dam below a head stands as high in its window as the bed allows, if only at one place; where that is
// barred at the foot of the reach; without any it is told why.
func TestWindowBelowAHead(t *testing.T) {
	head := HeadAt{ChainageM: 24, DepthM: 2}
	site := levelledSite{GoodSite{ChainageM: 14}, 0}
	for _, c := range []struct {
		name       string
		g          ground
		fromM, toM float64
		at         float64 // -1: none
		why        string
	}{
		{"whole", ground{}, 0, 100, 20, ""}, {"one place alone", ground{}, 20, 100, 20, ""}, {"too little bed", ground{}, 20.1, 100, -1, "there is too little bed below it: a dam would stand in its plunge"},
		{"cut off above", ground{}, 0, 12, 12, ""}, {"the layout ends where it begins", ground{}, 0, 10, 10, ""}, {"the layout ends below it", ground{}, 0, 9, -1, ""},
		{"barred", ground{barred: []NoDams{{15, 22, "rock"}}}, 0, 100, 15, ""}, {"barred from its foot", ground{barred: []NoDams{{10, 22, "rock"}}}, 0, 100, 10, ""}, {"barred throughout", ground{barred: []NoDams{{9, 22, "rock"}}}, 0, 100, -1, "no dams are wanted there: rock"},
		{"good site", ground{sites: []levelledSite{{GoodSite{ChainageM: 11}, 0}, site, {GoodSite{ChainageM: 21}, 0}}}, 0, 100, 14, ""}, {"site at its foot", ground{sites: []levelledSite{{GoodSite{ChainageM: 10}, 0}}}, 0, 100, 10, ""}, {"site at its top", ground{sites: []levelledSite{{GoodSite{ChainageM: 20}, 0}}}, 0, 100, 20, ""},
	} {
		c.g.guard(guard{fromM: 10, toM: 20}, head, c.fromM, c.toM)
		at, why := -1.0, ""
		if len(c.g.guards) > 0 {
			at = c.g.guards[0].atM
		}
		if len(c.g.unguarded) > 0 {
			why = c.g.unguarded[0].Why
		}
		if at != c.at || why != c.why {
			t.Errorf("%s: at %v m, %q; want %v, %q", c.name, at, why, c.at, c.why)
		}
	}
}
