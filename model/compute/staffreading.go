package compute

import (
	"headcut/model"
	"headcut/model/levelling"
)

type staffReadingIn struct {
	InstrumentLevelM float64  `json:"instrumentLevelM" unit:"m" doc:"level of the line of sight: level of the backsight point plus its reading"`
	TargetLevelM     float64  `json:"targetLevelM" unit:"m" doc:"level to set out, on the same datum"`
	StaffLengthM     *float64 `json:"staffLengthM,omitempty" unit:"m" doc:"longest reading of the staff; 5 if not given"`
	ReadM            *float64 `json:"readM,omitempty" unit:"m" doc:"what was read where the staff stands now"`
}

type staffReadingOut struct {
	ReadingM float64  `json:"readingM" unit:"m" doc:"reading that puts the foot of the staff on the target level"`
	LevelM   *float64 `json:"levelM,omitempty" unit:"m" doc:"level where the staff stands now, if readM was given"`
	OffM     *float64 `json:"offM,omitempty" unit:"m" doc:"how far that is above the target; minus is below"`
	Move     string   `json:"move,omitempty" doc:"which way to move the staff"`
}

var staffReadingDoc = Doc{
	Name:    "staff-reading",
	Growth:  Linear,
	Summary: "what to read on the staff to set out a level",
	Limits: []string{
		"Levels may be given to any digit; the reading is given to 0.1 mm.",
		"A target above the line of sight, or more than a staff's length below it, is refused: move the instrument.",
	},
	Cautions: []string{
		"Check on the benchmark again before leaving the set-up: nothing here notices an instrument that was knocked.",
		"A direct-reading laser staff counts the other way; this is for an ordinary staff.",
	},
	Sources: []model.Source{
		{Title: "Height of collimation: reading = level of the line of sight - level wanted", Place: "Enggthought, direct contouring example, 2019; a blog, a weak source", How: model.LookedUp},
	},
}

var staffReading = define(staffReadingDoc, func(in staffReadingIn, _ *model.Work) (staffReadingOut, error) {
	set, err := levelling.SetOut(in.InstrumentLevelM, in.TargetLevelM, orElse(in.StaffLengthM, levelling.StaffLengthM))
	if err != nil {
		return staffReadingOut{}, err
	}
	out := staffReadingOut{ReadingM: set.ReadingM}
	if in.ReadM != nil {
		now, err := set.At(*in.ReadM)
		if err != nil {
			return staffReadingOut{}, err
		}
		out.LevelM, out.OffM, out.Move = &now.LevelM, &now.OffM, now.Move
	}
	return out, nil
})

// orElse is the value of an optional input, or what stands for it when it is left out.
func orElse[T any](given *T, otherwise T) T {
	if given == nil {
		return otherwise
	}
	return *given
}
