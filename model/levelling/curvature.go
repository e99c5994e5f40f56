package levelling

// LongSightM is the length of sight beyond which curvature and refraction are told: under
// it they are below a millimetre. Source: Technoupendra, curvature and refraction (looked
// up).
const LongSightM = 100

// CurvatureRefractionM is how much too high a staff is read at a distance, because the
// line of sight is straight (but for refraction, one seventh of it) and the earth is not:
//
//	0.0785 D^2 - 0.0112 D^2 = 0.0673 D^2    m, with D in km
//
// Good to a tenth of itself in ordinary air; refraction over hot ground near midday can
// be far from one seventh. Source: Civinnovate, levelling lesson 14 (looked up).
func CurvatureRefractionM(distanceM float64) float64 {
	km := distanceM / 1000
	return 0.0673 * km * km
}
