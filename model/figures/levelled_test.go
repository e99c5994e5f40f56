package figures

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/works"
)

// A dam's crest is judged against the toe of the next dam, which may be pegged and have no
// crest yet: crest 100.606, toe 100.637, so that the step is 100.637 − 100.606 = 0.031 m,
// within 0.05 m. In which run that toe was read first, and how often, tells nothing.
func TestCrestIsJudgedAgainstAToeThatIsOnlyPegged(t *testing.T) {
	first := damAt("a", 12, 0, "name", "Dam 1", "chainageM", 12)
	next := damAt("b", 42, 0, "name", "Dam 2", "chainageM", 42, "status", "pegged", "toeLevelM", 100.635, "targetCrestLevelM", 101.035, "levelRun", "r1")
	toe := staff{"b", model.ToeSpot, -1, 100.637}
	built := []staff{{"a", model.ToeSpot, -1, 100.2}, {"a", model.CrestSpot, -1, 100.606}}
	run := func(id string, spots ...staff) model.Feature {
		return feature("level-run", id, nil, "name", "Run "+id[1:], "observedOn", "2026-11-30", "rows", book(0, spots...))
	}
	for _, c := range []struct {
		name string
		runs []model.Feature
	}{
		{"one-run", []model.Feature{run("r2", append(slices.Clone(built), toe)...)}},
		{"pegged-before", []model.Feature{run("r1", toe), run("r2", built...)}},
		{"read-after", []model.Feature{run("r2", built...), run("r3", toe)}},
		{"three-times", []model.Feature{run("r1", toe), run("r2", append(slices.Clone(built), toe)...), run("r3", toe)}},
		{"its-own-toe-in-an-open-run", []model.Feature{run("r2", built[1], toe), feature("level-run", "r4", nil, "rows", book(0.3, built[0]))}},
		{"next-one-built-and-read-in-an-open-run", []model.Feature{run("r1", toe), run("r2", built...),
			feature("level-run", "r4", nil, "rows", book(0.3, staff{"b", model.ToeSpot, -1, 100.3}, staff{"b", model.CrestSpot, -1, 101}))}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := survey(append(c.runs, gully(), first, next)...)
			check(t, l.Of(first), model.OK, "Its crest is level with the toe of Dam 2")
			if f, ok := l.Of(first).Figure("stepM"); !ok || math.Abs(f.Value-0.031) > 1e-9 || f.Basis != model.Levelled {
				t.Errorf("step %+v, want 0.031 m, levelled", f)
			}
			if p := l.LongSections()[0].Pairs; len(p) != 1 || p[0].Verdict != works.Level {
				t.Errorf("pairs of the long section %+v, want one that is level", p)
			}
		})
	}

	// Where the toe truly is not levelled, what to do is said.
	check(t, survey(gully(), first, next, run("r2", built...)).Of(first), model.NotLevelled, "The toe of Dam 2 has not been levelled: read it in a level run that closes.")
	open := feature("level-run", "r3", nil, "name", "Run 3", "rows", book(0.3, toe))
	check(t, survey(gully(), first, next, run("r2", built...), open).Of(first), model.NotLevelled, "The toe of Dam 2 comes from Run 3, which is not closed: level it again.")
}

// Of readings of one day in closed runs the newest counts, and a proven one before any other.
func TestTheNewestProvenToeCounts(t *testing.T) {
	d := damAt("d", 10, 0, "chainageM", 10, "status", "pegged")
	at := func(id, day string, outM, levelM float64) model.Feature {
		return feature("level-run", id, nil, "observedOn", day, "rows", book(outM, staff{"d", model.ToeSpot, -1, levelM}))
	}
	runs := []model.Feature{at("r1", "2026-11-30", 0, 100.635), at("r2", "2026-11-30", 0, 100.637), at("r3", "2026-11-29", 0, 100.2), at("r4", "2026-12-01", 0.3, 100.9)}
	for range 2 {
		if f, ok := survey(append(runs, gully(), d)...).Of(d).Figure("toeLevelM"); !ok || math.Abs(f.Value-100.637) > 1e-9 || f.Basis != model.Levelled {
			t.Errorf("toe %+v, want 100.637 m, the later of the two of that day", f)
		}
		slices.Reverse(runs)
	}
}

// In which closed runs a level was read, in how many, in what order these were booked, and in
// what order runs, dams and gullies arrive, changes no answer.
func TestWhichRunReadALevelDoesNotTell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		works := []model.Feature{gully()}
		var readings []staff
		levelM := 100.0
		for i := range rapid.IntRange(2, 5).Draw(t, "dams") {
			id, atM := fmt.Sprint("d", i), 10+20*float64(i)
			status := "built"
			readings = append(readings, staff{id, model.ToeSpot, -1, levelM})
			if crestM := levelM + 0.4; rapid.Bool().Draw(t, "built") {
				readings = append(readings, staff{id, model.CrestSpot, -1, crestM})
			} else {
				status = "pegged"
			}
			works = append(works, damAt(id, atM, 0, "name", "Dam "+id, "chainageM", atM, "status", status))
			readings = append(readings, staff{"t", model.BedSpot, atM, levelM})
			levelM += 0.4 + rapid.SampledFrom([]float64{0, 0.02, 0.2, -0.15}).Draw(t, "step")
		}
		answer := func(runs []model.Feature) string {
			l := survey(rapid.Permutation(slices.Concat(works, runs)).Draw(t, "arrival")...)
			text := ""
			for _, f := range works {
				s := l.Of(f)
				text += f.ID + asJSON(t, s.Checks)
				for _, name := range []string{"toeLevelM", "crestHeightM", "stepM", "chainageM", "spacingM", "fallM"} {
					g, ok := s.Figure(name)
					text += fmt.Sprintf(" %s %v %.6f %s", name, ok, g.Value, g.Basis)
				}
			}
			for _, p := range l.LongSections()[0].Pairs {
				text += " " + string(p.Verdict)
			}
			return text
		}
		spread := map[int][]staff{}
		var open []staff // what a run that does not close has read since is wrong, and tells nothing
		for _, r := range readings {
			if rapid.Bool().Draw(t, "read again") {
				r.level += 0.3
				open = append(open, r)
			}
		}
		for _, r := range readings {
			for _, n := range rapid.SliceOfNDistinct(rapid.IntRange(0, 3), 1, 3, rapid.ID).Draw(t, "in runs") {
				spread[n] = append(spread[n], r)
			}
		}
		var runs []model.Feature
		for _, n := range slices.Sorted(maps.Keys(spread)) {
			day := fmt.Sprintf("2026-11-%d", rapid.IntRange(10, 13).Draw(t, "day"))
			runs = append(runs, feature("level-run", fmt.Sprint("r", n), nil, "name", fmt.Sprint("Run ", n), "observedOn", day, "rows", book(0, spread[n]...)))
		}
		runs = append(runs, feature("level-run", "open", nil, "observedOn", "2026-11-20", "rows", book(0.3, open...)))
		one := []model.Feature{feature("level-run", "r", nil, "name", "Run 1", "rows", book(0, readings...))}
		if a, b := answer(one), answer(runs); a != b {
			t.Fatalf("read in one run\n%s\nin several\n%s", a, b)
		}
	})
}
