package geodesy

import (
	"math"

	"github.com/paulmach/orb"
)

// steepestLatDeg is where the formula for short sides hands over to Karney's: towards the
// poles its neglected terms grow with the tangent of the latitude.
const steepestLatDeg = 80.0

// Area is the area of a polygon in square metres: its first ring less the others, whatever
// their winding. A ring is taken to enclose the smaller part of the earth, and its last
// position may repeat the first. Where a ring crosses itself, parts with opposite winding
// are set against each other. A ring of fewer than three positions has no area; the result
// is negative when the holes are larger than the shell.
func Area(p orb.Polygon) float64 {
	if len(p) == 0 {
		return 0
	}
	area := RingArea(p[0])
	for _, hole := range p[1:] {
		area -= RingArea(hole)
	}
	return area
}

// RingArea is the area inside one ring in square metres, never negative.
func RingArea(ring orb.Ring) float64 { return math.Abs(SignedRingArea(ring)) }

// SignedRingArea is the area to the left of the ring in square metres, from minus half to
// half the earth: positive for a counterclockwise ring, as RFC 7946 winds shells.
//
// It sums over the sides the area between each and the parallel of the first position,
// (area between side and equator) - q₀ Δλ, so that the large areas down to the equator do
// not swallow the digits of a small plot. Round a pole the changes of longitude sum to a
// full turn and the cap is taken instead.
func SignedRingArea(ring orb.Ring) float64 {
	ring = unclosed(ring)
	if len(ring) < 3 {
		return 0
	}
	q0 := equatorArea(vertexAt(ring[0]).sinLat)
	below, turnDeg := 0.0, 0.0
	last := ring[len(ring)-1]
	from := stripAt(last, q0)
	for _, p := range ring {
		to := stripAt(p, q0)
		lonDeg := eastward(last, p)
		turnDeg += lonDeg
		below += under(last, p, from, to, lonDeg, q0)
		last, from = p, to
	}
	turns := math.Round(turnDeg / 360)
	left := 2*math.Pi*(math.Abs(turns)*equatorArea(1)-turns*q0) - below
	return math.Remainder(left, earthM2)
}

// Perimeter is the length round all rings of a polygon in metres.
func Perimeter(p orb.Polygon) float64 {
	total := 0.0
	for _, ring := range p {
		if ring = unclosed(ring); len(ring) > 1 {
			total += Length(ring) + Distance(ring[len(ring)-1], ring[0])
		}
	}
	return total
}

// strip is a vertex with the area of the strip between its parallel and that of the ring's
// first position, per radian of longitude.
type strip struct {
	vertex
	q float64
}

func stripAt(p orb.Point, q0 float64) strip {
	v := vertexAt(p)
	return strip{v, equatorArea(v.sinLat) - q0}
}

// under is the area between the side from a to b and the parallel of q0, positive for an
// eastward side above it.
//
// For a short side it is the trapezoid of the two strips in the equal-area cylindrical
// projection x = λ, y = q(φ), and the sliver between the straight edge there and the
// geodesic. Along a geodesic of azimuth α, with arc length t and ρ the radius of the
// parallel, Clairaut's law gives
//
//	dx/dt = sin α / ρ    dy/dt = ρ cos α    d²y/dt² = -sin φ    d²x/dt² = 2 sin α cos α sin φ / ρ²
//
// and a curve departs from its chord by the area h³ (dx/dt d²y/dt² - d²x/dt² dy/dt) / 12,
// which, for a side of length h and the meridian radius M, at the middle of the side, is
//
//	-Δλ sin φ (h² + 2 (M Δφ)²) / 12
//
// Derived here; what is left out is of the order h⁵/720R³ and stays below 10 mm² a side.
func under(a, b orb.Point, from, to strip, lonDeg, q0 float64) float64 {
	h := from.chord(to.vertex)
	if !(h <= ShortM) || math.Abs(a[1]) > steepestLatDeg || math.Abs(b[1]) > steepestLatDeg {
		return exactUnder(a, b) - q0*radians(lonDeg)
	}
	n := (from.normalM + to.normalM) / 2
	meridianM := n * n * n * ((1 - eccentricity2) / (EquatorialRadiusM * EquatorialRadiusM))
	northM := meridianM * radians(b[1]-a[1])
	sinLat := (from.sinLat + to.sinLat) / 2
	return radians(lonDeg) * ((from.q+to.q)/2 + sinLat*(h*h+2*northM*northM)/12)
}

// equatorArea is the area between the equator and a parallel per radian of longitude, in
// square metres (J. P. Snyder, Map Projections: A Working Manual, 1987, equation 3-12 times
// half the squared equatorial radius; from memory).
func equatorArea(sinLat float64) float64 {
	es := eccentricity * sinLat
	return polarRadiusM * polarRadiusM / 2 * (sinLat/(1-es*es) + math.Atanh(es)/eccentricity)
}

var earthM2 = 4 * math.Pi * equatorArea(1)

// unclosed drops the last position of a ring when it repeats the first.
func unclosed(ring orb.Ring) orb.Ring {
	if n := len(ring); n > 1 && ring[0] == ring[n-1] {
		return ring[:n-1]
	}
	return ring
}
