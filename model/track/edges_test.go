package track

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
	"headcut/model/section"
)

// Tops and feet by the levels of the stations, and which of them the survey ends on.
func TestSlopesOfProfiles(t *testing.T) {
	for _, c := range []struct {
		name   string
		levels []float64 // 10 m apart
		want   []string  // chainages from top to foot, and T or F where that end is the survey's
	}{
		{"down", []float64{10, 9, 8}, []string{"0-20 TF"}}, {"up", []float64{8, 9, 10}, []string{"20-0 TF"}},
		{"a top between", []float64{8, 10, 7}, []string{"10-0 F", "10-20 F"}}, {"a foot between", []float64{10, 8, 11}, []string{"0-10 T", "20-10 T"}},
		{"a top and a foot", []float64{8, 10, 7, 9}, []string{"10-0 F", "10-20 ", "30-20 T"}},
		{"level", []float64{9, 9, 9}, nil}, {"a hump as high as counts", []float64{9, 9.5, 9}, []string{"10-0 F", "10-20 F"}}, {"a lower one", []float64{9, 9.4, 9}, nil},
		{"a dip as deep as counts", []float64{9, 8.5, 9}, []string{"0-10 T", "20-10 T"}}, {"a shallower one", []float64{9, 8.6, 9}, nil},
		{"level ground at the start is in", []float64{9, 9, 8}, []string{"0-20 TF"}}, {"level ground at the foot is in", []float64{9, 8, 8}, []string{"0-20 TF"}},
		{"level ground on a top belongs to the slope before it", []float64{8, 9, 9, 8}, []string{"20-0 F", "20-30 F"}},
		{"level ground in a low belongs to the slope before it", []float64{9, 8, 8, 9}, []string{"0-20 T", "30-20 T"}},
		{"a hump too low to part it", []float64{10, 9, 9.3, 8}, []string{"0-30 TF"}},
	} {
		var pairs []float64
		for i, z := range c.levels {
			pairs = append(pairs, 10*float64(i), z)
		}
		var got []string
		for _, s := range profile(pairs...).Slopes(0.5) {
			ends := ""
			if s.TopEnd {
				ends += "T"
			}
			if s.FootEnd {
				ends += "F"
			}
			got = append(got, fmt.Sprintf("%v-%v %s", s.Top.ChainageM, s.Foot.ChainageM, ends))
			if s.points[0].ChainageM != 0 || s.points[len(s.points)-1].ChainageM != s.LengthM() || s.points[0].LevelM != s.Top.LevelM {
				t.Errorf("%s: points %v of %+v", c.name, s.points, s)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// Banks on the top and on the foot of a slope are on it; one on level ground past its end is
// idle, and named.
func TestBanksAtTheEndsOfASlope(t *testing.T) {
	r := check(t, Check{Track: profile(0, 100, 50, 100, 100, 97.5), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM,
		Banks: []Built{{Name: "top", ChainageM: 0, Side: Left}, {Name: "middle", ChainageM: 75, Side: Left}, {Name: "foot", ChainageM: 100, Side: Left}}})
	var got []string
	for _, n := range r.Intervals {
		got = append(got, n.From+">"+n.To)
	}
	if want := []string{"top>middle", "middle>foot"}; !slices.Equal(got, want) || len(r.Idle) != 0 {
		t.Errorf("intervals %q, idle %q; want %q", got, r.Idle, want)
	}
	// The name of a bank on the very top, not the word for the top, is where the first interval begins.
	crest := Check{Track: profile(0, 98, 50, 100, 100, 98, 300, 98), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM,
		Banks: []Built{{Name: "crest bank", ChainageM: 50, Side: Left}, {ChainageM: 10, Side: Left}, {Name: "far", ChainageM: 301 - 1, Side: Left}}}
	r = check(t, crest)
	got = nil
	for _, n := range r.Intervals {
		got = append(got, n.From+">"+n.To)
	}
	if want := []string{"crest bank>bank 2", "bank 2>foot", "crest bank>far"}; !slices.Equal(got, want) {
		t.Errorf("intervals %q, want %q", got, want)
	}
	level := check(t, Check{Track: profile(0, 100, 500, 100), Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM, Banks: []Built{{Name: "a", ChainageM: 3, Side: Left}, {ChainageM: 9, Side: Left}}})
	if !slices.Equal(level.Idle, []string{"a", "bank 2"}) {
		t.Errorf("idle banks on level ground: %q", level.Idle)
	}
}

// What is safe at a chainage: the reaches said, ends and all, and elsewhere what holds in general.
func TestChosenSides(t *testing.T) {
	o := &outlets{Outlets: Outlets{Side: Left, Reaches: []SideReach{{FromM: 10, ToM: 20, Side: Right, Why: "grass"}, {FromM: 20, ToM: 30, Side: None, Why: "a neighbour"}}}}
	for _, c := range []struct {
		atM         float64
		left, right bool
		why         string
	}{
		{9, true, false, ""}, {10, true, true, "grass"}, {15, false, true, "grass"}, {20, false, true, "a neighbour"}, {25, false, false, "a neighbour"}, {30, true, false, "a neighbour"}, {31, true, false, ""},
	} {
		if left, right, why := o.chosen(c.atM); left != c.left || right != c.right || why != c.why {
			t.Errorf("at %v m: left %t, right %t, %q; want %t, %t, %q", c.atM, left, right, why, c.left, c.right, c.why)
		}
	}
	none := &outlets{Outlets: Outlets{Side: None}}
	if left, right, why := none.chosen(5); left || right || why != "no side is safe here" {
		t.Errorf("where nothing is safe: %t, %t, %q", left, right, why)
	}
}

// A barred reach bars its side between its ends, and not at them.
func TestBarredReach(t *testing.T) {
	for _, c := range []struct {
		said, barred Side
		atM          float64
		want         Side
		why          string
	}{
		{Either, Left, 15, Right, "seep"}, {Either, Right, 15, Left, "seep"}, {Either, Either, 15, None, "seep"}, {Left, Right, 15, Left, ""}, {Right, Left, 15, Right, ""},
		{Left, Left, 15, None, "seep"}, {Either, Left, 10, Either, ""}, {Either, Left, 20, Either, ""}, {Either, Left, 9, Either, ""}, {Either, Left, 21, Either, ""}, {Right, Either, 15, None, "seep"},
	} {
		o, err := Outlets{Side: c.said, NoOutlet: []SideReach{{FromM: 10, ToM: 20, Side: c.barred, Why: "seep"}}}.on(profile(0, 100, 100, 92), HumpM)
		if err != nil {
			t.Fatal(err)
		}
		if side, why := o.sideAt(c.atM); side != c.want || why != c.why {
			t.Errorf("%s barred of %s, at %v m: %s, %q; want %s, %q", c.barred, c.said, c.atM, side, why, c.want, c.why)
		}
	}
}

// Left and right are said anywhere: in general, of a reach, of a barred one, of a head.
func TestSided(t *testing.T) {
	for _, side := range Sides {
		want := side == Left || side == Right
		for name, o := range map[string]Outlets{
			"general": {Side: side}, "reach": {Side: Either, Reaches: []SideReach{{Side: Either}, {Side: side}}}, "barred": {Side: Either, NoOutlet: []SideReach{{Side: side}}},
			"head": {Side: Either, Heads: []Head{{Side: Either}, {Side: side}}},
		} {
			if got := o.sided(); got != want {
				t.Errorf("%s %s: %t, want %t", name, side, got, want)
			}
		}
	}
}

// A local table has from 1 to 100 rows.
func TestRowsOfALocalTable(t *testing.T) {
	rows := func(n int) (all []LocalRow) {
		for i := range n {
			all = append(all, LocalRow{UpToPct: float64(i+1) / 2, SpacingM: 200 - float64(i)})
		}
		return all
	}
	for n, taken := range map[int]bool{0: false, 1: true, MaxLocalRows: true, MaxLocalRows + 1: false} {
		if _, err := Local(rows(n), "", Steeper); (err == nil) != taken {
			t.Errorf("%d rows: %v, want them taken: %t", n, err, taken)
		}
	}
}

// The highest level of the track between two chainages, at stations and between them.
func TestHighestBetween(t *testing.T) {
	track := profile(0, 100, 10, 103, 20, 101, 30, 102)
	for _, c := range [][3]float64{{0, 30, 103}, {0, 5, 101.5}, {5, 15, 103}, {10, 10, 103}, {12, 18, 102.6}, {15, 30, 102}, {20, 25, 101.5}, {-5, 0, 100}, {30, 40, 102}, {31, 40, 102}, {-5, -1, 100}} {
		if got := track.highestM(c[0], c[1]); math.Abs(got-c[2]) > 1e-9 && got != c[2] {
			t.Errorf("from %v to %v m: %v, want %v", c[0], c[1], got, c[2])
		}
	}
}

// Each bank's outlet: what nobody said, none at all, the wrong side, and how far the nearest head is.
func TestOutletsOfBanks(t *testing.T) {
	head := Head{Name: "Head 1", ChainageM: 60, OffsetM: 30, Side: Left, LipLevelM: math.NaN(), PlusMinusM: 1}
	c := Check{Track: profile(0, 100, 100, 92), Rule: rule(t, "water-bars-two-soils", "general"), HumpM: HumpM,
		Outlets: Outlets{Side: Left, ClearanceM: 49, Heads: []Head{head, {ChainageM: 20, OffsetM: 5, Side: Right, LipLevelM: math.NaN(), PlusMinusM: -1}}},
		Banks:   []Built{{ChainageM: 20, Side: Left}, {ChainageM: 30, Side: Right}, {ChainageM: 50, Side: None}, {ChainageM: 75}, {ChainageM: 99, Side: Left}}}
	all := check(t, c).Outlets
	for i, want := range []struct {
		verdict Outfall
		reason  string
		headM   float64
	}{
		{Safe, "Head 1 may be nearer than 49 m", 50}, {Unsafe, "within 49 m of Head 1", math.Hypot(10, 5)}, {Unsafe, "it has no outlet: water ponds", -1},
		{NotKnown, "nobody said", math.Hypot(15, 30)}, {Safe, "Head 1 may be nearer than 49 m", math.Hypot(39, 30)},
	} {
		o := all[i]
		got := -1.0
		if o.HeadM != nil {
			got = *o.HeadM
		}
		if o.Verdict != want.verdict || !strings.Contains(o.Reason, want.reason) || (want.reason == "") != (o.Reason == "") || math.Abs(got-want.headM) > 1e-9 {
			t.Errorf("%s: %s, %q, head %v m; want %s, %q, %v m", o.Name, o.Verdict, o.Reason, got, want.verdict, want.reason, want.headM)
		}
	}
	c.Outlets.ClearanceM, c.Banks = 45, c.Banks[:1]
	if o := check(t, c).Outlets[0]; o.Verdict != Safe || o.Reason != "" {
		t.Errorf("a bank 50 m from a head, 45 m clear, is %s, %q", o.Verdict, o.Reason)
	}
}

// A grade just past the end of a row, by the rounding of a quotient, is judged by that row; one that is
// plainly past it by the next.
func TestGradesAtTheEndOfARow(t *testing.T) {
	r := rule(t, "water-bars-two-soils", "general") // 75 m to 2 %, 40 to 5, 25 to 10, 18 to 15
	for _, c := range []struct{ pct, spacingM float64 }{{2, 75}, {2 + 0.9e-6, 75}, {2 + 1.5e-6, 75}, {2 + 2.5e-6, 40}, {2.001, 40}, {5, 40}, {5 + 1.5e-6, 40}, {5.001, 25}, {15, 18}, {15 + 1.5e-6, 18}} {
		if got := r.SpacingM(r.judged(c.pct)); got != c.spacingM {
			t.Errorf("at %v %% banks may stand %v m apart, want %v", c.pct, got, c.spacingM)
		}
	}
	for pct, covered := range map[float64]bool{15: true, r.MaxPct(): true, r.MaxPct() + 0.9e-6: true, r.MaxPct() + 0.001: false} {
		if r.Covers(pct) != covered {
			t.Errorf("the table goes as steep as %v %%: %t", pct, !covered)
		}
	}
}

// Where water comes back does not depend on how far along the track it bends back, nor which way it came.
func TestHairpinFarFromTheStart(t *testing.T) {
	for bearing := 0.0; bearing < 360; bearing += 15 {
		p := orb.Point{148, -25}
		places := []orb.Point{p}
		for _, leg := range [][2]float64{{bearing + 40, 300}, {bearing, 100}, {bearing + 90, 12}, {bearing + 180, 100}} {
			p = geodesy.Destination(p, leg[0], leg[1])
			places = append(places, p)
		}
		var points []section.Point
		for i, levelM := range []float64{140, 116, 108, 107, 99} {
			points = append(points, section.Point{Position: &places[i], LevelM: levelM})
		}
		track, err := New(points)
		if err != nil {
			t.Fatal(err)
		}
		b := newBends(track, 30)
		if again, found := b.reentry(340, Right); !found || math.Abs(again-472) > 0.1 {
			t.Errorf("towards %v°: to the inside at %v, %t; want 472 m", bearing, again, found)
		}
		if again, found := b.reentry(340, Left); found {
			t.Errorf("towards %v°: to the outside it comes back at %v", bearing, again)
		}
		if again, found := b.reentry(472, Right); found { // the upper limb is higher
			t.Errorf("towards %v°: uphill it comes back at %v", bearing, again)
		}
		// Each place of the track is listed in its own square of the grid, or in that of one within a quarter of the reach.
		listed := func(i int, m float64) bool {
			length := track.Stations[i+1].ChainageM - track.Stations[i].ChainageM
			return slices.Contains(b.cells[b.cell(b.along(i, min(max(m/length, 0), 1)))], i)
		}
		for i := range places[1:] {
			length := track.Stations[i+1].ChainageM - track.Stations[i].ChainageM
			if !listed(i, 0) || !listed(i, length) {
				t.Errorf("towards %v°: an end of segment %d is not listed", bearing, i)
			}
			for m := 0.0; m < length; m++ {
				near := false
				for d := -7.5; d <= 7.5; d += 0.5 {
					near = near || listed(i, m+d)
				}
				if !near {
					t.Errorf("towards %v°: segment %d is not listed near %v m of it", bearing, i, m)
				}
			}
		}
	}
	if newBends(profile(0, 100, 10, 99), 0) != nil || newBends(profile(0, 100, 10, 99), math.NaN()) != nil {
		t.Error("without a clearance there are bends to look for")
	}
}

// Near another verdict is only what has a ±: of the spacing and of the grade both.
func TestCloseNeedsBothPlusMinuses(t *testing.T) {
	for _, c := range []struct {
		chainageM, levelM float64
		want              bool
	}{{0.05, 0.005, true}, {-1, 0.005, false}, {0.05, -1, false}, {-1, -1, false}} {
		track := profile(0, 100, 100, 92)
		track.Quality.ChainagePlusMinusM, track.Quality.LevelPlusMinusM = c.chainageM, c.levelM
		r := check(t, Check{Track: track, Rule: rule(t, "water-bars-two-soils", "general"), Outlets: anySide, HumpM: HumpM, Banks: built(24.95)})
		if n := r.Intervals[0]; n.Close != c.want || n.Verdict != OK {
			t.Errorf("± %v and %v: %+v, want it close: %t", c.chainageM, c.levelM, n, c.want)
		}
	}
}

// A place is pegged at a whole millimetre of chainage, up or down the slope as asked; one that is at a millimetre
// but for the error of a sum stays there, and none moves to the break above it.
func TestPlacesArePeggedToTheMillimetre(t *testing.T) {
	down, up := profile(0, 100, 100, 92).Slopes(HumpM)[0], profile(0, 92, 100, 100).Slopes(HumpM)[0]
	for _, c := range []struct {
		s           Slope
		downM, from float64
		round       func(float64) float64
		want        float64
	}{
		{down, 12.3456, 0, math.Floor, 12.345}, {down, 12.3456, 0, math.Ceil, 12.346}, {down, 12.345, 0, math.Ceil, 12.345}, {down, 12.345 + 4e-9, 0, math.Ceil, 12.345}, {down, 12.345 - 4e-9, 0, math.Floor, 12.345},
		{up, 12.3456, 0, math.Floor, 12.345}, {up, 12.3456, 0, math.Ceil, 12.346}, {up, 12.345 + 4e-9, 0, math.Ceil, 12.345}, {up, 12.345 - 4e-9, 0, math.Floor, 12.345},
		{down, 12.3456, 12.345, math.Floor, 12.3456}, {down, 0.0004, 0, math.Floor, 0.0004},
	} {
		if got := c.s.pegM(c.downM, c.from, c.round); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v m down from %v is pegged at %v, want %v", c.downM, c.s.Top.ChainageM, got, c.want)
		}
	}
}
