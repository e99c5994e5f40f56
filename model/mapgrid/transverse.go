package mapgrid

import (
	"math"

	"headcut/model/elementary"
)

// ellipsoid carries what Krüger's series needs of an ellipsoid of revolution.
type ellipsoid struct {
	radiusM       float64 // equatorial
	eccentricity  float64
	rectifyingM   float64    // radius of the circle as long as a meridian
	alpha, beta   [6]float64 // series coefficients, forward and back
	eccentricity2 float64
}

// UTM's constants (NGA.SIG.0012, 2014, section 7; from memory), which the Map Grid of
// Australia takes over.
const (
	centralScale   = 0.9996
	falseEastingM  = 500_000
	falseNorthingM = 10_000_000 // south of the equator
)

// newEllipsoid sums the series of Krüger to the sixth order of the third flattening, which
// is good to nanometres in any zone (Karney, Transverse Mercator with an accuracy of a few
// nanometers, Journal of Geodesy 85:475-485, 2011, equations 12, 14, 35 and 36; from memory,
// compared with GeoConvert and PROJ in this package's tests).
func newEllipsoid(radiusM, flattening float64) ellipsoid {
	n := flattening / (2 - flattening)
	n2 := n * n
	n3, n4, n5, n6 := n2*n, n2*n2, n2*n2*n, n2*n2*n2
	e2 := flattening * (2 - flattening)
	return ellipsoid{
		radiusM: radiusM, eccentricity: math.Sqrt(e2), eccentricity2: e2,
		rectifyingM: radiusM / (1 + n) * (1 + n2/4 + n4/64 + n6/256),
		alpha: [6]float64{
			n/2 - 2*n2/3 + 5*n3/16 + 41*n4/180 - 127*n5/288 + 7891*n6/37800,
			13*n2/48 - 3*n3/5 + 557*n4/1440 + 281*n5/630 - 1983433*n6/1935360,
			61*n3/240 - 103*n4/140 + 15061*n5/26880 + 167603*n6/181440,
			49561*n4/161280 - 179*n5/168 + 6601661*n6/7257600,
			34729*n5/80640 - 3418889*n6/1995840,
			212378941 * n6 / 319334400,
		},
		beta: [6]float64{
			n/2 - 2*n2/3 + 37*n3/96 - n4/360 - 81*n5/512 + 96199*n6/604800,
			n2/48 + n3/15 - 437*n4/1440 + 46*n5/105 - 1118711*n6/3870720,
			17*n3/480 - 37*n4/840 - 209*n5/4480 + 5569*n6/90720,
			4397*n4/161280 - 11*n5/504 - 830251*n6/7257600,
			4583*n5/161280 - 108847*n6/3991680,
			20648693 * n6 / 638668800,
		},
	}
}

// projected is a place on the plane of a transverse Mercator projection before false
// origins, with how the plane lies to the ground there.
type projected struct {
	eastM, northM  float64
	convergenceDeg float64 // bearing of grid north from true north
	scale          float64 // grid length over ground length at the ellipsoid
}

// project puts a place, lonDeg from the central meridian, on the plane.
func (e ellipsoid) project(lonDeg, latDeg float64) projected {
	sinLon, cosLon := math.Sincos(lonDeg * math.Pi / 180)
	tau := math.Tan(latDeg * math.Pi / 180)
	conformal := e.conformal(tau)
	xi, eta := math.Atan2(conformal, cosLon), math.Asinh(sinLon/math.Hypot(conformal, cosLon))
	x, y, p, q := eta, xi, 1.0, 0.0
	for j, a := range e.alpha {
		k := float64(2 * (j + 1))
		sin, cos := math.Sincos(k * xi)
		sinh, cosh := elementary.Sinh(k*eta), elementary.Cosh(k*eta)
		y += a * sin * cosh
		x += a * cos * sinh
		p += k * a * cos * cosh
		q += k * a * sin * sinh
	}
	sinLat := tau / math.Hypot(1, tau)
	return projected{
		eastM: centralScale * e.rectifyingM * x, northM: centralScale * e.rectifyingM * y,
		convergenceDeg: (math.Atan2(conformal*sinLon, math.Hypot(1, conformal)*cosLon) + math.Atan2(q, p)) * 180 / math.Pi,
		scale: centralScale * e.rectifyingM / e.radiusM * math.Hypot(p, q) *
			math.Sqrt(1-e.eccentricity2*sinLat*sinLat) * math.Hypot(1, tau) / math.Hypot(conformal, cosLon),
	}
}

// unproject is the inverse of project.
func (e ellipsoid) unproject(eastM, northM float64) (lonDeg, latDeg float64) {
	xi, eta := northM/(centralScale*e.rectifyingM), eastM/(centralScale*e.rectifyingM)
	y, x := xi, eta
	for j, b := range e.beta {
		k := float64(2 * (j + 1))
		sin, cos := math.Sincos(k * xi)
		y -= b * sin * elementary.Cosh(k*eta)
		x -= b * cos * elementary.Sinh(k*eta)
	}
	sin, cos := math.Sincos(y)
	lonDeg = math.Atan2(elementary.Sinh(x), cos) * 180 / math.Pi
	return lonDeg, math.Atan(e.geographic(sin/math.Hypot(elementary.Sinh(x), cos))) * 180 / math.Pi
}

// conformal is the tangent of the conformal latitude, from that of the geographic one.
func (e ellipsoid) conformal(tau float64) float64 {
	secant := math.Hypot(1, tau)
	sigma := elementary.Sinh(e.eccentricity * math.Atanh(e.eccentricity*tau/secant))
	return tau*math.Hypot(1, sigma) - sigma*secant
}

// geographic inverts conformal by Newton's method, which doubles its digits each round.
func (e ellipsoid) geographic(conformal float64) float64 {
	tau := conformal
	for range 5 {
		at := e.conformal(tau)
		step := (conformal - at) * (1 + (1-e.eccentricity2)*tau*tau) /
			((1 - e.eccentricity2) * math.Hypot(1, tau) * math.Hypot(1, at))
		tau += step
		if math.Abs(step) < 1e-15*max(1, math.Abs(tau)) {
			break
		}
	}
	return tau
}
