package track

import (
	"math"

	"headcut/model/section"
)

// walk goes down one slope and finds how far below a break (the top, or a bank) the next
// bank may stand.
type walk struct {
	slope Slope
	rule  Rule
}

// sameM is how near two distances must be to be one: far below what a tape tells.
const sameM = 1e-9

// latestM is the farthest distance down from the top at which the next bank may stand
// below a break at fromM: at that place and at every one before it, the distance from the
// break is at most what the rule allows for the mean grade over that distance. So a steep
// pitch just below the break is not made good by flat ground after it. found is false when
// the foot is reached first. i is the point of the slope at or before the break.
//
// Along a straight reach the mean grade from the break only grows or only falls. Where it
// grows, the allowed distance shrinks while the distance grows: they meet once, and are
// brought together by halving. Where it falls, both grow: going on again and again to what
// is allowed here never passes the first place where they meet.
//
// swayM is how far the place moves for each per cent that the mean grade errs there: not at
// all where the spacing of a row stops the bank; negative when it cannot be told.
func (w walk) latestM(i int, fromM float64) (downM, swayM float64, found bool) {
	points := w.slope.points
	top := section.Station{ChainageM: fromM, LevelM: w.levelM(i, fromM)}
	for ; i+1 < len(points); i++ {
		a, b := points[i], points[i+1]
		if a.ChainageM < fromM {
			a = top
		}
		if b.ChainageM-a.ChainageM < sameM {
			continue
		}
		reachPct := 100 * (a.LevelM - b.LevelM) / (b.ChainageM - a.ChainageM)
		grade := func(x float64) float64 {
			if x-fromM < sameM {
				return reachPct
			}
			return 100 * (top.LevelM - section.Between(a, b, x)) / (x - fromM)
		}
		allowed := func(x float64) float64 { return fromM + w.rule.SpacingM(grade(x)) }
		x, stopped := a.ChainageM, false
		if grade(b.ChainageM) <= grade(a.ChainageM) {
			x, stopped = climbTo(a.ChainageM, b.ChainageM, allowed)
		} else if b.ChainageM > allowed(b.ChainageM) {
			x, stopped = halve(a.ChainageM, b.ChainageM, allowed), true
		}
		if stopped {
			perM := (reachPct - grade(x)) / (x - fromM) // how fast the mean grade grows there
			return x, w.swayM(grade(x), perM, allowed(x)-x), true
		}
	}
	return 0, 0, false
}

// swayM: where the row changes and with it the allowed distance jumps, the place keeps the
// grade g of the change, so that dx = dg / g'(x). Where it is met, x = d(g(x)) gives
// dx = d' dg / (1 - d' g').
func (w walk) swayM(gradePct, perM, sparedM float64) float64 {
	if sparedM > 1e-6 {
		if perM <= 0 {
			return -1
		}
		return 1 / perM
	}
	slope := w.rule.perPctM(gradePct)
	if left := 1 - slope*perM; left > 1e-6 {
		return math.Abs(slope) / left
	}
	return -1
}

// climbTo goes from a towards b to the first place that is as far as allowed there.
// allowed never falls between a and b and is at least a at a.
func climbTo(a, b float64, allowed func(float64) float64) (x float64, stopped bool) {
	x = a
	for range 20_000 { // a handful, but where a line between rows all but touches what is walked
		next := allowed(x)
		if next >= b {
			return b, false
		}
		if next-x < sameM {
			return x, true
		}
		x = next
	}
	return x, true // less than a tenth of a millimetre to spare, and on the safe side
}

// halve finds the last place from a on that is not farther than allowed there, b being
// farther. allowed never grows between them.
func halve(a, b float64, allowed func(float64) float64) float64 {
	for {
		middle := a + (b-a)/2
		if middle <= a || middle >= b {
			return a
		}
		if middle <= allowed(middle) {
			a = middle
		} else {
			b = middle
		}
	}
}

// levelM is the level so far down from the top, i being the point at or before it.
func (w walk) levelM(i int, downM float64) float64 {
	points := w.slope.points
	if i+1 >= len(points) {
		return points[len(points)-1].LevelM
	}
	return section.Between(points[i], points[i+1], downM)
}

// past is the index of the point at or before a distance down, found from i on.
func (w walk) past(i int, downM float64) int {
	points := w.slope.points
	for i+1 < len(points) && points[i+1].ChainageM <= downM {
		i++
	}
	return i
}
