package figures

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

func asJSON(t interface {
	Helper()
	Fatalf(string, ...any)
}, v any) string {
	t.Helper()
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatalf("%+v cannot be written: %v", v, err)
	}
	return string(raw)
}

// The published level book LB1 becomes a level run of a property.
func TestPublishedLevelBook(t *testing.T) {
	c := modeltest.Named(t, "survey", "LB1")
	var rows []model.LevelRow
	for i, r := range modeltest.Input[[]struct {
		Pt         string
		BS, IS, FS *float64
	}](t, c, "rows") {
		row := model.LevelRow{Point: r.Pt, BS: r.BS, IS: r.IS, FS: r.FS}
		if i == 0 {
			start := c.Number(t, "start_rl")
			row.KnownLevelM = &start
		}
		rows = append(rows, row)
	}
	end := c.Number(t, "closing_known_rl")
	rows[len(rows)-1].KnownLevelM = &end
	f := feature("level-run", "r", nil, "rows", rows)
	s := survey(f).Of(f)
	got, ok := s.Figure("misclosureM")
	if !ok {
		t.Fatalf("sheet = %+v, want a misclosure", s)
	}
	c.Check(t, "misclosure", got.Value)
	check(t, s, model.Fails, "out by") // 42 mm is far beyond 5 mm for each root set-up
	loose := feature("level-run", "r", nil, "rows", rows, "perRootSetupMm", 20)
	check(t, survey(loose).Of(loose), model.OK, "closes")
	want(t, survey(loose).Of(loose), "allowableM", 0.02*math.Sqrt(6), 0, 1e-9, model.Levelled)
}

// A book that is still being keyed is not closed yet, and no failure; one that ends on a
// known level and is out is one.
func TestHalfKeyedRunIsNotClosedYet(t *testing.T) {
	first, sight, change := model.LevelRow{BS: new(1.0), KnownLevelM: new(100.0)}, model.LevelRow{IS: new(1.4)}, model.LevelRow{FS: new(2.0), BS: new(1.1)}
	for name, c := range map[string]struct {
		rows []model.LevelRow
		want model.Verdict
		part string
	}{
		"one-row":           {[]model.LevelRow{first}, model.NotLevelled, "Not closed yet"},
		"intermediate":      {[]model.LevelRow{first, sight}, model.NotLevelled, "Not closed yet"},
		"moved":             {[]model.LevelRow{first, sight, change}, model.NotLevelled, "Not closed yet"},
		"hangs":             {[]model.LevelRow{first, {FS: new(2.0)}}, model.NotLevelled, "Not closed yet"},
		"out":               {[]model.LevelRow{first, {FS: new(1.2), KnownLevelM: new(100.0)}}, model.Fails, "out by"},
		"out-and-goes-on":   {[]model.LevelRow{first, {FS: new(1.2), BS: new(1.0), KnownLevelM: new(100.0)}, sight}, model.Fails, "out by"},
		"closed":            {[]model.LevelRow{first, sight, {FS: new(1.0), KnownLevelM: new(100.0)}}, model.OK, "closes"},
		"closed-and-pegged": {[]model.LevelRow{first, {FS: new(1.0), BS: new(1.0), KnownLevelM: new(100.0)}, sight}, model.NotLevelled, "closed as far as"},
		"two-loops":         {[]model.LevelRow{first, {FS: new(0.997), BS: new(1.0), KnownLevelM: new(100.0)}, {FS: new(1.004), KnownLevelM: new(100.0)}}, model.OK, "it is out by 4.0 mm where 5.0 mm is allowed"},
		"closed-then-out":   {[]model.LevelRow{first, {FS: new(1.0), BS: new(1.0), KnownLevelM: new(100.0)}, {FS: new(1.2), KnownLevelM: new(100.0)}}, model.Fails, "out by −200.0 mm; 5.0 mm is allowed"},
	} {
		f := feature("level-run", "r", nil, "rows", c.rows)
		t.Run(name, func(t *testing.T) { check(t, survey(f).Of(f), c.want, c.part) })
	}
}

func TestBooksThatCannotBeReduced(t *testing.T) {
	for _, c := range []struct {
		name string
		rows any
		part string
	}{
		{"none", nil, "cannot be reduced"},
		{"not-a-book", "two staffs", "cannot be reduced"},
		{"no-known-level", []model.LevelRow{{BS: new(1.0)}, {FS: new(2.0)}}, "Row 1, known level is missing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := feature("level-run", "r", nil, "rows", c.rows)
			check(t, survey(f).Of(f), model.Fails, c.part)
		})
	}
}

// A run that has not come to a known level yet does not fail: it is not closed yet.
func TestRunsUnderWay(t *testing.T) {
	from := model.LevelRow{BS: new(1.0), KnownLevelM: new(100.0)}
	toe := model.LevelRow{IS: new(0.8), Feature: "a", Spot: model.ToeSpot}
	for _, c := range []struct {
		name string
		rows []model.LevelRow
	}{
		{"half keyed", []model.LevelRow{from, toe}},
		{"only set up", []model.LevelRow{from}},
		{"ended elsewhere", []model.LevelRow{from, toe, {FS: new(2.0)}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := feature("level-run", "r", nil, "rows", c.rows)
			s := survey(f).Of(f)
			check(t, s, model.NotLevelled, "Not closed yet: end with a foresight")
			warns(t, s, "", "This run is not closed yet")
			for _, caution := range s.Cautions {
				if strings.Contains(caution.Text, "level it again") {
					t.Errorf("%q of a run that nothing speaks against", caution.Text)
				}
			}
		})
	}
}

func TestContourOfPegs(t *testing.T) {
	line := func(kind string, outM float64, fields []any, levels ...float64) (Sheet, model.Feature) {
		var spots []staff
		for i, z := range levels {
			spots = append(spots, staff{"x", model.PegSpot, 20 * float64(i), z})
		}
		f := feature(kind, "x", nil, fields...)
		return survey(f, feature("level-run", "r", nil, "rows", book(outM, spots...))).Of(f), f
	}
	s, _ := line("rip-line", 0, nil, 100.02, 99.98, 100.01, 99.99)
	check(t, s, model.OK, "4 pegs keep the contour within 0.05 m")
	if f, _ := s.Figure("offContourM"); math.Abs(math.Abs(f.Value)-0.02) > 1e-9 || f.Basis != model.Levelled {
		t.Errorf("offContourM = %+v, want 0.02 m, levelled", f)
	}
	s, _ = line("rip-line", 0, nil, 100, 100, 100, 100.2)
	check(t, s, model.Fails, "0.150 m high: move it downhill")
	s, _ = line("rip-line", 0, []any{"toleranceM", 0.3}, 100, 100, 100, 100.2)
	check(t, s, model.OK, "within 0.30 m")
	s, _ = line("rip-line", 0, []any{"toleranceM", 0}, 100.02, 99.98, 100.01, 99.99) // which nobody keeps
	check(t, s, model.OK, "within 0.05 m")
	s, _ = line("rip-line", 0.3, nil, 100, 100, 100, 100)
	check(t, s, model.NotLevelled, "is not closed")
	if f, _ := s.Figure("offContourM"); f.Basis != model.Unproven {
		t.Errorf("offContourM of an open run = %+v, want unproven", f)
	}
	s, _ = line("windrow", 0, nil, 100.08, 99.92)
	check(t, s, model.OK, "within 0.10 m")
	s, _ = line("whoa-boy", 0, nil, 100.3, 100.2, 100.1)
	check(t, s, model.OK, "falls to its last peg")
	s, _ = line("whoa-boy", 0, nil, 100.3, 100.1, 100.2)
	check(t, s, model.Fails, "ponds")
	warns(t, s, "offContourM", "Water gathers 0.10 m deep at peg 2 before")
	s, _ = line("whoa-boy", 0, nil, 100.1, 100.3, 100.2)
	check(t, s, model.Fails, "both ends")
	s, _ = line("rip-line", 0, nil, 100)
	check(t, s, model.NotLevelled, "cannot be judged")

	for _, kind := range contourKinds {
		bare := feature(kind, "y", nil)
		check(t, survey(bare).Of(bare), model.NotLevelled, "levelled")
	}
	banks := feature("rip-line", "y", nil, "betweenBanks", true)
	check(t, survey(banks).Of(banks), model.NotLevelled, "parallel to surveyed banks")
}

func TestPegsWithoutATapeAreStillJudged(t *testing.T) {
	f := feature("rip-line", "x", nil)
	s := survey(f, feature("level-run", "r", nil, "rows", book(0, staff{"x", model.PegSpot, -1, 100}, staff{"x", model.PegSpot, -1, 100.04}))).Of(f)
	check(t, s, model.OK, "2 pegs")
	warns(t, s, "offContourM", "no taped chainages")
}

func TestLongSectionOfAGully(t *testing.T) {
	bed := []staff{{"t", model.BedSpot, 0, 99.9}, {"t", model.BedSpot, 20, 101}, {"t", model.BedSpot, 10, 100.4}, {"t", model.BedSpot, -1, 100.7}, {"t", model.BedSpot, 20, 101.01}}
	all := threeDams(0)
	l := survey(append(all, feature("level-run", "bed", nil, "rows", book(0, bed...)))...)
	sections := l.LongSections()
	if len(sections) != 1 {
		t.Fatalf("%d long sections, want 1", len(sections))
	}
	s := sections[0]
	if len(s.Bed) != 3 || s.Bed[1].ChainageM != 10 || math.Abs(s.Bed[1].LevelM-100.4) > 1e-9 || !s.Proven || math.Abs(s.LengthM-200) > 0.001 {
		t.Errorf("bed = %+v, proven %v, length %v; want 3 levels upstream in order on 200 m, proven", s.Bed, s.Proven, s.LengthM)
	}
	if notes := strings.Join(s.Notes, " "); !strings.Contains(notes, "1 bed levels have no taped chainage") || !strings.Contains(notes, "1 bed levels share a chainage") {
		t.Errorf("notes = %q, want what was left out", s.Notes)
	}
	if len(s.Dams) != 3 || *s.Dams[1].CrestLevelM != 100.8 || s.Dams[1].Basis != model.Levelled || s.Pairs[1].Verdict != "gap" || math.Abs(*s.Pairs[1].StepM-0.18) > 1e-9 {
		t.Errorf("dams %+v, pairs %+v", s.Dams, s.Pairs)
	}
	sheet := l.Of(all[0])
	want(t, sheet, "fallM", 1.1, 0.005*math.Sqrt2, 1e-9, model.Levelled)
	if f, _ := sheet.Figure("meanSlopePct"); math.Abs(f.Value-5.5) > 1e-9 {
		t.Errorf("mean slope = %+v, want 5.5 %%", f)
	}
	open := survey(gully(), feature("level-run", "bed", nil, "rows", book(0.2, bed...)))
	if s := open.LongSections()[0]; s.Proven || len(s.Bed) != 3 {
		t.Errorf("bed of an open run = %+v, want it drawn and not proven", s)
	}
	want(t, open.Of(gully()), "fallM", 1.1, -1, 1e-9, model.Unproven)
	both := survey(gully(), feature("level-run", "a", nil, "rows", book(0.2, staff{"t", model.BedSpot, 5, 105})), feature("level-run", "bed", nil, "rows", book(0, bed...)))
	if s := both.LongSections()[0]; !s.Proven || len(s.Bed) != 3 {
		t.Errorf("an open and a closed run = %+v, want the closed one alone", s)
	}
	if got := survey(gully()).LongSections(); len(got) != 0 {
		t.Errorf("a thalweg with nothing on it gives %+v, want no long section", got)
	}
	if text := asJSON(t, sections); strings.Contains(text, "null") {
		t.Errorf("long section has nulls where a page expects lists: %s", text)
	}
}

// An officer who pegs on from a closed run has not unlevelled what it closed: the bed stays
// levelled, and the toe pegged since is told for what it is until the run closes again.
func TestPeggingOnFromAClosedRun(t *testing.T) {
	m := func(v float64) *float64 { return &v }
	closed := book(0, staff{"t", model.BedSpot, 0, 99.9}, staff{"t", model.BedSpot, 20, 101})
	last := len(closed) - 1
	on := append(closed[:last:last], closed[last])
	on[last].BS = m(1.5) // on the benchmark again, from where the level was carried
	sightM := *on[last].KnownLevelM + 1.5
	on = append(on, model.LevelRow{Point: "toe", IS: m(sightM - 100.2), Feature: "p", Spot: model.ToeSpot})
	on = append(on, model.LevelRow{Point: "1", FS: m(1.4)})
	pegged := damAt("p", 10, 0, "status", "pegged", "chainageM", 10, "crestHeightM", 0.4, "toeLevelM", 100.2, "targetCrestLevelM", 100.6)
	run := feature("level-run", "run", nil, "name", "Loop", "rows", on)

	before := survey(gully(), feature("level-run", "run", nil, "rows", closed))
	l := survey(gully(), pegged, run)
	for name, l := range map[string]*PropertyFigures{"before": before, "after": l} {
		s := l.LongSections()[0]
		if !s.Proven || len(s.Bed) != 2 {
			t.Errorf("%s pegging on: bed %+v proven %t, want both levels proven", name, s.Bed, s.Proven)
		}
		want(t, l.Of(gully()), "fallM", 1.1, 0.005*math.Sqrt2, 1e-9, model.Levelled)
	}
	check(t, l.Of(run), model.NotLevelled, "closed as far as")
	warns(t, l.Of(run), "", "not checked by a closed run yet")
	s := l.Of(pegged)
	check(t, s, model.NotLevelled, "Its toe is levelled, at 100.20 m, by readings of level run Loop after it closed on BM, which are not checked yet: end the run on a point of known level again.")
	want(t, s, "toeLevelM", 100.2, 0.002*math.Sqrt(4), 1e-9, model.Unproven)
	want(t, s, "targetCrestLevelM", 100.6, 0.002*math.Sqrt(4), 1e-9, model.FromPlan)
	if d := l.LongSections()[0].Dams; len(d) != 1 || d[0].ToeLevelM == nil || d[0].CrestLevelM != nil {
		t.Errorf("the long section has the dam as %+v, want its toe alone levelled", d)
	}

	// The book as the phone sends it while the officer pegs: it ends with the toe.
	open := survey(gully(), pegged, feature("level-run", "run", nil, "name", "Loop", "rows", on[:len(on)-1]))
	want(t, open.Of(pegged), "toeLevelM", 100.2, 0.002*math.Sqrt(4), 1e-9, model.Unproven)
	want(t, open.Of(gully()), "fallM", 1.1, 0.005*math.Sqrt2, 1e-9, model.Levelled)
	// And set up again, with nothing sighted yet.
	set := feature("level-run", "run", nil, "name", "Loop", "rows", on[:last+1])
	check(t, survey(set).Of(set), model.OK, "The run closes")

	on[len(on)-1] = model.LevelRow{Point: "BM", FS: m(1.5), KnownLevelM: on[last].KnownLevelM}
	l = survey(gully(), pegged, feature("level-run", "run", nil, "name", "Loop", "rows", on))
	s = l.Of(pegged)
	check(t, s, model.NotLevelled, "Its toe is levelled, at 100.20 m; its crest is not")
	want(t, s, "toeLevelM", 100.2, 0.002*math.Sqrt(4), 1e-9, model.Levelled)

	// Built, and levelled lower than it was pegged for.
	crest := book(0, staff{"p", model.ToeSpot, -1, 100.2}, staff{"p", model.CrestSpot, -1, 100.5})
	built := damAt("p", 10, 0, "chainageM", 10, "crestHeightM", 0.4, "toeLevelM", 100.2, "targetCrestLevelM", 100.6)
	l = survey(gully(), built, feature("level-run", "built", nil, "rows", crest))
	warns(t, l.Of(built), "targetCrestLevelM", "0.10 m below the level it was pegged for, 100.60 m")
}

// What keeps the figures of a phone follows each change of such a run.
func TestCacheFollowsARunThatGoesOn(t *testing.T) {
	m := func(v float64) *float64 { return &v }
	rows := book(0, staff{"t", model.BedSpot, 0, 99.9}, staff{"t", model.BedSpot, 20, 101})
	last := len(rows) - 1
	on := append(rows[:last:last], rows[last])
	on[last].BS = m(1.5)
	on = append(on, model.LevelRow{Point: "toe", IS: m(1.2), Feature: "p", Spot: model.ToeSpot}, model.LevelRow{Point: "1", FS: m(1.4)})
	pegged := damAt("p", 10, 0, "chainageM", 10)
	k := NewCache()
	for _, rows := range [][]model.LevelRow{rows, on, rows, on} {
		run := feature("level-run", "run", nil, "rows", rows)
		k.Change(slices.Values([]model.Feature{gully(), pegged, run}), nil)
		for _, f := range []model.Feature{gully(), pegged, run} {
			got, _ := k.Sheet(f.ID)
			if a, b := asJSON(t, got), asJSON(t, survey(gully(), pegged, run).Of(f)); a != b {
				t.Errorf("%s: kept %s, calculated again %s", f.ID, a, b)
			}
		}
	}
}
