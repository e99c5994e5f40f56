package elementary

import "math"

// Erf is the error function, to about 1e-15: by its series of positive terms (DLMF 7.6.2;
// from memory), and from 3 on by Erfc.
func Erf(x float64) float64 {
	a := math.Abs(x)
	switch {
	case math.IsNaN(x):
		return x
	case a >= 3:
		return math.Copysign(1-Erfc(a), x)
	}
	term, sum := a, a
	for n := 1.0; term > 1e-17*sum; n++ {
		term *= 2 * a * a / (2*n + 1)
		sum += term
	}
	return math.Copysign(2/math.SqrtPi*Exp(-a*a)*sum, x)
}

// Erfc is 1 - Erf(x) without the loss of that difference above 1.5: there by its
// continued fraction (DLMF 7.9.1; from memory), which 200 terms settle.
func Erfc(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x < 1.5:
		return 1 - Erf(x)
	case x > 27.3:
		return 0 // below the smallest number
	}
	tail := x
	for n := 200.0; n > 0; n-- {
		tail = x + n/2/tail
	}
	return Exp(-x*x) / (math.Sqrt(math.Pi) * tail)
}
