package works

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// rowOf is a straight windrow from west to east, metres on the ground, with its gaps.
func rowOf(from, to, north float64, gaps ...RowGap) Windrow {
	return Windrow{Line: onGround(level(from, to, north, 3))[0], Gaps: gaps}
}

// gapsInWords writes pairs short: "1.1>2.1 gap +4.0" is gap 1 of row 1 over gap 1 of row 2 by 4 m.
func gapsInWords(pairs []GapPair) string {
	var all []string
	for _, p := range pairs {
		text := fmt.Sprintf("%d.%d>", p.Row+1, p.Gap+1)
		if p.Below >= 0 {
			text += fmt.Sprint(p.Below + 1)
		}
		if p.BelowGap >= 0 {
			text += fmt.Sprintf(".%d", p.BelowGap+1)
		}
		text += " " + string(p.Meets)
		if p.BelowGap >= 0 || p.Meets == MeetsOpen {
			text += fmt.Sprintf(" %+.1f", p.OverlapM)
		}
		all = append(all, text)
	}
	return strings.Join(all, "; ")
}

// Rows run from west to east and water to the south; the widths are worked out on paper.
func TestStagger(t *testing.T) {
	tests := []struct {
		name    string
		rows    []Windrow
		fall    float64
		accM    float64
		want    string
		verdict GapVerdict
	}{
		{"staggered", []Windrow{rowOf(0, 100, 40, RowGap{20, 26}), rowOf(0, 100, 0, RowGap{60, 66})}, 180, 0,
			"1.1>2.1 timber -34.0; 2.1> open ground +6.0", Staggered},
		{"lined-up", []Windrow{rowOf(0, 100, 40, RowGap{20, 26}), rowOf(0, 100, 0, RowGap{22, 30})}, 180, 0,
			"1.1>2.1 gap +4.0; 2.1> open ground +8.0", LinedUp},
		{"one-within-the-other", []Windrow{rowOf(0, 100, 40, RowGap{20, 40}), rowOf(0, 100, 0, RowGap{28, 32})}, 180, 0,
			"1.1>2.1 gap +4.0; 2.1> open ground +4.0", LinedUp},
		{"edge-to-edge", []Windrow{rowOf(0, 100, 40, RowGap{20, 26}), rowOf(0, 100, 0, RowGap{26.01, 32})}, 180, 0,
			"1.1>2.1 timber -0.0; 2.1> open ground +6.0", Staggered},
		{"just-missed-by-fixes", []Windrow{rowOf(0, 100, 40, RowGap{20, 26}), rowOf(0, 100, 0, RowGap{28, 34})}, 180, 3,
			"1.1>2.1 too close to tell -2.0; 2.1> open ground +6.0", CannotTell},
		{"just-met-by-fixes", []Windrow{rowOf(0, 100, 40, RowGap{20, 26}), rowOf(0, 100, 0, RowGap{24, 34})}, 180, 3,
			"1.1>2.1 too close to tell +2.0; 2.1> open ground +10.0", CannotTell},
		{"missed-for-certain", []Windrow{rowOf(0, 100, 40, RowGap{20, 26}), rowOf(0, 100, 0, RowGap{36, 40})}, 180, 3,
			"1.1>2.1 timber -10.0; 2.1> open ground +4.0", Staggered},
		{"met-for-certain", []Windrow{rowOf(0, 100, 40, RowGap{20, 36}), rowOf(0, 100, 0, RowGap{22, 40})}, 180, 3,
			"1.1>2.1 gap +14.0; 2.1> open ground +18.0", LinedUp},
		{"two-below", []Windrow{rowOf(0, 100, 40, RowGap{20, 40}), rowOf(0, 100, 0, RowGap{15, 22}, RowGap{35, 45})}, 180, 0,
			// Looking south, the east is on the left.
			"1.1>2.2 gap +5.0; 1.1>2.1 gap +2.0; 2.1> open ground +7.0; 2.2> open ground +10.0", LinedUp},
		{"any-order-any-way", []Windrow{{Line: onGround(level(100, 0, 0, 2))[0], Gaps: []RowGap{{70, 78}}}, rowOf(0, 100, 40, RowGap{20, 26})}, 180, 0,
			"1.1> open ground +8.0; 2.1>1.1 gap +4.0", LinedUp},
		{"solid-row-between", []Windrow{rowOf(0, 100, 80, RowGap{20, 26}), rowOf(0, 100, 40), rowOf(0, 100, 0, RowGap{20, 26})}, 180, 0,
			"1.1>2 timber; 3.1> open ground +6.0", Staggered},
		{"past-the-end", []Windrow{rowOf(0, 100, 40, RowGap{90, 98}), rowOf(0, 95, 0, RowGap{10, 15})}, 180, 0,
			"1.1>2.1 timber -75.0; 1.1>2 open ground +3.0; 2.1> open ground +5.0", Staggered},
		{"past-a-short-row-to-the-next", []Windrow{rowOf(0, 100, 80, RowGap{50, 60}), rowOf(0, 55, 40), rowOf(0, 100, 0, RowGap{54, 62})}, 180, 0,
			// Ground from 55 to 60 looks past row 2 at row 3, whose gap begins at 54.
			"1.1>3.1 gap +6.0; 1.1>2 timber; 3.1> open ground +8.0", LinedUp},
		{"side-by-side", []Windrow{rowOf(0, 100, 40, RowGap{45, 55}), rowOf(0, 48, 0), rowOf(52, 100, 2)}, 180, 0,
			"1.1>3 timber; 1.1>2 timber; 1.1> open ground +4.0", Staggered},
		// A fall to the south-west by 3 in 4 carries 40 m down 30 m to the west.
		{"slanting-fall", []Windrow{rowOf(0, 100, 40, RowGap{50, 60}), rowOf(0, 100, 0, RowGap{20, 30})}, 180 + math.Atan2(3, 4)*180/math.Pi, 0,
			"1.1>2.1 gap +8.0; 2.1> open ground +8.0", LinedUp},
		{"fall-from-the-rows", []Windrow{rowOf(0, 100, 40, RowGap{20, 26}), rowOf(0, 100, 0, RowGap{22, 30})}, math.NaN(), 0,
			"1.1>2.1 gap +4.0; 2.1> open ground +8.0", LinedUp},
		{"one-row", []Windrow{rowOf(0, 100, 40, RowGap{20, 26})}, 180, 0, "1.1> open ground +6.0", NoRowsBelow},
		{"no-gaps", []Windrow{rowOf(0, 100, 40), rowOf(0, 100, 0)}, 180, 0, "", NoRowsBelow},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			w := Windrows{Rows: test.rows, FallBearingDeg: test.fall, AccuracyM: test.accM}
			s, err := w.Stagger(nil)
			if err != nil {
				t.Fatal(err)
			}
			if got := gapsInWords(s.Pairs); got != test.want || s.Verdict != test.verdict {
				t.Errorf("Stagger = %s: %s\nwant %s: %s", got, s.Verdict, test.want, test.verdict)
			}
			if math.IsNaN(test.fall) && (math.Abs(s.FallBearingDeg-180) > 1e-3 || !s.FallFromRows) {
				t.Errorf("fall from the rows = %v°, want 180", s.FallBearingDeg)
			}
		})
	}
}

// TestBentGap has a gap round a bend: seen from uphill it is narrower than along the row,
// and the row below is nearest at one of its ends.
func TestBentGap(t *testing.T) {
	w := Windrows{FallBearingDeg: 180, Rows: []Windrow{
		{Line: onGround([][2]float64{{0, 40}, {30, 40}, {54, 22}, {100, 22}})[0], Gaps: []RowGap{{25, 40}}}, // 5 m level, 10 m at 4 across to 3 down
		rowOf(0, 100, 0, RowGap{36, 50}),
	}}
	s, err := w.Stagger(nil)
	if err != nil {
		t.Fatal(err)
	}
	p := s.Pairs[0]
	// From 25 to 38 across, at 40 to 34 m above the row below; the gap below begins at 36.
	if p.Meets != MeetsGap || math.Abs(p.OverlapM-2) > 1e-4 || math.Abs(p.DownM-34) > 1e-4 {
		t.Errorf("pair = %+v, want a gap over 2 m, 34 m down", p)
	}
}

// TestLowerRowsCross has two rows below a gap that cross each other, worked out on paper. The gap runs from 20 to
// 30 m east. Down from it row 2 lies 12 + (x - 20) and row 3 lies 20 - (x - 20): they cross at 24, 16 down. West of
// that water meets row 2, whose gap runs from 23 to 28: over a metre it goes on through it. Half way along that gap
// row 3 lies before it.
func TestLowerRowsCross(t *testing.T) {
	line := func(points ...[2]float64) orb.LineString { return onGround(points)[0] }
	upper := rowOf(0, 100, 40, RowGap{20, 30})
	// Along a row at 45 degrees, 8 to 13 m across are √2 times as far.
	falling := Windrow{Line: line([2]float64{15, 33}, [2]float64{40, 8}), Gaps: []RowGap{{8 * math.Sqrt2, 13 * math.Sqrt2}}}
	rising := Windrow{Line: line([2]float64{10, 10}, [2]float64{35, 35})}
	for _, test := range []struct {
		name string
		rows []Windrow
		want string // from the right of one who looks down, which is the west, comes last
	}{
		{"falling-first", []Windrow{upper, falling, rising}, "1.1>3 timber; 1.1>2.1 gap +5.0"},
		{"rising-first", []Windrow{upper, rising, falling}, "1.1>2 timber; 1.1>3.1 gap +5.0"},
	} {
		t.Run(test.name, func(t *testing.T) {
			s, err := Windrows{Rows: test.rows, FallBearingDeg: 180}.Stagger(nil)
			if err != nil {
				t.Fatal(err)
			}
			of := slices.DeleteFunc(s.Pairs, func(p GapPair) bool { return p.Row != 0 })
			if got := gapsInWords(of); got != test.want || s.Verdict != LinedUp {
				t.Errorf("Stagger = %s: %s\nwant %s: %s", got, s.Verdict, test.want, LinedUp)
			}
			if down := of[1].DownM; math.Abs(down-15) > 1e-3 {
				t.Errorf("the gap comes to %v m, want 15, where it begins", down)
			}
		})
	}
}

// TestWayDownWhoseErrorIsNotKnown says no plus-minus where the way down depends on more than
// one end and one segment.
func TestWayDownWhoseErrorIsNotKnown(t *testing.T) {
	line := func(points ...[2]float64) orb.LineString { return onGround(points)[0] }
	tests := []struct {
		name  string
		fall  float64
		rows  []Windrow
		below int // the row that is met
	}{
		// Row 2 hides row 3 west of 30, where the way to row 3 would be shorter still.
		{"from-where-another-row-ends", 180, []Windrow{rowOf(0, 100, 40, RowGap{20, 40}), rowOf(-10, 30, 20), {Line: line([2]float64{-10, 10}, [2]float64{110, -50})}}, 2},
		{"ends-in-line-down-the-fall", 0, []Windrow{{Line: line([2]float64{0, 0}, [2]float64{0, 40}, [2]float64{-100, 40}), Gaps: []RowGap{{20, 26}}},
			{Line: line([2]float64{0, 50}, [2]float64{0, 90}, [2]float64{100, 90}), Gaps: []RowGap{{20, 25}}}}, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			w := Windrows{Rows: test.rows, FallBearingDeg: test.fall, AccuracyM: 0.5}
			s, err := w.Stagger(nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range s.Pairs {
				if p.Below == test.below && p.Meets != MeetsOpen {
					if p.DownPlusMinusM != -1 {
						t.Errorf("%v m down ± %v, want not known", p.DownM, p.DownPlusMinusM)
					}
					return
				}
			}
			t.Errorf("no pair over row %d: %s", test.below+1, gapsInWords(s.Pairs))
		})
	}
}

func TestStaggerRefuses(t *testing.T) {
	good := rowOf(0, 100, 40, RowGap{20, 26})
	with := func(change func(*Windrows)) Windrows {
		w := Windrows{Rows: []Windrow{good, rowOf(0, 100, 0)}, FallBearingDeg: 180, AccuracyM: 3}
		change(&w)
		return w
	}
	gaps := func(all ...RowGap) func(*Windrows) {
		return func(w *Windrows) { w.Rows[1].Gaps = all }
	}
	many := make([]RowGap, MaxWindrowGaps+1)
	for i := range many {
		many[i] = RowGap{float64(i) * 0.1, float64(i)*0.1 + 0.05}
	}
	tests := []struct {
		name, path string
		w          Windrows
	}{
		{"no-rows", "rows", with(func(w *Windrows) { w.Rows = nil })},
		{"no-line", "rows[1].line", with(func(w *Windrows) { w.Rows[1].Line = nil })},
		{"one-place", "rows[1].line", with(func(w *Windrows) { w.Rows[1].Line = orb.LineString{good.Line[0], good.Line[0]} })},
		{"not-a-number", "rows[1].line[1]", with(func(w *Windrows) { w.Rows[1].Line[1][0] = math.NaN() })},
		{"axes-swapped", "rows[0].line[0]", with(func(w *Windrows) { w.Rows[0].Line = orb.LineString{{-20, 146}, {-20, 146.1}} })},
		{"far-away", "rows[1].line[0]", with(func(w *Windrows) { w.Rows[1].Line = orb.LineString{{147, -20}, {147.001, -20}} })},
		{"gaps-unsorted", "rows[1].gaps[1].fromM", with(gaps(RowGap{50, 60}, RowGap{10, 20}))},
		{"gaps-overlapping", "rows[1].gaps[1].fromM", with(gaps(RowGap{50, 60}, RowGap{59, 70}))},
		{"gap-backwards", "rows[1].gaps[0].toM", with(gaps(RowGap{60, 50}))},
		{"gap-of-nothing", "rows[1].gaps[0].toM", with(gaps(RowGap{60, 60}))},
		{"gap-in-millimetres", "rows[1].gaps[0].toM", with(gaps(RowGap{50, 6000}))},
		{"gap-before-the-start", "rows[1].gaps[0].fromM", with(gaps(RowGap{-5, 5}))},
		{"gap-not-a-number", "rows[1].gaps[0].toM", with(gaps(RowGap{5, math.NaN()}))},
		{"gap-infinite", "rows[1].gaps[0].toM", with(gaps(RowGap{5, math.Inf(1)}))},
		{"nothing-but-gap", "rows[1].gaps[0]", with(gaps(RowGap{0, 100.2}))},
		{"bearing-past-the-circle", "fallBearingDeg", with(func(w *Windrows) { w.FallBearingDeg = 400 })},
		{"bearing-infinite", "fallBearingDeg", with(func(w *Windrows) { w.FallBearingDeg = math.Inf(-1) })},
		{"down-the-fall", "rows[0].line", with(func(w *Windrows) { w.FallBearingDeg = 95 })},
		{"bearing-good-to-a-circle", "fallBearingPlusMinusDeg", with(func(w *Windrows) { w.BearingPlusMinusDeg = 90 })},
		{"chainage-plus-minus-negative", "chainagePlusMinusM", with(func(w *Windrows) { w.ChainagePlusMinusM = -1 })},
		{"one-row-shows-no-fall", "fallBearingDeg", Windrows{Rows: []Windrow{good}, FallBearingDeg: math.NaN()}},
		{"one-row-twice-shows-no-fall", "fallBearingDeg", Windrows{Rows: []Windrow{good, good}, FallBearingDeg: math.NaN()}},
		{"too-many", "rows", with(gaps(many...))},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s, err := test.w.Stagger(nil)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != test.path || p.Reason == "" {
				t.Errorf("Stagger = %+v, %v, want a problem at %s", s, err, test.path)
			}
		})
	}
}

func TestWindrowCautions(t *testing.T) {
	pair := []Windrow{rowOf(0, 100, 40, RowGap{20, 36}), rowOf(0, 98, 0, RowGap{22, 40})}
	pair[0].Name = "top row"
	tests := []struct {
		name string
		w    Windrows
		want []string
	}{
		{"lined-up", Windrows{Rows: pair, FallBearingDeg: 180, AccuracyM: 1}, []string{"Gap 1 of top row lies above gap 1 of row 2: close one of them, or move it 14.0 m"}},
		{"rough", Windrows{Rows: pair, FallBearingDeg: 180, AccuracyM: 20}, []string{"look straight down the fall, and tape"}},
		{"no-accuracy-no-bearing", Windrows{Rows: pair, FallBearingDeg: math.NaN()}, []string{"lies above", "square to the rows", "was not given"}},
		{"past-the-end", Windrows{Rows: []Windrow{rowOf(0, 100, 40, RowGap{95, 99}), pair[1]}, FallBearingDeg: 180, AccuracyM: 1}, []string{"looks past the end of row 2 over 1.0 m"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s, err := test.w.Stagger(nil)
			if err != nil {
				t.Fatal(err)
			}
			got := test.w.Cautions(s)[len(WindrowCautions):]
			if len(got) != len(test.want) {
				t.Fatalf("Cautions = %v, want %q", got, test.want)
			}
			for i, want := range test.want {
				if !strings.Contains(got[i].Text, want) {
					t.Errorf("caution %d = %q, want %q in it", i, got[i].Text, want)
				}
			}
		})
	}
}
