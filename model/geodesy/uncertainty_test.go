package geodesy

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// scatter draws many versions of the rings with normal errors of accuracyM, east and north,
// and gives the spread of measure over them.
func scatter(rings []orb.Ring, closed bool, accuracyM float64, measure func([]orb.Ring) float64) (mean, deviation float64) {
	const times = 4000
	random := rand.New(rand.NewPCG(20261125, 9))
	sum, squares := 0.0, 0.0
	base := measure(rings)
	for range times {
		moved := make([]orb.Ring, len(rings))
		for i, ring := range rings {
			for _, p := range ring {
				moved[i] = append(moved[i], Frame{p}.Position(accuracyM*random.NormFloat64(), accuracyM*random.NormFloat64()))
			}
			if closed {
				moved[i] = append(moved[i], moved[i][0])
			}
		}
		v := measure(moved) - base
		sum += v
		squares += v * v
	}
	mean = sum / times
	return mean, math.Sqrt(squares/times - mean*mean)
}

func bearingsAndSteps(start orb.Point, pairs ...float64) orb.Ring {
	ring := orb.Ring{start}
	for i := 0; i < len(pairs); i += 2 {
		start = Destination(start, pairs[i], pairs[i+1])
		ring = append(ring, start)
	}
	return ring
}

// TestPlusMinusOfLengthsBySimulation compares the formula with 4000 seeded scatters of each
// line. Their own spread is uncertain by 1.1 %, so 5 % is allowed.
func TestPlusMinusOfLengthsBySimulation(t *testing.T) {
	start := orb.Point{146.26, -20.08}
	tests := []struct {
		name      string
		line      orb.Ring
		accuracyM float64
	}{
		{"two-fixes", bearingsAndSteps(start, 30, 200), 5},
		{"straight", bearingsAndSteps(start, 30, 100, 30, 100, 30, 100, 30, 100), 4},
		{"zigzag", bearingsAndSteps(start, 10, 100, 100, 100, 10, 100, 100, 100), 4},
		{"hairpin", bearingsAndSteps(start, 0, 200, 170, 200), 5},
		{"antimeridian", bearingsAndSteps(orb.Point{179.9995, -16}, 80, 150, 120, 150), 5},
		{"high-north", bearingsAndSteps(orb.Point{20, 75}, 80, 150, 20, 150), 5},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, want := scatter([]orb.Ring{test.line}, false, test.accuracyM, func(r []orb.Ring) float64 { return Length(r[0]) })
			got := LengthPlusMinus(test.line, test.accuracyM)
			if !(math.Abs(got/want-1) <= 0.05) {
				t.Errorf("LengthPlusMinus = %v, but the lengths scatter by %v", got, want)
			}
		})
	}
}

func TestPlusMinusOfAreasBySimulation(t *testing.T) {
	start := orb.Point{146.26, -20.08}
	square := func(at orb.Point, m float64) orb.Ring { return bearingsAndSteps(at, 0, m, 90, m, 180, m) }
	tests := []struct {
		name      string
		rings     []orb.Ring
		accuracyM float64
	}{
		{"square-of-200-m", []orb.Ring{square(start, 200)}, 5},
		{"as-small-as-the-fix", []orb.Ring{square(start, 5)}, 5},
		{"triangle", []orb.Ring{bearingsAndSteps(start, 20, 80, 130, 60)}, 3},
		{"strip", []orb.Ring{bearingsAndSteps(start, 0, 500, 90, 10, 180, 500)}, 2},
		{"with-hole", []orb.Ring{square(start, 300), square(Destination(start, 45, 100), 80)}, 5},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			signed := func(rings []orb.Ring) float64 {
				area := SignedRingArea(rings[0])
				for _, hole := range rings[1:] {
					area -= SignedRingArea(hole)
				}
				return area
			}
			bias, want := scatter(test.rings, true, test.accuracyM, signed)
			got := AreaPlusMinus(orb.Polygon(test.rings), test.accuracyM)
			if !(math.Abs(got/want-1) <= 0.05) {
				t.Errorf("AreaPlusMinus = %v, but the areas scatter by %v", got, want)
			}
			if !(math.Abs(bias) <= 0.1*want) {
				t.Errorf("the areas are %v m2 off in the mean, with a scatter of %v", bias, want)
			}
			if test.name == "as-small-as-the-fix" {
				return // sides as short as the fixes are out: perimeters are of the first order
			}
			_, want = scatter(test.rings, true, test.accuracyM, func(r []orb.Ring) float64 { return Perimeter(orb.Polygon(r)) })
			if got := PerimeterPlusMinus(orb.Polygon(test.rings), test.accuracyM); !(math.Abs(got/want-1) <= 0.08) {
				t.Errorf("PerimeterPlusMinus = %v, but the perimeters scatter by %v", got, want)
			}
		})
	}
}

func TestPlusMinusOfOddInput(t *testing.T) {
	p, q := orb.Point{146, -20}, orb.Point{146.001, -20}
	for name, line := range map[string][]orb.Point{"none": nil, "one": {p}, "one-place": {p, p, p}} {
		if got := LengthPlusMinus(line, 5); got != -1 {
			t.Errorf("%s: LengthPlusMinus(%v) = %v, want -1", name, line, got)
		}
	}
	for _, accuracyM := range []float64{0, -1, math.NaN()} {
		if got := LengthPlusMinus([]orb.Point{p, q}, accuracyM); got != -1 {
			t.Errorf("LengthPlusMinus with accuracy %v = %v, want -1", accuracyM, got)
		}
		if got := AreaPlusMinus(orb.Polygon{{p, q, {146, -20.001}}}, accuracyM); got != -1 {
			t.Errorf("AreaPlusMinus with accuracy %v = %v, want -1", accuracyM, got)
		}
	}
	if got := PerimeterPlusMinus(orb.Polygon{{p, p, p}}, 5); got != -1 {
		t.Errorf("PerimeterPlusMinus of one place = %v, want -1", got)
	}
	// Standing still adds nothing.
	if got, want := LengthPlusMinus([]orb.Point{p, p, q, q}, 5), 5*math.Sqrt2; !(math.Abs(got-want) <= 1e-9) {
		t.Errorf("LengthPlusMinus with repeated positions = %v, want %v", got, want)
	}
	if got := AreaPlusMinus(nil, 5); got != -1 {
		t.Errorf("AreaPlusMinus of nothing = %v, want -1", got)
	}
}

// A ring errs alike whether or not its first position is given again at its end.
func TestClosingPositionErrsNotTwice(t *testing.T) {
	open := orb.Ring{{148, -25}, {148.01, -25}, {148.012, -25.008}, {148.001, -25.01}}
	closed := append(append(orb.Ring{}, open...), open[0])
	for name, of := range map[string]func(orb.Polygon) float64{
		"area": func(p orb.Polygon) float64 { return AreaPlusMinus(p, 3) }, "perimeter": func(p orb.Polygon) float64 { return PerimeterPlusMinus(p, 3) },
		"size": func(p orb.Polygon) float64 { return Area(p) }, "way round": Perimeter,
	} {
		if a, b := of(orb.Polygon{open}), of(orb.Polygon{closed}); a != b || !(a > 0) {
			t.Errorf("%s of an open ring %v, of the closed one %v", name, a, b)
		}
	}
}
