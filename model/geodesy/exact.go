package geodesy

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"
)

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
