package geodesy

import (
	"math"

	"github.com/paulmach/orb"
)

// The WGS84 ellipsoid (NIMA TR8350.2, third edition, table 3.1; from memory, and the same
// as in GeographicLib). GRS80, on which GDA2020 stands, differs by less than 0.1 mm in any
// paddock.
const (
	EquatorialRadiusM = 6378137.0
	Flattening        = 1 / 298.257223563

	eccentricity2 = Flattening * (2 - Flattening)
	polarRadiusM  = EquatorialRadiusM * (1 - Flattening)
	meanRadiusM   = (2*EquatorialRadiusM + polarRadiusM) / 3
)

var eccentricity = math.Sqrt(eccentricity2)

// ShortM is the length below which the closed formulas for short sides are used.
const ShortM = 1000.0

// vertex is a position with what the formulas for short sides need of it.
type vertex struct {
	x, y, z float64 // earth-centred, metres
	sinLat  float64
	normalM float64 // radius of curvature across the meridian
}

func vertexAt(p orb.Point) vertex {
	sinLat, cosLat := math.Sincos(radians(p[1]))
	sinLon, cosLon := math.Sincos(radians(p[0]))
	n := EquatorialRadiusM / math.Sqrt(1-eccentricity2*sinLat*sinLat)
	return vertex{
		x: n * cosLat * cosLon, y: n * cosLat * sinLon, z: n * (1 - eccentricity2) * sinLat,
		sinLat: sinLat, normalM: n,
	}
}

// Cartesian is the place of p in earth-centred coordinates, in metres: x towards 0° on the
// equator, y towards 90° east, z towards the north pole. Straight distances there are never
// longer than those along the surface, which makes them good for searching.
func Cartesian(p orb.Point) [3]float64 {
	v := vertexAt(p)
	return [3]float64{v.x, v.y, v.z}
}

// chord is the straight distance through the earth.
func (v vertex) chord(w vertex) float64 {
	dx, dy, dz := w.x-v.x, w.y-v.y, w.z-v.z
	return math.Sqrt(dx*dx + dy*dy + dz*dz)
}

// direction is the unit vector from v to w, false when they are in one place.
func (v vertex) direction(w vertex) ([3]float64, bool) {
	c := v.chord(w)
	if !(c > 0) {
		return [3]float64{}, false
	}
	return [3]float64{(w.x - v.x) / c, (w.y - v.y) / c, (w.z - v.z) / c}, true
}

func radians(degrees float64) float64 { return degrees * (math.Pi / 180) }

// eastward is the change of longitude from a to b in degrees, the shorter way round. Across
// the antimeridian both distances from it are taken first: those differences are exact,
// while one of nearly 360 degrees is rounded to micrometres. Half a turn, a side over the
// pole, is taken for the way on which the library sums its area: east unless the exact
// difference falls short of it to the west.
func eastward(a, b orb.Point) float64 {
	d := b[0] - a[0]
	switch lost := roundedOff(b[0], -a[0], d); {
	case d == 180 && lost > 0:
		return -180
	case d == -180 && lost <= 0:
		return 180
	case d > 180:
		return (b[0] - 180) - (a[0] + 180)
	case d < -180:
		return (b[0] + 180) - (a[0] - 180)
	}
	return d
}

// roundedOff is what the sum s of u and v lost by rounding (D. E. Knuth, The Art of
// Computer Programming, volume 2, section 4.2.2, theorem B; from memory).
func roundedOff(u, v, s float64) float64 {
	u2 := s - v
	v2 := s - u2
	return (u - u2) + (v - v2)
}
