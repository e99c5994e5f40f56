package figures

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/modeltest"
)

func point(latLon [2]float64) orb.Point { return orb.Point{latLon[1], latLon[0]} }

func ring(latLons [][2]float64) (r orb.Ring) {
	for _, p := range latLons {
		r = append(r, point(p))
	}
	return append(r, r[0])
}

// GeodSolve's lines and Planimeter's rings come back as figures of features.
func TestPublishedLengthsAndAreas(t *testing.T) {
	for _, c := range modeltest.Cases(t, "survey", "geodesic_length") {
		if !c.Has("from") {
			continue // written in degrees and minutes; geodesy reads it
		}
		line := orb.LineString{point(modeltest.Input[[2]float64](t, c, "from")), point(modeltest.Input[[2]float64](t, c, "to"))}
		f, _ := survey().Of(feature("fence", "f", line)).Figure("lengthM")
		c.Check(t, "distance_m", f.Value)
	}
	for _, c := range modeltest.Cases(t, "survey", "polygon_area") {
		s := survey().Of(feature("scald", "s", orb.Polygon{ring(modeltest.Input[[][2]float64](t, c, "ring"))}))
		inside, _ := s.Figure("areaM2")
		around, _ := s.Figure("perimeterM")
		c.Check(t, "area_m2", inside.Value)
		if want := modeltest.Want[float64](t, c, "perimeter_m"); math.Abs(around.Value-want) > 0.001 {
			t.Errorf("%s: perimeter = %v, want %v (%s)", c.ID, around.Value, want, c.Source)
		}
	}
	c := modeltest.Cases(t, "survey", "polygon_area_hole")[0]
	polygon := orb.Polygon{ring(modeltest.Input[[][2]float64](t, c, "outer"))}
	for _, hole := range modeltest.Input[[][][2]float64](t, c, "holes") {
		polygon = append(polygon, ring(hole))
	}
	f, _ := survey().Of(feature("exclosure", "e", polygon)).Figure("areaM2")
	c.Check(t, "area_m2", f.Value)
}

func TestMeasureShapes(t *testing.T) {
	line := orb.LineString{north(0, 0), north(60, 0), north(120, 0)}
	square := func(n, e float64) orb.Polygon {
		return orb.Polygon{{north(n, e), north(n, e+10), north(n+10, e+10), north(n+10, e), north(n, e)}}
	}
	of := func(g orb.Geometry, fields ...any) Sheet { return survey().Of(feature("unsorted", "x", g, fields...)) }

	// A straight line of 3 m fixes is good to 3 √2 m, however many fixes it has.
	want(t, of(line, "accuracyM", 3), "lengthM", 120, 3*math.Sqrt2, 0.001, model.GPS)
	want(t, of(line), "lengthM", 120, -1, 0.001, model.GPS)
	want(t, of(line, "accuracyM", "poor"), "lengthM", 120, -1, 0.001, model.GPS)
	want(t, of(orb.MultiLineString{line, line}, "accuracyM", 3), "lengthM", 240, 6, 0.002, model.GPS)
	want(t, of(square(0, 0)), "areaM2", 100, -1, 0.01, model.GPS)
	want(t, of(orb.MultiPolygon{square(0, 0), square(50, 50)}), "areaM2", 200, -1, 0.02, model.GPS)
	want(t, of(square(0, 0)[0]), "areaM2", 100, -1, 0.01, model.GPS)
	want(t, of(orb.Collection{line, orb.Collection{square(0, 0)}, orb.Point{}}), "areaM2", 100, -1, 0.01, model.GPS)
	none(t, of(orb.Point{148, -20}), "lengthM")
	none(t, of(nil), "lengthM")
	nan := math.NaN()
	s := of(orb.LineString{{148, -20}, {nan, nan}})
	none(t, s, "lengthM")
	warns(t, s, "lengthM", "not on the earth")
	hole := append(orb.Polygon{square(0, 0)[0]}, square(-1, -1)[0], square(-2, -2)[0])
	none(t, of(hole), "areaM2")
}

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
				at, found, whole := crossing(c.polygon)
				if found != c.want || !whole {
					t.Errorf("crossing(%v) = %v, %v, %v; want %v", c.polygon, at, found, whole, c.want)
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
	if at, found, whole := crossing(orb.Polygon{append(wander, wander[0])}); found || !whole {
		t.Errorf("wandering boundary: crossing at %v %v, whole %v; want none", at, found, whole)
	}
	var shuttle orb.Ring
	for i := range 8_000 { // a fan of slanting sides, every box over every other
		x := float64(i) * 1e-6
		shuttle = append(shuttle, orb.Point{x + float64(i%2), x + float64(i%2)})
	}
	if _, found, whole := crossing(orb.Polygon{shuttle}); whole && !found {
		t.Error("endless shuttle passes as sound")
	}
}

func TestSelfCrossingAreaIsNotShown(t *testing.T) {
	bowTie := orb.Polygon{{north(0, 0), north(100, 100), north(0, 100), north(100, 0), north(0, 0)}}
	s := survey().Of(feature("scald", "s", bowTie, "accuracyM", 3))
	none(t, s, "areaM2")
	warns(t, s, "areaM2", "crosses itself near 148.000")
	if _, ok := s.Figure("perimeterM"); !ok {
		t.Error("its way round is known all the same, want it")
	}
}
