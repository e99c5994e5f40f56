package geodesy

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

func TestCrossing(t *testing.T) {
	r := func(xy ...float64) (r orb.Ring) {
		for i := 0; i < len(xy); i += 2 {
			r = append(r, orb.Point{xy[i], xy[i+1]})
		}
		return append(r, r[0])
	}
	for _, c := range []struct {
		name    string
		polygon orb.Polygon
		want    bool
	}{
		{"square", orb.Polygon{r(0, 0, 4, 0, 4, 4, 0, 4)}, false},
		{"bow-tie", orb.Polygon{r(0, 0, 4, 4, 4, 0, 0, 4)}, true},
		{"bow-tie-the-other-way", orb.Polygon{r(0, 4, 4, 0, 4, 4, 0, 0)}, true},
		{"bow-tie-standing", orb.Polygon{r(0, 0, 4, 0, 0, 4, 4, 4)}, true},
		{"figure-eight-through-a-corner", orb.Polygon{r(0, 0, 2, 2, 4, 4, 4, 0, 2, 2, 0, 4)}, true},
		{"butterfly-that-kisses-at-a-corner", orb.Polygon{r(0, 0, 2, 2, 4, 0, 4, 4, 2, 2, 0, 4)}, false},
		{"rings-that-kiss-at-a-corner", orb.Polygon{r(0, 0, 2, 2, 0, 4, 4, 4, 2, 2, 4, 0)}, false},
		{"rings-that-share-part-of-a-side", orb.Polygon{r(0, 0, 4, 0, 4, 4, 0, 4), r(2, 0, 4, 0, 3, -2)}, false},
		{"hole-along-part-of-a-side", orb.Polygon{r(0, 0, 4, 0, 4, 4, 0, 4), r(2, 0, 4, 0, 3, 2)}, false},
		{"corner-through-a-side", orb.Polygon{r(0, 0, 4, 0, 4, 4, 2, 0, 0, 4)}, false},
		{"corner-past-a-side", orb.Polygon{r(0, 0, 4, 0, 4, 4, 2, -1, 0, 4)}, true},
		{"passes-through-a-side-at-its-corner", orb.Polygon{r(0, 0, 4, 0, 4, 4, 3, 4, 2, 0, 1, -2, 0, 4)}, true},
		{"keyhole", orb.Polygon{r(0, 0, 8, 0, 8, 8, 0, 8, 0, 4, 2, 4, 2, 6, 4, 6, 4, 2, 2, 2, 2, 4, 0, 4)}, false},
		{"spike", orb.Polygon{r(0, 0, 4, 0, 4, 4, 2, 4, 2, 7, 2, 4, 0, 4)}, false},
		{"spiral", orb.Polygon{r(0, 0, 9, 0, 9, 9, 2, 9, 2, 3, 6, 3, 6, 6, 5, 6, 5, 4, 3, 4, 3, 8, 8, 8, 8, 1, 0, 1)}, false},
		{"hole-inside", orb.Polygon{r(0, 0, 8, 0, 8, 8, 0, 8), r(2, 2, 2, 4, 4, 4, 4, 2)}, false},
		{"hole-through-the-shell", orb.Polygon{r(0, 0, 8, 0, 8, 8, 0, 8), r(6, 2, 6, 4, 10, 4, 10, 2)}, true},
		{"repeated-positions", orb.Polygon{r(0, 0, 0, 0, 4, 0, 4, 4, 4, 4, 0, 4)}, false},
		{"over-the-antimeridian", orb.Polygon{r(179, 0, -179, 0, -179, 2, 179, 2)}, false},
		{"bow-tie-over-the-antimeridian", orb.Polygon{r(179, 0, -179, 2, -179, 0, 179, 2)}, true},
		{"hole-over-the-antimeridian", orb.Polygon{r(178, 0, -178, 0, -178, 4, 178, 4), r(-179, 1, -179, 2, 179, 2, 179, 1)}, false},
		{"one-position", orb.Polygon{{{1, 1}}}, false},
		{"none", orb.Polygon{{}}, false},
		{"empty", nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			for turn := range 2 { // the same ring wound the other way
				at, found, whole := Crossing(c.polygon, nil)
				if found != c.want || !whole {
					t.Errorf("Crossing(%v, nil) = %v, %v, %v; want %v", c.polygon, at, found, whole, c.want)
				}
				if turn == 0 {
					for _, ring := range c.polygon {
						ring.Reverse()
					}
				}
			}
		})
	}
}

// A wandering boundary of 20,000 sides is checked, and quickly; one that shuttles to and
// fro for ever is given up rather than waited for.
func TestCrossingOfLongBoundaries(t *testing.T) {
	var wander orb.Ring
	for i := range 20_000 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 20_000)
		radius := 0.01 * (1 + 0.1*math.Sin(float64(i)/3))
		wander = append(wander, orb.Point{148 + radius*cos, -20 + radius*sin})
	}
	if at, found, whole := Crossing(orb.Polygon{append(wander, wander[0])}, nil); found || !whole {
		t.Errorf("wandering boundary: crossing at %v %v, whole %v; want none", at, found, whole)
	}
	var shuttle orb.Ring
	for i := range 8_000 { // a fan of slanting sides, every box over every other
		x := float64(i) * 1e-6
		shuttle = append(shuttle, orb.Point{x + float64(i%2), x + float64(i%2)})
	}
	if _, found, whole := Crossing(orb.Polygon{shuttle}, nil); whole && !found {
		t.Error("endless shuttle passes as sound")
	}
}

// Where boundaries cross, by hand: the middle of a bow-tie, a corner, and past the antimeridian.
func TestPlaceOfACrossing(t *testing.T) {
	for _, c := range []struct {
		ring orb.Ring
		want orb.Point
	}{
		{orb.Ring{{10, 20}, {14, 24}, {14, 20}, {10, 24}, {10, 20}}, orb.Point{12, 22}},
		{orb.Ring{{10, 20}, {18, 24}, {18, 20}, {10, 22}, {10, 20}}, orb.Point{12.666666666666666, 21.333333333333332}}, // y = 20 + x/2 and 22 - x/4
		{orb.Ring{{10, 20}, {12, 22}, {14, 24}, {14, 20}, {12, 22}, {10, 24}, {10, 20}}, orb.Point{12, 22}},
		{orb.Ring{{179, 0}, {-179, 2}, {-179, 0}, {179, 2}, {179, 0}}, orb.Point{180, 1}},
		{orb.Ring{{-179, 0}, {179, 2}, {179, 0}, {-179, 2}, {-179, 0}}, orb.Point{-180, 1}},
	} {
		for range 2 {
			at, found, _ := Crossing(orb.Polygon{c.ring}, nil)
			if !found || math.Abs(math.Remainder(at[0]-c.want[0], 360)) > 1e-12 || math.Abs(at[1]-c.want[1]) > 1e-12 || math.Abs(at[0]) > 180 {
				t.Errorf("%v crosses at %v, %t; want %v", c.ring, at, found, c.want)
			}
			c.ring.Reverse()
		}
	}
}

// A corner on a side, on both of its sides: passing through is a crossing, touching is none, whichever
// of the two sides comes first.
func TestCornerOnASide(t *testing.T) {
	for _, c := range []struct {
		y       float64 // of the ring beyond the side y = 0
		crosses bool
	}{{-2, true}, {2, false}} {
		// The side from (0,0) to (4,0), and a corner at (2,0) between (1,3) and (3,y).
		ring := orb.Ring{{0, 0}, {4, 0}, {6, 5}, {3, c.y}, {2, 0}, {1, 3}, {0, 0}}
		if !c.crosses {
			ring = orb.Ring{{0, 0}, {4, 0}, {6, 5}, {3, 2}, {2, 0}, {1, 3}, {0, 0}}
		}
		for start := range 6 { // from each of its positions
			turned := append(append(orb.Ring{}, ring[start:6]...), ring[:start+1]...)
			for range 2 {
				if at, found, _ := Crossing(orb.Polygon{turned}, nil); found != c.crosses {
					t.Errorf("%v crosses at %v: %t, want %t", turned, at, found, c.crosses)
				}
				turned.Reverse()
			}
		}
	}
}

// A strip of ground is swept along its length, whichever way it lies: each side is compared with few.
func TestStripsAreSweptAlong(t *testing.T) {
	for _, along := range []int{0, 1} {
		var ring orb.Ring
		add := func(x, y float64) {
			p := orb.Point{140 + x, -20 + y}
			if along == 1 {
				p = orb.Point{140 + y, -20 + x}
			}
			ring = append(ring, p)
		}
		for i := range 1000 {
			add(float64(i)*0.001, 0.0001*float64(i%2))
		}
		for i := range 1000 {
			add(float64(999-i)*0.001, 0.001+0.0001*float64(i%2))
		}
		steps := 0
		if _, found, whole := Crossing(orb.Polygon{ring}, func(n int) bool { steps += n; return true }); found || !whole || steps < 2000 || steps > 20_000 {
			t.Errorf("axis %d: found %t, whole %t after %d comparisons of 2000 sides", along, found, whole, steps)
		}
		if _, _, whole := Crossing(orb.Polygon{ring}, func(int) bool { return false }); whole {
			t.Error("a search that was stopped says it is whole")
		}
	}
}
