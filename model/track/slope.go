package track

import (
	"math"

	"headcut/model/section"
)

// HumpM is how high a rise of the track must be to part its water as a bank would. Common
// practice, no source, but for that water bars are built from 0.075 m and that what is
// lower than a settled bank is soon worn through by wheels.
const HumpM = 0.15

// Slope is a length of track that drains one way, from a top where its water parts to a
// foot where it gathers. Humps too low to part water are part of it, and so is level
// ground at its top.
type Slope struct {
	Top, Foot       section.Station
	TopEnd, FootEnd bool // the survey ends there, and the ground perhaps does not

	downM  float64           // +1 where it falls along growing chainages, else -1
	points []section.Station // ChainageM is the distance down from the top
	first  int               // index of the top among the track's stations
}

// LengthM is the distance from the top to the foot.
func (s Slope) LengthM() float64 { return math.Abs(s.Foot.ChainageM - s.Top.ChainageM) }

// GradePct is the mean fall in per cent.
func (s Slope) GradePct() float64 { return 100 * (s.Top.LevelM - s.Foot.LevelM) / s.LengthM() }

// last is the index of the foot among the track's stations.
func (s Slope) last() int { return s.first + int(s.downM)*(len(s.points)-1) }

// chainageM is the chainage so far down from the top.
func (s Slope) chainageM(downM float64) float64 {
	if downM == s.LengthM() {
		return s.Foot.ChainageM
	}
	chainageM := s.Top.ChainageM + s.downM*downM
	if whole := math.Round(chainageM/section.LeastApartM) / (1 / section.LeastApartM); math.Abs(whole-chainageM) < sameM {
		return whole // the same place, without the error of the two sums
	}
	return chainageM
}

// pegM is a distance down from the top at which the chainage is a whole number of
// millimetres, as it is written and pegged, so that what is read back is what was laid out.
// round says which way to go; never to fromM or above it.
func (s Slope) pegM(downM, fromM float64, round func(float64) float64) float64 {
	const perM = 1 / section.LeastApartM
	chainageM := s.downM * round(s.downM*s.chainageM(downM)*perM)
	if near := math.Round(s.chainageM(downM) * perM); math.Abs(near-s.chainageM(downM)*perM) < 1e-5 {
		chainageM = near // it is one already, but for the error of a sum
	}
	chainageM /= perM
	if pegM := math.Abs(chainageM - s.Top.ChainageM); pegM > fromM && (chainageM-s.Top.ChainageM)*s.downM > 0 {
		return pegM
	}
	return downM
}

// Slopes divides the track where it parts or gathers water: at tops and feet that stand at
// least humpM over and under their neighbours. They come by growing chainage; none where
// the whole track has less relief than that.
func (t Track) Slopes(humpM float64) []Slope {
	turns := t.turns(humpM)
	var all []Slope
	for k := 1; k < len(turns); k++ {
		i, j := turns[k-1], turns[k]
		if t.Stations[i].LevelM > t.Stations[j].LevelM {
			all = append(all, t.slope(i, j))
		} else {
			all = append(all, t.slope(j, i))
		}
	}
	return all
}

func (t Track) slope(top, foot int) Slope {
	last := len(t.Stations) - 1
	s := Slope{Top: t.Stations[top], Foot: t.Stations[foot], TopEnd: top == 0 || top == last, FootEnd: foot == 0 || foot == last, downM: 1, first: top}
	step := 1
	if foot < top {
		step, s.downM = -1, -1
	}
	for i := top; ; i += step {
		s.points = append(s.points, section.Station{ChainageM: math.Abs(t.Stations[i].ChainageM - s.Top.ChainageM), LevelM: t.Stations[i].LevelM})
		if i == foot {
			return s
		}
	}
}

// turns are the indexes of the stations at which the track's water parts and gathers by
// turns, none for a track of less relief than humpM. What lies before the first and after
// the last has less relief too. One pass keeps the extreme since the last turn, which
// becomes a turn itself once the track has come back from it by humpM.
func (t Track) turns(humpM float64) []int {
	var found []int
	level := func(i int) float64 { return t.Stations[i].LevelM }
	high, low, way := 0, 0, 0 // way: +1 climbing, -1 falling, 0 not known yet
	for i := range t.Stations {
		// Of equals the first while nothing is known, so that level ground at the start is
		// in; then the last, so that level ground at a turn belongs to the slope before it.
		if level(i) > level(high) || way > 0 && level(i) == level(high) {
			high = i
		}
		if level(i) < level(low) || way < 0 && level(i) == level(low) {
			low = i
		}
		switch up, down := level(i)-level(low), level(high)-level(i); {
		case way <= 0 && up > 0 && up >= humpM:
			found = append(found, low)
			way, high = 1, i
		case way >= 0 && down > 0 && down >= humpM:
			found = append(found, high)
			way, low = -1, i
		}
	}
	switch {
	case way > 0:
		found = append(found, high)
	case way < 0:
		found = append(found, low)
	}
	return found
}
