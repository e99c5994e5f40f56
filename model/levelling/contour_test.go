package levelling

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"pgregory.net/rapid"
)

// line makes pegs every 10 m from their levels.
func line(levels ...float64) []Peg {
	pegs := make([]Peg, len(levels))
	for i, level := range levels {
		pegs[i] = Peg{ChainageM: 10 * float64(i), LevelM: level}
	}
	return pegs
}

// The numbers are simple enough to be worked out on paper.
func TestCheckContour(t *testing.T) {
	tests := []struct {
		name    string
		pegs    []Peg
		options ContourOptions
		mean    float64
		worst   OffPeg
		grades  []float64
		lows    []LowPoint
		drains  Drainage
		verdict model.Verdict
		reason  string
	}{
		{
			name: "level", pegs: line(50, 50, 50), options: ContourOptions{ToleranceM: 0},
			mean: 50, worst: OffPeg{Peg: 1}, grades: []float64{0, 0}, drains: DrainsNowhere, verdict: model.OK,
		},
		{
			name: "on-the-tolerance", pegs: line(50.05, 49.95), options: ContourOptions{ToleranceM: 0.05},
			mean: 50, worst: OffPeg{Peg: 1, OffM: 0.05}, grades: []float64{-1}, drains: DrainsToLast, verdict: model.OK,
		},
		{
			name: "beyond-it", pegs: line(49.9499, 50.0501), options: ContourOptions{ToleranceM: 0.05},
			mean: 50, worst: OffPeg{Peg: 1, OffM: -0.0501}, grades: []float64{1.002}, drains: DrainsToFirst, verdict: model.Fails,
			reason: "Peg 1 is 0.050 m low: move it uphill.",
		},
		{
			name: "one-peg-high", pegs: line(50, 50, 50.09, 50), options: ContourOptions{ToleranceM: 0.05},
			mean: 50.0225, worst: OffPeg{Peg: 3, OffM: 0.0675}, grades: []float64{0, 0.9, -0.9}, drains: DrainsToBothEnds, verdict: model.Fails,
			reason: "Peg 3 is 0.068 m high: move it downhill.",
		},
		{
			name: "within-height-but-too-steep", pegs: line(50, 50.04, 50), options: ContourOptions{ToleranceM: 0.05, GradeTolerancePct: 0.3},
			mean: 50.0133, worst: OffPeg{Peg: 2, OffM: 0.0267}, grades: []float64{0.4, -0.4}, drains: DrainsToBothEnds, verdict: model.Fails,
			reason: "The line rises by 0.40 % from peg 1 to peg 2.",
		},
		{
			name: "too-steep-falling", pegs: line(50.04, 50), options: ContourOptions{ToleranceM: 0.05, GradeTolerancePct: 0.3},
			mean: 50.02, worst: OffPeg{Peg: 1, OffM: 0.02}, grades: []float64{-0.4}, drains: DrainsToLast, verdict: model.Fails,
			reason: "The line falls by 0.40 % from peg 1 to peg 2.",
		},
		{
			name: "low-in-the-middle", pegs: line(50.03, 49.98, 49.98, 50.01, 50), options: ContourOptions{ToleranceM: 0.05},
			mean: 50, worst: OffPeg{Peg: 1, OffM: 0.03}, grades: []float64{-0.5, 0, 0.3, -0.1},
			lows: []LowPoint{{Peg: 2, ChainageM: 10, LevelM: 49.98, DepthM: 0.03}}, drains: DrainsToLow, verdict: model.OK,
		},
		{
			name: "pool-within-a-pool", pegs: line(51, 50.2, 50.5, 50, 50.8), options: ContourOptions{ToleranceM: 1},
			mean: 50.5, worst: OffPeg{Peg: 1, OffM: 0.5}, grades: []float64{-8, 3, -5, 8},
			lows:   []LowPoint{{Peg: 2, ChainageM: 10, LevelM: 50.2, DepthM: 0.3}, {Peg: 4, ChainageM: 30, LevelM: 50, DepthM: 0.8}},
			drains: DrainsToLow, verdict: model.OK,
		},
		{
			name: "heights-of-a-gps", pegs: line(50, 50, 50), options: ContourOptions{ToleranceM: 0.05, Basis: model.GPS},
			mean: 50, worst: OffPeg{Peg: 1}, grades: []float64{0, 0}, drains: DrainsNowhere, verdict: model.NotLevelled,
			reason: "Heights from a GPS err by metres",
		},
		{
			name: "unproven-run", pegs: line(50, 50, 50), options: ContourOptions{ToleranceM: 0.05, Basis: model.Unproven},
			mean: 50, worst: OffPeg{Peg: 1}, grades: []float64{0, 0}, drains: DrainsNowhere, verdict: model.NotLevelled,
			reason: "is not closed",
		},
		{
			name: "taped", pegs: line(50, 52), options: ContourOptions{ToleranceM: 0.05, Basis: model.Taped},
			mean: 51, worst: OffPeg{Peg: 1, OffM: -1}, grades: []float64{20}, drains: DrainsToFirst, verdict: model.NotLevelled,
			reason: "these levels are taped",
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if test.options.Basis == "" {
				test.options.Basis = model.Levelled
			}
			c, err := CheckContour(test.pegs, test.options)
			if err != nil {
				t.Fatal(err)
			}
			if c.MeanLevelM != test.mean || c.Worst != test.worst || c.Drains != test.drains || c.Verdict != test.verdict {
				t.Errorf("mean %v worst %+v drains to %s: %s, want %v %+v %s: %s", c.MeanLevelM, c.Worst, c.Drains, c.Verdict, test.mean, test.worst, test.drains, test.verdict)
			}
			if !slices.Equal(c.GradesPct, test.grades) || !slices.Equal(c.LowPoints, test.lows) {
				t.Errorf("grades %v low points %+v, want %v %+v", c.GradesPct, c.LowPoints, test.grades, test.lows)
			}
			if got := strings.Join(c.Reasons, " "); !strings.Contains(got, test.reason) || (got == "") != (test.reason == "") {
				t.Errorf("reasons %q, want %q", got, test.reason)
			}
		})
	}
}

func TestContourPlusMinus(t *testing.T) {
	c, err := CheckContour(line(50, 50, 50, 50), ContourOptions{ToleranceM: 0.1, Basis: model.Levelled, PlusMinusM: 0.004})
	if err != nil {
		t.Fatal(err)
	}
	// Of four pegs good to 4 mm the mean is good to 2, a peg about it to 4*sqrt(3/4), and a
	// grade over 10 m to 4*sqrt(2) mm in 10 m.
	if c.MeanPlusMinusM != 0.002 || math.Abs(c.OffPlusMinusM-0.0034641) > 1e-7 || c.GradesPlusMinusPct[0] != 0.056569 {
		t.Errorf("plus-minus of mean %v, peg %v, grade %v", c.MeanPlusMinusM, c.OffPlusMinusM, c.GradesPlusMinusPct[0])
	}
}

// Nobody knows how good levels are that no instrument gave, unless the officer says.
func TestContourPlusMinusOfOtherLevels(t *testing.T) {
	for _, basis := range []model.Basis{model.GPS, model.Taped, model.Unproven} {
		c, err := CheckContour(line(50, 50.1, 50, 49.9), ContourOptions{ToleranceM: 0.1, Basis: basis})
		if err != nil {
			t.Fatal(err)
		}
		if c.MeanPlusMinusM != -1 || c.OffPlusMinusM != -1 || c.GradesPlusMinusPct[1] != -1 {
			t.Errorf("%s: plus-minus of mean %v, peg %v, grade %v, want -1: not known", basis, c.MeanPlusMinusM, c.OffPlusMinusM, c.GradesPlusMinusPct[1])
		}
	}
}

func TestContoursThatAreRefused(t *testing.T) {
	levelled := ContourOptions{ToleranceM: 0.05, Basis: model.Levelled}
	with := func(change func(*ContourOptions)) ContourOptions {
		o := levelled
		change(&o)
		return o
	}
	tests := []struct {
		name    string
		pegs    []Peg
		options ContourOptions
		path    string
	}{
		{"no-pegs", nil, levelled, "pegs"},
		{"one-peg", line(50), levelled, "pegs"},
		{"too-many", make([]Peg, 10_001), levelled, "pegs"},
		{"level-not-a-number", line(50, math.NaN()), levelled, "pegs[1].levelM"},
		{"level-in-millimetres", line(50, 50123), levelled, "pegs[1].levelM"},
		{"same-chainage", []Peg{{ChainageM: 5}, {ChainageM: 5}}, levelled, "pegs[1].chainageM"},
		{"backwards", []Peg{{ChainageM: 5}, {ChainageM: 4}}, levelled, "pegs[1].chainageM"},
		{"chainage-infinite", []Peg{{}, {ChainageM: math.Inf(1)}}, levelled, "pegs[1].chainageM"},
		{"tolerance-negative", line(50, 50), with(func(o *ContourOptions) { o.ToleranceM = -0.1 }), "toleranceM"},
		{"tolerance-over-a-metre", line(50, 50), with(func(o *ContourOptions) { o.ToleranceM = 1.01 }), "toleranceM"},
		{"tolerance-not-a-number", line(50, 50), with(func(o *ContourOptions) { o.ToleranceM = math.NaN() }), "toleranceM"},
		{"grade-infinite", line(50, 50), with(func(o *ContourOptions) { o.GradeTolerancePct = math.Inf(1) }), "gradeTolerancePct"},
		{"plus-minus-negative", line(50, 50), with(func(o *ContourOptions) { o.PlusMinusM = -1 }), "levelPlusMinusM"},
		{"basis-unheard-of", line(50, 50), with(func(o *ContourOptions) { o.Basis = "guessed" }), "basis"},
		{"no-basis", line(50, 50), with(func(o *ContourOptions) { o.Basis = "" }), "basis"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := CheckContour(test.pegs, test.options)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != test.path {
				t.Errorf("%v, want a problem at %s", err, test.path)
			}
		})
	}
}

func TestWideTolerancesAreCautioned(t *testing.T) {
	for tolerance, want := range map[float64]int{0: 0, 0.05: 0, 0.1: 0, 0.101: 1, 1: 1} {
		c, err := CheckContour(line(50, 50), ContourOptions{ToleranceM: tolerance, Basis: model.Levelled})
		if err != nil || len(c.Cautions) != want {
			t.Errorf("tolerance %v m: cautions %v, %v; want %d", tolerance, c.Cautions, err, want)
		}
	}
}

// A line walked from its other end has the same mean, the same pegs off it, its grades
// backwards with the other sign, and its low points at the same places.
func TestWalkingTheLineBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenthsUp := rapid.SliceOfN(rapid.IntRange(-400, 400), 2, 12).Draw(t, "levels")
		var there, back []Peg
		for i, up := range tenthsUp {
			there = append(there, Peg{Name: fmt.Sprint(i), ChainageM: 20 * float64(i), LevelM: 300 + float64(up)/perMetre})
		}
		for i := range there {
			p := there[len(there)-1-i]
			back = append(back, Peg{Name: p.Name, ChainageM: 20 * float64(i), LevelM: p.LevelM})
		}
		o := ContourOptions{ToleranceM: 0.02, Basis: model.Levelled}
		a, err := CheckContour(there, o)
		if err != nil {
			t.Fatal(err)
		}
		b, err := CheckContour(back, o)
		if err != nil {
			t.Fatal(err)
		}
		slices.Reverse(b.GradesPct)
		for i, g := range a.GradesPct {
			if math.Abs(g+b.GradesPct[i]) > 1e-5 {
				t.Fatalf("grades %v there, %v back", a.GradesPct, b.GradesPct)
			}
		}
		if math.Abs(a.MeanLevelM-b.MeanLevelM) > 1.1e-4 || math.Abs(math.Abs(a.Worst.OffM)-math.Abs(b.Worst.OffM)) > 1.1e-4 {
			t.Fatalf("mean %v worst %v there, %v %v back", a.MeanLevelM, a.Worst, b.MeanLevelM, b.Worst)
		}
		if len(a.LowPoints) != len(b.LowPoints) {
			t.Fatalf("low points %+v there, %+v back", a.LowPoints, b.LowPoints)
		}
		for i, low := range a.LowPoints {
			if other := b.LowPoints[len(b.LowPoints)-1-i]; low.DepthM != other.DepthM || low.DepthM <= 0 {
				t.Fatalf("low point %+v there, %+v back", low, other)
			}
		}
	})
}
