package track

import (
	"math"

	"headcut/model/section"
)

// A place is where an interval begins or ends: a station, where the survey's own errors
// apply, or a peg between two stations, whose level is read off the straight line between
// them at a chainage with an error of its own.
type place struct {
	chainageM, levelM float64
	station           int     // the station, or the one before the peg
	share             float64 // of the reach from there; 0 at a station
	grade             float64 // rise over run of the reach
	peg               bool
}

func (t Track) stationPlace(i int) place {
	return place{chainageM: t.Stations[i].ChainageM, levelM: t.Stations[i].LevelM, station: i}
}

func (t Track) pegPlace(chainageM float64) place {
	i := t.reach(chainageM)
	a, b := t.Stations[i], t.Stations[i+1]
	run := b.ChainageM - a.ChainageM
	return place{chainageM: chainageM, levelM: section.Between(a, b, chainageM), station: i,
		share: (chainageM - a.ChainageM) / run, grade: (b.LevelM - a.LevelM) / run, peg: true}
}

// pull is what an error of one metre in the level, or in the chainage, of one station adds
// to the fall between two places less the mean grade times the error of their distance.
type pull struct {
	station         int
	level, chainage float64
}

// gradePct is the mean fall from an upper to a lower place in per cent, and gradePlusMinus
// its standard deviation, negative when not known, to first order (law of propagation,
// JCGM 100:2008, 5.1.2; from memory). With D the fall over the distance L, s = D/L,
//
//	δs = (δz(upper) - δz(lower) - s δL) / L
//
// in which stations that serve both places count once with both their shares.
func gradePct(upper, lower place) float64 {
	return 100 * (upper.levelM - lower.levelM) / math.Abs(lower.chainageM-upper.chainageM)
}

// gradePlusMinusPct is described with gradePct. The chainages of the pegs err as those of
// the stations do, or not at all for a plan, which names a chainage and means it.
func gradePlusMinusPct(upper, lower place, q section.Quality, planned bool) float64 {
	if q.LevelPlusMinusM < 0 || q.ChainagePlusMinusM < 0 {
		return -1
	}
	run := math.Abs(lower.chainageM - upper.chainageM)
	s := (upper.levelM - lower.levelM) / run
	down := math.Copysign(1, lower.chainageM-upper.chainageM)
	var pulls [4]pull
	n := 0
	add := func(station int, level, chainage float64) {
		for i := range pulls[:n] {
			if pulls[i].station == station {
				pulls[i].level += level
				pulls[i].chainage += chainage
				return
			}
		}
		pulls[n] = pull{station, level, chainage}
		n++
	}
	pegs := 0.0 // squares of what the pegs' own chainages pull
	for _, end := range []struct {
		place
		sign float64
	}{{upper, 1}, {lower, -1}} {
		if !end.peg {
			add(end.station, end.sign, end.sign*s*down)
			continue
		}
		for k, weight := range []float64{1 - end.share, end.share} {
			add(end.station+k, end.sign*weight, -end.sign*weight*end.grade)
		}
		if own := end.grade + s*down; !planned {
			pegs += own * own
		}
	}
	levels, chainages := 0.0, pegs
	for _, p := range pulls[:n] {
		levels += p.level * p.level
		chainages += p.chainage * p.chainage
	}
	return 100 / run * math.Hypot(q.LevelPlusMinusM*math.Sqrt(levels), q.ChainagePlusMinusM*math.Sqrt(chainages))
}
