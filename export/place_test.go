package export

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
)

// geometryText is g as GeoJSON writes it.
func geometryText(t testing.TB, g orb.Geometry) string {
	t.Helper()
	var p place
	if !p.set(g) {
		t.Fatalf("place refuses %v", g)
	}
	return string(appendJSONPlace(nil, &p))
}

func TestPlaces(t *testing.T) {
	box := orb.Ring{{0, 0}, {0, 2}, {2, 2}, {2, 0}, {0, 0}} // clockwise
	hole := orb.Ring{{0.5, 0.5}, {1, 0.5}, {1, 1}, {0.5, 0.5}}
	for _, c := range []struct {
		name string
		g    orb.Geometry
		want string
	}{
		{"nil", nil, `null`},
		{"empty-multi", orb.MultiPoint{}, `null`},
		{"empty-line", orb.LineString{}, `null`},
		{"empty-area", orb.Polygon{}, `null`},
		{"area-of-an-empty-ring", orb.Polygon{{}}, `null`},
		{"empty-collection", orb.Collection{}, `null`},
		{"point", orb.Point{133.2, -16.1}, `{"type":"Point","coordinates":[133.2,-16.1]}`},
		{"no-minus-zero", orb.Point{math.Copysign(0, -1), -1e-12}, `{"type":"Point","coordinates":[0,0]}`},
		{"rounds", orb.Point{1.0000000049, 2.0000000051}, `{"type":"Point","coordinates":[1,2.00000001]}`},
		{"rewinds", orb.Polygon{box, hole}, `{"type":"Polygon","coordinates":[[[0,0],[2,0],[2,2],[0,2],[0,0]],[[0.5,0.5],[1,1],[1,0.5],[0.5,0.5]]]}`},
		{"ring", box, `{"type":"Polygon","coordinates":[[[0,0],[2,0],[2,2],[0,2],[0,0]]]}`},
		{"open-ring-closes", orb.Polygon{box[:4]}, `{"type":"Polygon","coordinates":[[[0,0],[2,0],[2,2],[0,2],[0,0]]]}`},
		{"bound", orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{1, 1}}, `{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,1],[0,0]]]}`},
		{"nested-collection-flattens", orb.Collection{orb.Collection{orb.Point{1, 2}}, orb.MultiPoint{{3, 4}}},
			`{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]},{"type":"MultiPoint","coordinates":[[3,4]]}]}`},
		// RFC 7946 section 3.1.9 gives these two; its rings start elsewhere.
		{"rfc7946-line", orb.LineString{{170, 45}, {-170, 45}},
			`{"type":"MultiLineString","coordinates":[[[170,45],[180,45]],[[-180,45],[-170,45]]]}`},
		{"rfc7946-area", orb.Polygon{{{170, 40}, {-170, 40}, {-170, 50}, {170, 50}, {170, 40}}},
			`{"type":"MultiPolygon","coordinates":[[[[180,50],[170,50],[170,40],[180,40],[180,50]]],[[[-180,40],[-170,40],[-170,50],[-180,50],[-180,40]]]]}`},
		{"line-there-and-back", orb.LineString{{179, 0}, {-179, 2}, {179, 4}},
			`{"type":"MultiLineString","coordinates":[[[179,0],[180,1]],[[-180,1],[-179,2],[-180,3]],[[180,3],[179,4]]]}`},
		{"line-stops-at-180", orb.LineString{{179, 0}, {180, 1}}, `{"type":"LineString","coordinates":[[179,0],[180,1]]}`},
		{"line-from-180-spelt-east", orb.LineString{{180, 1}, {-179, 2}}, `{"type":"LineString","coordinates":[[-180,1],[-179,2]]}`},
		{"line-turns-at-180", orb.LineString{{179, 0}, {-180, 1}, {-179, 2}},
			`{"type":"MultiLineString","coordinates":[[[179,0],[180,1]],[[-180,1],[-179,2]]]}`},
		{"area-touching-180-spelt-west", orb.Polygon{{{179, 0}, {-180, 0}, {-180, 1}, {179, 1}, {179, 0}}},
			`{"type":"Polygon","coordinates":[[[180,1],[179,1],[179,0],[180,0],[180,1]]]}`},
		{"area-along-180-spelt-west", orb.Polygon{{{179, 0}, {-180, 0}, {-180, 0.5}, {-180, 1}, {179, 1}, {179, 0}}},
			`{"type":"Polygon","coordinates":[[[180,1],[179,1],[179,0],[180,0],[180,1]]]}`},
		{"area-touching-180-spelt-east", orb.Polygon{{{-178.5, 1}, {180, 2}, {180, 0}, {-178.5, 1}}, {{-179.5, 1}, {-179.4, 1.1}, {-179.4, 0.9}, {-179.5, 1}}},
			`{"type":"Polygon","coordinates":[[[-178.5,1],[-180,2],[-180,0],[-178.5,1]],[[-179.5,1],[-179.4,1.1],[-179.4,0.9],[-179.5,1]]]}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := geometryText(t, c.g); got != c.want {
				t.Errorf("place of %v\n got %s\nwant %s", c.g, got, c.want)
			}
		})
	}
}

func TestPlacesRefused(t *testing.T) {
	for name, g := range map[string]orb.Geometry{
		"not-a-number":   orb.Point{math.NaN(), 0},
		"infinite":       orb.LineString{{0, 0}, {0, math.Inf(1)}},
		"swapped":        orb.Point{-16.1, 133.2},
		"beyond-180":     orb.MultiPoint{{180.1, 0}},
		"line-of-one":    orb.LineString{{1, 1}},
		"ring-of-two":    orb.Polygon{{{0, 0}, {1, 1}, {0, 0}}},
		"empty-hole":     orb.Polygon{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}, {}},
		"one-bad-member": orb.Collection{orb.Point{1, 1}, orb.Point{1, 91}},
	} {
		var p place
		if p.set(g) || len(p.outlines) != 0 {
			t.Errorf("%s: place takes %v as %s", name, g, appendJSONPlace(nil, &p))
		}
	}
}

// Every geometry that orb knows has a form here: a new one must not vanish silently.
func TestAllGeometries(t *testing.T) {
	for _, g := range orb.AllGeometries {
		var p place
		if !p.set(g) && g != nil && g.Dimensions() != 2 { // an empty orb.Ring is no area
			t.Errorf("place refuses an empty %T", g)
		}
	}
}

// Positions keep within half a unit of the last place; lines keep their number of positions.
func TestRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-90, 90).Draw(t, "lat")}
		var p place
		if !p.set(at) {
			t.Fatalf("place refuses %v", at)
		}
		got := p.outlines[0].parts[0][0][0]
		if dlon, dlat := float64(got.lon)/perDegree-at[0], float64(got.lat)/perDegree-at[1]; math.Abs(dlon) > 5.1e-9 || math.Abs(dlat) > 5.1e-9 {
			t.Fatalf("position %v moved by %g, %g degrees", at, dlon, dlat)
		}
	})
}

// A star of any number of corners, with or without a hole, laid over the antimeridian at
// random: the cut parts stay on the earth, never leap, are wound right, and their areas add
// up to the area before the cut.
func TestCutAreas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		corners := rapid.IntRange(3, 24).Draw(t, "corners")
		centre := orb.Point{rapid.Float64Range(179.5, 180.5).Draw(t, "lon"), rapid.Float64Range(-60, 60).Draw(t, "lat")}
		ring := star(t, centre, corners, 0.5, 1)
		polygon := orb.Polygon{ring}
		if rapid.Bool().Draw(t, "hole") {
			polygon = append(polygon, star(t, centre, corners, 0.1, 0.2))
		}
		var p place
		if !p.set(polygon) {
			t.Fatalf("place refuses %v", polygon)
		}
		var want, got float64
		for i, ring := range polygon {
			rounded, _ := p.round(ring)
			want += math.Abs(twiceArea(rounded)) * float64(1-2*min(i, 1))
		}
		for _, part := range p.outlines[0].parts {
			for i, ring := range part {
				area := twiceArea(ring)
				if (area > 0) != (i == 0) {
					t.Errorf("ring %d of a part is wound the wrong way", i)
				}
				if ring[0] != ring[len(ring)-1] || leapsOver(ring) {
					t.Errorf("ring %d is open or leaps: %v", i, ring)
				}
				for k, at := range ring {
					if k > 0 && ring[k-1] == at {
						t.Errorf("ring %d has %v twice in a row", i, at)
					}
					if at.lon > halfTurn || at.lon < -halfTurn {
						t.Errorf("longitude %d is off the earth", at.lon)
					}
				}
				got += area
			}
		}
		if math.Abs(got-want) > 1e-6*want {
			t.Errorf("areas of the parts add up to %g, want %g: %v", got, want, polygon)
		}
	})
}

// star is a ring round centre whose corners lie between two distances, in degrees.
func star(t *rapid.T, centre orb.Point, corners int, least, most float64) orb.Ring {
	var ring orb.Ring
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		far := rapid.Float64Range(least, most).Draw(t, "far")
		lon := centre[0] + far*cos
		if lon > 180 {
			lon -= 360
		}
		ring = append(ring, orb.Point{lon, centre[1] + far*sin})
	}
	return append(ring, ring[0])
}

// TestCutAlongTheMeridian, by hand: a side that runs along 180, and a corner on it, give no part of no width and
// no position twice, whichever side of it they lie on, wherever the ring begins and whichever way it goes round.
func TestCutAlongTheMeridian(t *testing.T) {
	for name, c := range map[string]struct {
		ring  orb.Ring
		parts int     // 0: not looked at
		area  float64 // square degrees
	}{
		"a corner on it":                    {orb.Ring{{179, 0}, {-179, 1}, {180, 2}, {179, 3}}, 2, 0.75 + 2.25},
		"a side along it":                   {orb.Ring{{179, 0}, {-179, 1}, {180, 2}, {180, 2.5}, {180, 3}, {179, 4}}, 2, 0.75 + (4+2.5)/2},
		"a corner from the other side":      {orb.Ring{{-179, 0}, {179, 1}, {180, 2}, {-179, 3}}, 2, 0.75 + 2.25},
		"two corners, and land between":     {orb.Ring{{179, 0}, {180, 1}, {-179, 1.5}, {180, 2}, {179, 3}}, 2, 2 + 0.5},
		"two triangles beside a side of it": {orb.Ring{{179, 0}, {180, 1}, {-179, 1.5}, {180, 2}, {180, 3}, {-179, 3.5}, {180, 4}, {179, 5}}, 0, 4 + 1},
		"a spike that only touches":         {orb.Ring{{178, 0}, {-179, 0}, {-179, 1}, {179, 1}, {180, 1.5}, {179, 2}, {178, 2}}, 2, 0},
	} {
		var want string
		for from := range c.ring {
			for _, back := range []bool{false, true} {
				ring := slices.Concat(c.ring[from:], c.ring[:from])
				if back {
					slices.Reverse(ring)
				}
				var p place
				if !p.set(orb.Polygon{append(ring, ring[0])}) {
					t.Fatalf("%s: refused", name)
				}
				area := 0.0
				for _, part := range p.outlines[0].parts {
					for i, at := range part[0] {
						if i > 0 && part[0][i-1] == at {
							t.Errorf("%s: %v twice in a row", name, at)
						}
					}
					one := twiceArea(part[0]) / 2 / perDegree / perDegree
					if area += one; one < 0.01 {
						t.Errorf("%s: a part of no width: %v", name, part[0])
					}
				}
				got := fmt.Sprintf("%d parts of %.4f square degrees", len(p.outlines[0].parts), area)
				if want == "" {
					want = got
				}
				if got != want || c.parts > 0 && len(p.outlines[0].parts) != c.parts || c.area > 0 && math.Abs(area-c.area) > 1e-4 {
					t.Errorf("%s from %d, back %t: %s, want %d and %g", name, from, back, got, c.parts, c.area)
				}
			}
		}
	}
}

// A crescent crosses the cut four times: two parts on one side.
func TestCutCrescent(t *testing.T) {
	crescent := orb.Polygon{{{179, 0}, {-179, 0}, {-179, 1}, {179.5, 1}, {179.5, 2}, {-179, 2}, {-179, 3}, {179, 3}, {179, 0}}}
	var p place
	p.set(crescent)
	if n := len(p.outlines[0].parts); n != 3 {
		t.Errorf("a crescent has %d parts, want 3: %s", n, geometryText(t, crescent))
	}
	const degree = perDegree * perDegree
	var sum float64
	for _, part := range p.outlines[0].parts {
		sum += twiceArea(part[0]) / 2 / degree
	}
	if math.Abs(sum-4.5) > 1e-9 {
		t.Errorf("its area is %v square degrees, want 4.5", sum)
	}
	if p.outlines[0].shape != model.AreaShape || !p.outlines[0].multi {
		t.Errorf("it is %+v, want a multi area", p.outlines[0])
	}
}
