package section

import (
	"fmt"
	"math"
	"sort"

	"headcut/model"
)

// Bounds of what is taken for a surveyed bed. They catch slips of the pen and swapped
// columns, not unusual land.
const (
	MaxChainageM = 100_000 // as the field chainageM allows
	MaxLevelM    = 12_000  // either way, as the field levelM allows
	LeastApartM  = 0.001   // nearer points are one point written twice
	MaxStepM     = 50      // the deepest head a field takes; a steeper jump than 1 in 1 beyond it is a slip
)

// Station is one surveyed point on the bottom of a gully.
type Station struct {
	ChainageM float64 `json:"chainageM" unit:"m" doc:"along the levelled line; of a gully along the thalweg, from its downstream end"`
	LevelM    float64 `json:"levelM" unit:"m" doc:"on the datum of the level run"`
}

// Bed is the surveyed bottom of a gully from its downstream end up, straight between its
// stations. The zero value is no bed and does not pass Check.
type Bed []Station

// bookedDownM is how much lower a bed must end than it began to have been booked from its
// upper end down. Common practice, no source: less may be a level stretch.
const bookedDownM = 0.05

// RunsDown tells whether levels, the second of them booked farther up the gully, are those of a
// gully booked from its head down.
func RunsDown(levelM, upM float64) bool { return levelM-upM > bookedDownM }

// BookedDown tells whether the bed was booked from the head down.
func (b Bed) BookedDown() bool { return len(b) > 0 && RunsDown(b[0].LevelM, b[len(b)-1].LevelM) }

// Check tells why b is not a bed that can be computed with: fewer than two stations, a
// number that is not finite or beyond the bounds above, chainages that do not grow, or a
// jump that no gully has. The error is a *model.Problem with a path like "[3].levelM".
func (b Bed) Check() error {
	if len(b) < 2 {
		return &model.Problem{Reason: fmt.Sprintf("a bed needs 2 surveyed points and has %d", len(b))}
	}
	// One look at each station: a phone's plan checks ten thousand of them several times.
	last := Station{ChainageM: -LeastApartM, LevelM: b[0].LevelM}
	for i, s := range b {
		run, rise := s.ChainageM-last.ChainageM, math.Abs(s.LevelM-last.LevelM)
		if !(run >= LeastApartM && s.ChainageM <= MaxChainageM && math.Abs(s.LevelM) <= MaxLevelM && (rise <= MaxStepM || rise <= run)) {
			if p := b.wrongAt(i); p != nil {
				return p.Within(fmt.Sprintf("[%d]", i))
			}
		}
		last = s
	}
	return nil
}

// wrongAt tells why the station cannot be one of the bed; nil where it can.
func (b Bed) wrongAt(i int) *model.Problem {
	if p := b[i].wrong(); p != nil || i == 0 {
		return p
	}
	return follows(b[i-1], b[i])
}

func (s Station) wrong() *model.Problem {
	if !(s.ChainageM >= 0 && s.ChainageM <= MaxChainageM) { // NaN fails too
		return &model.Problem{Path: "chainageM",
			Reason: fmt.Sprintf("%v is not a chainage from 0 to %d m", s.ChainageM, MaxChainageM),
			Fix:    "measure upstream from the downstream end of the thalweg, in metres"}
	}
	if !(math.Abs(s.LevelM) <= MaxLevelM) {
		return &model.Problem{Path: "levelM",
			Reason: fmt.Sprintf("%v is not a level within %d m of the datum", s.LevelM, MaxLevelM),
			Fix:    "give the reduced level in metres"}
	}
	return nil
}

// follows tells why next cannot be the station upstream of s.
func follows(s, next Station) *model.Problem {
	run, rise := next.ChainageM-s.ChainageM, next.LevelM-s.LevelM
	switch {
	case math.Abs(run) < LeastApartM:
		return &model.Problem{Path: "chainageM",
			Reason: fmt.Sprintf("chainage %v m stands twice", next.ChainageM),
			Fix:    "keep one of the two; give the foot and the lip of a vertical head chainages of their own"}
	case run < 0:
		return &model.Problem{Path: "chainageM",
			Reason: fmt.Sprintf("chainage %v m comes after %v m", next.ChainageM, s.ChainageM),
			Fix:    "list the points upstream, lowest chainage first"}
	case math.Abs(rise) > MaxStepM && math.Abs(rise) > run:
		return &model.Problem{Path: "levelM",
			Reason: fmt.Sprintf("the bed jumps %.4g m in %.4g m", rise, run),
			Fix:    "look for a slipped decimal point in the book"}
	}
	return nil
}

// LevelAt returns the bed's level at a chainage, straight between stations; false outside
// the surveyed length. b has passed Check.
func (b Bed) LevelAt(chainageM float64) (float64, bool) {
	if len(b) == 0 || !(chainageM >= b[0].ChainageM && chainageM <= b[len(b)-1].ChainageM) {
		return 0, false
	}
	i := sort.Search(len(b), func(i int) bool { return b[i].ChainageM >= chainageM })
	if i == 0 {
		return b[0].LevelM, true
	}
	return Between(b[i-1], b[i], chainageM), true
}

// Between is the level at a chainage on the straight line from s to t, exact at both.
func Between(s, t Station, chainageM float64) float64 {
	if chainageM == t.ChainageM {
		return t.LevelM
	}
	return s.LevelM + (t.LevelM-s.LevelM)*((chainageM-s.ChainageM)/(t.ChainageM-s.ChainageM))
}
