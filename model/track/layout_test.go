package track

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/section"
)

// profile is a levelled track through pairs of chainage and level.
func profile(values ...float64) Track {
	t := Track{Quality: section.LevelledAndTaped}
	for i := 0; i < len(values); i += 2 {
		t.Stations = append(t.Stations, section.Station{ChainageM: values[i], LevelM: values[i+1]})
	}
	return t
}

// anySide lets water out everywhere, and holds outlets 30 m off heads.
var anySide = Outlets{Side: Either, ClearanceM: ClearanceM}

func lay(t testing.TB, l Layout) Plan {
	t.Helper()
	p, err := l.Lay()
	if err != nil {
		t.Fatalf("Lay(%+v) = %v", l, err)
	}
	return p
}

func chainages(p Plan) []float64 {
	var all []float64
	for _, s := range p.Sites {
		all = append(all, s.ChainageM)
	}
	return all
}

func near(a, b []float64, by float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !(math.Abs(a[i]-b[i]) <= by) {
			return false
		}
	}
	return true
}

// TestUniformTrack is SPL1, down and up the chainages.
func TestUniformTrack(t *testing.T) {
	c := modeltest.Named(t, "runoff", "SPL1")
	length, fall := c.Number(t, "track_length_m"), c.Number(t, "track_length_m")*c.Number(t, "grade_pct")/100
	r := rule(t, tableOf[c.Text(t, "table")], soilOf[c.Text(t, "soil")])
	down := lay(t, Layout{Track: profile(0, 100, length, 100-fall), Rule: r, Outlets: anySide, HumpM: HumpM})
	c.Check(t, "banks", float64(len(down.Sites)))
	c.Check(t, "first_at_m", down.Sites[0].ChainageM)
	c.Check(t, "last_at_m", down.Sites[len(down.Sites)-1].ChainageM)
	up := lay(t, Layout{Track: profile(0, 100-fall, length, 100), Rule: r, Outlets: anySide, HumpM: HumpM})
	c.Check(t, "banks", float64(len(up.Sites)))
	c.Check(t, "first_at_m", length-up.Sites[len(up.Sites)-1].ChainageM)
	c.Check(t, "last_at_m", length-up.Sites[0].ChainageM)
	for i, s := range down.Sites {
		if math.Abs(s.SpacingM-c.Number(t, "spacing_m")) > 1e-9 || math.Abs(s.GradePct-10) > 1e-6 || s.Row != "10 %" || math.Abs(s.AboveM-15*float64(i)) > 1e-9 || s.Side != Either {
			t.Errorf("bank %d = %+v, want 15 m below the last at 10 %%", i, s)
		}
	}
}

// TestRealProfiles works out by hand where banks fall on profiles that bend. Table: Packer
// general, 75 m to 2 %, 40 to 5, 25 to 10, 18 to 15.
func TestRealProfiles(t *testing.T) {
	for _, c := range []struct {
		name    string
		profile []float64
		want    []float64
	}{
		// At 40 m the fall is 40 · 4 % = 1.6; the next 40 m end at 80 m.
		{"one-grade", []float64{0, 100, 100, 96}, []float64{40, 80}},
		// 2 % for 30 m (0.6 m), then 15 %. The mean reaches 5 % where 0.6 + 0.15 (x-30) =
		// 0.05 x, at x = 39, and 25 m is allowed beyond. The rest is at 15 %: every 18 m.
		{"gentle-then-steep", []float64{0, 100, 30, 99.4, 80, 91.9}, []float64{39, 57, 75}},
		// 10 % for 30 m: the bank at 25 m is due, though the mean to the foot is gentle. From
		// 25 m: 0.5 m in 5 m, then 1 %. 10 % stays over 5 % until 0.5 + 0.01 (d-5) = 0.05 d,
		// d = 11.25 < 25; over 2 % until 0.45 + 0.01 d = 0.02 d, d = 45 > 40: at 40 m below.
		// There the mean is (0.45 + 0.4)/40 = 2.1 %. From 65 m on 1 % allows 75 m: the foot.
		{"steep-then-gentle", []float64{0, 100, 30, 97, 130, 96}, []float64{25, 65}},
		// A crest at 50 m: 10 % down both ways.
		{"over-a-crest", []float64{0, 95, 50, 100, 100, 95}, []float64{25, 75}},
		// A sag at 50 m, 10 % from both ends; the foot itself gets none.
		{"into-a-sag", []float64{0, 100, 50, 95, 100, 100}, []float64{25, 75}},
		// A hump of 0.10 m on a 4 % track parts no water: banks as without it.
		{"over-a-low-hump", []float64{0, 100, 18, 99.28, 20, 99.38, 22, 99.12, 100, 96}, []float64{40, 80}},
		// A flat before the slope is part of its run: 20 m level, then 10 %. The mean passes
		// 2 % at 25 m and 5 % where 0.1 (x-20) = 0.05 x, x = 40, which is what 5 % allows.
		{"level-at-the-top", []float64{0, 100, 20, 100, 60, 96}, []float64{40}},
		{"level-track", []float64{0, 100, 500, 100.1}, nil},
		{"shorter-than-a-spacing", []float64{0, 100, 24, 97.6}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := lay(t, Layout{Track: profile(c.profile...), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM})
			if got := chainages(p); !near(got, c.want, 1e-5) {
				t.Errorf("banks at %v, want %v", got, c.want)
			}
		})
	}
}

// TestEveryTableOnOneTrack: the same track by each named table. 12 % for 400 m: the row
// that holds, and floor(400/spacing) banks, one less where the last falls on the foot.
func TestEveryTableOnOneTrack(t *testing.T) {
	want := map[string]int{"water-bars-two-soils/general": 22, "water-bars-two-soils/highly erodible": 36, "dips-and-culverts/low to non-erosive": 6, "dips-and-culverts/erosive": 11,
		"water-bars-by-class/low to non-erosive": 8, "water-bars-by-class/erosive": 19, "legal-maximum-by-hazard/extreme": 17, "legal-maximum-by-hazard/high": 13,
		"legal-maximum-by-hazard/moderate": 8, "legal-maximum-by-hazard/low": 6, "water-bars-one-soil/": 21, "broad-based-dips/near end of range": -1, "broad-based-dips/far end of range": -1}
	l := Layout{Track: profile(0, 100, 400, 52), Rule: rule(t, "water-bars-one-soil", ""), Outlets: anySide, HumpM: HumpM}
	all := l.ByTables()
	if len(all) != len(want) {
		t.Errorf("%d columns, want %d", len(all), len(want))
	}
	for _, o := range all {
		got, count := o.Table+"/"+o.Soil, -1
		if o.Count != nil {
			count = *o.Count
		}
		if count != want[got] {
			t.Errorf("%s lays %d banks, want %d", got, count, want[got])
		}
	}
}

// Whatever stands: the layout and the banks that stand are together no farther apart than the table allows, save where it
// says that no outlet is safe; none that it lays out crowds one that stands; and with none it is the layout of the track
// alone.
func TestLayoutGoesOnFromStandingBanks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Layout{Track: surveyed(t, 25), Rule: drawnRule(t), Outlets: Outlets{Side: Either, ClearanceM: ClearanceM}, HumpM: HumpM}
		first, last := l.Track.Stations[0].ChainageM, l.Track.Stations[len(l.Track.Stations)-1].ChainageM
		for range rapid.IntRange(0, 4).Draw(t, "standing") {
			l.StandingM = append(l.StandingM, math.Round(rapid.Float64Range(first, last).Draw(t, "at")*1000)/1000)
		}
		p, err := l.Lay()
		if err != nil { // a track steeper than its table
			if fault, ok := errors.AsType[*model.Problem](err); !ok || fault.Path != "track" && !strings.HasPrefix(fault.Path, "standingM[") {
				t.Fatalf("Lay(%+v) = %v", l, err)
			}
			return
		}
		breaks := slices.Clone(l.StandingM)
		for _, s := range p.Sites {
			for _, m := range l.StandingM {
				if math.Abs(m-s.ChainageM) < LeastSpacingM-0.002 {
					t.Fatalf("a bank at %v crowds the one that stands at %v", s.ChainageM, m)
				}
			}
			breaks = append(breaks, s.ChainageM)
		}
		var banks []Built
		for _, m := range breaks {
			banks = append(banks, Built{ChainageM: m, Side: Either})
		}
		if len(banks) == 0 || len(p.Unserved) > 0 {
			return
		}
		r, err := Check{Track: l.Track, Rule: l.Rule, Outlets: l.Outlets, HumpM: l.HumpM, Banks: banks}.Run()
		if err != nil { // two that stand at one place
			return
		}
		for _, n := range r.Intervals {
			if n.Verdict == TooFar && n.SpacingM > 2*LeastSpacingM+0.002 {
				t.Fatalf("interval %+v of %+v", n, l)
			}
		}
	})
}

func TestLayoutRefuses(t *testing.T) {
	r := rule(t, "water-bars-two-soils", "general")
	good := Layout{Track: profile(0, 100, 100, 95), Rule: r, Outlets: anySide, HumpM: HumpM}
	change := func(f func(*Layout)) Layout { l := good; f(&l); return l }
	reach := func(from, to float64, side Side) []SideReach { return []SideReach{{FromM: from, ToM: to, Side: side}} }
	head := func(chainage, offset float64, side Side, lip float64) []Head {
		return []Head{{ChainageM: chainage, OffsetM: offset, Side: side, LipLevelM: lip}}
	}
	nan := math.NaN()
	for _, c := range []struct {
		name string
		l    Layout
		path string
	}{
		{"steeper-than-the-table", change(func(l *Layout) { l.Track = profile(0, 100, 100, 65) }), "track"},
		{"steep-and-short", change(func(l *Layout) { l.Track = profile(0, 100, 9, 97) }), "track"},
		{"hump", change(func(l *Layout) { l.HumpM = nan }), "humpM"},
		{"hump-in-millimetres", change(func(l *Layout) { l.HumpM = 150 }), "humpM"},
		{"side", change(func(l *Layout) { l.Outlets.Side = "uphill" }), "side"},
		{"clearance", change(func(l *Layout) { l.Outlets.ClearanceM = -1 }), "clearanceM"},
		{"reach-backwards", change(func(l *Layout) { l.Outlets.Reaches = reach(50, 20, Left) }), "sides[0].toM"},
		{"reach-nan", change(func(l *Layout) { l.Outlets.NoOutlet = reach(nan, 20, Left) }), "noOutlet[0].fromM"},
		{"reach-side", change(func(l *Layout) { l.Outlets.Reaches = reach(0, 20, "") }), "sides[0].side"},
		{"reaches-overlap", change(func(l *Layout) { l.Outlets.Reaches = append(reach(10, 30, Left), reach(0, 11, Right)...) }), "sides[1]"},
		{"head-chainage", change(func(l *Layout) { l.Outlets.Heads = head(-1, 0, Left, nan) }), "gullyHeads[0].chainageM"},
		{"head-offset", change(func(l *Layout) { l.Outlets.Heads = head(1, -3, Left, nan) }), "gullyHeads[0].offsetM"},
		{"head-side", change(func(l *Layout) { l.Outlets.Heads = head(1, 3, None, nan) }), "gullyHeads[0].side"},
		{"head-lip", change(func(l *Layout) { l.Outlets.Heads = head(1, 3, Left, 99_999) }), "gullyHeads[0].lipLevelM"},
		{"too-many-reaches", change(func(l *Layout) { l.Outlets.NoOutlet = make([]SideReach, MaxWindows+1) }), "noOutlet"},
		{"too-many-heads", change(func(l *Layout) { l.Outlets.Heads = make([]Head, MaxWindows+1) }), "gullyHeads"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := c.l.Lay()
			if fault, ok := errors.AsType[*model.Problem](err); !ok || fault.Path != c.path || fault.Reason == "" {
				t.Errorf("Lay() = %v, %v; want a problem at %q", chainages(p), err, c.path)
			}
		})
	}
}

func TestLayoutTellsOfTheNextRow(t *testing.T) {
	// 4.99 %, on which 40 m is allowed; with levels to 0.05 m, twice the ± over 40 m
	// is 0.35 %, and from 5 % on 25 m is.
	l := Layout{Track: profile(0, 100, 100, 95.01), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM}
	l.Track.Quality.LevelPlusMinusM = 0.05
	p := lay(t, l)
	if said := fmt.Sprint((Layout{Track: l.Track}).Cautions(Plan{Sites: []Site{{}, {OtherAllowedM: 25}, {}}})); !strings.Contains(said, "1 banks stand at grades") {
		t.Errorf("of three banks, one of them near a steeper row, is said: %s", said)
	}
	if p.Sites[0].OtherAllowedM != 25 || !strings.Contains(fmt.Sprint(l.Cautions(p)), "otherAllowedM") {
		t.Errorf("site = %+v, cautions %v; want 25 m told", p.Sites[0], l.Cautions(p))
	}
	l.Track = profile(0, 100, 100, 96)
	if p = lay(t, l); p.Sites[0].OtherAllowedM != 0 {
		t.Errorf("at 4 %%: %+v, want nothing of another row", p.Sites[0])
	}
}

// ExampleLayout lays banks by Packer's table, as Roads for Water prints it, on 100 m of
// highly erodible track at 5 %: one every 25 m.
func ExampleLayout() {
	table, _ := Named("water-bars-two-soils")
	rule, _ := table.Rule("highly erodible", Steeper)
	plan, _ := Layout{Track: profile(0, 120, 100, 115), Rule: rule, Outlets: Outlets{Side: Left}, HumpM: HumpM}.Lay()
	for _, s := range plan.Sites {
		fmt.Printf("%.0f m to the %s, row %s\n", s.ChainageM, s.Side, s.Row)
	}
	// Output:
	// 25 m to the left, row 5 %
	// 50 m to the left, row 5 %
	// 75 m to the left, row 5 %
}

// BenchmarkLayout lays banks on 10 km of hilly track levelled at 10,000 points.
func BenchmarkLayout(b *testing.B) {
	l := Layout{Track: hilly(10_000), Rule: rule(b, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM}
	for b.Loop() {
		if p, err := l.Lay(); err != nil || len(p.Sites) < 100 {
			b.Fatal(len(p.Sites), err)
		}
	}
}

func hilly(n int) Track {
	t := Track{Quality: section.LevelledAndTaped}
	for i := range n {
		x := float64(i)
		t.Stations = append(t.Stations, section.Station{ChainageM: x, LevelM: 500 + 12*math.Sin(x/150) + 0.05*math.Sin(x/3)})
	}
	return t
}

// A bank that stands in the dip between two slopes is the foot of both: none is laid out beside it.
func TestLayoutKeepsClearOfABankAtTheFoot(t *testing.T) {
	l := Layout{Track: profile(0, 100, 1, 99.99, 31.49, 100.295), Rule: rule(t, "legal-maximum-by-hazard", "extreme"), Outlets: anySide, HumpM: HumpM, StandingM: []float64{1}}
	p, err := l.Lay()
	if err != nil || len(p.Sites) != 1 {
		t.Fatalf("Lay() = %+v, %v, want one bank", p.Sites, err)
	}
	if at := p.Sites[0].ChainageM; at < 1+LeastSpacingM || at > 1+LeastSpacingM+0.02 {
		t.Errorf("a bank at %v, want it %v m above the one that stands at 1", at, LeastSpacingM)
	}
}
