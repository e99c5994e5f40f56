package works

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
)

// onGround draws lines given in metres east and north of a scald.
func onGround(lines ...[][2]float64) []orb.LineString {
	frame := geodesy.Frame{Origin: orb.Point{146.26, -20.08}}
	out := make([]orb.LineString, len(lines))
	for i, line := range lines {
		for _, p := range line {
			out[i] = append(out[i], frame.Position(p[0], p[1]))
		}
	}
	return out
}

// level is a line of n positions from west to east at a height north of the origin.
func level(from, to, north float64, n int) [][2]float64 {
	line := make([][2]float64, n)
	for i := range line {
		line[i] = [2]float64{from + (to-from)*float64(i)/float64(n-1), north}
	}
	return line
}

func TestRipAreaOfPlainPatches(t *testing.T) {
	type spacing struct{ min, mean, max float64 }
	none := spacing{-1, -1, -1}
	tests := []struct {
		name    string
		lines   []orb.LineString
		lengthM float64
		want    spacing
		areaM2  float64
		meeting [][2]int
	}{
		{"five-alike", onGround(level(0, 100, 0, 2), level(0, 100, 4, 3), level(0, 100, 8, 5), level(0, 100, 12, 2), level(0, 100, 16, 4)),
			500, spacing{4, 4, 4}, 5 * 100 * 4, nil},
		{"any-order-and-way", onGround(level(100, 0, 8, 2), level(0, 100, 0, 2), level(0, 100, 4, 2)),
			300, spacing{4, 4, 4}, 3 * 100 * 4, nil},
		{"two-alike", onGround(level(0, 100, 0, 2), level(0, 100, 3, 2)), 200, spacing{3, 3, 3}, 600, nil},
		// Outermost lines treat 6 and 2 m, the middle one 3 + 1 m.
		{"uneven", onGround(level(0, 100, 0, 2), level(0, 100, 6, 2), level(0, 100, 8, 2)), 300, spacing{2, 4, 6}, 600 + 400 + 200, nil},
		{"half-length-neighbour", onGround(level(0, 100, 0, 2), level(0, 50, 4, 2)), 150, spacing{4, 4, 4}, 150 * 4, nil},
		{"ragged-ends", onGround(level(0, 100, 0, 2), level(3, 98, 4, 2), level(-2, 101, 8, 2)), 298, spacing{4, 4, 4}, 298 * 4, nil},
		// Line by line: 5 to the pieces and 10 past the gap for the outer two, 5 to both sides for
		// the pieces. Treated: 5 m wide along the pieces, and along the gap 10 m by the outer two.
		{"broken-line", onGround(level(0, 100, 0, 2), level(0, 40, 5, 2), level(60, 100, 5, 2), level(0, 100, 10, 2)),
			280, spacing{5, (2*80*5 + 2*20*10 + 2*80*5) / 360.0, 10}, 2*80*5 + 2*20*10 + 80*5, nil},
		{"one-line", onGround(level(0, 100, 0, 2)), 100, none, 0, nil},
		{"too-far-for-neighbours", onGround(level(0, 100, 0, 2), level(0, 100, 101, 2)), 200, none, 0, nil},
		{"end-to-end", onGround(level(0, 100, 0, 2), level(110, 200, 0, 2)), 190, none, 0, nil},
		{"twice-the-same", onGround(level(0, 100, 0, 2), level(0, 100, 0, 2)), 200, spacing{0, 0, 0}, 0, [][2]int{{0, 1}}},
		// A cross: from each half of each line the other is x tan θ away, square to it.
		{"cross", onGround([][2]float64{{-50, 0}, {50, 0}}, [][2]float64{{-50, -10}, {50, 10}}), 100 + math.Hypot(100, 20),
			spacing{0, 5, 10}, 0, [][2]int{{0, 1}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := RipArea(test.lines, 0, nil)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got.LengthM-test.lengthM) > 1e-4 {
				t.Errorf("length = %v m, want %v", got.LengthM, test.lengthM)
			}
			if !slices.Equal(got.Meeting, test.meeting) {
				t.Errorf("meeting lines = %v, want %v", got.Meeting, test.meeting)
			}
			if test.want == none {
				if got.Spacing != nil || got.AreaM2 != 0 {
					t.Errorf("spacing = %+v and area %v of lines without neighbours, want none", got.Spacing, got.AreaM2)
				}
				return
			}
			if got.Spacing == nil {
				t.Fatal("no spacing")
			}
			have := []float64{got.Spacing.MinM, got.Spacing.MeanM, got.Spacing.MaxM}
			tol := 1e-4
			if test.name == "cross" {
				tol = 0.2 // the second line is longer and reaches past the first
			}
			for i, want := range []float64{test.want.min, test.want.mean, test.want.max} {
				if math.Abs(have[i]-want) > tol {
					t.Errorf("spacing min, mean, max = %v, want %+v", have, test.want)
				}
			}
			if test.areaM2 > 0 && math.Abs(got.AreaM2-test.areaM2) > 1e-2 {
				t.Errorf("area = %v m2, want %v", got.AreaM2, test.areaM2)
			}
			if got.LengthPlusMinusM != -1 || got.AreaPlusMinusM2 != -1 || got.Spacing.PlusMinusM != -1 {
				t.Errorf("plus-minus without an accuracy: %+v %+v, want -1", got, got.Spacing)
			}
		})
	}
}

// wavy is a patch of n lines about apartM from each other that bend as a contour does.
func wavy(random *rand.Rand, n, positions int, apartM float64) [][][2]float64 {
	lines := make([][][2]float64, n)
	for i := range lines {
		for j := range positions {
			x := 200 * float64(j) / float64(positions-1)
			lines[i] = append(lines[i], [2]float64{x + 3*random.Float64(), float64(i)*apartM + 10*math.Sin(x/60) + apartM/4*random.NormFloat64()})
		}
	}
	return lines
}

// TestRipAreaAgainstSampling measures square to the lines at 20 points a metre instead of by
// linear stretches, with a line intersection written apart.
func TestRipAreaAgainstSampling(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 31))
	for range 5 {
		lines := wavy(random, 5, 12, 8)
		facing := map[[2]int]float64{}
		eachSample(lines, func(line int, partM float64, sides [2]sight) {
			for _, s := range sides {
				facing[pairOf(line, s.line)] += partM
			}
		})
		var sum, count, area, alone, least, most float64
		least = math.Inf(1)
		eachSample(lines, func(line int, partM float64, sides [2]sight) {
			width, n := 0.0, 0.0
			for _, s := range sides {
				if math.IsInf(s.m, 1) || facing[pairOf(line, s.line)] < 20 { // a tenth of 200 m
					continue
				}
				sum, count, width, n = sum+s.m*partM, count+partM, width+s.m, n+1
				least, most = min(least, s.m), max(most, s.m)
			}
			if n == 0 {
				alone += partM
			} else {
				area += width / n * partM
			}
		})
		area += alone * sum / count
		got, err := RipArea(onGround(lines...), 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.Spacing.MeanM/(sum/count)-1) > 1e-4 || math.Abs(got.AreaM2/area-1) > 1e-3 ||
			math.Abs(got.Spacing.MinM-least) > 0.05 || math.Abs(got.Spacing.MaxM-most) > 0.05 {
			t.Errorf("RipArea = %+v, %v m2; by sampling %v to %v, mean %v, %v m2", got.Spacing, got.AreaM2, least, most, sum/count, area)
		}
	}
}

// sight is the first other line met on one side, and how far off it is.
type sight struct {
	line int
	m    float64
}

func eachSample(lines [][][2]float64, visit func(line int, partM float64, sides [2]sight)) {
	const stepM = 0.05
	for i, line := range lines {
		for j := range line[1:] {
			ax, ay, bx, by := line[j][0], line[j][1], line[j+1][0], line[j+1][1]
			length := math.Hypot(bx-ax, by-ay)
			steps := math.Ceil(length / stepM)
			for k := range int(steps) {
				f := (float64(k) + 0.5) / steps
				px, py := ax+f*(bx-ax), ay+f*(by-ay)
				nx, ny := -(by-ay)/length, (bx-ax)/length
				sides := [2]sight{{i, math.Inf(1)}, {i, math.Inf(1)}}
				for o, other := range lines {
					if o == i {
						continue
					}
					for m := range other[1:] {
						// p + t n = c + v (d - c), solved by Cramer's rule
						cx, cy, dx, dy := other[m][0], other[m][1], other[m+1][0]-other[m][0], other[m+1][1]-other[m][1]
						det := -nx*dy + ny*dx
						t := (-(cx-px)*dy + (cy-py)*dx) / det
						v := (nx*(cy-py) - ny*(cx-px)) / det
						side := 0
						if t < 0 {
							side, t = 1, -t
						}
						if v >= 0 && v < 1 && t <= NeighbourM && t < sides[side].m {
							sides[side] = sight{o, t}
						}
					}
				}
				visit(i, length/steps, sides)
			}
		}
	}
}

func TestRipAreaRefuses(t *testing.T) {
	good := onGround(level(0, 100, 0, 2))[0]
	many := make(orb.LineString, MaxRipPositions)
	for i := range many {
		many[i] = orb.Point{146 + float64(i)*1e-7, -20}
	}
	tests := []struct {
		name  string
		lines []orb.LineString
		want  string
	}{
		{"none", nil, "lines: is empty"},
		{"empty-line", []orb.LineString{good, {}}, "lines[1]: has no length"},
		{"one-place", []orb.LineString{{good[0], good[0]}}, "lines[0]: has no length"},
		{"off-the-earth", []orb.LineString{good, {good[0], {146, -120}}}, "lines[1][1]: latitude -120 is beyond 90"},
		{"not-a-number", []orb.LineString{{{math.NaN(), 0}, good[0]}}, "lines[0][0]: a position has a number that is not finite"},
		{"another-country", []orb.LineString{good, {{150, -23}, {150.001, -23}}}, "lines[1][0]: lies"},
		{"too-many", []orb.LineString{good, many}, "lines: have 5002 positions"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got, err := RipArea(test.lines, 5, nil); err == nil || !strings.HasPrefix(err.Error(), test.want) {
				t.Errorf("RipArea = %+v, %v, want %s", got, err, test.want)
			}
		})
	}
}

func TestRipCautions(t *testing.T) {
	tests := []struct {
		name      string
		lines     []orb.LineString
		accuracyM float64
		want      []string
	}{
		{"fine", onGround(level(0, 100, 0, 2), level(0, 100, 20, 2)), 2, nil},
		{"rough-fixes", onGround(level(0, 100, 0, 2), level(0, 100, 2, 2)), 5, []string{"tape it"}},
		{"one-missing", onGround(level(0, 100, 0, 2), level(0, 100, 4, 2), level(0, 100, 8, 2), level(0, 100, 12, 2), level(0, 100, 24, 2)), 0.1, []string{"is a line missing"}},
		{"alone", onGround(level(0, 100, 0, 2)), 2, []string{"No line has a neighbour"}},
		{"crossing", onGround([][2]float64{{0, 0}, {100, 10}}, [][2]float64{{0, 10}, {100, 0}}), 0.1, []string{"Lines 1 and 2 meet", "is a line missing"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r, err := RipArea(test.lines, test.accuracyM, nil)
			if err != nil {
				t.Fatal(err)
			}
			got := r.Cautions()
			if len(got) != len(test.want) {
				t.Fatalf("Cautions = %v, want %v", got, test.want)
			}
			for i, want := range test.want {
				if !strings.Contains(got[i].Text, want) {
					t.Errorf("caution %d = %q, want %q in it", i, got[i].Text, want)
				}
			}
		})
	}
}

// TestRipCautionsFromWhere: a spacing of exactly twice the mean, and one known to exactly half of
// itself, are still passed over.
func TestRipCautionsFromWhere(t *testing.T) {
	for _, c := range []struct {
		s    Spacing
		want int
	}{
		{Spacing{MeanM: 4, MaxM: 8, PlusMinusM: 2}, 0},
		{Spacing{MeanM: 4, MaxM: 8.01, PlusMinusM: 2}, 1},
		{Spacing{MeanM: 4, MaxM: 8, PlusMinusM: 2.01}, 1},
	} {
		if got := (Ripped{Spacing: &c.s}).Cautions(); len(got) != c.want {
			t.Errorf("a spacing of %+v: cautions %v, want %d", c.s, got, c.want)
		}
	}
}

// FuzzRipArea lays lines at random, crossing and doubled ones among them: nothing may panic,
// and what comes out is in order.
func FuzzRipArea(f *testing.F) {
	f.Add(uint64(1), 3, 4, 5.0)
	f.Add(uint64(2), 2, 2, 0.0)
	f.Add(uint64(3), 8, 9, 0.01)
	f.Fuzz(func(t *testing.T, seed uint64, n, positions int, scaleM float64) {
		n, positions = 1+(n&7), 2+(positions&15)
		random := rand.New(rand.NewPCG(seed, 33))
		lines := make([][][2]float64, n)
		for i := range lines {
			for range positions {
				lines[i] = append(lines[i], [2]float64{math.Round(scaleM*random.NormFloat64() + float64(random.IntN(3))), math.Round(10 * random.Float64())})
			}
		}
		r, err := RipArea(onGround(lines...), 1, nil)
		if err != nil {
			return
		}
		if s := r.Spacing; s != nil && !(0 <= s.MinM && s.MinM <= s.MeanM+1e-9 && s.MeanM <= s.MaxM+1e-9 && s.MaxM <= NeighbourM*1.001) {
			t.Errorf("spacing %+v is out of order for %v", s, lines)
		}
		for _, v := range []float64{r.LengthM, r.AreaM2, r.AreaPlusMinusM2} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("RipArea(%v) = %+v", lines, r)
			}
		}
	})
}

func BenchmarkRipArea(b *testing.B) {
	lines := onGround(wavy(rand.New(rand.NewPCG(1, 1)), 50, 40, 4)...)
	for b.Loop() {
		if _, err := RipArea(lines, 3, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// TestSegmentsMeet: a segment seen along another meets it where the two touch, at its very ends too.
func TestSegmentsMeet(t *testing.T) {
	for _, c := range []struct {
		s0, s1, d0, d1 float64
		want           bool
	}{
		{2, 8, -1, 1, true}, {2, 8, 1, 2, false}, {-4, 4, -1, 1, true}, {-4.1, 4, -1, 1, false}, {6, 14, -1, 1, true}, {6, 14.1, -1, 1, false},
		{0, 5, 0, 3, true}, {-5, 0, 0, 0, true}, {10, 15, 0, 0, true}, {-5, -0.1, 0, 0, false}, {10.1, 15, 0, 0, false}, {15, 10, 0, 0, true},
	} {
		x := across{s0: c.s0, s1: c.s1, d0: c.d0, d1: c.d1}
		if got := x.meets(10); got != c.want {
			t.Errorf("from %v, %v to %v, %v: meets %t, want %t", c.s0, c.d0, c.s1, c.d1, got, c.want)
		}
	}
}
