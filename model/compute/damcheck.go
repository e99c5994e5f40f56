package compute

import (
	"math"

	"headcut/model"
	"headcut/model/section"
	"headcut/model/works"
)

type damIn struct {
	Name        string   `json:"name,omitempty" doc:"what the dam is called; its place in the list if not given"`
	ChainageM   float64  `json:"chainageM" unit:"m" doc:"of its toe, along the thalweg from the downstream end"`
	ToeLevelM   *float64 `json:"toeLevelM,omitempty" unit:"m" doc:"level of its downstream foot; that of the bed there if not given"`
	CrestLevelM float64  `json:"crestLevelM" unit:"m" doc:"level of the lowest point of its top"`
	BuriedM     float64  `json:"buriedM,omitempty" unit:"m" doc:"height of its toe below the silt of the dam downstream that was planned, as dam-layout gives it for a dam on a good site or below a head; 0 if not given"`
	Basis       string   `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what its two levels come from, if not what the others do"`
}

type damCheckIn struct {
	Bed             []section.Point `json:"bed,omitempty" doc:"surveyed points of the bed from the downstream end up; needed for dams without a toe level"`
	Dams            []damIn         `json:"dams" doc:"the dams, in any order"`
	ToleranceM      *float64        `json:"toleranceM,omitempty" unit:"m" doc:"step that still counts as level; 0.05 if not given"`
	DepositSlopePct *float64        `json:"depositSlopePct,omitempty" unit:"%" doc:"slope that silt settles at; 0, level, if not given"`
	turnedIn
	surveyed
}

type damCheckOut struct {
	Pairs []works.DamPair `json:"pairs" doc:"neighbouring dams, from the lowest up"`
	Worst *works.DamPair  `json:"worst,omitempty" doc:"the pair that does most harm: the highest fall over a gap or off a hump, which scours, before any drowned toe, which does not; none for fewer than two dams"`
	turnedIn
	Cautions []model.Caution `json:"cautions" doc:"what to watch for on the ground"`
}

var damCheckDoc = Doc{
	Name:    "dam-check",
	Growth:  LogLinear,
	Summary: "whether each dam's crest is level with the toe of the next one upstream",
	Limits: []string{
		"Only levelled dams pass or fail: for GPS or unproven levels the verdict is \"not levelled\", though the step is calculated.",
		"A deposit slope from 0 to 20 % and a tolerance from 0 to 1 m.",
		"Chainages from 0 to 100 km; two dams at one chainage are refused.",
	},
	Cautions: cautionTexts(works.DamCautions),
	Sources:  damSources,
}

var damCheck = define(damCheckDoc, func(in damCheckIn, _ *model.Work) (damCheckOut, error) {
	c := works.DamCheck{ToleranceM: orElse(in.ToleranceM, works.DamToleranceM), DepositSlopePct: orElse(in.DepositSlopePct, 0)}
	var bed surveyedBed
	if in.Bed != nil {
		var err error
		if bed, err = in.bedFrom(in.Bed); err != nil {
			return damCheckOut{}, err
		}
		c.Bed = bed.Bed
	} else {
		bed = turnedBy(in.Dams)
	}
	q, err := in.quality(bed.byPosition)
	if err != nil {
		return damCheckOut{}, err
	}
	c.BedBasis = q.Basis
	for _, d := range in.Dams {
		basis, levelPM := q.Basis, q.LevelPlusMinusM
		if d.Basis != "" {
			basis = model.Basis(d.Basis)
			if basis != model.Levelled && in.LevelPlusMinusM == nil {
				levelPM = -1 // the default is that of a level and staff
			}
		}
		c.Dams = append(c.Dams, works.Dam{Name: d.Name, ChainageM: bed.turn(d.ChainageM), ChainagePlusMinusM: q.ChainagePlusMinusM,
			ToeLevelM: orElse(d.ToeLevelM, math.NaN()), CrestLevelM: d.CrestLevelM, LevelPlusMinusM: levelPM, LevelBasis: basis, BuriedM: d.BuriedM})
	}
	pairs, worst, err := c.Pairs()
	if err != nil {
		return damCheckOut{}, err
	}
	out := damCheckOut{Pairs: pairs, turnedIn: turnedIn{bed.turnedAtM}, Cautions: append(bed.cautions(), c.Cautions(pairs)...)}
	if worst >= 0 {
		out.Worst = &out.Pairs[worst]
	}
	return out, nil
}).after(damCheckFeeds()...)
