package figures

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// bedOf120 is a gully whose bed was levelled and taped over 120 m from its mouth, straight
// between 36 m and 48 m, where it rises from 100.399 m by 0.47 m.
func bedOf120(more ...staff) model.Feature {
	return feature("level-run", "bed", nil, "name", "Run 1", "observedOn", "2026-11-29", "rows", book(0, append([]staff{
		{"t", model.BedSpot, 0, 99}, {"t", model.BedSpot, 36, 100.399}, {"t", model.BedSpot, 48, 100.869}, {"t", model.BedSpot, 120, 103.7},
	}, more...)...))
}

// A dam pegged by level stands where its toe meets the levelled bed: 100.635 m is 0.236 m above
// the bed at 36 m, so at 36 + 12 × 0.236/0.47 = 42.03 m. The bed errs by 0.05 m between its
// levels and the levels by √(0.004² + 0.005²) = 0.0057 m or so, together 0.0503 m; at a slope of
// 0.47/12 = 3.92 % that is 1.28 m. The fix says 57 m, within 17 m.
func TestADamPeggedByLevelStandsWhereItsToeMeetsTheBed(t *testing.T) {
	pegged := damAt("d", 57, 0, "name", "Dam 2", "status", "pegged", "accuracyM", 16)
	toe := feature("level-run", "r", nil, "name", "Run 2", "rows", book(0, staff{"d", model.ToeSpot, -1, 100.635}))
	for _, zero := range []string{zeroAtStart, ""} { // it needs nobody to say which end of the line is chainage 0
		l := survey(gully("accuracyM", 5, "chainageZero", zero), pegged, bedOf120(), toe)
		s := l.Of(pegged)
		want(t, s, "chainageM", 42.03, 1.29, 0.02, model.Levelled)
		warns(t, s, "chainageM", "calculated from levels")
		quiet(t, s, "toeLevelM")
		d := l.LongSections()[0].Dams
		if len(d) != 1 || math.Abs(d[0].ChainageM-42.03) > 0.01 || d[0].Disagrees || d[0].DrawnOff {
			t.Errorf("the long section has it as %+v, want it at 42.03 m on the bed", d)
		}
	}
	// A tape beats it, and one from there to the next dam goes on from it: 42.03 + 30.1 m.
	taped := damAt("d", 57, 0, "status", "pegged", "accuracyM", 16, "chainageM", 41.5)
	want(t, survey(gully(), taped, bedOf120(), toe).Of(taped), "chainageM", 41.5, 0.05, 1e-9, model.Taped)
	next := damAt("e", 90, 0, "status", "pegged", "accuracyM", 16, "damBelow", "d", "fromBelowM", 30.1, "fromBelowBasis", "taped")
	want(t, survey(gully(), pegged, next, bedOf120(), toe).Of(next), "chainageM", 72.13, 1.29, 0.02, model.Taped)
	// In a run under way the place is the same, and not proven.
	open := feature("level-run", "r", nil, "rows", book(0, staff{"d", model.ToeSpot, -1, 100.635})[:2])
	if f, _ := survey(gully(), pegged, bedOf120(), open).Of(pegged).Figure("chainageM"); math.Abs(f.Value-42.03) > 0.01 || f.Basis != model.Unproven {
		t.Errorf("chainage %+v, want 42.03 m, unproven", f)
	}
	// A fix that cannot be there is not passed over: the level and the place do not agree.
	far := damAt("d", 110, 0, "name", "Dam 2", "status", "pegged", "accuracyM", 3)
	warns(t, survey(gully("accuracyM", 3, "chainageZero", zeroAtStart), far, bedOf120(), toe).Of(far), "toeLevelM", "do not agree")
}

// Where the bed comes to the toe's level twice, or is level there, it does not tell the place,
// and a dam that is then drawn off the bed is said to be.
func TestAToeThatMeetsTheBedTwiceHasNoPlaceByLevel(t *testing.T) {
	run := func(bed ...staff) model.Feature {
		return feature("level-run", "r", nil, "rows", book(0, append(bed, staff{"d", model.ToeSpot, -1, 100.4})...))
	}
	pegged := damAt("d", 50, 0, "name", "Dam 2", "status", "pegged", "accuracyM", 17)
	for name, c := range map[string]struct {
		run model.Feature
		why string
	}{
		"twice":   {run(staff{"t", model.BedSpot, 0, 100}, staff{"t", model.BedSpot, 40, 100.8}, staff{"t", model.BedSpot, 50, 100}, staff{"t", model.BedSpot, 100, 102.5}), "drawn off the bed: its level meets the levelled bed in more than one place. Tape its chainage."},
		"a-pool":  {run(staff{"t", model.BedSpot, 0, 100}, staff{"t", model.BedSpot, 20, 100.42}, staff{"t", model.BedSpot, 40, 100.42}, staff{"t", model.BedSpot, 100, 102.5}), "in more than one place"},
		"nowhere": {run(staff{"t", model.BedSpot, 20, 100.5}, staff{"t", model.BedSpot, 100, 103.5}), "meets the levelled bed nowhere"},
	} {
		t.Run(name, func(t *testing.T) {
			l := survey(gully("accuracyM", 1, "chainageZero", zeroAtStart), pegged, c.run)
			want(t, l.Of(pegged), "chainageM", 50, math.Hypot(17, 1), 0.1, model.GPS)
			warns(t, l.Of(pegged), "chainageM", c.why)
			s := l.LongSections()[0]
			if !s.Dams[0].DrawnOff || !strings.Contains(strings.Join(s.Notes, " "), "Dam 2: its toe at 100.40 m is drawn off the bed") {
				t.Errorf("the long section has %+v, notes %q: want it said that it is drawn off the bed", s.Dams, s.Notes)
			}
		})
	}
}

// A line walked as 148 m along a bed of 120 m is out by 28/148 = 19 % of the way from where the
// two are tied, here the head. A dam taped at 110 m from there, 10 m from the mouth, whose fix
// lies 138 m along the line is out by 28 m: no more than 0.19 × 138 = 26 m and the errors of the
// fixes. It is not said to lie at chainage −18 m.
func TestALineLongerThanItsBedContradictsNoTape(t *testing.T) {
	var spots []staff
	for _, fromHeadM := range []float64{0, 40, 80, 120} {
		spots = append(spots, staff{"t", model.BedSpot, fromHeadM, 103 - 0.025*fromHeadM})
	}
	d := damAt("d", 138, 0, "name", "Dam 5", "status", "pegged", "accuracyM", 4, "chainageM", 110)
	line := feature("thalweg", "t", orb.LineString{north(0, 0), north(148, 0)}, "accuracyM", 3, "chainageZero", zeroAtStart)
	l := survey(line, d, feature("level-run", "r", nil, "rows", book(0, spots...)))
	want(t, l.Of(d), "chainageM", 10, 0.05, 1e-9, model.Taped)
	for _, c := range l.Of(d).Cautions {
		if strings.Contains(c.Text, "position lies at") {
			t.Errorf("%q", c.Text)
		}
	}
}
