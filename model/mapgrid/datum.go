package mapgrid

import (
	"math"

	"github.com/paulmach/orb"
)

// helmert is a shift between datums: metres, arc-seconds and parts per million, with the
// rotation signs of the coordinate frame convention.
type helmert struct {
	x, y, z, rx, ry, rz, ppm float64
}

// gda94To2020 is EPSG transformation 8048, looked up in PROJ's database.
var gda94To2020 = helmert{x: 0.06155, y: -0.01087, z: -0.04019, rx: -0.0394924, ry: -0.0327221, rz: -0.0328979, ppm: -0.009994}

// plateMotion is EPSG transformation 8049, ITRF2014 to GDA2020, looked up in PROJ's
// database: no shift in 2020, and each year these arc-seconds more. WGS84 as receivers
// give it follows ITRF2014 to a few centimetres.
func plateMotion(s Sight) helmert {
	if s.Year == 0 {
		return helmert{}
	}
	years := s.Year - 2020
	return helmert{rx: 0.00150379 * years, ry: 0.00118346 * years, rz: 0.00120716 * years}
}

func (g Grid) fromWGS84(p orb.Point, s Sight) orb.Point {
	switch g {
	case MGA2020:
		return plateMotion(s).move(p, 1)
	case MGA94:
		return gda94To2020.move(plateMotion(s).move(p, 1), -1)
	}
	return p
}

func (g Grid) toWGS84(p orb.Point, s Sight) orb.Point {
	switch g {
	case MGA2020:
		return plateMotion(s).move(p, -1)
	case MGA94:
		return plateMotion(s).move(gda94To2020.move(p, 1), -1)
	}
	return p
}

// move shifts a position at height 0, forward for sign 1. Turning the signs round inverts
// it to a micrometre, its angles being so small; a height of 1 km moves it by as little.
func (h helmert) move(p orb.Point, sign float64) orb.Point {
	if h == (helmert{}) {
		return p
	}
	const arcSecond = math.Pi / (180 * 3600)
	x, y, z := grs80.cartesian(p)
	rx, ry, rz := sign*h.rx*arcSecond, sign*h.ry*arcSecond, sign*h.rz*arcSecond
	grow := 1 + sign*h.ppm*1e-6
	return grs80.geodetic(
		sign*h.x+grow*(x+rz*y-ry*z),
		sign*h.y+grow*(-rz*x+y+rx*z),
		sign*h.z+grow*(ry*x-rx*y+z))
}

func (e ellipsoid) cartesian(p orb.Point) (x, y, z float64) {
	sinLat, cosLat := math.Sincos(p[1] * math.Pi / 180)
	sinLon, cosLon := math.Sincos(p[0] * math.Pi / 180)
	n := e.radiusM / math.Sqrt(1-e.eccentricity2*sinLat*sinLat)
	return n * cosLat * cosLon, n * cosLat * sinLon, n * (1 - e.eccentricity2) * sinLat
}

// geodetic drops the height. The latitude is iterated as by Bowring (1985; from memory),
// which near the ellipsoid is exact to rounding after two rounds.
func (e ellipsoid) geodetic(x, y, z float64) orb.Point {
	across := math.Hypot(x, y)
	polar := math.Sqrt(1 - e.eccentricity2)
	second2 := e.eccentricity2 / (1 - e.eccentricity2)
	tan := z / (across * polar) // of the reduced latitude
	var tanLat float64
	for range 3 {
		cos := 1 / math.Hypot(1, tan)
		sin := tan * cos
		tanLat = (z + second2*polar*e.radiusM*sin*sin*sin) / (across - e.eccentricity2*e.radiusM*cos*cos*cos)
		tan = polar * tanLat
	}
	return orb.Point{math.Atan2(y, x) * 180 / math.Pi, math.Atan(tanLat) * 180 / math.Pi}
}
