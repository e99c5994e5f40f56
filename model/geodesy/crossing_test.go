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
