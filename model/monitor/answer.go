package monitor

import (
	"math"

	"headcut/model"
	"headcut/model/statistics"
)

// Answer is what the measurements say to a question, at 95 % confidence.
type Answer string

const (
	Yes        Answer = "yes"
	No         Answer = "no"
	CannotTell Answer = "cannot tell" // nobody said how good the measurements are, or they are not good enough
)

const z95 = statistics.Z95

// plane95 is √(-2 ln 0.05): two fixes of one place lie further apart than this many standard
// deviations of their difference along one direction 5 times in 100. Their squared distance
// over its variance has the chi-square distribution with 2 degrees of freedom (derived).
const plane95 = 2.447746830680816

// moreThanNoise tells whether a change is larger than limit, the least change that could
// be told from no change, nil when that is not known.
func moreThanNoise(change float64, limit *float64) Answer {
	switch {
	case limit == nil:
		return CannotTell
	case math.Abs(change) > *limit:
		return Yes
	}
	return No
}

// Changed tells whether a change is larger than what its plus-minus, one standard deviation and
// negative where it is not known, would show of no change in 95 of 100 cases: 1.96 times it.
func Changed(change, plusMinus float64) Answer {
	return moreThanNoise(change, model.Known(model.ScaledPlusMinus(z95, plusMinus)))
}

// together is the plus-minus of a sum or a difference of two values that err apart, -1 when
// that of one is not known. math.Hypot would give another last digit on the phone.
func together(a, b float64) float64 {
	if a < 0 || b < 0 {
		return -1
	}
	return math.Sqrt(a*a + b*b)
}

// outside is the Problem of a value that is not from low to high, nil for one that is.
func outside(path string, value, low, high float64, unit, fix string) *model.Problem {
	return model.InRange(path, value, low, high, "", " "+unit, fix)
}

// tooWide is the Problem of a plus-minus above most; a negative one is not known.
func tooWide(path string, value, most float64, unit, fix string) *model.Problem {
	if value < 0 {
		return nil
	}
	return outside(path, value, 0, most, unit, fix)
}

// MaxPlusMinusM is the largest plus-minus of a length that is taken for one.
const MaxPlusMinusM = 1000

// badPlusMinus is the Problem of a plus-minus of a length that nobody believes.
func badPlusMinus(path string, value float64) *model.Problem {
	return tooWide(path, value, MaxPlusMinusM, "m", "give one standard deviation in metres, or leave it out")
}
