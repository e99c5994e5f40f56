package levelling

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
	"pgregory.net/rapid"
)

func holding(t *testing.T, pegs []Peg, lip Lip) *Holding {
	t.Helper()
	c, err := CheckContour(pegs, ContourOptions{ToleranceM: 0.05, Basis: model.Levelled, Lip: lip})
	if err != nil {
		t.Fatal(err)
	}
	return c.Holding
}

func TestPublishedHoldingLength(t *testing.T) {
	seen := &comparison{t: t}
	for _, c := range modeltest.Cases(t, "runoff", "off_contour_loss") {
		seen.cases++
		fall, h := c.Number(t, "line_fall_m_per_m"), c.Number(t, "h_m")
		pegs := []Peg{{ChainageM: 0, LevelM: 50}, {ChainageM: 60, LevelM: 50 - 60*fall}, {ChainageM: 100, LevelM: 50 - 100*fall}}
		held := holding(t, pegs, Lip{HeightM: h})
		seen.check(c, "wet_length_m", held.LengthM)
		// So stops are needed at least that often: three between the ends of 100 m.
		want := modeltest.Want[float64](t, c, "wet_length_m")
		if held.StopsNeeded != 3 || math.Abs(held.StopsAtM[0]-want) > 0.01 || math.Abs(held.StopsAtM[2]-3*want) > 0.01 {
			t.Errorf("%s: stops at %v, want every %v m", c.ID, held.StopsAtM, want)
		}
	}
	seen.report("holding length", 1)
}

func TestHolding(t *testing.T) {
	tests := []struct {
		name string
		pegs []Peg
		lip  Lip
		wet  [][2]float64
		stop []float64
	}{
		{"level", line(50, 50, 50), Lip{HeightM: 0.1}, [][2]float64{{0, 20}}, nil},
		{"level-with-open-ends", line(50, 50, 50), Lip{HeightM: 0.1, OpenEnds: true}, nil, nil},
		{"falls", line(50.2, 50.1, 50), Lip{HeightM: 0.1}, [][2]float64{{10, 20}}, []float64{10}},
		{"falls-out-of-its-end", line(50.2, 50.1, 50), Lip{HeightM: 0.1, OpenEnds: true}, nil, []float64{10}},
		{"climbs", line(50, 50.1, 50.2), Lip{HeightM: 0.05}, [][2]float64{{0, 5}}, []float64{5, 10, 15}},
		{"dip", line(50.2, 50, 50.2), Lip{HeightM: 0.1}, [][2]float64{{5, 15}}, []float64{5, 15}},
		{"dip-with-open-ends", line(50.2, 50, 50.2), Lip{HeightM: 0.1, OpenEnds: true}, [][2]float64{{5, 15}}, []float64{5, 15}},
		{"shallow-dip-within-the-lip", line(50.04, 50, 50.04), Lip{HeightM: 0.1, OpenEnds: true}, [][2]float64{{0, 20}}, nil},
		{"hump", line(50, 50.2, 50), Lip{HeightM: 0.1}, [][2]float64{{0, 5}, {15, 20}}, []float64{5, 15}},
		// The shallow pool behind the brim at 10 m spills over it into the deep one, which the lip
		// lets out at 50.05; the pool itself stands up to the brim.
		{"pool-above-a-pool", line(50.3, 50.25, 50.3, 50.0, 50.3), Lip{HeightM: 0.1}, [][2]float64{{0, 20}, {20 + 20.0/3, 30 + 10.0/3}}, []float64{20 + 10.0/3, 20 + 20.0/3, 30 + 10.0/3, 30 + 20.0/3}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := holding(t, test.pegs, test.lip)
			flat := func(wet [][2]float64) (all []float64) {
				for _, w := range wet {
					all = append(all, w[0], w[1])
				}
				return all
			}
			near := func(a, b float64) int {
				if math.Abs(a-b) < 1e-4 {
					return 0
				}
				return 1
			}
			if slices.CompareFunc(flat(got.Wet), flat(test.wet), near) != 0 || slices.CompareFunc(got.StopsAtM, test.stop, near) != 0 || got.StopsNeeded != len(test.stop) {
				t.Errorf("holds %v, stops at %v, want %v and %v", got.Wet, got.StopsAtM, test.wet, test.stop)
			}
		})
	}
}

// TestHoldingBySearch looks from many places both ways along the line for lower ground to run
// over at and higher ground to be held by, as the definition says and not as the code does.
func TestHoldingBySearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pegs := anyLine(t)
		lip := Lip{HeightM: rapid.SampledFrom([]float64{0.01, 0.03, 0.1}).Draw(t, "lip"), OpenEnds: rapid.Bool().Draw(t, "open")}
		c, err := CheckContour(pegs, ContourOptions{ToleranceM: 1, Basis: model.Levelled, Lip: lip})
		if err != nil {
			t.Fatal(err)
		}
		k := rapid.IntRange(0, len(pegs)-2).Draw(t, "after peg")
		share := rapid.Float64Range(0.01, 0.99).Draw(t, "share")
		x := pegs[k].ChainageM + share*(pegs[k+1].ChainageM-pegs[k].ChainageM)
		v := pegs[k].LevelM + share*(pegs[k+1].LevelM-pegs[k].LevelM)
		kept := func(i, step int) bool {
			for ; i >= 0 && i < len(pegs); i += step {
				if pegs[i].LevelM > v {
					return true
				}
				if pegs[i].LevelM < v-lip.HeightM {
					return false
				}
			}
			return !lip.OpenEnds
		}
		want := kept(k, -1) && kept(k+1, +1)
		got := slices.ContainsFunc(c.Holding.Wet, func(w [2]float64) bool { return w[0] <= x && x <= w[1] })
		edge := slices.ContainsFunc(c.Holding.Wet, func(w [2]float64) bool { return math.Abs(w[0]-x) < 1e-3 || math.Abs(w[1]-x) < 1e-3 })
		level := slices.ContainsFunc(pegs, func(p Peg) bool { return math.Abs(p.LevelM-v) < 1e-9 || math.Abs(p.LevelM+lip.HeightM-v) < 1e-9 })
		if got != want && !edge && !level {
			t.Fatalf("%v m along at %v m holds water: %t, want %t; %+v", x, v, got, want, c.Holding)
		}
		// Between stops no piece differs by more than the lip, and no stop can be left out.
		at := append(append([]float64{pegs[0].ChainageM}, c.Holding.StopsAtM...), pegs[len(pegs)-1].ChainageM)
		for i := range len(at) - 1 {
			low, high := span(pegs, at[i], at[i+1])
			if high-low > lip.HeightM+1e-3 && c.Holding.StopsNeeded <= MaxStops {
				t.Fatalf("from stop %v to %v the ground differs by %v, more than the lip", at[i], at[i+1], high-low)
			}
			if i > 0 {
				if low, high := span(pegs, at[i-1], min(at[i]+1e-3, at[len(at)-1])); high-low < lip.HeightM-1e-3 {
					t.Fatalf("the stop at %v m comes too early: the ground differs by %v", at[i], high-low)
				}
			}
		}
	})
}

// span is the lowest and the highest ground between two chainages.
func span(pegs []Peg, fromM, toM float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i := range len(pegs) - 1 {
		a, b := pegs[i], pegs[i+1]
		from, to := max(fromM, a.ChainageM), min(toM, b.ChainageM)
		if from > to {
			continue
		}
		for _, x := range []float64{from, to} {
			z := a.LevelM + (b.LevelM-a.LevelM)*(x-a.ChainageM)/(b.ChainageM-a.ChainageM)
			low, high = min(low, z), max(high, z)
		}
	}
	return low, high
}

func TestLipsThatAreRefused(t *testing.T) {
	for name, test := range map[string]struct {
		lip  Lip
		path string
	}{
		"in-millimetres": {Lip{HeightM: 50}, "lipM"}, "too-low": {Lip{HeightM: 0.001}, "lipM"}, "negative": {Lip{HeightM: -0.1}, "lipM"},
		"not-a-number": {Lip{HeightM: math.NaN()}, "lipM"}, "plus-minus-negative": {Lip{HeightM: 0.1, PlusMinusM: -1}, "lipPlusMinusM"},
	} {
		_, err := CheckContour(line(50, 50), ContourOptions{ToleranceM: 0.05, Basis: model.Levelled, Lip: test.lip})
		if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != test.path {
			t.Errorf("%s: %v, want a problem at %s", name, err, test.path)
		}
	}
}

func TestALineThatIsNoContour(t *testing.T) {
	got := holding(t, line(50, 1000), Lip{HeightM: 0.01})
	if got.StopsNeeded != MaxStops+1 || got.StopsAtM != nil {
		t.Errorf("950 m of climb in 10 needs %d stops, %d listed, want more than can be listed", got.StopsNeeded, len(got.StopsAtM))
	}
}

// TestContourSpread moves every level, and the lip, 10,000 times with a fixed seed: what is
// told of reaches and of the holding length spreads as its plus-minus says, within 5 %.
func TestContourSpread(t *testing.T) {
	const levelM, lipM, draws = 0.002, 0.001, 10_000
	tests := map[string][]Peg{
		"wanders":  line(49.98, 50, 50.12, 50.2, 50.1, 49.98, 49.9, 49.72),
		"unevenly": {{ChainageM: 0, LevelM: 50.2}, {ChainageM: 15, LevelM: 50.09}, {ChainageM: 40, LevelM: 49.9}, {ChainageM: 52, LevelM: 50.02}, {ChainageM: 80, LevelM: 49.79}},
	}
	for name, pegs := range tests {
		t.Run(name, func(t *testing.T) {
			o := ContourOptions{ToleranceM: 0.05, Basis: model.Levelled, PlusMinusM: levelM, Lip: Lip{HeightM: 0.08, PlusMinusM: lipM}}
			base, err := CheckContour(pegs, o)
			if err != nil {
				t.Fatal(err)
			}
			random := rand.New(rand.NewPCG(20261125, 51))
			figures := func(c Contour) []float64 {
				all := []float64{c.Holding.LengthM}
				for _, r := range c.Reaches {
					all = append(all, r.Worst.OffM, r.FromM, r.ToM)
				}
				return all
			}
			want := []float64{base.Holding.PlusMinusM}
			for _, r := range base.Reaches {
				want = append(want, r.PlusMinusM, r.FromPlusMinusM, r.ToPlusMinusM)
			}
			was := figures(base)
			sums, squares := make([]float64, len(was)), make([]float64, len(was))
			for range draws {
				moved := slices.Clone(pegs)
				for i := range moved {
					moved[i].LevelM += levelM * random.NormFloat64()
				}
				drawn := o
				drawn.Lip.HeightM += lipM * random.NormFloat64()
				c, err := CheckContour(moved, drawn)
				if err != nil {
					t.Fatal(err)
				}
				is := figures(c)
				if len(is) != len(was) {
					t.Fatalf("a draw has %d figures, not %d", len(is), len(was))
				}
				for i := range is {
					sums[i], squares[i] = sums[i]+is[i]-was[i], squares[i]+(is[i]-was[i])*(is[i]-was[i])
				}
			}
			for i, plusMinus := range want {
				got := math.Sqrt(squares[i]/draws - sums[i]*sums[i]/draws/draws)
				if plusMinus == 0 && got == 0 {
					continue // an end of the line
				}
				if math.Abs(plusMinus/got-1) > 0.05 {
					t.Errorf("figure %d, %v ± %v, spreads by %v", i, was[i], plusMinus, got)
				}
			}
		})
	}
}
