package levelling

import "math"

// lowPoints finds the pegs, or runs of pegs at one level, that have higher ground on both
// sides along the line. Ends are never low points: water leaves the line there.
func lowPoints(pegs []Peg) []LowPoint {
	var lows []LowPoint
	for i := 1; i < len(pegs)-1; {
		j := i // the last peg at the level of peg i
		for j+1 < len(pegs) && same(pegs[j+1].LevelM, pegs[i].LevelM) {
			j++
		}
		level := pegs[i].LevelM
		if j < len(pegs)-1 && higher(pegs[i-1].LevelM, level) && higher(pegs[j+1].LevelM, level) {
			depth := min(brim(pegs, i, -1), brim(pegs, j, +1)) - level
			lows = append(lows, LowPoint{Peg: i + 1, Name: pegs[i].Name, ChainageM: pegs[i].ChainageM, LevelM: level, DepthM: tidy(depth, perMetre)})
		}
		i = j + 1
	}
	return lows
}

// brim is the level that water at peg i must reach to leave it in one direction: the
// highest ground before the line falls below peg i again, or ends.
func brim(pegs []Peg, i, step int) float64 {
	top := pegs[i].LevelM
	for k := i + step; k >= 0 && k < len(pegs); k += step {
		if higher(pegs[i].LevelM, pegs[k].LevelM) {
			break
		}
		top = max(top, pegs[k].LevelM)
	}
	return top
}

func drainage(pegs []Peg) Drainage {
	if len(lowPoints(pegs)) > 0 {
		return DrainsToLow
	}
	climbs, falls := false, false
	for i := 1; i < len(pegs); i++ {
		climbs = climbs || higher(pegs[i].LevelM, pegs[i-1].LevelM)
		falls = falls || higher(pegs[i-1].LevelM, pegs[i].LevelM)
	}
	switch {
	case climbs && falls:
		return DrainsToBothEnds
	case climbs:
		return DrainsToFirst
	case falls:
		return DrainsToLast
	}
	return DrainsNowhere
}

// Levels that agree to a tenth of a millimetre are one level: no staff tells them apart.
func same(a, b float64) bool   { return math.Abs(a-b) < 1.0/perMetre/2 }
func higher(a, b float64) bool { return a-b >= 1.0/perMetre/2 }
