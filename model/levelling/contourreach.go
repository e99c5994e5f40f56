package levelling

import (
	"fmt"
	"math"

	"headcut/model"
)

// Reach is a part of a line that stands off the contour by more than the tolerance, all of
// it to one side. The line is straight in level between pegs, so that a reach begins and
// ends where it comes within the tolerance, or at an end of the line.
type Reach struct {
	FromM, ToM                   float64 // chainages
	FromPlusMinusM, ToPlusMinusM float64 // 0 at an end of the line
	Worst                        OffPeg
	PlusMinusM                   float64 // of Worst.OffM; each -1 when nobody knows how good the levels are
	// Sure tells whether Worst is off by the tolerance and twice PlusMinusM more, by levels
	// that prove anything.
	Sure     bool
	Runs     Runs
	DrainsTo []int // pegs where water off the reach comes to rest or leaves the line, counted from 1, in order
}

// Runs is the way that water runs along the line at the worst peg of a reach.
type Runs string

const (
	TowardsStart Runs = "towards the start"
	TowardsEnd   Runs = "towards the end"
	BothWays     Runs = "both ways" // down from a high peg
	Into         Runs = "into it"   // down to a low peg from both sides
)

// AllRuns lists them all.
var AllRuns = []Runs{TowardsStart, TowardsEnd, BothWays, Into}

// reaches finds where the line wanders off. levelPM is one standard deviation of a peg's
// level, below 0 when nobody knows.
func (c *Contour) reaches(pegs []Peg, o ContourOptions, levelPM float64) []Reach {
	var all []Reach
	n := float64(len(pegs))
	within := o.ToleranceM + 1e-9 // as the pegs are judged
	// edge is where the line from a peg to the next passes an offset, and how surely:
	// var(z(x) - mean) = s² ((1-t)² + t² - 1/n), over the square of the grade.
	edge := func(i int, offM float64) (m, plusMinus float64) {
		z0, z1 := c.Offs[i].OffM, c.Offs[i+1].OffM
		t := min(max((offM-z0)/(z1-z0), 0), 1)
		apart := pegs[i+1].ChainageM - pegs[i].ChainageM
		return tidy(pegs[i].ChainageM+t*apart, perMetre), model.ScaledPlusMinus(math.Sqrt(max(0, (1-t)*(1-t)+t*t-1/n))*apart/math.Abs(z1-z0), levelPM)
	}
	for i := 0; i < len(pegs); {
		if math.Abs(c.Offs[i].OffM) <= within {
			i++
			continue
		}
		side := math.Copysign(1, c.Offs[i].OffM)
		r := Reach{FromM: pegs[i].ChainageM, PlusMinusM: model.ScaledPlusMinus(math.Sqrt(1-1/n), levelPM)}
		if i > 0 {
			r.FromM, r.FromPlusMinusM = edge(i-1, side*o.ToleranceM)
		}
		for ; i < len(pegs) && side*c.Offs[i].OffM > within; i++ {
			if side*c.Offs[i].OffM > side*r.Worst.OffM {
				r.Worst = c.Offs[i]
			}
			r.ToM = pegs[i].ChainageM
		}
		if i < len(pegs) {
			r.ToM, r.ToPlusMinusM = edge(i-1, side*o.ToleranceM)
		}
		r.Sure = o.Basis == model.Levelled && math.Abs(r.Worst.OffM)-o.ToleranceM > 2*r.PlusMinusM
		r.Runs, r.DrainsTo = runsFrom(pegs, r.Worst.Peg-1, side > 0)
		all = append(all, r)
	}
	return all
}

// runsFrom follows water along the line from the top of a reach, or tells how it comes to
// the bottom of one.
func runsFrom(pegs []Peg, worst int, high bool) (Runs, []int) {
	back, on := levelWith(pegs, worst, -1), levelWith(pegs, worst, +1)
	behind, ahead := back > 0, on < len(pegs)-1 // is there a slope on that side
	switch {
	case high && behind && ahead:
		return BothWays, []int{restBelow(pegs, back, -1) + 1, restBelow(pegs, on, +1) + 1}
	case high && behind:
		return TowardsStart, []int{restBelow(pegs, back, -1) + 1}
	case high:
		return TowardsEnd, []int{restBelow(pegs, on, +1) + 1}
	case behind && ahead:
		return Into, []int{worst + 1}
	case behind:
		return TowardsEnd, []int{worst + 1}
	}
	return TowardsStart, []int{worst + 1}
}

// levelWith is the last peg in one direction that stands at the level of peg i.
func levelWith(pegs []Peg, i, step int) int {
	at := pegs[i].LevelM
	for k := i + step; k >= 0 && k < len(pegs) && same(pegs[k].LevelM, at); k += step {
		i = k
	}
	return i
}

// restBelow is the peg where water that leaves peg i in one direction can fall no farther.
func restBelow(pegs []Peg, i, step int) int {
	for k := i + step; k >= 0 && k < len(pegs) && !higher(pegs[k].LevelM, pegs[i].LevelM); k += step {
		i = k
	}
	return i
}

// Text says where a reach is, how far off, and where water goes.
func (r Reach) Text() string {
	side := "above"
	if r.Worst.OffM < 0 {
		side = "below"
	}
	to := fmt.Sprintf("peg %d", r.DrainsTo[0])
	if len(r.DrainsTo) > 1 {
		to += fmt.Sprintf(" and peg %d", r.DrainsTo[1])
	}
	return fmt.Sprintf("From %.1f to %.1f m the line runs up to %s m %s the contour (peg %s): water runs %s, to %s.",
		r.FromM, r.ToM, model.ToMillimetre(math.Abs(r.Worst.OffM)), side, r.Worst.called(), r.Runs, to)
}
