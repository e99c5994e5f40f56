package compute

import (
	"headcut/model"
	"headcut/model/levelling"
)

type contourCheckIn struct {
	Pegs              []contourPeg `json:"pegs" doc:"the pegs, in order along the line"`
	ToleranceM        float64      `json:"toleranceM" unit:"m" doc:"how far a peg may be off the mean level, up or down"`
	GradeTolerancePct *float64     `json:"gradeTolerancePct,omitempty" unit:"%" doc:"how steep the line may run between neighbours, either way; not checked if not given"`
	Basis             *string      `json:"basis,omitempty" choices:"levelled|taped|GPS|unproven" doc:"how the levels came about; levelled if not given, and nothing else can pass"`
	LevelPlusMinusM   *float64     `json:"levelPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a peg's level; that of one set-up, 0.0028, if not given"`
}

type contourPeg struct {
	Name      string  `json:"name,omitempty" doc:"what to call the peg; its number if not given"`
	ChainageM float64 `json:"chainageM" unit:"m" doc:"along the line"`
	LevelM    float64 `json:"levelM" unit:"m" doc:"level of the ground at the peg"`
}

type contourCheckOut struct {
	MeanLevelM         float64    `json:"meanLevelM" unit:"m" doc:"mean of the pegs' levels, each counted once"`
	PlusMinusM         float64    `json:"plusMinusM" unit:"m" doc:"of the mean level"`
	Worst              worstPeg   `json:"worst" doc:"the peg farthest off the mean"`
	OffsM              []float64  `json:"offsM" unit:"m" doc:"each peg above the mean; minus is below"`
	GradesPct          []float64  `json:"gradesPct" unit:"%" doc:"from each peg to the next; plus climbs along the line"`
	GradesPlusMinusPct []float64  `json:"gradesPlusMinusPct" unit:"%" doc:"of each grade"`
	LowPoints          []lowPoint `json:"lowPoints" doc:"pegs with higher ground on both sides, where water ponds and breaks over"`
	DrainsTo           string     `json:"drainsTo" choices:"nowhere|first peg|last peg|both ends|low points" doc:"where water along the line goes"`
	Verdict            string     `json:"verdict" choices:"holds|fails|not levelled" doc:"holds, fails, or cannot be told from these levels"`
	Basis              string     `json:"basis" choices:"levelled|taped|GPS|unproven" doc:"how the levels came about"`
	Reasons            []string   `json:"reasons" doc:"why it does not hold, with the way to move each peg"`
}

type worstPeg struct {
	Peg        int     `json:"peg" unit:"1" doc:"number of the peg, counted from 1"`
	Name       string  `json:"name,omitempty" doc:"its name"`
	OffM       float64 `json:"offM" unit:"m" doc:"above the mean; minus is below"`
	PlusMinusM float64 `json:"plusMinusM" unit:"m" doc:"of offM"`
}

type lowPoint struct {
	Peg       int     `json:"peg" unit:"1" doc:"number of the peg, counted from 1; the first of several at one level"`
	Name      string  `json:"name,omitempty" doc:"its name"`
	ChainageM float64 `json:"chainageM" unit:"m" doc:"along the line"`
	LevelM    float64 `json:"levelM" unit:"m" doc:"level there"`
	DepthM    float64 `json:"depthM" unit:"m" doc:"how deep water stands before it breaks over along the line"`
}

var contourCheck = define(Doc{
	Name:    "contour-check",
	Summary: "whether pegs stand on one contour, which is worst, and where water would go",
	Limits: []string{
		"Only levels by level and staff, from a run that closes, can hold; from a GPS or an unproven run the verdict is always \"not levelled\".",
		"Between pegs the line is taken as straight in level.",
		"No published tolerance for rip lines or timber rows is known: the tolerance is the officer's.",
	},
	Cautions: []string{
		"With an error e in each level and pegs d apart, a false grade of up to 2e/d shows: 20 mm at 20 m is 0.2 %.",
		"A low point that breaks over can start a new gully below the line.",
	},
	Sources: []model.Source{
		{Title: "mean, differences from it and grades between neighbours", How: model.Derived},
		{Title: "spread of a peg about the mean of n: s*sqrt(1 - 1/n)", How: model.Derived},
		{Title: "tolerance by the officer", How: model.CommonPractice},
	},
}, func(in contourCheckIn) (contourCheckOut, error) {
	pegs := make([]levelling.Peg, len(in.Pegs))
	for i, p := range in.Pegs {
		pegs[i] = levelling.Peg(p)
	}
	c, err := levelling.CheckContour(pegs, levelling.ContourOptions{
		ToleranceM:        in.ToleranceM,
		GradeTolerancePct: orElse(in.GradeTolerancePct, 0),
		Basis:             model.Basis(orElse(in.Basis, string(model.Levelled))),
		PlusMinusM:        orElse(in.LevelPlusMinusM, 0),
	})
	if err != nil {
		return contourCheckOut{}, err
	}
	out := contourCheckOut{
		MeanLevelM: c.MeanLevelM, PlusMinusM: *micron(&c.MeanPlusMinusM),
		Worst:     worstPeg{Peg: c.Worst.Peg, Name: c.Worst.Name, OffM: c.Worst.OffM, PlusMinusM: *micron(&c.OffPlusMinusM)},
		GradesPct: c.GradesPct, GradesPlusMinusPct: c.GradesPlusMinusPct,
		DrainsTo: string(c.Drains), Verdict: string(c.Verdict), Basis: string(c.Basis), Reasons: c.Reasons,
	}
	for _, off := range c.Offs {
		out.OffsM = append(out.OffsM, off.OffM)
	}
	for _, low := range c.LowPoints {
		out.LowPoints = append(out.LowPoints, lowPoint(low))
	}
	return out, nil
})
