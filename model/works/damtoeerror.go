package works

import (
	"math"
	"slices"
	"sort"
	"sync"

	"headcut/model/elementary"
	"headcut/model/section"
)

// toeError is how a toe moves with the errors of the bed: for each metre that the level and
// the chainage of a station err. A list and no map, so that sums keep their order.
type toeError []stationError

type stationError struct {
	station         int
	level, chainage float64
}

func (e *toeError) add(of toeError, times float64) {
	for _, c := range of {
		i := slices.IndexFunc(*e, func(at stationError) bool { return at.station == c.station })
		if i < 0 {
			i, *e = len(*e), append(*e, stationError{station: c.station})
		}
		at := &(*e)[i]
		at.level, at.chainage = at.level+times*c.level, at.chainage+times*c.chainage
	}
}

// spread is one standard deviation of a place that moves so, by levels and by chainages.
func (e toeError) spread(q section.Quality) (levels, chainages float64) {
	for _, c := range e {
		levels += c.level * c.level
		chainages += c.chainage * c.chainage
	}
	return math.Sqrt(levels) * q.LevelPlusMinusM, math.Sqrt(chainages) * q.ChainagePlusMinusM
}

// plusMinusM is one standard deviation of a place that moves so; negative when not known.
func (e toeError) plusMinusM(q section.Quality) float64 {
	levels, chainages := e.spread(q)
	if q.ChainagePlusMinusM < 0 || levels < 0 {
		return -1
	}
	return math.Hypot(levels, chainages)
}

// toeErrors is how the toes of one layout move, from the lowest up. Were the bed levelled
// and taped again, each station erring by itself, a toe between two stations moves with both,
// and two toes between the same ones move together.
//
// With B the error of the bed at a toe, p the run for a rise of the bed against the crest
// line, g the deposit slope and w = the error of the lowest toe's level less g times that of
// its chainage, a level toe moves by p (w - B), and one at a given chainage with its tape
// alone (derived).
func (l DamLayout) toeErrors(dams []DamSite) (e toeErrors) {
	for _, d := range dams {
		e.add(l, d)
	}
	return e
}

// toeErrors are those of the toes of one layout, and w of those that are the root of others: no level toe is.
type toeErrors struct{ moves, roots []toeError }

func (e *toeErrors) add(l DamLayout, d DamSite) {
	var moves, root toeError
	here, taped := l.bedError(d.ChainageM, len(e.moves))
	if d.perClimb == 0 {
		moves, root = taped, here
		root.add(taped, l.slopeAt(d.ChainageM)-l.DepositSlopePct/100)
	} else {
		moves = make(toeError, 0, len(e.roots[d.root])+len(here))
		moves.add(e.roots[d.root], d.perClimb)
		moves.add(here, -d.perClimb)
		l.bend(moves, d)
	}
	e.moves, e.roots = append(e.moves, moves), append(e.roots, root)
}

// bend scales what the levels move a level toe by, where it stands so near a station that
// its errors carry it past: beyond the station the bed climbs otherwise, and the toe moves
// by the run for a rise there. A reach that does not climb against the line is passed over,
// and nothing is scaled for it.
func (l DamLayout) bend(moves toeError, d DamSite) {
	s, _ := moves.spread(l.Quality)
	if !(s > 0) {
		return
	}
	i := l.reach(d.ChainageM)
	down, up := (l.Bed[i-1].ChainageM-d.ChainageM)/s, (l.Bed[i].ChainageM-d.ChainageM)/s
	ratio := func(i int) float64 {
		if i < 1 || i >= len(l.Bed) {
			return 1
		}
		climb := l.slope(i) - l.DepositSlopePct/100
		if climb <= 0 {
			return 1
		}
		return 1 / climb / d.perClimb
	}
	below, above := ratio(i-1), ratio(i+1)
	const far, straight = farEighths / 8, 1e-9
	if (down < -far || math.Abs(below-1) < straight) && (up > far || math.Abs(above-1) < straight) {
		return
	}
	var weight, sum, squares float64
	for i, p := range weights() {
		z := float64(i-farEighths) / 8
		move := z
		if z < down {
			move = down + below*(z-down)
		} else if z > up {
			move = up + above*(z-up)
		}
		weight, sum, squares = weight+p, sum+p*move, squares+p*move*move
	}
	mean := sum / weight
	factor := math.Sqrt(squares/weight - mean*mean)
	for i := range moves {
		moves[i].level *= factor
	}
}

// farEighths is how far from the mean moves are weighed, in eighths of a standard deviation.
const farEighths = 40

// weights are those of the normal distribution, an eighth of a standard deviation apart.
var weights = sync.OnceValue(func() (all [2*farEighths + 1]float64) {
	for i := range all {
		z := float64(i-farEighths) / 8
		all[i] = elementary.Exp(-z * z / 2)
	}
	return all
})

// SpacingsPlusMinusM is one standard deviation of the distance of each dam of a plan but
// the first from the one below, negative when it is not known.
func (l DamLayout) SpacingsPlusMinusM(plan DamPlan) []float64 {
	all := make([]float64, max(0, len(plan.Dams)-1))
	between := make(toeError, 0, 8)
	for k := 1; k < len(plan.Dams); k++ {
		between = between[:0]
		between.add(plan.errors.moves[k], 1)
		between.add(plan.errors.moves[k-1], -1)
		all[k-1] = between.plusMinusM(l.Quality)
	}
	return all
}

// GuardedPlusMinusM is one standard deviation of a plan's GuardedM, negative when it is not
// known: that of its two ends, and of both ends of each bare reach, the lower of which moves
// as a level toe does.
func (l DamLayout) GuardedPlusMinusM(plan DamPlan) float64 {
	end := DamSite{ChainageM: l.Bed[len(l.Bed)-1].ChainageM}
	if l.ToM != nil {
		end.ChainageM = *l.ToM
	}
	errors := toeErrors{slices.Clone(plan.errors.moves), slices.Clone(plan.errors.roots)}
	signs := make([]float64, len(plan.Dams))
	signs[0] = -1
	for _, r := range plan.Bare {
		if r.ToM == end.ChainageM { // the last: the silt ends for good
			end = r.silt
			break
		}
		errors.add(l, r.silt)
		errors.add(l, DamSite{ChainageM: r.ToM})
		signs = append(signs, 1, -1)
	}
	errors.add(l, end)
	signs = append(signs, 1)
	var all toeError
	at := make([]int, len(l.Bed)+len(signs)) // one more than the place in all of each station; 0: none
	for i, moves := range errors.moves {
		for _, c := range moves {
			if at[c.station] == 0 {
				all = append(all, stationError{station: c.station})
				at[c.station] = len(all)
			}
			sum := &all[at[c.station]-1]
			sum.level, sum.chainage = sum.level+signs[i]*c.level, sum.chainage+signs[i]*c.chainage
		}
	}
	return all.plusMinusM(l.Quality)
}

// bedError is the error of the bed's level at a chainage, and that of the tape there: of a
// station's own, or of the k-th place, taped by itself.
func (l DamLayout) bedError(chainageM float64, k int) (level, tape toeError) {
	i := l.stationAt(chainageM)
	slope := l.slope(i)
	if i < len(l.Bed) && math.Abs(l.Bed[i].ChainageM-chainageM) <= 1e-9 {
		return toeError{{i, 1, -slope}}, toeError{{i, 0, 1}}
	}
	i = min(max(i, 1), len(l.Bed)-1)
	a, b := l.Bed[i-1], l.Bed[i]
	share := (chainageM - a.ChainageM) / (b.ChainageM - a.ChainageM)
	return toeError{{i - 1, 1 - share, -slope * (1 - share)}, {i, share, -slope * share}}, toeError{{len(l.Bed) + k, 0, 1}}
}

// slopeAt is the rise of the bed for a metre on the reach that a toe at a chainage lies on.
func (l DamLayout) slopeAt(chainageM float64) float64 { return l.slope(l.reach(chainageM)) }

// slope is the rise of the bed for a metre on the reach below a station, the first or the last
// where there is none.
func (l DamLayout) slope(i int) float64 {
	i = min(max(i, 1), len(l.Bed)-1)
	a, b := l.Bed[i-1], l.Bed[i]
	return (b.LevelM - a.LevelM) / (b.ChainageM - a.ChainageM)
}

// reach is the upstream station of the reach that a toe at a chainage lies on: at a station
// the one below it, where the bed would have met the line from the crest.
func (l DamLayout) reach(chainageM float64) int {
	return min(max(l.stationAt(chainageM), 1), len(l.Bed)-1)
}

// stationAt is the station at a chainage, or the first above it.
func (l DamLayout) stationAt(chainageM float64) int {
	return sort.Search(len(l.Bed), func(i int) bool { return l.Bed[i].ChainageM >= chainageM-1e-9 })
}
