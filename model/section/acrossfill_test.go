package section

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// A trapezoid 2 m across its bed with walls of 1 in 2 and 1 in 1, by hand: 1 m up it is 5 m wide, and holds 3.5 m².
var trapezoid = NewAcross([][2]float64{{-4, 101.5}, {-1, 100}, {1, 100}, {2.5, 101.5}})

func TestFillByHand(t *testing.T) {
	for _, c := range []struct {
		name                 string
		a                    Across
		heightM, area, width float64
	}{
		{"trapezoid", trapezoid, 1, 3.5, 5},
		{"to the brink", trapezoid, 1.5, 2*1.5 + 1.5*3/2 + 1.5*1.5/2, 6.5},
		{"upright walls", NewAcross([][2]float64{{-1, 5}, {-1, 4}, {1, 4}, {1, 5.5}}), 0.5, 1, 2},
		{"a bar in the bed", NewAcross([][2]float64{{-2, 2}, {-2, 0}, {-1, 0}, {-1, 1}, {1, 1}, {1, 0}, {2, 0}, {2, 2}}), 0.5, 1, 2},
	} {
		f := c.a.Fill(c.heightM, -1, LevelledAndTaped)
		if math.Abs(f.AreaM2-c.area) > 1e-12 || math.Abs(f.WidthM-c.width) > 1e-12 || f.DepthM != c.heightM {
			t.Errorf("%s: %+v, want %v m² and %v m", c.name, f, c.area, c.width)
		}
		if unknown := c.a.Fill(c.heightM, -1, Quality{LevelPlusMinusM: -1}); unknown.AreaPlusMinusM2 != -1 || unknown.WidthPlusMinusM != -1 || unknown.DepthPlusMinusM != -1 {
			t.Errorf("%s: %+v, want no ±", c.name, unknown)
		}
	}
}

// Each ± is that of 10,000 draws, of a level apart and of that of a brink. The error of a draw of 10,000 is
// some 0.7 %.
func TestFillPlusMinusIsThatOfDraws(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 7))
	q := Quality{LevelPlusMinusM: 0.005, ChainagePlusMinusM: 0.05}
	levels := [][2]float64{{-5, 102}, {-3.5, 101.3}, {-3.4, 100.6}, {-1, 100.1}, {0, 100}, {1.2, 100.2}, {1.5, 101.5}, {3, 101.7}}
	for name, c := range map[string]struct {
		levelM float64
		at     int
	}{"notch": {100.9, -1}, "brink": {101.7, 7}} {
		var area, width, depth moments
		for range 10_000 {
			drawn := make([][2]float64, len(levels))
			low := math.Inf(1)
			for i, p := range levels {
				drawn[i] = [2]float64{p[0] + q.ChainagePlusMinusM*random.NormFloat64(), p[1] + q.LevelPlusMinusM*random.NormFloat64()}
				low = min(low, drawn[i][1])
			}
			if drawn[2][0] < drawn[1][0] { // a wall 0.1 m across, which must not overhang
				drawn[1][0], drawn[2][0] = drawn[2][0], drawn[1][0]
			}
			levelM := c.levelM + q.LevelPlusMinusM*random.NormFloat64()
			if c.at >= 0 {
				levelM = drawn[c.at][1]
			}
			f := NewAcross(drawn).Fill(levelM-low, -1, q)
			area.add(f.AreaM2)
			width.add(f.WidthM)
			depth.add(f.DepthM)
		}
		f := NewAcross(levels).Fill(c.levelM-100, c.at, q)
		for what, pair := range map[string][2]float64{"area": {f.AreaPlusMinusM2, area.deviation()}, "width": {f.WidthPlusMinusM, width.deviation()}, "depth": {f.DepthPlusMinusM, depth.deviation()}} {
			if !(math.Abs(pair[0]/pair[1]-1) < 0.03) {
				t.Errorf("%s: ± of the %s %v, of the draws %v", name, what, pair[0], pair[1])
			}
		}
	}
}

type moments struct{ n, sum, squares float64 }

func (m *moments) add(v float64) { m.n, m.sum, m.squares = m.n+1, m.sum+v, m.squares+v*v }
func (m *moments) deviation() float64 {
	mean := m.sum / m.n
	return math.Sqrt(m.squares/m.n - mean*mean)
}

// Mirrored, and moved up or aside, a gully holds as much; filled higher it holds more, and the area grows by
// the width.
func TestFillLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "points")
		points := make([][2]float64, n)
		x := 0.0
		for i := range points {
			x += float64(rapid.IntRange(0, 40).Draw(t, "apart")) / 10
			points[i] = [2]float64{x, 100 + float64(rapid.IntRange(0, 30).Draw(t, "level"))/10}
		}
		mirrored := make([][2]float64, n)
		for i, p := range points {
			mirrored[n-1-i] = [2]float64{7 - p[0], p[1] + 3}
		}
		h := float64(rapid.IntRange(0, 300).Draw(t, "height")) / 100
		f, m := NewAcross(points).Fill(h, -1, LevelledAndTaped), NewAcross(mirrored).Fill(h, -1, LevelledAndTaped)
		near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(a)) }
		if !near(f.AreaM2, m.AreaM2) || !near(f.WidthM, m.WidthM) || !near(f.AreaPlusMinusM2, m.AreaPlusMinusM2) || !near(f.WidthPlusMinusM, m.WidthPlusMinusM) {
			t.Fatalf("%v filled to %v: %+v, mirrored %+v", points, h, f, m)
		}
		const stepM = 1e-4
		higher := NewAcross(points).Fill(h+stepM, -1, LevelledAndTaped)
		if grown := higher.AreaM2 - f.AreaM2; grown < f.WidthM*stepM-1e-9 || grown > higher.WidthM*stepM+1e-9 {
			t.Fatalf("%v filled from %v to %v: the area grows by %v, of a width of %v to %v", points, h, h+stepM, grown, f.WidthM, higher.WidthM)
		}
	})
}

func TestNoCrossSection(t *testing.T) {
	for name, points := range map[string][][2]float64{
		"two points": {{0, 1}, {1, 0}}, "one wall": {{0, 2}, {1, 1}, {2, 0.5}}, "level ground": {{0, 1}, {1, 1}, {2, 1}}, "within the reading": {{0, 1.01}, {1, 1}, {2, 1.01}}, "none": {},
	} {
		if p := CheckAcross(NewAcross(points), LevelledAndTaped); p == nil || p.Reason == "" || p.Fix == "" {
			t.Errorf("%s: %v, want it refused with what to do", name, p)
		}
	}
	if p := CheckAcross(trapezoid, LevelledAndTaped); p != nil {
		t.Errorf("a trapezoid: %v", p)
	}
	if at, m := trapezoid.Brink(); at != 0 || m != 1.5 {
		t.Errorf("brink %d at %v m", at, m)
	}
}
