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

type pegOut struct {
	Dam               int      `json:"dam" unit:"1" doc:"number of the dam, counted from 1, the lowest"`
	Spot              string   `json:"spot" doc:"toe, crest or abutment"`
	LevelM            float64  `json:"levelM" unit:"m" doc:"to set out"`
	ReadingM          *float64 `json:"readingM,omitempty" unit:"m" doc:"to look for on the staff"`
	ReadingPlusMinusM float64  `json:"readingPlusMinusM" unit:"m" doc:"one standard deviation, of the two levels it lies between; none when not known"`
	Cannot            string   `json:"cannot,omitempty" doc:"why there is no reading, and what to do"`
	ReadM             *float64 `json:"readM,omitempty" unit:"m" doc:"as read"`
	OffM              *float64 `json:"offM,omitempty" unit:"m" doc:"how far the foot of the staff is above the level; minus is below"`
	Move              string   `json:"move,omitempty" doc:"which way the foot of the staff must go: up when the reading is too great"`
}

func (in damSetOutIn) pegs(dams []works.DamSite, overflow *damOverflow, stepPlusMinusM float64) ([]pegOut, error) {
	abutmentM := 0.0
	if overflow != nil {
		abutmentM = overflow.AbutmentHeightM.Value
	}
	sights, err := works.SetOut(works.Pegs(dams, abutmentM), in.InstrumentLevelM, orElse(in.StaffLengthM, levelling.StaffLengthM), in.Readings)
	if err != nil {
		return nil, model.Within(err, "setOut")
	}
	out := make([]pegOut, len(sights))
	for i, s := range sights {
		plusMinusM := stepPlusMinusM
		if s.Spot == works.DamAbutment {
			plusMinusM = model.JointPlusMinus(plusMinusM, overflow.AbutmentHeightM.PlusMinus)
		}
		out[i] = pegOut{s.Dam, string(s.Spot), s.LevelM, s.ReadingM, plusMinusM, s.Cannot, s.ReadM, s.OffM, s.Move}
	}
	return out, nil
}
