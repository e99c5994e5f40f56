package geodesy

import (
	"cmp"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
)

// mostPairs bounds the work on one hostile or absurdly intricate boundary.
const mostPairs = 5_000_000

// edge is a side of a ring in degrees, with its place, so that what happens at its ends
// can be looked at.
type edge struct {
	a, b    orb.Point
	ring, i int
}

// Crossing finds a place where the boundary of a polygon crosses itself, a ring with
// itself or with another. Touching without crossing is in order. whole is false when the
// search was given up. Sides are straight in degrees, which for the sides of a field
// differs from geodesics by less than anyone can mark; longitudes are made continuous
// first, so that the antimeridian is no edge of the world.
//
// Sides are swept along the axis on which they overlap least, and compared only where
// they overlap there. do counts these comparisons, and ends the search when it is false; nil
// counts nothing.
func Crossing(p orb.Polygon, do func(steps int) bool) (at orb.Point, found, whole bool) {
	rings := make([][]orb.Point, len(p))
	var edges []edge
	var origin *orb.Point
	for r, ring := range p {
		points := continuous(ring, origin)
		rings[r] = points
		if len(points) < 2 {
			continue
		}
		origin = &points[0]
		for i := range points {
			edges = append(edges, edge{points[i], points[(i+1)%len(points)], r, i})
		}
	}
	axis := leastOverlap(edges)
	model.SortStable(edges, func(e, f edge) int { return cmp.Compare(min(e.a[axis], e.b[axis]), min(f.a[axis], f.b[axis])) })
	pairs := 0
	for i, e := range edges {
		before := pairs
		end := max(e.a[axis], e.b[axis])
		for _, f := range edges[i+1:] {
			if min(f.a[axis], f.b[axis]) > end {
				break
			}
			if pairs++; pairs > mostPairs {
				return at, false, false
			}
			if at, found := cross(e, f, rings); found {
				return orb.Point{math.Remainder(at[0], 360), at[1]}, true, true
			}
		}
		if do != nil && !do(pairs-before) {
			return at, false, false
		}
	}
	return at, false, true
}

// continuous drops repeated positions and the closing one, and lets longitudes run past
// ±180 where the ring does. Rings after the first start near it.
func continuous(ring orb.Ring, origin *orb.Point) []orb.Point {
	var points []orb.Point
	for _, p := range ring {
		last := origin
		if n := len(points); n > 0 {
			last = &points[n-1]
		}
		if last != nil {
			p[0] = last[0] + math.Remainder(p[0]-last[0], 360)
		}
		if len(points) == 0 || p != points[len(points)-1] {
			points = append(points, p)
		}
	}
	if n := len(points); n > 1 && points[0] == points[n-1] {
		points = points[:n-1]
	}
	return points
}

func leastOverlap(edges []edge) int {
	var low, high, extent [2]float64
	low, high = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, e := range edges {
		for axis := range 2 {
			low[axis] = min(low[axis], e.a[axis])
			high[axis] = max(high[axis], e.a[axis])
			extent[axis] += math.Abs(e.b[axis] - e.a[axis])
		}
	}
	if extent[0]*(high[1]-low[1]) > extent[1]*(high[0]-low[0]) {
		return 1
	}
	return 0
}

// cross tells where e and f cross: properly inside both, or where the boundary passes
// through e by a corner of its own, or two corners meet and pass through each other.
func cross(e, f edge, rings [][]orb.Point) (orb.Point, bool) {
	ea, eb := leftOf(f.a, f.b, e.a), leftOf(f.a, f.b, e.b)
	fa, fb := leftOf(e.a, e.b, f.a), leftOf(e.a, e.b, f.b)
	switch {
	case ea*eb < 0 && fa*fb < 0:
		t := fa / (fa - fb)
		return orb.Point{f.a[0] + t*(f.b[0]-f.a[0]), f.a[1] + t*(f.b[1]-f.a[1])}, true
	case ea == 0 && fa*fb < 0: // corner e.a stands on f
		if before := corner(rings, e, -1); leftOf(f.a, f.b, before)*eb < 0 {
			return e.a, true
		}
	case fa == 0 && ea*eb < 0:
		if before := corner(rings, f, -1); leftOf(e.a, e.b, before)*fb < 0 {
			return f.a, true
		}
	case e.a == f.a: // two corners meet: f passes through when one of its sides lies within e's angle
		from := corner(rings, e, -1)
		angle, in, out := angleAt(e.a, from, e.b), angleAt(e.a, from, corner(rings, f, -1)), angleAt(e.a, from, f.b)
		along := in == 0 || out == 0 || in == angle || out == angle
		if !along && (in < angle) != (out < angle) {
			return e.a, true
		}
	}
	return orb.Point{}, false
}

func corner(rings [][]orb.Point, e edge, step int) orb.Point {
	ring := rings[e.ring]
	return ring[(e.i+step+len(ring))%len(ring)]
}

// leftOf is positive when p lies to the left of the line from a to b.
func leftOf(a, b, p orb.Point) float64 {
	return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0])
}

// angleAt is the angle at o from the direction of a to that of b, in [0, 2π).
func angleAt(o, a, b orb.Point) float64 {
	t := math.Atan2(b[1]-o[1], b[0]-o[0]) - math.Atan2(a[1]-o[1], a[0]-o[0])
	if t < 0 {
		t += 2 * math.Pi
	}
	return t
}
