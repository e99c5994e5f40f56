// Package elementary has the elementary functions whose last bits the standard library
// leaves to the processor: on amd64 its Exp is written in assembly and rounds otherwise
// than the Go that runs in a browser, in about one call of ten, and Pow, Sinh, Cosh and
// Tanh go through it. An officer's phone must answer what the server answers, to the byte,
// so model uses these instead; a test of package compute sees to it.
//
// It is not a second library of mathematics: what gives equal bits already (Sqrt, Log,
// Log1p, Hypot, Sin, Atan2 and their like) stays with package math. On processors where
// the compiler joins a product and a sum into one rounding (arm64), last bits may still
// differ.
package elementary

import "math"

// Exp is e to the power x, within two units in the last place. It overflows to +Inf above
// 709.78 and underflows to 0 below -709.78.
func Exp(x float64) float64 {
	if x < 0 {
		return 1 / (1 + math.Expm1(-x))
	}
	return 1 + math.Expm1(x)
}

// Pow is x to the power y, within a few units in the last place, with the special cases of
// math.Pow. Whole powers are products, as there; only the fraction goes through Exp.
func Pow(x, y float64) float64 {
	whole, fraction := math.Modf(y)
	if fraction == 0 || math.Abs(y) == 0.5 || math.IsNaN(fraction) || math.IsInf(x, 0) || x <= 0 {
		return math.Pow(x, y) // none of these goes through the standard Exp
	}
	power := math.Pow(x, whole)
	if power == 0 || math.IsInf(power, 0) {
		return power
	}
	return power * Exp(fraction*math.Log(x))
}

// Sinh is the hyperbolic sine.
func Sinh(x float64) float64 {
	if math.Abs(x) > 709 { // the formula below would lose a half of what Exp cannot hold
		return math.Copysign(0.5*Exp(math.Abs(x)/2)*Exp(math.Abs(x)/2), x)
	}
	e := math.Expm1(math.Abs(x))
	return math.Copysign(0.5*(e+e/(1+e)), x)
}

// Cosh is the hyperbolic cosine.
func Cosh(x float64) float64 {
	if math.Abs(x) > 709 {
		return 0.5 * Exp(math.Abs(x)/2) * Exp(math.Abs(x)/2)
	}
	e := Exp(math.Abs(x))
	return 0.5*e + 0.5/e
}

// Tanh is the hyperbolic tangent.
func Tanh(x float64) float64 {
	if math.Abs(x) > 22 {
		return math.Copysign(1, x) // to the last bit
	}
	e := math.Expm1(2 * math.Abs(x))
	return math.Copysign(e/(e+2), x)
}
