package levelling

import (
	"math"
	"slices"

	"headcut/model"
)

// Lip is what holds water along a line: the bank or the thrown-up edge of a furrow, of one
// height above the ground at the pegs.
type Lip struct {
	HeightM    float64 // from LeastLipM to HighestLipM; 0: there is none
	PlusMinusM float64 // one standard deviation of HeightM, alike all along
	OpenEnds   bool    // water may leave at both ends; otherwise they are turned up, or left unripped
}

// Bounds of a lip. Nothing lower outlasts the first storm, and nothing higher is a rip line
// (common practice, no source).
const (
	LeastLipM   = 0.01
	HighestLipM = 1.0
	// MaxStops is how many stops are listed; a line that needs more is no contour.
	MaxStops = 200
)

// Holding is how much of a line holds water behind its lip once rain has filled it.
type Holding struct {
	LengthM    float64
	PlusMinusM float64 // -1 when not known
	SharePct   float64 // of the line
	Wet        [][2]float64
	// StopsAtM are the fewest places, besides the ends, where the furrow must be stopped or
	// left unripped for all of it to hold. None when StopsNeeded is above MaxStops.
	StopsAtM    []float64
	StopsNeeded int // MaxStops + 1 stands for any more
}

func (l Lip) check() *model.Problem {
	return model.FirstProblem(
		model.Require(l.HeightM == 0 || l.HeightM >= LeastLipM && l.HeightM <= HighestLipM, "lipM", "give metres above the ground at the pegs",
			"%v m is not between %v and %v", l.HeightM, LeastLipM, HighestLipM),
		upTo("lipPlusMinusM", l.PlusMinusM, HighestLipM))
}

// spill is the level above which water runs off past some place: that of a brim on the
// way, or a lip's height over the ground of a lower peg.
type spill struct {
	levelM  float64
	peg     int
	overLip bool
}

// hold works the length out. Water stands at a place of level v unless, one way or the
// other, it comes to ground below v less the lip, where it runs over, before it comes to
// ground above v, which holds it in. That is so for all v above some level Rⱼ on the slope
// down to peg j. With zⱼ the peg's level and h the lip:
//
//	Rⱼ = min(zⱼ + h, max(zⱼ, Rⱼ₊₁)), and at the last peg zⱼ + h, or zⱼ where the end is open.
//
// So a furrow that falls evenly by s holds h/s above each stop.
func hold(pegs []Peg, lip Lip, levelPM float64) *Holding {
	n := len(pegs)
	spills := func(first, step int) []spill {
		all := make([]spill, n)
		last := spill{math.Inf(1), first, false} // a turned-up end
		if lip.OpenEnds {
			last.levelM = math.Inf(-1)
		}
		for i := first; i >= 0 && i < n; i += step {
			if z := pegs[i].LevelM; last.levelM < z {
				last = spill{z, i, false}
			}
			if over := pegs[i].LevelM + lip.HeightM; over < last.levelM {
				last = spill{over, i, true}
			}
			all[i] = last
		}
		return all
	}
	onwards, backwards := spills(n-1, -1), spills(0, +1)
	h := &Holding{}
	pulls := make([]float64, n) // what a metre on each peg adds to the length
	lipPull := 0.0
	for i := range n - 1 {
		a, b := pegs[i], pegs[i+1]
		apart, fall := b.ChainageM-a.ChainageM, a.LevelM-b.LevelM
		low, high, limit := i+1, i, onwards[i+1]
		switch {
		case fall < 0:
			low, high, limit, fall = i, i+1, backwards[i], -fall
		case fall == 0 && backwards[i].levelM < limit.levelM:
			limit = backwards[i]
		}
		depth := limit.levelM - pegs[low].LevelM
		if depth <= 0 {
			continue
		}
		if depth >= fall {
			h.wet(a.ChainageM, b.ChainageM)
			continue
		}
		length := apart * depth / fall
		if low > high {
			h.wet(tidy(b.ChainageM-length, perMetre), b.ChainageM)
		} else {
			h.wet(a.ChainageM, tidy(a.ChainageM+length, perMetre))
		}
		pulls[limit.peg] += apart / fall
		pulls[high] -= length / fall
		pulls[low] -= (apart - length) / fall
		if limit.overLip {
			lipPull += apart / fall
		}
	}
	total := 0.0
	for _, p := range pulls {
		total += p * p
	}
	for _, w := range h.Wet {
		h.LengthM += w[1] - w[0]
	}
	h.PlusMinusM = -1
	if levelPM >= 0 {
		h.PlusMinusM = math.Hypot(levelPM*math.Sqrt(total), lip.PlusMinusM*lipPull)
	}
	h.LengthM = tidy(h.LengthM, perMetre)
	h.SharePct = 100 * h.LengthM / (pegs[n-1].ChainageM - pegs[0].ChainageM)
	h.stop(pegs, lip.HeightM)
	return h
}

func (h *Holding) wet(fromM, toM float64) {
	if k := len(h.Wet) - 1; k >= 0 && fromM-h.Wet[k][1] < 1e-9 {
		h.Wet[k][1] = toM
		return
	}
	h.Wet = append(h.Wet, [2]float64{fromM, toM})
}

// stop finds the fewest stops: each piece between two holds all along if its ground differs
// by no more than the lip, and taking each as long as can be is never worse.
func (h *Holding) stop(pegs []Peg, lipM float64) {
	low, high := pegs[0].LevelM, pegs[0].LevelM
	for i := range len(pegs) - 1 {
		a, b := pegs[i], pegs[i+1]
		for {
			at := high - lipM // falling
			if b.LevelM > a.LevelM {
				at = low + lipM
			}
			if math.Abs(b.LevelM-a.LevelM) == 0 || (b.LevelM-at)*(b.LevelM-a.LevelM) <= 1e-9*math.Abs(b.LevelM-a.LevelM) {
				break
			}
			if h.StopsNeeded++; h.StopsNeeded > MaxStops {
				h.StopsAtM = nil
				return
			}
			share := (at - a.LevelM) / (b.LevelM - a.LevelM)
			h.StopsAtM = append(h.StopsAtM, tidy(a.ChainageM+share*(b.ChainageM-a.ChainageM), perMetre))
			low, high = at, at
		}
		low, high = min(low, b.LevelM), max(high, b.LevelM)
	}
	h.StopsAtM = slices.Clip(h.StopsAtM)
}
