package monitor

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/statistics"
)

// Bounds of one assessment of cover.
const (
	MaxPlots  = 10_000
	MaxPoints = 10_000_000
)

// Cover is the share of the ground that is covered, with its 95 % confidence limits.
type Cover struct {
	CoverPct     float64 `json:"coverPct" unit:"%" doc:"share of the ground that is covered"`
	PlusMinusPct float64 `json:"plusMinusPct" unit:"%" doc:"one standard deviation; none when not known"`
	LowPct       float64 `json:"lowPct" unit:"%" doc:"lower 95 % limit"`
	HighPct      float64 `json:"highPct" unit:"%" doc:"upper 95 % limit"`
}

// Meets tells whether the cover reaches a target: yes when even the lower limit does, no
// when even the upper one does not.
func (c Cover) Meets(targetPct float64) Answer {
	switch {
	case c.LowPct >= targetPct:
		return Yes
	case c.HighPct < targetPct:
		return No
	}
	return CannotTell
}

// OfPoints is the cover from points read along a line or under a pin frame: hits on cover
// among all points, with Wilson's limits (E. B. Wilson, Probable inference, the law of
// succession, and statistical inference, Journal of the American Statistical Association
// 22:209-212, 1927; the formula was looked up):
//
//	(p + z²/2n ± z √(p(1-p)/n + z²/4n²)) / (1 + z²/n)
//
// They stay within 0 and 100 % and are not nothing where all or no points hit. Points nearer
// to each other than the patches are large tell less than n points do: the true limits are
// then wider. The plus-minus is half the width between the limits over z.
func OfPoints(hits, total int) (Cover, error) {
	if p := model.FirstProblem(
		model.Require(total >= 1 && total <= MaxPoints, "points.total", "give the number of points read", "%d is not from 1 to %d", total, MaxPoints),
		model.Require(hits >= 0 && hits <= total, "points.hits", "count the points on cover", "%d is not from 0 to the %d points read", hits, total)); p != nil {
		return Cover{}, p
	}
	n := float64(total)
	p, z2 := float64(hits)/n, z95*z95
	middle := (p + z2/(2*n)) / (1 + z2/n)
	half := z95 * math.Sqrt(p*(1-p)/n+z2/(4*n*n)) / (1 + z2/n)
	c := Cover{CoverPct: 100 * p, PlusMinusPct: 100 * half / z95, LowPct: max(0, 100*(middle-half)), HighPct: min(100, 100*(middle+half))}
	if hits == 0 { // the formula's own limit, without its rounding
		c.LowPct = 0
	}
	if hits == total {
		c.HighPct = 100
	}
	return c, nil
}

// OfPlots is the mean of plots judged each in per cent, with the limits mean ± t s/√n of
// Student's t, cut at 0 and 100. observerPct is the standard deviation by which one
// observer judges all plots too high or too low, negative for none given; it does not
// shrink with more plots. One plot alone has no limits, and neither have plots that all
// gave the same figure without an observerPct: that is a rounded eye, not certain ground.
func OfPlots(coversPct []float64, observerPct float64) (Cover, error) {
	n := len(coversPct)
	if n < 1 || n > MaxPlots {
		return Cover{}, &model.Problem{Path: "plots", Reason: fmt.Sprintf("has %d plots", n), Fix: fmt.Sprintf("give 1 to %d", MaxPlots)}
	}
	fractions := n > 1
	for i, c := range coversPct {
		if p := outside(fmt.Sprintf("plots[%d].coverPct", i), c, 0, 100, "%", "give per cent of the plot's ground"); p != nil {
			return Cover{}, p
		}
		fractions = fractions && c <= 1
	}
	m := mean(coversPct)
	if p := model.FirstProblem(
		model.Require(!fractions || m == 0, "plots", "give per cent, not fractions: 0.6 is 60", "are all at most 1 %%"),
		tooWide("observerPlusMinusPct", observerPct, 50, "%", "")); p != nil {
		return Cover{}, p
	}
	unknown := UnknownCover(m)
	if n == 1 {
		return unknown, nil
	}
	squares := 0.0
	for _, c := range coversPct {
		squares += sq(c - m)
	}
	standardError := math.Sqrt(squares / float64(n-1) / float64(n))
	observer := max(0, observerPct)
	if standardError == 0 && observer == 0 {
		return unknown, nil
	}
	half := together(statistics.T95(n-1)*standardError, z95*observer)
	return Cover{CoverPct: m, PlusMinusPct: together(standardError, observer), LowPct: max(0, m-half), HighPct: min(100, m+half)}, nil
}

// CoverTarget is a cover that somebody named as the one to keep at the end of the dry.
type CoverTarget struct {
	Name      string
	TargetPct float64
	Why       string
	Source    model.Source
}

// CoverTargets are the published thresholds. They differ because they answer different
// questions; none is blended with another.
var CoverTargets = []CoverTarget{
	{"runoff-50", 50, "above it runoff and erosion are small", model.Source{Title: "Scanlan and McIvor 1993", Place: "abstract", How: model.LookedUp}},
	{"soil-loss-70", 70, "from it soil loss is a tenth of that of bare ground", model.Source{Title: "Eskdale rainfall simulation, key findings", How: model.LookedUp}},
	{"sediment-75", 75, "above it loss of sediment falls most", model.Source{Title: "Burdekin rainfall simulator sites, key findings", How: model.LookedUp}},
}
