package soilloss

import (
	"math"
	"testing"

	"headcut/model/modeltest"
)

// TestLimitsAreTaken: a number at its limit is taken, and refused at its path beyond it.
func TestLimitsAreTaken(t *testing.T) {
	change := func(edit func(*Change)) error {
		c := Change{LengthM: 100, LengthAfterM: 100, SlopePct: 5, CoverBeforePct: 20, CoverAfterPct: 60, Series: AllSeries[0], Formula: USLE}
		edit(&c)
		_, err := c.Compare()
		return err
	}
	factors := func(edit func(*Factors)) error {
		f := Factors{R: 3000, RSource: "a map", K: 0.03, KSource: "a table"}
		edit(&f)
		return f.check()
	}
	limit := modeltest.Limits(t)
	limit("lengthM", func(v float64) error { return change(func(c *Change) { c.LengthM, c.LengthAfterM = v, v }) }, []float64{LeastLengthM, MostLengthM}, []float64{4.4, 306})
	limit("lengthAfterM", func(v float64) error { return change(func(c *Change) { c.LengthAfterM = v }) }, []float64{LeastLengthM, 100}, []float64{4.4, 100.1})
	limit("slopePct", func(v float64) error { return change(func(c *Change) { c.SlopePct = v }) }, []float64{LeastSlopePct, 20}, []float64{0.19, 20.1})
	limit("slopePct", func(v float64) error { return change(func(c *Change) { c.SlopePct, c.Formula = v, RUSLE }) }, []float64{60}, []float64{60.1})
	limit("coverBeforePct", func(v float64) error { return change(func(c *Change) { c.CoverBeforePct = v }) }, []float64{0, 1, 100}, []float64{-1, 0.5, 100.1})
	limit("coverAfterPct", func(v float64) error { return change(func(c *Change) { c.CoverAfterPct = v }) }, []float64{0, 1, 100}, []float64{-1, 0.5, 100.1})
	limit("coverAfterPlusMinusPct", func(v float64) error { return change(func(c *Change) { c.CoverAfterPlusMinus = v }) }, []float64{-1, 0, 50}, []float64{50.1, math.NaN()})
	limit("slopePlusMinusPct", func(v float64) error { return change(func(c *Change) { c.SlopePlusMinusPct = v }) }, []float64{-1, 0, 2.5}, []float64{2.51})
	limit("lengthPlusMinusM", func(v float64) error { return change(func(c *Change) { c.LengthPlusMinusM = v }) }, []float64{-1, 0, 50}, []float64{50.1})
	limit("r", func(v float64) error { return factors(func(f *Factors) { f.R = v }) }, []float64{0.1, MostR}, []float64{0, MostR + 1})
	limit("k", func(v float64) error { return factors(func(f *Factors) { f.K = v }) }, []float64{0.001, MostK}, []float64{0, 0.101})
	limit("rPlusMinus", func(v float64) error { return factors(func(f *Factors) { f.RPlusMinus = v }) }, []float64{-1, 3000}, []float64{3001})
	limit("kPlusMinus", func(v float64) error { return factors(func(f *Factors) { f.KPlusMinus = v }) }, []float64{-1, 0.03}, []float64{0.031})
}
