package geodesy

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"
)

// Azimuth is the bearing at a of the geodesic to b, in degrees clockwise from true north,
// from 0 to below 360. It is 0 or 180 when the two are in one place.
func Azimuth(a, b orb.Point) float64 {
	_, azimuthDeg := exact(a, b)
	return turn(azimuthDeg)
}

// Heading is the unit vector (east, north) at a of the chord to b, false when the two are in
// one place. It is worked out in a tenth of the time of Azimuth, from whose direction it is
// off by less than 1e-9 up to a kilometre.
func Heading(a, b orb.Point) ([2]float64, bool) {
	from, to := vertexAt(a), vertexAt(b)
	dx, dy, dz := to.x-from.x, to.y-from.y, to.z-from.z
	sinLon, cosLon := math.Sincos(radians(a[0]))
	cosLat := math.Sqrt(1 - from.sinLat*from.sinLat)
	east := cosLon*dy - sinLon*dx
	north := cosLat*dz - from.sinLat*(cosLon*dx+sinLon*dy)
	c := math.Sqrt(east*east + north*north)
	if !(c > 0) {
		return [2]float64{}, false
	}
	return [2]float64{east / c, north / c}, true
}

// Destination is where one arrives from p after distanceM along the geodesic that starts
// at azimuthDeg. A negative distance goes the other way.
func Destination(p orb.Point, azimuthDeg, distanceM float64) orb.Point {
	var lat, lon float64
	geodesic.WGS84.Direct(steady(p[1]), p[0], azimuthDeg, distanceM, &lat, &lon, nil)
	return orb.Point{lon, lat}
}

// turn brings a bearing into 0 to below 360.
func turn(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 { // a tiny negative bearing rounds up to a full turn
		return 0
	}
	return deg
}

// Frame gives offsets in metres east and north of its origin: the true distance from the
// origin, laid off at the true bearing (the azimuthal equidistant projection). Distances
// between two other positions a hundred metres off the origin are right to a micrometre.
type Frame struct{ Origin orb.Point }

// Offset is where p lies from the origin, in metres.
func (f Frame) Offset(p orb.Point) (eastM, northM float64) {
	lengthM, azimuthDeg := exact(f.Origin, p)
	sin, cos := math.Sincos(radians(azimuthDeg))
	return lengthM * sin, lengthM * cos
}

// Position is the place so many metres east and north of the origin.
func (f Frame) Position(eastM, northM float64) orb.Point {
	return Destination(f.Origin, math.Atan2(eastM, northM)*(180/math.Pi), math.Hypot(eastM, northM))
}
