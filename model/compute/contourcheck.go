package compute

import (
	"headcut/model"
	"headcut/model/levelling"
)

type contourCheckIn struct {
	Pegs              []levelling.Peg `json:"pegs" doc:"the pegs, in order along the line"`
	ToleranceM        float64         `json:"toleranceM" unit:"m" doc:"how far a peg may be off the mean level, up or down; at most 1"`
	GradeTolerancePct *float64        `json:"gradeTolerancePct,omitempty" unit:"%" doc:"how steep the line may run between neighbours, either way; not checked if not given"`
	Basis             *string         `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the levels came about; levelled if not given, and nothing else can pass"`
	LevelPlusMinusM   *float64        `json:"levelPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a peg's level; that of one set-up, 0.0028, if levelled and not given"`
	LipM              optional        `json:"lipM,omitempty" plusMinus:"lipPlusMinusM" unit:"m" doc:"height of the bank or furrow lip above the ground at the pegs; from 0.01 to 1. With it, the water held is calculated" plusMinusDoc:"one standard deviation of lipM, alike all along; taken as right if not given"`
	OpenEnds          bool            `json:"openEnds,omitempty" doc:"whether water may leave at both ends; if not given they are turned up or left unripped"`
}

type contourCheckOut struct {
	MeanLevelM         estimate             `json:"meanLevelM" plusMinus:"plusMinusM" unit:"m" doc:"mean of the pegs' levels, each counted once" plusMinusDoc:"of the mean level; none when not known"`
	Worst              worstPeg             `json:"worst" doc:"the peg farthest off the mean"`
	OffsM              []float64            `json:"offsM" unit:"m" doc:"each peg above the mean; minus is below"`
	GradesPct          []float64            `json:"gradesPct" unit:"%" doc:"from each peg to the next; plus climbs along the line"`
	GradesPlusMinusPct []float64            `json:"gradesPlusMinusPct" unit:"%" doc:"of each grade; the whole list is left out when one of them is not known"`
	LowPoints          []levelling.LowPoint `json:"lowPoints" doc:"pegs with higher ground on both sides, where water ponds and breaks over"`
	DrainsTo           string               `json:"drainsTo" choices:"nowhere|first peg|last peg|both ends|low points" doc:"where water along the line goes"`
	Verdict            string               `json:"verdict" choices:"OK|fails|not levelled" doc:"OK, fails, or not levelled: these levels cannot decide it"`
	Basis              string               `json:"basis" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the levels came about"`
	Reasons            []string             `json:"reasons" doc:"why it fails, with the way to move each peg"`
	Reaches            []reachOut           `json:"reaches" doc:"where the line stands off the contour by more than the tolerance"`
	Holding            *holdingOut          `json:"holding,omitempty" doc:"how much of the line ponds water behind its lip; none without lipM"`
	Cautions           []model.Caution      `json:"cautions" doc:"what to watch for"`
}

// contourCautions go with every line that is checked.
func contourCautions() []model.Caution {
	return []model.Caution{
		{About: "gradesPct", Text: "With an error e in each level and pegs d apart, a false grade of up to 2e/d shows: 20 mm at 20 m is 0.2 %."},
		{About: "lowPoints", Text: "A low point that breaks over can start a new gully below the line."},
		{Text: "A furrow a few hundredths deep keeps little water once it falls: stops or a tighter tolerance matter more than spacing."},
	}
}

type reachOut struct {
	FromM        valueIn `json:"fromM" plusMinus:"fromPlusMinusM" unit:"m" doc:"chainage where it leaves the tolerance" plusMinusDoc:"one standard deviation of fromM; none when nobody knows how good the levels are"`
	ToM          valueIn `json:"toM" plusMinus:"toPlusMinusM" unit:"m" doc:"chainage where it comes back" plusMinusDoc:"one standard deviation of toM; none when not known"`
	OffM         valueIn `json:"offM" plusMinus:"plusMinusM" unit:"m" doc:"the farthest off the mean; minus is below" plusMinusDoc:"one standard deviation of offM; none when not known"`
	WorstPeg     int     `json:"worstPeg" unit:"1" doc:"number of the peg that far off, counted from 1"`
	WorstName    string  `json:"worstName,omitempty" doc:"its name"`
	Sure         bool    `json:"sure" doc:"whether it is off by the tolerance and twice plusMinusM more, by levelled pegs"`
	WaterRuns    string  `json:"waterRuns" choices:"towards the start|towards the end|both ways|into it" doc:"the way water runs along the line there"`
	DrainsToPegs []int   `json:"drainsToPegs" unit:"1" doc:"numbers of the pegs where that water comes to rest or leaves the line"`
	Text         string  `json:"text" doc:"the same in a sentence"`
}

type holdingOut struct {
	LengthM     valueIn   `json:"lengthM" plusMinus:"plusMinusM" unit:"m" doc:"of line along which water stands once rain has filled it" plusMinusDoc:"one standard deviation of lengthM; none when nobody knows how good the levels are"`
	SharePct    float64   `json:"sharePct" unit:"%" doc:"of the whole line"`
	Wet         []wetOut  `json:"wet" doc:"where the water is"`
	StopsNeeded int       `json:"stopsNeeded" unit:"1" doc:"fewest stops, besides the ends, for all of the line to hold; 201 stands for any more"`
	StopsAtM    []float64 `json:"stopsAtM" unit:"m" doc:"chainages at which to stop the furrow or leave it unripped; none when there are too many"`
}

type wetOut struct {
	FromM float64 `json:"fromM" unit:"m" doc:"chainage"`
	ToM   float64 `json:"toM" unit:"m" doc:"chainage"`
}

type worstPeg struct {
	Peg  int      `json:"peg" unit:"1" doc:"number of the peg, counted from 1"`
	Name string   `json:"name,omitempty" doc:"its name"`
	OffM estimate `json:"offM" plusMinus:"plusMinusM" unit:"m" doc:"above the mean; minus is below" plusMinusDoc:"of offM; none when not known"`
}

var contourCheckDoc = Doc{
	Name:    "contour-check",
	Growth:  Linear,
	Summary: "whether pegs stand on one contour, which is worst, and where water would go",
	Limits: []string{
		"Only levels by level and staff, from a run that closes, can hold; from a GPS or an unproven run the verdict is always \"not levelled\".",
		"Between pegs the line is taken as straight in level.",
		"No published tolerance for rip lines or timber rows is known: the tolerance is the officer's, at most 1 m, and above 0.1 m it is cautioned.",
		"A lip has one height above the ground at the pegs, from 0.01 to 1 m, and does not break; the water behind it is still. Stops are counted with both ends stopped too.",
	},
	Cautions: cautionTexts(contourCautions()),
	Sources: []model.Source{
		{Title: "mean, differences from it and grades between neighbours", How: model.Derived},
		{Title: "spread of a peg about the mean of n: s*sqrt(1 - 1/n)", How: model.Derived},
		{Title: "a furrow with a lip h that falls by s ponds water over h/s above each stop", How: model.Derived},
		{Title: "tolerance by the officer", How: model.CommonPractice},
	},
}

var contourCheck = define(contourCheckDoc, func(in contourCheckIn, _ *model.Work) (contourCheckOut, error) {
	lip := levelling.Lip{HeightM: orElse(in.LipM.Value, 0), PlusMinusM: orElse(in.LipM.PlusMinus, 0), OpenEnds: in.OpenEnds}
	if in.LipM.Value != nil && *in.LipM.Value == 0 {
		return contourCheckOut{}, &model.Problem{Path: "lipM", Reason: "0 m keeps no water", Fix: "leave it out when there is no lip"}
	}
	c, err := levelling.CheckContour(in.Pegs, levelling.ContourOptions{
		ToleranceM:        in.ToleranceM,
		GradeTolerancePct: orElse(in.GradeTolerancePct, 0),
		Basis:             model.Basis(orElse(in.Basis, string(model.Levelled))),
		PlusMinusM:        orElse(in.LevelPlusMinusM, 0),
		Lip:               lip,
	})
	if err != nil {
		return contourCheckOut{}, err
	}
	out := contourCheckOut{
		MeanLevelM: estimate{c.MeanLevelM, *micron(&c.MeanPlusMinusM)},
		Worst:      worstPeg{Peg: c.Worst.Peg, Name: c.Worst.Name, OffM: estimate{c.Worst.OffM, *micron(&c.OffPlusMinusM)}},
		GradesPct:  c.GradesPct, GradesPlusMinusPct: c.GradesPlusMinusPct, LowPoints: c.LowPoints,
		DrainsTo: string(c.Drains), Verdict: string(c.Verdict), Basis: string(c.Basis), Reasons: c.Reasons, Cautions: append(contourCautions(), c.Cautions...),
	}
	for _, off := range c.Offs {
		out.OffsM = append(out.OffsM, off.OffM)
	}
	for _, r := range c.Reaches {
		out.Reaches = append(out.Reaches, reachOut{
			FromM: valueIn{r.FromM, micron(known(r.FromPlusMinusM))}, ToM: valueIn{r.ToM, micron(known(r.ToPlusMinusM))},
			OffM: valueIn{r.Worst.OffM, micron(known(r.PlusMinusM))}, WorstPeg: r.Worst.Peg, WorstName: r.Worst.Name,
			Sure: r.Sure, WaterRuns: string(r.Runs), DrainsToPegs: r.DrainsTo, Text: r.Text(),
		})
	}
	if h := c.Holding; h != nil {
		out.Holding = &holdingOut{LengthM: valueIn{h.LengthM, micron(known(h.PlusMinusM))}, SharePct: *micron(&h.SharePct), StopsNeeded: h.StopsNeeded, StopsAtM: h.StopsAtM}
		for _, w := range h.Wet {
			out.Holding.Wet = append(out.Holding.Wet, wetOut{w[0], w[1]})
		}
	}
	return out, nil
})
