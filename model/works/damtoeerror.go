package works

import (
	"math"
	"sort"
)

// toeError is how a toe moves with the errors of the bed: by station, for each metre that
// its level and its chainage err.
type toeError map[int][2]float64

func (e toeError) add(of toeError, times float64) {
	for i, c := range of {
		e[i] = [2]float64{e[i][0] + times*c[0], e[i][1] + times*c[1]}
	}
}

// SpacingsPlusMinusM is one standard deviation of the distance of each dam of one layout but
// the first from the one below, negative when it is not known. Were the bed levelled and
// taped again, each station erring by itself, a toe between two stations moves with both, and
// two toes between the same ones move together.
//
// With B the error of the bed at a toe, p the run for a rise of the bed against the crest
// line, g the deposit slope and w = the error of the lowest toe's level less g times that of
// its chainage, a level toe moves by p (w - B), and one at a given chainage with its tape
// alone (derived).
func (l DamLayout) SpacingsPlusMinusM(dams []DamSite) []float64 {
	all := make([]float64, max(0, len(dams)-1))
	q, g := l.Quality, l.DepositSlopePct/100
	moves, roots := make([]toeError, len(dams)), map[int]toeError{}
	for k, d := range dams {
		here, taped := l.bedError(d, k)
		moves[k] = toeError{}
		if d.perClimb != 0 {
			moves[k].add(roots[d.root], d.perClimb)
			moves[k].add(here, -d.perClimb)
		} else {
			moves[k] = taped
		}
		w := toeError{}
		w.add(here, 1)
		if d.perClimb == 0 {
			w.add(taped, l.slopeAt(d.ChainageM)-g)
		} else {
			w.add(moves[k], 1/d.perClimb)
		}
		roots[k] = w
	}
	for k := 1; k < len(dams); k++ {
		between := toeError{}
		between.add(moves[k], 1)
		between.add(moves[k-1], -1)
		levels, chainages := 0.0, 0.0
		for _, c := range between {
			levels += c[0] * c[0]
			chainages += c[1] * c[1]
		}
		all[k-1] = math.Hypot(math.Sqrt(levels)*q.LevelPlusMinusM, math.Sqrt(chainages)*q.ChainagePlusMinusM)
		if q.ChainagePlusMinusM < 0 || q.LevelPlusMinusM < 0 && levels > 0 {
			all[k-1] = -1
		}
	}
	return all
}

// bedError is the error of the bed's level at a dam's chainage, and that of the tape there:
// of a station's own, or of a place taped by itself.
func (l DamLayout) bedError(d DamSite, k int) (level, tape toeError) {
	i := sort.Search(len(l.Bed), func(i int) bool { return l.Bed[i].ChainageM >= d.ChainageM-1e-9 })
	if i < len(l.Bed) && math.Abs(l.Bed[i].ChainageM-d.ChainageM) <= 1e-9 {
		slope := l.slopeAt(d.ChainageM)
		return toeError{i: {1, -slope}}, toeError{i: {0, 1}}
	}
	i = min(max(i, 1), len(l.Bed)-1)
	a, b := l.Bed[i-1], l.Bed[i]
	share, slope := (d.ChainageM-a.ChainageM)/(b.ChainageM-a.ChainageM), l.slopeAt(d.ChainageM)
	return toeError{i - 1: {1 - share, -slope * (1 - share)}, i: {share, -slope * share}}, toeError{len(l.Bed) + k: {0, 1}}
}

// slopeAt is the rise of the bed for a metre on the reach that a toe at a chainage lies on:
// the one below it, where it would have met the line from the crest.
func (l DamLayout) slopeAt(chainageM float64) float64 {
	i := sort.Search(len(l.Bed), func(i int) bool { return l.Bed[i].ChainageM >= chainageM-1e-9 })
	i = min(max(i, 1), len(l.Bed)-1)
	a, b := l.Bed[i-1], l.Bed[i]
	return (b.LevelM - a.LevelM) / (b.ChainageM - a.ChainageM)
}
