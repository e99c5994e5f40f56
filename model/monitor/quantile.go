package monitor

import "math"

// t95 is the 97.5 % point of Student's t with so many degrees of freedom: mean ± t95 times
// the standard error holds the true mean 95 times in 100. Freedom below 1 has none and
// gives +Inf.
//
// With θ = atan(t/√ν) the chance of lying within ±t is a finite sum of powers of cos θ
// (Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, 26.7.3 and 26.7.4; from
// memory), whose θ is found by halving. From 200 on, the expansion about the normal point
// (26.7.5) is right to all digits shown.
func t95(freedom int) float64 {
	if freedom < 1 {
		return math.Inf(1)
	}
	if freedom >= 200 {
		z, n := z95, float64(freedom)
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
