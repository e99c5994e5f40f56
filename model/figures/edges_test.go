package figures

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/section"
	"headcut/model/works"
)

// Which way chainages run is a matter of majority: twice as many neighbours must say so as
// deny it. The one toe that contradicts all others is named, and only where it is the only one.
func TestDirectionOfToes(t *testing.T) {
	closed, open, other := &run{id: "c", proven: true}, &run{id: "o"}, &run{id: "p"}
	type toe struct {
		run    *run
		levelM float64
	}
	of := func(r *run, levels ...float64) (all []toe) {
		for _, m := range levels {
			all = append(all, toe{r, m})
		}
		return all
	}
	for _, c := range []struct {
		name         string
		toes         []toe
		rises, falls bool
		odd          int // -1: none
	}{
		{"none", nil, false, false, -1},
		{"one", of(closed, 1), false, false, -1},
		{"two rise", of(closed, 1, 2), true, false, -1},
		{"two fall", of(closed, 2, 1), false, true, -1},
		{"level", of(closed, 1, 1.04), false, false, -1},
		{"one against one", of(closed, 1, 3, 2), false, false, -1},
		{"two against one, the highest odd", of(closed, 1, 9, 2, 3), true, false, 1},
		{"two against one falling, the lowest odd", of(closed, 9, 1, 8, 7), false, true, 1},
		{"two against one, either could be it", of(closed, 1, 2, 4, 3), true, false, -1},
		{"three all rise", of(closed, 1, 2, 3), true, false, -1},
		{"three all fall", of(closed, 3, 2, 1), false, true, -1},
		{"three against two", of(closed, 1, 5, 2, 6, 7, 3), false, false, -1},
		{"toes of two open runs tell nothing", []toe{{open, 1}, {other, 2}}, false, false, -1},
		{"nor does an open run beside a closed one", []toe{{open, 1}, {closed, 2}}, false, false, -1},
		{"one open run tells", of(open, 1, 2), true, false, -1},
		{"two rise, and a toe of another run is not odd", []toe{{open, 1}, {open, 2}, {other, 9}}, true, false, -1},
		{"two fall, and a toe of another run is not odd", []toe{{open, 2}, {open, 1}, {other, 9}}, false, true, -1},
	} {
		var dams []*dam
		for i, toe := range c.toes {
			dams = append(dams, &dam{id: fmt.Sprint(i), stood: &standing{chainageM: float64(i)}, found: found{toe: &spot{run: toe.run, levelM: toe.levelM}}})
		}
		given := slices.Clone(dams)
		slices.Reverse(given)
		got := directionOf(append(given, &dam{id: "no toe", stood: &standing{chainageM: 0.5}}))
		odd := -1
		if got.odd != nil {
			odd = slices.Index(dams, got.odd)
		}
		if got.rises != c.rises || got.falls != c.falls || odd != c.odd {
			t.Errorf("%s: rises %t, falls %t, odd %d; want %t, %t, %d", c.name, got.rises, got.falls, odd, c.rises, c.falls, c.odd)
		}
	}
}

// Of two runs a closed one is better, then the newer, then the one begun later.
func TestBetterRuns(t *testing.T) {
	in := []*run{
		{id: "a", proven: true, observedOn: "2026-05-02"}, {id: "c", proven: true, observedOn: "2026-05-01"}, {id: "b", proven: true, observedOn: "2026-05-01"},
		{id: "e", observedOn: "2026-06-01"}, {id: "d", observedOn: "2026-06-01"},
	}
	for i := range in {
		for j := range in {
			if got := better(in[i], in[j]); (got < 0) != (i < j) || (got == 0) != (i == j) {
				t.Errorf("run %s beside %s: %d", in[i].id, in[j].id, got)
			}
		}
	}
	var spots []*spot
	for _, k := range []int{3, 0, 0, 4, 2, 0} {
		spots = append(spots, &spot{run: in[k], place: model.ToeSpot, levelM: float64(10 - len(spots))}, &spot{run: in[k], place: model.BedSpot, levelM: 1})
	}
	if got := runsAt(spots, model.ToeSpot); !slices.Equal(got, []*run{in[0], in[2], in[3], in[4]}) || len(runsAt(spots, model.PegSpot)) != 0 {
		t.Errorf("runs at the toe: %v", got)
	}
	if low := lowest(spots, in[0], model.ToeSpot); low == nil || low.levelM != 0 || lowest(spots, in[0], model.PegSpot) != nil {
		t.Errorf("the lowest toe of the first run is %+v", low)
	}
}

// Chainages of the bed from 0 to 100 km are taken, a millimetre apart at the least.
func TestChainagesOfTheBed(t *testing.T) {
	r := &run{id: "r", proven: true}
	at := func(m float64, levelM float64) *spot {
		return &spot{run: r, place: model.BedSpot, chainageM: &m, levelM: levelM}
	}
	l := newPropertyFigures()
	l.spots["t"] = []*spot{at(section.MaxChainageM, 9), at(0, 1), at(-1, 2), at(0.001, 1.001), at(section.MaxChainageM+1, 2), at(0.0014, 7),
		{run: r, place: model.BedSpot, levelM: 3}, {run: r, place: model.ToeSpot, levelM: 3}}
	b := l.bedOf(&thalweg{id: "t"})
	want := []string{"1 bed levels have no taped chainage and were left out.", "2 bed levels have a chainage that is none and were left out.", "1 bed levels share a chainage with a better one and were left out."}
	if !slices.Equal(b.bed, section.Bed{{ChainageM: 0, LevelM: 1}, {ChainageM: 0.001, LevelM: 1.001}, {ChainageM: section.MaxChainageM, LevelM: 9}}) || !b.sound || !slices.Equal(b.notes, want) {
		t.Errorf("the bed is %+v, sound %t, notes %q; want notes %q", b.bed, b.sound, b.notes, want)
	}
	for i, s := range l.spots["t"][:2] {
		s.run = &run{id: fmt.Sprint(i), proven: i == 0}
	}
	l.spots["t"] = l.spots["t"][:2]
	if b := l.bedOf(&thalweg{id: "t"}); b.quality.Basis != model.Unproven || !slices.Equal(b.notes, []string{"The bed's levels are not yet checked by a closed level run.", "The bed's levels are from 2 runs, taken to be on one datum."}) {
		t.Errorf("one level of a closed run and one of an open one make a bed of %+v, notes %q", b.quality, b.notes)
	}
}

// A toe on the level of the first or of the last levelled point of the bed stands there.
func TestToeAtAnEndOfTheBed(t *testing.T) {
	for levelM, wantM := range map[float64]float64{99: 0, 100.399: 36, 103.7: 120} {
		d := damAt("d", 57, 0, "status", "pegged", "accuracyM", 40)
		l := survey(gully("accuracyM", 5, "chainageZero", zeroAtStart), d, bedOf120(), feature("level-run", "r", nil, "rows", book(0, staff{"d", model.ToeSpot, -1, levelM})))
		if f, ok := l.Of(d).Figure("chainageM"); !ok || math.Abs(f.Value-wantM) > 1e-6 || f.Basis != model.Levelled {
			t.Errorf("a toe at %v m stands at %+v, want %v m", levelM, f, wantM)
		}
	}
}

// What a dam says of itself is taken within the bounds of its fields.
func TestBoundsOfADamsFields(t *testing.T) {
	for _, c := range []struct {
		field string
		value float64
		taken bool
	}{
		{"chainageM", 0, true}, {"chainageM", -0.1, false}, {"chainageM", section.MaxChainageM, true}, {"chainageM", section.MaxChainageM + 1, false},
		{"fromBelowM", 0, false}, {"fromBelowM", 0.01, true}, {"fromBelowM", section.MaxChainageM, true}, {"fromBelowM", section.MaxChainageM + 1, false},
		{"crestHeightM", 0, false}, {"crestHeightM", 0.01, true}, {"toeLevelM", -3, true}, {"targetCrestLevelM", -3, true},
	} {
		d := newDam(feature("check-dam", "d", nil, c.field, c.value))
		got := map[string]*float64{"chainageM": d.bookedM, "fromBelowM": d.upFromM, "crestHeightM": d.heightM, "toeLevelM": d.peggedM, "targetCrestLevelM": d.targetM}[c.field]
		if (got != nil) != c.taken || got != nil && *got != c.value {
			t.Errorf("%s of %v is read as %v, want it taken: %t", c.field, c.value, got, c.taken)
		}
	}
	if newDam(feature("check-dam", "d", orb.Point{200, 0})).hasFix || !newDam(feature("check-dam", "d", orb.Point{148, -20})).hasFix {
		t.Error("a position that is not on the earth is a fix, or one that is, is not")
	}
	// A dam that names the one below without a distance is placed as any other.
	a, b := damAt("a", 50, 0, "chainageM", 50), damAt("b", 60, 0, "chainageM", 60, "damBelow", "a")
	want(t, survey(gully(), a, b).Of(a), "spacingM", 10, 0.05*math.Sqrt2, 1e-9, model.Taped)
}

// A dam without a position stands nowhere along a line, and one that its own position alone places, on a line of
// which nobody knows the end with chainage 0, is not placed by naming the dam below it.
func TestDamsThatNothingPlaces(t *testing.T) {
	lost := feature("check-dam", "d", nil, "thalweg", "t", "status", "built")
	s := survey(gully(), lost).Of(lost)
	none(t, s, "chainageM")
	none(t, s, "offsetM")
	bed := feature("level-run", "r", nil, "rows", book(0, staff{"t", model.BedSpot, 0, 100}, staff{"t", model.BedSpot, 50, 101}))
	a, b := damAt("a", 10, 0, "chainageM", 10, "accuracyM", 50), damAt("b", 22, 0, "damBelow", "a", "accuracyM", 50)
	for _, pair := range [][2]model.Feature{{a, b}, {damAt("a", 10, 0), damAt("b", 22, 0, "chainageM", 22, "damBelow", "a")}} {
		l := survey(gully("accuracyM", 50), pair[0], pair[1], bed)
		if l.tapedFrom(l.dams["b"]) != nil {
			t.Error("a dam without a taped distance is taken for taped")
		}
	}
}

// The middle of a line across the gully, or the point, is where a dam stands.
func TestFixOfADam(t *testing.T) {
	a, b := north(0, 0), north(10, 0)
	for _, c := range []struct {
		g    orb.Geometry
		at   orb.Point
		some bool
	}{
		{a, a, true}, {orb.MultiPoint{b}, b, true}, {orb.MultiPoint{a, b}, orb.Point{}, false}, {orb.LineString{}, orb.Point{}, false},
		{orb.LineString{a}, a, true}, {orb.LineString{a, b, a}, a, true}, {orb.LineString{a, b}, north(5, 0), true}, {nil, orb.Point{}, false}, {orb.Polygon{}, orb.Point{}, false},
	} {
		if got, ok := fixOf(c.g); ok != c.some || math.Abs(got[0]-c.at[0]) > 1e-9 || math.Abs(got[1]-c.at[1]) > 1e-9 {
			t.Errorf("%v stands at %v, %t; want %v, %t", c.g, got, ok, c.at, c.some)
		}
	}
}

// Levels of the crest and of the next toe by two runs are said to be of two; by one run not.
func TestStepByTwoRunsIsTold(t *testing.T) {
	a, b := damAt("a", 50, 0, "chainageM", 50), damAt("b", 60, 0, "name", "Dam 2", "chainageM", 60)
	lower := []staff{{"a", model.ToeSpot, -1, 100}, {"a", model.CrestSpot, -1, 100.4}}
	upper := []staff{{"b", model.ToeSpot, -1, 100.4}, {"b", model.CrestSpot, -1, 100.8}}
	one := survey(gully(), a, b, feature("level-run", "r", nil, "rows", book(0, append(lower, upper...)...))).Of(a)
	quiet(t, one, "stepM")
	want(t, one, "stepM", 0, 0.005*math.Sqrt2, 1e-9, model.Levelled)
	two := survey(gully(), a, b, feature("level-run", "r", nil, "rows", book(0, lower...)), feature("level-run", "s", nil, "rows", book(0, upper...))).Of(a)
	warns(t, two, "stepM", "Its crest and the toe of Dam 2 were levelled in two runs, taken to be on one datum.")
	check(t, two, model.OK, "level with the toe of Dam 2")
	// A crest on the level of its own toe is no crest.
	flat := survey(gully(), a, b, feature("level-run", "r", nil, "rows", book(0, append(lower, staff{"b", model.ToeSpot, -1, 100.4}, staff{"b", model.CrestSpot, -1, 100.4})...))).Of(a)
	check(t, flat, model.NotLevelled, "cannot be judged against Dam 2: its crest at 100.40 m is not above its toe at 100.40 m")
}

// A crest that is booked on the level of its own toe, or under it, is to be levelled again.
func TestCrestOnItsToe(t *testing.T) {
	for levelM, bad := range map[float64]bool{100.1: false, 100: true, 99.9: true} {
		d := damAt("d", 50, 0, "chainageM", 50)
		s := survey(gully(), d, feature("level-run", "r", nil, "rows", book(0, staff{"d", model.ToeSpot, -1, 100}, staff{"d", model.CrestSpot, -1, levelM}))).Of(d)
		if got := len(s.Checks) == 1 && strings.Contains(s.Checks[0].Text, "not above its toe at 100.00 m: level it again"); got != bad {
			t.Errorf("a crest at %v m: %+v", levelM, s.Checks)
		}
	}
}

// A peg that was read anew is odd no more.
func TestOddPegReadAgain(t *testing.T) {
	peg := func(id string, upM float64) model.Feature {
		return damAt(id, upM, 0, "name", "Dam "+id, "status", "pegged", "chainageM", upM, "chainageBasis", "taped")
	}
	run := func(levelM float64) model.Feature {
		return feature("level-run", "r", nil, "rows", book(0, staff{"a", model.ToeSpot, -1, 100}, staff{"b", model.ToeSpot, -1, levelM}, staff{"c", model.ToeSpot, -1, 101}, staff{"d", model.ToeSpot, -1, 101.5}))
	}
	k := NewCache()
	for levelM, odd := range map[float64]bool{102.5: true, 100.5: false} {
		k.Change(slices.Values([]model.Feature{gully(), peg("a", 10), peg("b", 20), peg("c", 30), peg("d", 40), run(levelM)}), nil)
		for range 2 {
			k.Change(slices.Values([]model.Feature{run(levelM)}), nil)
		}
		s, _ := k.Sheet("b")
		told := slices.ContainsFunc(s.Cautions, func(c model.Caution) bool { return strings.Contains(c.Text, "contradicts those of the other dams") })
		if told != odd || len(k.PropertyFigures().thalwegs["t"].odd) > 1 {
			t.Errorf("a toe at %v m: cautions %+v, odd %d", levelM, s.Cautions, len(k.PropertyFigures().thalwegs["t"].odd))
		}
	}
}

// A dam as high as a porous dam may be is not cautioned; a centimetre more is.
func TestHeightIsCautioned(t *testing.T) {
	for heightM, told := range map[float64]bool{works.MaxCrestM: false, works.MaxCrestM + 0.01: true} {
		d := damAt("d", 50, 0, "crestHeightM", heightM)
		if s := survey(gully(), d).Of(d); told {
			warns(t, s, "crestHeightM", "have an engineer look at it")
		} else {
			quiet(t, s, "crestHeightM")
		}
	}
}

// Accuracy of nought is none.
func TestAccuracyOfNoughtIsNone(t *testing.T) {
	line := gully("accuracyM", 0)
	want(t, survey(line).Of(line), "lengthM", 200, -1, 0.001, model.NotRecorded)
}

// Of two mapped catchments the nearer is the head's, whatever their ids.
func TestNearerCatchmentIsTheHeads(t *testing.T) {
	square := func(id string, sideM, eastM float64) model.Feature {
		return feature("catchment", id, orb.Polygon{{north(0, eastM), north(sideM, eastM), north(sideM, eastM+sideM), north(0, eastM+sideM), north(0, eastM)}}, "name", id)
	}
	head := feature("gully-head", "h", north(-5, 200), "catchmentHa", 32.0)
	for _, ids := range [][2]string{{"a", "b"}, {"b", "a"}} {
		got := survey(square(ids[0], 400, 0), square(ids[1], 600, 212), head).MismatchOf(head)
		if got == nil || got.Mapped != ids[0] || got.GivenHa != 32 || math.Abs(got.MappedHa-16) > 0.1 {
			t.Errorf("the head lies on the edge of %+v, want %s", got, ids[0])
		}
	}
}

// How what visits measure is measured.
func TestBasisOfWhatVisitsMeasure(t *testing.T) {
	for _, c := range []struct {
		kind, field string
		want        model.Basis
	}{{"gully-head", "headOffsetM", model.Taped}, {"check-dam", "sedimentDepthM", model.NotRecorded}, {"exclosure", "coverPct", model.Estimated}} {
		of := feature(c.kind, "f", nil)
		v := survey(of, feature("visit", "v", nil, "of", "f", "observedOn", "2026-05-13", c.field, 2.5)).Of(of).Visited
		if v == nil || len(v.Measured) != 1 || v.Measured[0].Name != c.field || v.Measured[0].Basis != c.want || v.Measured[0].Value != 2.5 || v.Measured[0].On != "2026-05-13" {
			t.Errorf("%s: %+v, want one %s, %s", c.kind, v, c.field, c.want)
		}
	}
}

// An outline has homeless dams where one with a place names no thalweg.
func TestHomelessDams(t *testing.T) {
	for _, c := range []struct {
		dam  model.Feature
		want bool
	}{
		{feature("check-dam", "d", north(0, 0)), true}, {feature("check-dam", "d", nil), false}, {feature("check-dam", "d", north(0, 0), "thalweg", "t"), false}, {feature("thalweg", "t", nil), false},
	} {
		o := NewOutline()
		if o.Add(c.dam); o.Homeless() != c.want {
			t.Errorf("%+v: homeless %t", c.dam, o.Homeless())
		}
	}
}

// A dam that names no thalweg stands in one within 25 m, the nearest.
func TestDamFindsItsThalweg(t *testing.T) {
	other := func(id string, eastM float64) model.Feature {
		return feature("thalweg", id, orb.LineString{north(0, eastM), north(200, eastM)})
	}
	for _, c := range []struct {
		eastM float64
		lines []model.Feature
		want  string
	}{
		{24.9, []model.Feature{other("t", 0)}, "t"}, {25.1, []model.Feature{other("t", 0)}, ""},
		{10, []model.Feature{other("t", 0), other("u", 19)}, "u"}, {9, []model.Feature{other("u", 0), other("t", 19)}, "u"},
		{5, []model.Feature{other("v", 0), other("t", 0), other("u", 0)}, "t"}, {5, []model.Feature{other("t", 0), other("u", 0), other("v", 0)}, "t"},
	} {
		d := feature("check-dam", "d", north(100, c.eastM))
		l := survey(append(c.lines, d)...)
		got := ""
		if in := l.dams["d"].in; in != nil {
			got = in.id
		}
		if got != c.want {
			t.Errorf("%v m east of the first of %d: stands in %q, want %q", c.eastM, len(c.lines), got, c.want)
		}
	}
}

func TestWordsOfPegs(t *testing.T) {
	for name, want := range map[string]string{"": "peg 3", "0": "peg 0", "9a": "peg 9a", "a9": "a9", "/": "/", ":": ":"} {
		if got := pegWords(name, 3); got != want {
			t.Errorf("peg %q is called %q, want %q", name, got, want)
		}
	}
	for offM, want := range map[float64]string{0: "0.000 m above it", 0.04: "0.040 m above it", -0.04: "0.040 m below it"} {
		if got := offLevel(offM); got != want {
			t.Errorf("%v m off is said as %q, want %q", offM, got, want)
		}
	}
}

// The long section of a gully is as long as its line, or as its bed where no line was drawn, and proven
// only by a levelled bed.
func TestLengthOfALongSection(t *testing.T) {
	bed := func(outM float64) model.Feature {
		return feature("level-run", "r", nil, "rows", book(outM, staff{"t", model.BedSpot, 0, 100}, staff{"t", model.BedSpot, 60, 102}))
	}
	for _, c := range []struct {
		name    string
		line    model.Feature
		run     model.Feature
		lengthM float64
		proven  bool
	}{
		{"line and bed", gully(), bed(0), 200, true}, {"bed alone", feature("thalweg", "t", nil), bed(0), 60, true}, {"open run", gully(), bed(0.5), 200, false},
	} {
		s, ok := survey(c.line, c.run).LongSection("t")
		if !ok || math.Abs(s.LengthM-c.lengthM) > 0.01 || s.Proven != c.proven || len(s.Bed) != 2 || s.ZeroUnknown != (c.lengthM == 200) || s.Line != nil {
			t.Errorf("%s: %+v, %t; want %v m, proven %t", c.name, s, ok, c.lengthM, c.proven)
		}
	}
	if _, ok := survey(gully()).LongSection("t"); ok {
		t.Error("a line alone has a long section")
	}
	s, ok := survey(gully(), damAt("d", 50, 0, "chainageM", 50)).LongSection("t")
	if !ok || s.Proven || len(s.Dams) != 1 || s.Bed == nil || strings.Join(s.Notes, "") != "" {
		t.Errorf("one dam: %+v, %t", s, ok)
	}
}
