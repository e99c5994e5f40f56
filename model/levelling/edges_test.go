package levelling

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model"
)

// How much of a line holds is a share of the line itself, wherever its chainages begin; its ± is known
// where that of the levels is, and one of nought is nought.
func TestShareThatHolds(t *testing.T) {
	pegs := []Peg{{ChainageM: 110, LevelM: 100}, {ChainageM: 120, LevelM: 99.8}, {ChainageM: 130, LevelM: 99.6}} // falls by 1 in 50 to a turned-up end
	for _, c := range []struct {
		basis       model.Basis
		plusMinusM  float64
		lipM, share float64
		known       bool
	}{
		{model.Levelled, 0.005, 0.1, 25, true}, {model.Levelled, 0.005, 0.2, 50, true}, {model.Levelled, 0.005, 0.5, 100, true}, {model.GPS, 0, 0.1, 25, false}, {model.GPS, 1, 0.1, 25, true},
	} {
		got, err := CheckContour(pegs, ContourOptions{ToleranceM: 0.05, Basis: c.basis, PlusMinusM: c.plusMinusM, Lip: Lip{HeightM: c.lipM}})
		if err != nil || got.Holding == nil || math.Abs(got.Holding.SharePct-c.share) > 1e-9 || math.Abs(got.Holding.LengthM-c.share/5) > 1e-9 || (got.Holding.PlusMinusM >= 0) != c.known || !c.known && got.Holding.PlusMinusM != -1 {
			t.Errorf("a lip of %v m on levels from %s: %+v, %v; want %v %%, its ± known: %t", c.lipM, c.basis, got.Holding, err, c.share, c.known)
		}
	}
	if none, err := CheckContour(pegs, ContourOptions{Basis: model.Levelled}); err != nil || none.Holding != nil {
		t.Errorf("without a lip: %+v, %v", none.Holding, err)
	}
}

// A grade and a peg at the tolerance pass; a little more does not. Which way is said for each.
func TestTolerancesOfContours(t *testing.T) {
	for _, c := range []struct {
		levels     []float64
		grade, off float64
		want       string
	}{
		{[]float64{100, 100.2}, 2, 0.1, ""}, {[]float64{100, 100.2}, 1.99, 0.1, "The line rises by 2.00 % from peg 1 to peg 2."}, {[]float64{100.2, 100}, 1.99, 0.1, "The line falls by 2.00 % from peg 1 to peg 2."}, {[]float64{100, 100.2}, 0, 0.1, ""},
		{[]float64{100, 100.2}, 0, 0.099, "Peg 1 is 0.100 m low: move it uphill. Peg 2 is 0.100 m high: move it downhill."}, {[]float64{100, 100}, 0, 0, ""},
	} {
		got, err := CheckContour([]Peg{{ChainageM: 0, LevelM: c.levels[0]}, {ChainageM: 10, LevelM: c.levels[1]}}, ContourOptions{ToleranceM: c.off, GradeTolerancePct: c.grade, Basis: model.Levelled})
		if text := strings.Join(got.Reasons, " "); err != nil || text != c.want || (got.Verdict == model.OK) != (c.want == "") {
			t.Errorf("%v within %v %% and %v m: %s, %q, %v; want %q", c.levels, c.grade, c.off, got.Verdict, text, err, c.want)
		}
	}
	for n, taken := range map[int]bool{1: false, 2: true, 10_000: true, 10_001: false} {
		pegs := make([]Peg, n)
		for i := range pegs {
			pegs[i] = Peg{ChainageM: float64(i), LevelM: 100}
		}
		if _, err := CheckContour(pegs, ContourOptions{Basis: model.Levelled}); (err == nil) != taken {
			t.Errorf("%d pegs: %v", n, err)
		}
	}
}

// A book under way ends on the point sighted last, whichever sight that was, and its sums are those booked.
func TestEndOfABookUnderWay(t *testing.T) {
	from := model.LevelRow{BS: new(1.0), KnownLevelM: new(100.0)}
	for _, c := range []struct {
		name   string
		rows   []model.LevelRow
		levels []float64
		sumFS  float64
	}{
		{"set up", []model.LevelRow{from}, []float64{100}, 0}, {"one sight", []model.LevelRow{from, {IS: new(1.4)}}, []float64{100, 99.6}, 0},
		{"a change point", []model.LevelRow{from, {FS: new(2.0), BS: new(1.1)}}, []float64{100, 99}, 2}, {"a foresight", []model.LevelRow{from, {FS: new(2.0)}}, []float64{100, 99}, 2},
		{"upside down", []model.LevelRow{from, {IS: new(1.4), Inverted: true}}, []float64{100, 102.4}, 0}, {"struck last", []model.LevelRow{from, {IS: new(1.4)}, {IS: new(9.0), Struck: true}}, []float64{100, 99.6, 0}, 0},
		{"upside down at the line of sight", []model.LevelRow{from, {IS: new(0.0), Inverted: true}}, []float64{100, 101}, 0},
	} {
		run, err := Reduce(c.rows, Options{})
		if err != nil || len(run.Rows) != len(c.levels) || math.Abs(run.SumFSM-c.sumFS) > 1e-12 {
			t.Errorf("%s: %+v, %v", c.name, run, err)
			continue
		}
		for i, want := range c.levels {
			if math.Abs(run.Rows[i].LevelM-want) > 1e-9 {
				t.Errorf("%s: row %d at %v, want %v", c.name, i+1, run.Rows[i].LevelM, want)
			}
		}
	}
}

// A correction of so many tenths of a millimetre over so many set-ups is shared out from the start, halves
// away from nought.
func TestSharesOfACorrection(t *testing.T) {
	rows := []model.LevelRow{{BS: new(1.0), KnownLevelM: new(100.0)}, {BS: new(1.0), FS: new(1.0)}, {BS: new(1.0), FS: new(1.0)}, {BS: new(1.0), FS: new(1.0)}, {FS: new(1.0), KnownLevelM: new(100.0)}}
	for tenth, want := range map[int][]float64{1: {0, 0, 1, 1, 1}, 2: {0, 1, 1, 2, 2}, 3: {0, 1, 2, 2, 3}, 4: {0, 1, 2, 3, 4}, -1: {0, 0, -1, -1, -1}, -2: {0, -1, -1, -2, -2}, -3: {0, -1, -2, -2, -3}, 0: {0, 0, 0, 0, 0}} {
		rows[4].KnownLevelM = new(math.Round(1e6+float64(tenth)) / 1e4)
		run, err := Reduce(rows, Options{Adjust: AdjustAlways})
		if err != nil {
			t.Fatal(err)
		}
		var got []float64
		for i, row := range run.Rows {
			got = append(got, math.Round((row.BestM()-100)*1e4))
			if i == 0 && row.BestM() != 100 {
				t.Errorf("the start moves to %v", row.BestM())
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%d tenths over 4 set-ups: %v, want %v", tenth, got, want)
		}
	}
}
