package section

import (
	"math"

	"headcut/model"
)

// One standard deviation of a careful single measurement on rough ground. Common
// practice, no source: an instrument reads millimetres, but the staff stands on clods and
// the tape lies over them.
const (
	StaffPlusMinusM = 0.005 // a level taken by dumpy or laser and staff
	TapePlusMinusM  = 0.05  // a chainage taped along the bed
)

// Quality says how a profile was measured and how well. The zero value is a profile of
// which nobody said either.
type Quality struct {
	Basis              model.Basis // of the levels and chainages together, the weaker of the two
	LevelPlusMinusM    float64     // one standard deviation of one level; negative: not known
	ChainagePlusMinusM float64     // one standard deviation of one chainage; negative: not known
}

// LevelledAndTaped is the quality of a bed surveyed as it should be.
var LevelledAndTaped = Quality{Basis: model.Levelled, LevelPlusMinusM: StaffPlusMinusM, ChainagePlusMinusM: TapePlusMinusM}

// SpacingPlusMinusM is that of the distance between two chainages, which err apart from
// each other; negative when it is not known.
func (q Quality) SpacingPlusMinusM() float64 { return pair(q.ChainagePlusMinusM) }

// StepPlusMinusM is that of the difference of two levels; negative when it is not known.
func (q Quality) StepPlusMinusM() float64 { return pair(q.LevelPlusMinusM) }

func pair(one float64) float64 {
	if one < 0 {
		return -1
	}
	return one * math.Sqrt2
}
