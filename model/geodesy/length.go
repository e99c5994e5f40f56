package geodesy

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"
)

// Distance is the length of the geodesic from a to b, in metres.
func Distance(a, b orb.Point) float64 { return side(a, b, vertexAt(a), vertexAt(b)) }

// Length is the length of a line along its positions, in metres; 0 for fewer than two.
func Length[L ~[]orb.Point](line L) float64 {
	total := 0.0
	eachSide(line, func(_ int, lengthM float64) { total += lengthM })
	return total
}

// Segments are the lengths between successive positions of a line, in metres: one fewer
// than the line has positions.
func Segments[L ~[]orb.Point](line L) []float64 {
	lengths := make([]float64, max(0, len(line)-1))
	eachSide(line, func(i int, lengthM float64) { lengths[i] = lengthM })
	return lengths
}

func eachSide(line []orb.Point, visit func(i int, lengthM float64)) {
	if len(line) < 2 {
		return
	}
	from := vertexAt(line[0])
	for i, p := range line[1:] {
		to := vertexAt(p)
		visit(i, side(line[i], p, from, to))
		from = to
	}
}

// side is the length from a to b. Below ShortM it is that of the arc over their chord c on
// a sphere of the earth's mean radius R: s = 2 R asin(c / 2R) = c + c³/24R² + 3c⁵/640R⁴ …,
// of which the first two terms are kept. The arc is 1 µm longer than the chord at 1 km, and
// no radius of curvature of the ellipsoid is more than 0.6 % off R, so that at most 12 nm
// are left out; the chord itself is rounded to about 2 nm.
func side(a, b orb.Point, from, to vertex) float64 {
	c := from.chord(to)
	if c <= ShortM {
		return c + c*c*c/(24*meanRadiusM*meanRadiusM)
	}
	lengthM, _ := exact(a, b)
	return lengthM
}

// exact is the length of the geodesic from a to b and its bearing at a, from -180 to 180.
func exact(a, b orb.Point) (lengthM, azimuthDeg float64) {
	geodesic.WGS84.Inverse(steady(a[1]), a[0], steady(b[1]), b[0], &lengthM, &azimuthDeg, nil)
	return lengthM, azimuthDeg
}

// exactUnder is the area between the side and the equator, by Karney 2013, equation 58.
func exactUnder(a, b orb.Point) float64 {
	var areaM2 float64
	geodesic.WGS84.GenInverse(steady(a[1]), a[0], steady(b[1]), b[0], nil, nil, nil, nil, nil, nil, &areaM2)
	return areaM2
}

// steady puts a latitude within a nanometre of the equator on it. The library rounds it
// there to minus zero and loses the way: from 1e-300 degrees south it gives lengths of zero
// and below zero (v1.52.4; GeographicLib does not).
func steady(lat float64) float64 {
	if math.Abs(lat) < 1e-14 {
		return 0
	}
	return lat
}
