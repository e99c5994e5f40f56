package figures

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
)

// acrossRow is a point of a cross-section as it is booked: on a cross-section, or on a thalweg with a chainage.
func acrossRow(of string, chainageM *float64, offsetM, levelM float64) model.LevelRow {
	return model.LevelRow{IS: new(math.Round((103-levelM)*1e4) / 1e4), Feature: of, Spot: model.SectionSpot, ChainageM: chainageM, OffsetM: new(offsetM)}
}

// runWith is a level run that closes, out by so much, with these rows in it.
func runWith(id, on string, outM float64, rows ...model.LevelRow) model.Feature {
	all := book(outM)
	all = slices.Concat(all[:1], rows, all[1:])
	return feature("level-run", id, nil, "name", "Run "+id, "observedOn", on, "rows", all)
}

// trapezoid is a gully 2 m wide at its bottom at 99 m, with walls of 1 in 2 on the left, to 100.5 m, and 1 in 1 on the
// right, to 100.6 m, booked from the right.
func trapezoid(of string, chainageM *float64) []model.LevelRow {
	return []model.LevelRow{acrossRow(of, chainageM, 2.6, 100.6), acrossRow(of, chainageM, 1, 99), acrossRow(of, chainageM, 0, 99), acrossRow(of, chainageM, -1, 99), acrossRow(of, chainageM, -4, 100.5)}
}

// A cross-section is made of its rows: up to its lower brink it holds 2*1.5 + 1.5*3/2 + 1.5*1.5/2 m², by hand.
func TestCrossSectionOfItsRows(t *testing.T) {
	x := feature("cross-section", "x", orb.LineString{north(0, -5), north(0, 5)}, "name", "Across 1")
	l := survey(x, runWith("1", "2026-05-13", 0, trapezoid("x", nil)...))
	s := l.Of(x)
	want(t, s, "brinkDepthM", 1.5, 0.00707, 1e-4, model.Levelled)
	want(t, s, "brinkWidthM", 6.5, 0.0714, 1e-2, model.Levelled)
	area, ok := s.Figure("brinkAreaM2")
	if !ok || math.Abs(area.Value-6.375) > 1e-9 || area.PlusMinus == nil || area.Basis != model.Levelled || area.Unit != "m2" {
		t.Errorf("area %+v, want 6.375 m²", area)
	}
	c, ok := l.CrossSection("x")
	if got := fmt.Sprint(c.Points); !ok || got != "[{-4 100.5} {-1 99} {0 99} {1 99} {2.6 100.6}]" || c.Run != "1" || !c.Proven || c.Brink.LevelM != 100.5 || len(c.Notes) != 0 {
		t.Errorf("%+v, want the points from the left and Run 1", c)
	}
	if rests := l.RestsOn(x); !slices.Equal(rests, []string{"1"}) {
		t.Errorf("rests on %q, want Run 1", rests)
	}
}

// What is wrong with it is said, and never guessed at.
func TestCrossSectionThatIsNone(t *testing.T) {
	x := feature("cross-section", "x", nil, "chainageM", 40)
	all := trapezoid("x", nil)
	for name, c := range map[string]struct {
		rows []model.LevelRow
		outM float64
		says string
		none bool
	}{
		"one wall":           {all[:3], 0, "is not lower between its ends", true},
		"two points":         {all[:2], 0, "has fewer than three levels", true},
		"no offset":          {append([]model.LevelRow{{IS: new(2.0), Feature: "x", Spot: model.SectionSpot}}, all...), 0, "1 of its levels have no offset and were left out.", false},
		"other chainage":     {append(trapezoid("x", new(40.0)), acrossRow("x", new(43.0), 0.5, 99)), 0, "A row has it at chainage 43.0 m and it is said to lie at 40.0 m", false},
		"run does not close": {all, 0.5, "Its levels are not yet checked by a closed level run.", false},
	} {
		s := survey(x, runWith("1", "2026-05-13", c.outM, c.rows...)).Of(x)
		if !slices.ContainsFunc(s.Cautions, func(caution model.Caution) bool { return strings.Contains(caution.Text, c.says) }) {
			t.Errorf("%s: %+v, want %q", name, s.Cautions, c.says)
		}
		figure, ok := s.Figure("brinkAreaM2")
		if ok == c.none || ok && (figure.Basis == model.Levelled) != (c.outM == 0) || ok && (figure.PlusMinus == nil) != (c.outM != 0) {
			t.Errorf("%s: area %+v, %v", name, figure, ok)
		}
	}
}

// Of two runs the newest that closes has it, alone: a bed moves.
func TestCrossSectionOfTheNewestRun(t *testing.T) {
	x := feature("cross-section", "x", nil)
	silted := trapezoid("x", nil)
	for i := 1; i < 4; i++ {
		silted[i].IS = new(*silted[i].IS - 0.5)
	}
	l := survey(x, runWith("1", "2024-05-13", 0, trapezoid("x", nil)...), runWith("2", "2026-05-13", 0, silted...), runWith("3", "2026-11-13", 0.9, silted[:4]...))
	want(t, l.Of(x), "brinkDepthM", 1, 0.00707, 1e-4, model.Levelled)
	c, _ := l.CrossSection("x")
	if c.Run != "2" || len(c.Notes) != 1 || !strings.Contains(c.Notes[0], "2 other level runs have it too and were left out: the closed part of level run") && !strings.Contains(c.Notes[0], "Run 2 is the newest that closes") {
		t.Errorf("%s, %q; want Run 2", c.Run, c.Notes)
	}
}

// On a thalweg the chainage tells cross-sections apart, the bed there is the point at offset 0, and the crest of a dam
// near by is a notch. Where the bed was booked from the head down, so are they.
func TestCrossSectionsOnAThalweg(t *testing.T) {
	for _, down := range []bool{false, true} {
		at := func(m float64) *float64 {
			if down {
				m = 60 - m
			}
			return &m
		}
		bed := func(m, levelM float64) model.LevelRow {
			return model.LevelRow{IS: new(103 - levelM), Feature: "t", Spot: model.BedSpot, ChainageM: at(m)}
		}
		rows := []model.LevelRow{bed(0, 98), bed(60, 101),
			acrossRow("t", at(40), -3, 101), bed(40, 100), acrossRow("t", at(40), 3, 101.2), // no offset 0
			acrossRow("t", at(20), -2, 100), acrossRow("t", at(20), 0, 99.1), acrossRow("t", at(20), 2, 100),
			{IS: new(103 - 100.5), Feature: "d", Spot: model.CrestSpot}, {IS: new(103 - 100.1), Feature: "d", Spot: model.ToeSpot}}
		dam := damAt("d", 45, 0, "name", "Dam 1", "thalweg", "t", "chainageM", *at(45), "chainageBasis", "taped", "status", "built")
		l := survey(gully(), dam, runWith("1", "2026-05-13", 0, rows...))
		all := l.CrossSections()
		if len(all) != 2 || *all[0].UpM != 20 || *all[1].UpM != 40 || *all[1].BookedM != *at(40) || all[1].Thalweg != "t" {
			t.Fatalf("down %v: %+v, want those at 20 and 40 m", down, all)
		}
		if got := fmt.Sprint(all[1].Points); got != "[{-3 101} {0 100} {3 101.2}]" {
			t.Errorf("down %v: points %s, want the bed between", down, got)
		}
		if len(all[0].Notches) != 0 || len(all[1].Notches) != 1 {
			t.Fatalf("down %v: notches %+v and %+v, want one of Dam 1, 5 m from it", down, all[0].Notches, all[1].Notches)
		}
		n := all[1].Notches[0] // 0.5 m up: 1.5 m to the left and 1.25 to the right
		if n.Dam != "d" || math.Abs(n.ApartM-5) > 1e-9 || math.Abs(n.WidthM-2.75) > 1e-9 || math.Abs(n.AreaM2-0.5*2.75/2) > 1e-9 || n.Planned || n.AreaPlusMinusM2 == nil {
			t.Errorf("down %v: notch %+v, want 2.75 m wide and 0.6875 m²", down, n)
		}
		if s, _ := l.LongSection("t"); len(s.Bed) != 3 {
			t.Errorf("down %v: the bed is %v, want its own three levels", down, s.Bed)
		}
	}
}

// Upright walls stand as they are booked, whichever way.
func TestUprightWalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := []model.LevelRow{acrossRow("x", nil, -1.5, 101), acrossRow("x", nil, -1.5, 100), acrossRow("x", nil, 0, 99.9), acrossRow("x", nil, 1.5, 100), acrossRow("x", nil, 1.5, 101)}
		x := feature("cross-section", "x", nil)
		rows = rapid.Permutation(rows).Draw(t, "rows")
		c, _ := survey(x, runWith("1", "", 0, rows...)).CrossSection("x")
		if got := fmt.Sprint(c.Points); got != "[{-1.5 101} {-1.5 100} {0 99.9} {1.5 100} {1.5 101}]" || math.Abs(c.Brink.AreaM2-3.15) > 1e-9 {
			t.Fatalf("booked %v: %s, %+v", rows, got, c.Brink)
		}
	})
}
