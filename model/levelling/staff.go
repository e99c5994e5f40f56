package levelling

import (
	"math"

	"headcut/model"
)

// StaffLengthM is the longest reading of the common telescopic staff: common practice, no
// source. Longer ones are sold; the length is an input wherever it matters.
const StaffLengthM = 5

// SetOutReading is the reading that puts the foot of a staff on a level.
type SetOutReading struct {
	ReadingM float64 // to 0.1 mm
	sight    tenths
	target   tenths
	staff    tenths
}

// Stand is where the foot of a staff is, seen against the level to set out.
type Stand struct {
	LevelM float64
	OffM   float64 // above the target; minus is below
	Move   string  // in words
}

// SetOut works out the reading for a target level from one set-up:
//
//	reading = level of the line of sight - level wanted
//
// Levels are metres to any digit; the reading is to the nearest 0.1 mm. A target that the
// staff cannot show is refused. Source: Enggthought, direct contouring example (looked
// up); the inverse is At.
func SetOut(instrumentLevelM, targetLevelM, staffLengthM float64) (SetOutReading, error) {
	if p := model.FirstProblem(checkLevel("instrumentLevelM", instrumentLevelM), checkLevel("targetLevelM", targetLevelM), checkStaff(staffLengthM)); p != nil {
		return SetOutReading{}, p
	}
	s := SetOutReading{sight: nearest(instrumentLevelM), target: nearest(targetLevelM), staff: nearest(staffLengthM)}
	reading := s.sight - s.target
	switch {
	case reading < 0:
		return s, &model.Problem{Path: "targetLevelM", Reason: "the target is " + (-reading).onStaff() + " m above the line of sight",
			Fix: "set the instrument up higher"}
	case reading > s.staff:
		return s, &model.Problem{Path: "targetLevelM", Reason: "the target is " + reading.onStaff() + " m below the line of sight, more than the staff's " + s.staff.String() + " m",
			Fix: "set the instrument up lower, or take a change point on the way down"}
	}
	s.ReadingM = reading.metres()
	return s, nil
}

// At is the inverse of SetOut: the level under the staff when readM is read, and the way
// to the target. A reading that is too great means that the staff stands too low.
func (s SetOutReading) At(readM float64) (Stand, error) {
	read, fault := exact(readM)
	if fault != nil {
		return Stand{}, fault.Within("readM")
	}
	if read < 0 || read > s.staff {
		return Stand{}, &model.Problem{Path: "readM", Reason: read.String() + " m is not on a staff of " + s.staff.String() + " m", Fix: "read metres, upright staff"}
	}
	level := s.sight - read
	off := level - s.target
	now := Stand{LevelM: level.metres(), OffM: off.metres(), Move: "stay: the staff is on the level"}
	switch {
	case off >= readable:
		now.Move = "move to ground " + off.onStaff() + " m lower"
	case off <= -readable:
		now.Move = "move to ground " + (-off).onStaff() + " m higher"
	}
	return now, nil
}

// checkStaff tells whether a staff can be this long.
func checkStaff(lengthM float64) *model.Problem {
	const longest = 20 // beyond any telescopic staff or laser rod; guards against millimetres
	return model.Require(lengthM > 0 && lengthM <= longest, "staffLengthM", "give its longest reading in metres", "%v m is not the length of a staff", lengthM)
}

// checkLevel tells whether anything on earth stands so high.
func checkLevel(path string, m float64) *model.Problem {
	if math.Abs(m) <= HighestM {
		return nil
	}
	return &model.Problem{Path: path, Reason: text(m) + " m is no level on earth", Fix: "give metres, not millimetres"}
}
