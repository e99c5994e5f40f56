package figures

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// gully runs 200 m due north, upstream.
func gully(fields ...any) model.Feature {
	return feature("thalweg", "t", orb.LineString{north(0, 0), north(200, 0)}, fields...)
}

func damAt(id string, northM, eastM float64, fields ...any) model.Feature {
	return feature("check-dam", id, north(northM, eastM), append([]any{"thalweg", "t", "status", "built"}, fields...)...)
}

func TestSpacingFromFixesAsksForATape(t *testing.T) {
	// Two dams 9 m apart placed with 5 m fixes: 9 ± 7 m.
	a, b := damAt("a", 50, 1, "accuracyM", 5), damAt("b", 59, -2, "accuracyM", 5)
	s := survey(gully("accuracyM", 5), a, b).Of(a)
	want(t, s, "spacingM", 9, 5*math.Sqrt2, 0.001, model.GPS)
	want(t, s, "chainageM", 50, 5*math.Sqrt2, 0.001, model.GPS)
	// A quarter up a thalweg of two 5 m fixes: 5 √(1 + ¾² + ¼²) m (derived).
	want(t, s, "offsetM", 1, 5*math.Sqrt(1.625), 0.001, model.GPS)
	warns(t, s, "spacingM", "9 ± 7 m: tape it")
	quiet(t, s, "chainageM")
	check(t, s, model.NotLevelled, "have not been levelled")
}

func TestTapedChainagesBeatFixes(t *testing.T) {
	a, b := damAt("a", 50, 0, "accuracyM", 5, "chainageM", 52.3), damAt("b", 59, 0, "accuracyM", 5, "chainageM", 60.3)
	s := survey(gully("accuracyM", 5), a, b).Of(a)
	want(t, s, "spacingM", 8, 0.05*math.Sqrt2, 0.001, model.Taped)
	want(t, s, "chainageM", 52.3, 0.05, 1e-9, model.Taped)
	quiet(t, s, "spacingM")
	// One taped and one not is as good as the fix.
	c := damAt("c", 70, 0, "accuracyM", 4)
	s = survey(gully("chainageZero", zeroAtStart, "accuracyM", 3), a, b, c).Of(b)
	want(t, s, "spacingM", 9.7, math.Hypot(5, 0.05), 0.001, model.GPS) // the fix, and the line's place where chainage 0 is: √(4² + 3²)
	// An accuracy nobody gave is not known, not nought.
	c = damAt("c", 70, 0)
	s = survey(gully("chainageZero", zeroAtStart), a, b, c).Of(b)
	want(t, s, "spacingM", 9.7, -1, 0.001, model.NotRecorded)
	warns(t, s, "spacingM", "unknown accuracy")
}

func TestLargeOffsetIsTold(t *testing.T) {
	far := damAt("far", 50, 40, "accuracyM", 5)
	s := survey(gully("name", "Brown Gully"), far).Of(far)
	want(t, s, "offsetM", 40, -1, 0.001, model.NotRecorded)
	warns(t, s, "chainageM", "40.0 m off the thalweg")
	poor := damAt("poor", 50, 40, "accuracyM", 20)
	quiet(t, survey(gully(), poor).Of(poor), "chainageM") // 40 m is within three times 20
	taped := damAt("taped", 50, 40, "accuracyM", 5, "chainageM", 48)
	warns(t, survey(gully("name", "Brown Gully"), taped).Of(taped), "offsetM", "40 m from Brown Gully")
	past := damAt("past", 230, 0, "accuracyM", 20)
	warns(t, survey(gully(), past).Of(past), "chainageM", "past the end")
}

func TestDamWithoutThalwegStandsInTheNearest(t *testing.T) {
	other := feature("thalweg", "o", orb.LineString{north(0, 30), north(200, 30)})
	d := feature("check-dam", "d", north(80, 22))
	want(t, survey(gully(), other, d).Of(d), "offsetM", 8, -1, 0.001, model.NotRecorded)
	stray := feature("check-dam", "d", north(80, 400))
	none(t, survey(gully(), other, stray).Of(stray), "chainageM")
	named := damAt("d", 80, 400)
	want(t, survey(gully(), other, named).Of(named), "offsetM", 400, -1, 0.01, model.NotRecorded)
	lost := feature("check-dam", "d", north(80, 1), "thalweg", "nowhere", "chainageM", 33)
	want(t, survey(gully(), lost).Of(lost), "chainageM", 33, 0.05, 1e-9, model.Taped)
}

func TestDamAcrossTheGullyStandsAtItsMiddle(t *testing.T) {
	d := feature("check-dam", "d", orb.LineString{north(80, -6), north(84, 4)}, "thalweg", "t")
	s := survey(gully(), d).Of(d)
	want(t, s, "chainageM", 82, -1, 0.001, model.NotRecorded)
	want(t, s, "offsetM", 1, -1, 0.001, model.NotRecorded)
	want(t, s, "lengthM", math.Hypot(4, 10), -1, 0.001, model.NotRecorded)
}

// threeDams are level, then 0.18 m of gap.
func threeDams(outM float64) []model.Feature {
	rows := book(outM,
		staff{"a", model.ToeSpot, -1, 100}, staff{"a", model.CrestSpot, -1, 100.4},
		staff{"b", model.ToeSpot, -1, 100.4}, staff{"b", model.CrestSpot, -1, 100.85}, staff{"b", model.CrestSpot, -1, 100.8},
		staff{"c", model.ToeSpot, -1, 100.98}, staff{"c", model.CrestSpot, -1, 101.4})
	return []model.Feature{gully(),
		damAt("a", 10, 0, "chainageM", 10, "crestHeightM", 0.4), damAt("b", 18, 0, "chainageM", 18, "name", "second"), damAt("c", 26, 0, "chainageM", 26, "name", "dam 5", "crestHeightM", 0.9),
		feature("level-run", "r", nil, "rows", rows, "name", "R1")}
}

func TestLevelledDamsAreChecked(t *testing.T) {
	all := threeDams(0.002)
	l := survey(all...)
	a, b, c := l.Of(all[1]), l.Of(all[2]), l.Of(all[3])
	check(t, a, model.OK, "level with the toe of second")
	check(t, b, model.Fails, "0.18 m below the toe of dam 5: a gap")
	want(t, b, "stepM", 0.18, 0.005*math.Sqrt2, 1e-9, model.Levelled)
	want(t, b, "crestHeightM", 0.4, 0.005*math.Sqrt2, 1e-9, model.Levelled) // the lowest of its crest
	want(t, c, "crestHeightM", 0.42, 0.005*math.Sqrt2, 1e-9, model.Levelled)
	warns(t, c, "crestHeightM", "0.90 m was typed in")
	if len(c.Checks) != 0 {
		t.Errorf("the highest dam has checks %+v, want none: nothing stands upstream", c.Checks)
	}
}

// Crest and toe may meet while the bed between them stands above both.
func TestAHumpBetweenDamsFails(t *testing.T) {
	spots := []staff{{"a", model.ToeSpot, -1, 100}, {"a", model.CrestSpot, -1, 100.4}, {"b", model.ToeSpot, -1, 100.4}, {"b", model.CrestSpot, -1, 100.8},
		{"t", model.BedSpot, 50, 100}, {"t", model.BedSpot, 60, 100.7}, {"t", model.BedSpot, 70, 100.4}, {"t", model.BedSpot, 90, 101}}
	a, b := damAt("a", 50, 0, "accuracyM", 5, "chainageM", 50), damAt("b", 70, 0, "accuracyM", 5, "chainageM", 70)
	l := survey(gully(), a, b, feature("level-run", "r", nil, "rows", book(0, spots...)))
	check(t, l.Of(a), model.Fails, "the bed rises 0.30 m above its crest, at chainage 60.0 m: a hump")
	if pairs := l.LongSections()[0].Pairs; pairs[0].Verdict != "hump" || pairs[0].Hump == nil {
		t.Errorf("pairs %+v, want a hump", pairs)
	}
	// A fix may be metres off, so that the bed booked by tape tells nothing of the dams.
	a, b = damAt("a", 50, 0, "accuracyM", 5), damAt("b", 70, 0, "accuracyM", 5)
	check(t, survey(gully("chainageZero", zeroAtStart), a, b, feature("level-run", "r", nil, "rows", book(0, spots...))).Of(a), model.OK, "level with")
	check(t, survey(gully("chainageZero", zeroAtStart), a, b, feature("level-run", "r", nil, "rows", book(0.2, spots...))).Of(a), model.NotLevelled, "not closed")
}

// An open run marks every level it gave, in every figure and check that rests on one.
func TestOpenRunProvesNothing(t *testing.T) {
	all := threeDams(0.2)
	l := survey(all...)
	for i, typed := range []bool{true, false, true} {
		s := l.Of(all[i+1])
		check(t, s, model.NotLevelled, "level run R1, which is not closed")
		basis := model.Unproven
		if typed {
			basis = model.NotRecorded // what was written down by hand beats what proves nothing
		}
		if f, _ := s.Figure("crestHeightM"); f.Basis != basis {
			t.Errorf("crest of dam %d = %+v, want %s", i, f, basis)
		}
		if f, ok := s.Figure("stepM"); ok && f.Basis != model.Unproven {
			t.Errorf("step of dam %d = %+v, want unproven", i, f)
		}
	}
	for _, p := range l.LongSections()[0].Pairs {
		if p.Verdict != "not levelled" {
			t.Errorf("pair %+v, want not levelled", p)
		}
	}
	s := l.Of(all[4])
	check(t, s, model.Fails, "out by")
	warns(t, s, "", "its levels are not yet checked")
}

func TestTheBetterRunIsUsed(t *testing.T) {
	all := threeDams(0.2)
	later := feature("level-run", "s", nil, "observedOn", "2026-01-02", "rows", book(0,
		staff{"b", model.ToeSpot, -1, 100.4}, staff{"b", model.CrestSpot, -1, 100.8}, staff{"c", model.ToeSpot, -1, 100.8}, staff{"c", model.CrestSpot, -1, 101.2}))
	check(t, survey(append(all, later)...).Of(all[2]), model.OK, "level with the toe of dam 5")
	latest := feature("level-run", "q", nil, "observedOn", "2026-03-04", "rows", book(0,
		staff{"c", model.ToeSpot, -1, 100.6}, staff{"c", model.CrestSpot, -1, 101}))
	check(t, survey(append(all, latest, later)...).Of(all[2]), model.Fails, "0.20 m above the toe of dam 5")
}

func TestPairsPassOverDamsThatHoldNothing(t *testing.T) {
	all := threeDams(0)
	for _, status := range []model.Status{model.Failed, model.Removed} {
		all[2].Fields["status"] = []byte(`"` + string(status) + `"`)
		l := survey(all...)
		want(t, l.Of(all[1]), "spacingM", 16, 0.05*math.Sqrt2, 1e-9, model.Taped)
		none(t, l.Of(all[2]), "spacingM")
		if s := l.LongSections()[0]; len(s.Dams) != 3 || len(s.Pairs) != 1 || s.Pairs[0].Upper != "c" {
			t.Errorf("long section with a %s dam = %+v, want it drawn and passed over", status, s)
		}
	}
}

func TestOddDamsSpoilNoOthers(t *testing.T) {
	all := threeDams(0)
	rows := book(0, staff{"x", model.ToeSpot, -1, 101}, staff{"x", model.CrestSpot, -1, 100.5})
	all = append(all, damAt("x", 40, 0, "chainageM", 40), damAt("twin", 10, 0, "chainageM", 10), feature("level-run", "odd", nil, "rows", rows))
	l := survey(all...)
	check(t, l.Of(all[2]), model.Fails, "a gap")
	check(t, l.Of(all[5]), model.NotLevelled, "not above its toe")
	none(t, l.Of(all[5]), "crestHeightM")
	check(t, l.Of(all[3]), model.NotLevelled, "cannot be judged")
	high := feature("check-dam", "h", nil, "crestHeightM", 1.6)
	warns(t, survey(high).Of(high), "crestHeightM", "engineer")
}

// The demo of no one: same features in any order, same answers.
func TestOrderOfFeaturesDoesNotTell(t *testing.T) {
	all := threeDams(0)
	before := survey(all...).LongSections()
	back := slices.Clone(all)
	slices.Reverse(back)
	after := survey(back...).LongSections()
	if a, b := asJSON(t, before), asJSON(t, after); a != b {
		t.Errorf("backwards: %s\nforwards: %s", b, a)
	}
}

// A dam that names no thalweg is found by its middle too, far from either end.
func TestDamStandsInTheMiddleOfALongGully(t *testing.T) {
	long := feature("thalweg", "t", orb.LineString{north(0, 0), north(2000, 1000)})
	d := feature("check-dam", "d", north(1000, 500), "status", "built")
	if f, ok := survey(long, d).Of(d).Figure("chainageM"); !ok || math.Abs(f.Value-math.Hypot(1000, 500)) > 1 {
		t.Errorf("chainage %+v, want half of the gully's length", f)
	}
}
