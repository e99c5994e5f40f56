package banks

import (
	"math"
	"slices"

	"headcut/model"
)

// Pool is a low part of the channel, where water stands until it runs over.
type Pool struct {
	FromM       float64 `json:"fromM" unit:"m" doc:"chainage where the water ends on the side of the outlet"`
	ToM         float64 `json:"toM" unit:"m" doc:"chainage where it ends up the bank"`
	DeepestM    float64 `json:"deepestM" unit:"m" doc:"chainage of its deepest peg"`
	DepthM      float64 `json:"depthM" unit:"m" doc:"of the water there when it runs over"`
	PlusMinus   float64 `json:"depthPlusMinusM" unit:"m" doc:"one standard deviation of depthM; none when not known"`
	SpillM      float64 `json:"spillM" unit:"m" doc:"chainage where it runs over"`
	OverTheBank bool    `json:"overTheBank" doc:"it runs over the bank there, and not along the channel"`
}

// fromOutlet are the pegs from the outlet up.
func (c Check) fromOutlet() []Found {
	pegs := slices.Clone(c.Pegs)
	if c.OutletAt == Top {
		slices.Reverse(pegs)
	}
	return pegs
}

// pools finds where water stands: every bed that is lower than the highest between it and the
// outlet. A crest lower than that highest bed lets the water over the bank first. The upper end
// of a bank is turned up, and lets none out. pegs come from the outlet up.
func pools(pegs []Found, levelPM float64) []Pool {
	const sameM = 0.00005 // no staff tells them apart
	var all []Pool
	sill := 0 // the highest bed so far
	for k := 1; k < len(pegs); k++ {
		brim := pegs[sill].LevelM
		switch {
		case pegs[k].LevelM >= brim:
			sill = k
			continue
		case pegs[k].LevelM > brim-sameM:
			continue
		}
		p := Pool{SpillM: pegs[sill].ChainageM, PlusMinus: model.ScaledPlusMinus(math.Sqrt2, levelPM)}
		deepest, surfaceM, end := k, brim, k
		for ; end < len(pegs) && pegs[end].LevelM < brim; end++ {
			if pegs[end].LevelM < pegs[deepest].LevelM {
				deepest = end
			}
			if crest := pegs[end].CrestLevelM; crest != nil && *crest < surfaceM {
				surfaceM, p.SpillM, p.OverTheBank = *crest, pegs[end].ChainageM, true
			}
		}
		p.FromM, p.ToM = shore(pegs, deepest, -1, surfaceM), shore(pegs, deepest, +1, surfaceM)
		p.DeepestM, p.DepthM = pegs[deepest].ChainageM, max(0, surfaceM-pegs[deepest].LevelM)
		all = append(all, p)
		sill, k = min(end, len(pegs)-1), end
	}
	return all
}

// shore is the chainage at which a bed comes out of still water, going one way from a peg below
// it; that of the last peg where it does not.
func shore(pegs []Found, from, step int, surfaceM float64) float64 {
	i := from
	for ; i+step >= 0 && i+step < len(pegs); i += step {
		if a, b := pegs[i], pegs[i+step]; b.LevelM >= surfaceM {
			share := (surfaceM - a.LevelM) / (b.LevelM - a.LevelM)
			return a.ChainageM + max(0, share)*(b.ChainageM-a.ChainageM)
		}
	}
	return pegs[i].ChainageM
}
