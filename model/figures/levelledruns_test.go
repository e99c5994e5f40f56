package figures

import (
	"slices"
	"testing"

	"headcut/model"
)

// What levelled a bed comes run by run, the newest that closes first; what was booked after a run
// closed is a run of its own, which does not.
func TestLevelledRuns(t *testing.T) {
	spots := []staff{{"g", model.BedSpot, 0, 100}, {"g", model.BedSpot, 10, 101}, {"d", model.ToeSpot, 5, 100.5}}
	at := func(id, day string, rows []model.LevelRow) model.Feature {
		return feature("level-run", id, nil, "name", "Run "+id, "observedOn", day, "rows", rows)
	}
	on := append(book(0, spots...), model.LevelRow{Point: "on", BS: new(1.0)}, model.LevelRow{Point: "bed 20", IS: new(1.5), Feature: "g", Spot: model.BedSpot, ChainageM: new(20.0)})
	on[len(on)-3].BS, on[len(on)-2] = new(2.0), model.LevelRow{Point: "ground", IS: new(1.9)} // the instrument is set up again on the benchmark
	l := survey(at("1", "2025-05-13", book(0, spots...)), at("2", "2026-05-13", on), at("3", "2026-11-01", book(0.5, spots...)))
	var got []string
	for _, r := range l.LevelledRuns("g") {
		got = append(got, r.Called)
		if r.Proven != (r.Unclosed == "") {
			t.Errorf("%s: proven %v, and %q", r.Called, r.Proven, r.Unclosed)
		}
		for _, s := range r.Spots {
			if s.Place != model.BedSpot || s.ChainageM == nil {
				t.Errorf("%s has the spot %+v, want the bed's own", r.Called, s)
			}
		}
	}
	if want := []string{"the closed part of Run 2", "Run 1", "Run 3", "readings of Run 2 after it closed on BM"}; !slices.Equal(got, want) {
		t.Errorf("runs %q, want %q", got, want)
	}
	if all := l.LevelledRuns("nothing"); len(all) != 0 {
		t.Errorf("%+v levelled what nobody levelled", all)
	}
}

// Dams in a gully are those that name it and those that stand near it, also where nobody knows their chainage.
func TestDamsIn(t *testing.T) {
	l := survey(gully(), feature("check-dam", "b", north(10, 3)), damAt("a", 20, 0), feature("check-dam", "c", nil, "thalweg", "t"), feature("check-dam", "far", north(10, 200)))
	if got := l.DamsIn("t"); !slices.Equal(got, []string{"a", "b", "c"}) {
		t.Errorf("dams in the gully %q, want a, b and c", got)
	}
	if got := l.DamsIn("none"); got != nil {
		t.Errorf("dams in no gully: %q", got)
	}
}
