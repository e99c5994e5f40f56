// Package statistics has what several packages need to say how good a figure is: points of
// the normal and of Student's distribution, and the law of propagation of errors.
package statistics

import "math"

// Z95 is the 97.5 % point of the normal distribution: two values differ at 95 % confidence
// when they lie further apart than this many standard deviations of their difference.
const Z95 = 1.959963984540054

// T95 is the 97.5 % point of Student's t with so many degrees of freedom: mean ± T95 times
// the standard error holds the true mean 95 times in 100. Freedom below 1 has none and
// gives +Inf.
//
// With θ = atan(t/√ν) the chance of lying within ±t is a finite sum of powers of cos θ
// (Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, 26.7.3 and 26.7.4; from
// memory), whose θ is found by halving. From 200 on, the expansion about the normal point
// (26.7.5) is right to all digits shown.
func T95(freedom int) float64 {
	if freedom < 1 {
		return math.Inf(1)
	}
	if freedom >= 200 {
		z, n := Z95, float64(freedom)
		z3 := z * z * z
		z5 := z3 * z * z
		return z + (z3+z)/(4*n) + (5*z5+16*z3+3*z)/(96*n*n)
	}
	low, high := 0.0, math.Pi/2
	for range 60 {
		if theta := (low + high) / 2; withinT(theta, freedom) < 0.95 {
			low = theta
		} else {
			high = theta
		}
	}
	return math.Tan((low+high)/2) * math.Sqrt(float64(freedom))
}

// withinT is the chance that Student's t lies within ±√ν tan θ.
func withinT(theta float64, freedom int) float64 {
	sin, cos := math.Sincos(theta)
	term, sum, from := 1.0, 1.0, 2
	if freedom%2 == 1 {
		if freedom == 1 {
			return 2 * theta / math.Pi
		}
		term, sum, from = cos, cos, 3
	}
	for k := from; k <= freedom-2; k += 2 {
		term *= cos * cos * float64(k-1) / float64(k)
		sum += term
	}
	if freedom%2 == 1 {
		return 2 / math.Pi * (theta + sin*sum)
	}
	return sin * sum
}

// Propagate is the plus-minus of f at values whose standard deviations are plusMinus, taken
// as independent. The effect of each is half the difference that moving it by its standard
// deviation either way makes (JCGM 100:2008, 5.1.3 note 2; from memory): the law of
// propagation to first order, without writing out derivatives. It is -1 when one of the
// plus-minuses is not known and its value matters.
func Propagate(f func([]float64) float64, values, plusMinus []float64) float64 {
	at := append([]float64(nil), values...)
	moved := func(i int, by float64) float64 {
		at[i] = values[i] + by
		y := f(at)
		at[i] = values[i]
		return y
	}
	variance := 0.0
	for i, s := range plusMinus {
		if s < 0 {
			nudge := 1e-6 * max(1, math.Abs(values[i]))
			if moved(i, nudge) != moved(i, -nudge) {
				return -1
			}
		}
		if s <= 0 {
			continue
		}
		half := (moved(i, s) - moved(i, -s)) / 2
		variance += half * half
	}
	if y := math.Sqrt(variance); y < math.MaxFloat64 { // false for NaN
		return y
	}
	return -1
}
