package monitor

import (
	"math"

	"headcut/model/statistics"
)

// Trend is the straight line through three visits or more by least squares.
type Trend struct {
	RateMPerYear      float64 `json:"rateMPerYear" unit:"m/a" doc:"of the straight line through all visits, by least squares"`
	PlusMinusMPerYear float64 `json:"plusMinusMPerYear" unit:"m/a" doc:"one standard deviation from the accuracies; none when not known"`
	ScatterMPerYear   float64 `json:"scatterMPerYear" unit:"m/a" doc:"standard error from how far the visits lie off the line: large where the head moves by fits and starts"`
	MoreThanNoise     Answer  `json:"moreThanNoise" choices:"yes|no|cannot tell" doc:"whether the rate is more than noise at 95 %: by the accuracies, or where they are not known by the scatter"`
}

func trendOf(visits []placed, alongM []float64) Trend {
	years := make([]float64, len(visits))
	for i, v := range visits {
		years[i] = visits[0].Day.yearsTo(v.Day)
	}
	fit := leastSquares(years, alongM)
	t := Trend{RateMPerYear: fit.slope, ScatterMPerYear: fit.slopeError}
	variance, known := 0.0, true
	for i, v := range visits {
		known = known && v.PlusMinusM >= 0
		variance += sq((years[i] - fit.meanX) / fit.sxx * v.PlusMinusM)
	}
	// What the tape can tell decides; where nobody said how good it is, the scatter does.
	limit := statistics.T95(len(visits)-2) * t.ScatterMPerYear
	t.PlusMinusMPerYear = -1
	if known {
		t.PlusMinusMPerYear = math.Sqrt(variance)
		limit = z95 * t.PlusMinusMPerYear
	}
	t.MoreThanNoise = moreThanNoise(t.RateMPerYear, &limit)
	return t
}

// line is a straight line by ordinary least squares.
type line struct {
	slope, slopeError float64 // and its standard error, from the residuals
	meanX, sxx        float64
}

// leastSquares fits y = intercept + slope x to three points or more, not all at one x, with
// sums about the means, so that large offsets cost no digits.
func leastSquares(x, y []float64) line {
	meanX, meanY := mean(x), mean(y)
	sxx, sxy := 0.0, 0.0
	for i := range x {
		sxx += sq(x[i] - meanX)
		sxy += (x[i] - meanX) * (y[i] - meanY)
	}
	l := line{slope: sxy / sxx, meanX: meanX, sxx: sxx}
	squares := 0.0
	for i := range x {
		squares += sq(y[i] - meanY - l.slope*(x[i]-meanX))
	}
	l.slopeError = math.Sqrt(squares / float64(len(x)-2) / sxx)
	return l
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}
