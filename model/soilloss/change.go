package soilloss

import (
	"math"

	"headcut/model"
)

// Change is a hillslope before and after its cover changed. Plus-minuses are one standard
// deviation, negative when not known.
type Change struct {
	LengthM              float64
	LengthAfterM         float64 // where banks now cut the slope; LengthM if they do not
	LengthPlusMinusM     float64 // of each length
	SlopePct             float64
	SlopePlusMinusPct    float64
	CoverBeforePct       float64
	CoverBeforePlusMinus float64 // percent of the ground
	CoverAfterPct        float64
	CoverAfterPlusMinus  float64
	Series               Series
	Formula              Formula
}

// Outcome is the ratio and what it is made of; plus-minuses are negative when not known.
type Outcome struct {
	LSBefore, LSAfter                   float64
	LSBeforePlusMinus, LSAfterPlusMinus float64
	CBefore, CAfter                     float64
	CBeforePlusMinus, CAfterPlusMinus   float64
	Ratio                               float64 // loss after over loss before, all else equal
	RatioPlusMinus                      float64
	Verdict                             Verdict
}

// Verdict says whether the cover changed by more than its measurements scatter.
type Verdict string

const (
	Less    Verdict = "less loss"
	More    Verdict = "more loss"
	TooNear Verdict = "too close to tell"
	Unknown Verdict = "not known"
)

// Verdicts lists every verdict.
var Verdicts = []Verdict{Less, More, TooNear, Unknown}

// Compare works the ratio out. It returns a *model.Problem with a path like "slopePct" for
// what cannot be compared.
func (c Change) Compare() (Outcome, error) {
	if p := c.check(); p != nil {
		return Outcome{}, p
	}
	var o Outcome
	o.LSBefore, o.LSAfter = c.Formula.lengthSlope(c.LengthM, c.SlopePct), c.Formula.lengthSlope(c.LengthAfterM, c.SlopePct)
	o.CBefore, o.CAfter = c.Series.Factor(c.CoverBeforePct), c.Series.Factor(c.CoverAfterPct)
	o.Ratio = o.CAfter / o.CBefore * (o.LSAfter / o.LSBefore)
	o.LSBeforePlusMinus, o.LSAfterPlusMinus = -1, -1
	if before := c.relativeVariance(c.lsBefore); before >= 0 {
		o.LSBeforePlusMinus, o.LSAfterPlusMinus = o.LSBefore*math.Sqrt(before), o.LSAfter*math.Sqrt(c.relativeVariance(c.lsAfter))
	}
	o.CBeforePlusMinus = c.Series.plusMinus(c.CoverBeforePct, c.CoverBeforePlusMinus)
	o.CAfterPlusMinus = c.Series.plusMinus(c.CoverAfterPct, c.CoverAfterPlusMinus)
	o.RatioPlusMinus = c.ratioPlusMinus(o)
	o.Verdict = c.verdict()
	return o, nil
}

func (c Change) check() *model.Problem {
	plusMinus := func(path string, v, most float64, unit string) *model.Problem {
		return model.Require(v <= most, path, "leave it out when it is not known", "%v is not a ± from 0 to %v %s", v, most, unit) // NaN too; negative is not known
	}
	return model.FirstProblem(c.Formula.check(c.LengthM, c.SlopePct), checkLength(c.LengthAfterM, "lengthAfterM"),
		model.Require(c.LengthAfterM <= c.LengthM, "lengthAfterM", "leave it out where no bank cuts the slope", "%v m is longer than the %v m before", c.LengthAfterM, c.LengthM),
		checkCover(c.CoverBeforePct, "coverBeforePct"), checkCover(c.CoverAfterPct, "coverAfterPct"),
		plusMinus("coverBeforePlusMinusPct", c.CoverBeforePlusMinus, 50, "%"), plusMinus("coverAfterPlusMinusPct", c.CoverAfterPlusMinus, 50, "%"),
		plusMinus("slopePlusMinusPct", c.SlopePlusMinusPct, c.SlopePct/2, "%, half the slope"),
		plusMinus("lengthPlusMinusM", c.LengthPlusMinusM, c.LengthAfterM/2, "m, half the length"))
}

// ratioPlusMinus is exact in the covers and first-order in length and slope, which matter
// only where the slope was cut. Their errors are independent of each other.
func (c Change) ratioPlusMinus(o Outcome) float64 {
	if c.CoverBeforePlusMinus < 0 || c.CoverAfterPlusMinus < 0 {
		return -1
	}
	ls := 0.0
	if c.LengthAfterM != c.LengthM {
		if ls = c.relativeVariance(func(before, after, slope float64) float64 {
			return c.lsAfter(before, after, slope) / c.lsBefore(before, after, slope)
		}); ls < 0 {
			return -1
		}
	}
	s := c.Series
	first := s.moment(1, c.CoverAfterPct, c.CoverAfterPlusMinus) * s.moment(-1, c.CoverBeforePct, c.CoverBeforePlusMinus)
	second := s.moment(2, c.CoverAfterPct, c.CoverAfterPlusMinus) * s.moment(-2, c.CoverBeforePct, c.CoverBeforePlusMinus)
	return o.LSAfter / o.LSBefore * math.Sqrt(max(0, second*(1+ls)-first*first))
}

func (c Change) lsBefore(before, _, slope float64) float64 {
	return c.Formula.lengthSlope(before, slope)
}
func (c Change) lsAfter(_, after, slope float64) float64 { return c.Formula.lengthSlope(after, slope) }

// relativeVariance of a function of the two lengths and the slope, by differences a
// standard deviation to either side, wide enough to see past the small steps that the
// formulas take at 3, 5 and 9 %; negative when one is not known.
func (c Change) relativeVariance(of func(before, after, slope float64) float64) float64 {
	if c.LengthPlusMinusM < 0 || c.SlopePlusMinusPct < 0 {
		return -1
	}
	at := [3]float64{c.LengthM, c.LengthAfterM, c.SlopePct}
	sum, base := 0.0, of(at[0], at[1], at[2])
	for i, sd := range [3]float64{c.LengthPlusMinusM, c.LengthPlusMinusM, c.SlopePlusMinusPct} {
		up, down := at, at
		up[i] += sd
		down[i] -= sd
		change := (of(up[0], up[1], up[2]) - of(down[0], down[1], down[2])) / 2 / base
		sum += change * change
	}
	return sum
}

// verdict compares the covers alone: banks that cut the slope are either there or not.
func (c Change) verdict() Verdict {
	if c.CoverBeforePlusMinus < 0 || c.CoverAfterPlusMinus < 0 {
		return Unknown
	}
	// Two-sided 95 % of a normal difference.
	noise := 1.96 * math.Hypot(c.CoverBeforePlusMinus, c.CoverAfterPlusMinus)
	switch change := c.CoverAfterPct - c.CoverBeforePct; {
	case change > noise:
		return Less
	case change < -noise:
		return More
	}
	return TooNear
}
