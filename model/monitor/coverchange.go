package monitor

// CoverChange is how much more of the ground is covered than was before.
type CoverChange struct {
	ChangePct     float64
	PlusMinusPct  float64 // one standard deviation; negative when not known
	LowPct        float64 // lower 95 % limit, and the upper
	HighPct       float64
	MoreThanNoise Answer
}

// CoverChangeOf is the change from one cover to a later one, whose errors are independent. Its limits are made from
// the limits of the two, l and u about p:
//
//	p₂-p₁ - √((p₂-l₂)² + (u₁-p₁)²)  to  p₂-p₁ + √((u₂-p₂)² + (p₁-l₁)²)
//
// (R. G. Newcombe, Interval estimation for the difference between independent proportions, Statistics in
// Medicine 17:873-890, 1998, method 10; from memory). Where they leave out nought it is more than noise.
func CoverChangeOf(before, after Cover) CoverChange {
	c := CoverChange{ChangePct: after.CoverPct - before.CoverPct, PlusMinusPct: together(before.PlusMinusPct, after.PlusMinusPct), LowPct: -100, HighPct: 100, MoreThanNoise: CannotTell}
	if c.PlusMinusPct < 0 {
		return c
	}
	c.LowPct = c.ChangePct - together(after.CoverPct-after.LowPct, before.HighPct-before.CoverPct)
	c.HighPct = c.ChangePct + together(after.HighPct-after.CoverPct, before.CoverPct-before.LowPct)
	c.MoreThanNoise = No
	if c.LowPct > 0 || c.HighPct < 0 {
		c.MoreThanNoise = Yes
	}
	return c
}

// UnknownCover is a cover that somebody gave without what it was counted from.
func UnknownCover(pct float64) Cover {
	return Cover{CoverPct: pct, PlusMinusPct: -1, LowPct: 0, HighPct: 100}
}
