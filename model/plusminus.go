package model

import "math"

// JointPlusMinus is the plus-minus of a sum or difference of two values that err apart: their
// squares add (JCGM 100:2008, 5.1.2). -1 when either is negative, which is not known.
func JointPlusMinus(a, b float64) float64 {
	if a < 0 || b < 0 {
		return -1
	}
	return math.Hypot(a, b)
}

// ScaledPlusMinus is a plus-minus times a factor that is not negative; -1 when it is negative,
// which is not known.
func ScaledPlusMinus(factor, plusMinus float64) float64 {
	if plusMinus < 0 {
		return -1
	}
	return factor * plusMinus
}
