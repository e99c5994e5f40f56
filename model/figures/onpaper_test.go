package figures

import (
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/works"
)

// A dam that a plan proposed is drawn and told where it goes; what stands is judged as if it were not
// there, since nothing of it is on the ground. Once pegged it counts as any other.
func TestPlannedDamsHideNoGap(t *testing.T) {
	first := damAt("a", 12, 0, "name", "Dam 1", "chainageM", 12)
	third := damAt("c", 42, 0, "name", "Dam 3", "chainageM", 42)
	second := damAt("b", 27, 0, "name", "Dam 2", "chainageM", 27, "chainageBasis", "from plan", "status", "proposed", "targetCrestLevelM", 101)
	book := feature("level-run", "r", nil, "name", "Run 1", "rows", book(0, staff{"t", model.BedSpot, 0, 99.8}, staff{"t", model.BedSpot, 60, 101.2},
		staff{"a", model.ToeSpot, 12, 100.2}, staff{"a", model.CrestSpot, 12, 100.6}, staff{"c", model.ToeSpot, 42, 100.9}, staff{"c", model.CrestSpot, 42, 101.3}))
	l := survey(gully(), first, second, third, book)
	check(t, l.Of(first), model.Fails, "Its crest is 0.30 m below the toe of Dam 3: a gap.")
	s := l.LongSections()[0]
	if ids := model.Each(s.Dams, func(d SectionDam) string { return d.ID }); !slices.Equal(ids, []string{"a", "b", "c"}) || len(s.Pairs) != 1 || s.Pairs[0].Verdict != works.Gap {
		t.Errorf("section with dams %q and pairs %+v, want all three and the gap of two", ids, s.Pairs)
	}
	want(t, l.Of(second), "chainageM", 27, -1, 1e-9, model.FromPlan)

	pegged := damAt("b", 27, 0, "name", "Dam 2", "chainageM", 27, "chainageBasis", "from plan", "status", "pegged")
	check(t, survey(gully(), first, pegged, third, book).Of(first), model.NotLevelled, "The toe of Dam 2 has not been levelled")
}

// Where a plan puts a dam on a line follows from where the line's chainages were taken to lie, and so
// is no evidence of it.
func TestPlannedDamsTieNoLine(t *testing.T) {
	at := func(id string, northM, chainageM float64, fields ...any) model.Feature {
		return damAt(id, northM, 0, append([]any{"chainageM", chainageM, "accuracyM", 2}, fields...)...)
	}
	plan := []any{"chainageBasis", "from plan", "status", "proposed"}
	line := func(dams ...model.Feature) *SectionLine {
		return survey(append(dams, gully("accuracyM", 2), feature("level-run", "r", nil, "rows", book(0, staff{"t", model.BedSpot, 0, 99.8}, staff{"t", model.BedSpot, 150, 101.2})))...).LongSections()[0].Line
	}
	if got := line(at("a", 160, 40), at("b", 120, 80)); got == nil || !got.Down {
		t.Fatalf("line %+v by two taped dams, want it drawn from the head down", got)
	}
	if got := line(at("a", 160, 40, plan...), at("b", 120, 80, plan...)); got != nil {
		t.Errorf("line %+v by two planned dams, want that nobody knows", got)
	}
}
