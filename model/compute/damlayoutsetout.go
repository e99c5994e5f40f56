package compute

import (
	"headcut/model"
	"headcut/model/levelling"
	"headcut/model/works"
)

type damSetOutIn struct {
	InstrumentLevelM float64            `json:"instrumentLevelM" unit:"m" doc:"level of the line of sight, on the datum of the bed"`
	StaffLengthM     *float64           `json:"staffLengthM,omitempty" unit:"m" doc:"longest reading of the staff; 5 if not given"`
	Readings         []works.PegReading `json:"readings,omitempty" doc:"what was read where a peg was tried"`
}

func (in damSetOutIn) pegs(dams []works.DamSite, overflow *damOverflow, stepPlusMinusM float64) ([]works.PegSight, error) {
	abutmentM := 0.0
	if overflow != nil {
		abutmentM = overflow.AbutmentHeightM.Value
	}
	sights, err := works.SetOut(works.Pegs(dams, abutmentM), in.InstrumentLevelM, orElse(in.StaffLengthM, levelling.StaffLengthM), in.Readings)
	for i := range sights {
		s := &sights[i]
		if s.ReadingPlusMinusM = stepPlusMinusM; s.Spot == works.DamAbutment {
			s.ReadingPlusMinusM = model.JointPlusMinus(stepPlusMinusM, overflow.AbutmentHeightM.PlusMinus)
		}
	}
	return sights, model.Within(err, "setOut")
}
