package compute

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/works"
)

type windrowGapsIn struct {
	Rows               []windrowIn `json:"rows" doc:"the windrows of one slope, in any order; from the top one down if fallBearingDeg is not given"`
	FallBearingDeg     optional    `json:"fallBearingDeg,omitempty" plusMinus:"fallBearingPlusMinusDeg" unit:"deg" doc:"bearing in which water runs straight down, clockwise from true north; square to the rows if not given" plusMinusDoc:"one standard deviation of that bearing; taken as right if not given"`
	AccuracyM          *float64    `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of a position along any direction; the receiver's own accuracy, for want of better"`
	ChainagePlusMinusM *float64    `json:"chainagePlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a gap's chainage; taken as right if not given"`
}

type windrowIn struct {
	Name string         `json:"name,omitempty" doc:"what the row is called; its number if not given"`
	Line [][2]float64   `json:"line" unit:"deg" doc:"longitude and latitude along the row, WGS84"`
	Gaps []works.RowGap `json:"gaps" doc:"the openings left in it, in order along it; none is an empty list"`
}

type windrowPairOut struct {
	Row          int      `json:"row" unit:"1" doc:"number of the row of the gap, counted from 1"`
	RowName      string   `json:"rowName,omitempty" doc:"its name"`
	Gap          int      `json:"gap" unit:"1" doc:"number of the gap in it, counted from 1"`
	BelowRow     *int     `json:"belowRow,omitempty" unit:"1" doc:"number of the row straight down the fall; none where no row lies below"`
	BelowRowName string   `json:"belowRowName,omitempty" doc:"its name"`
	BelowGap     *int     `json:"belowGap,omitempty" unit:"1" doc:"the gap of that row that it meets, or the nearest"`
	Meets        string   `json:"meets" choices:"timber|gap|too close to tell|open ground" doc:"what lies straight below"`
	OverlapM     optional `json:"overlapM,omitempty" plusMinus:"plusMinusM" unit:"m" doc:"width across the fall over which gap stands above gap, or above open ground; minus is how far they are apart; none when the row below has no gap" plusMinusDoc:"one standard deviation of overlapM; none without an accuracy"`
	ShiftM       optional `json:"shiftM,omitempty" plusMinus:"shiftPlusMinusM" unit:"m" doc:"how far one gap must move across the fall to stand clear of the other; minus is the room there is" plusMinusDoc:"one standard deviation of shiftM; within it nobody can tell"`
	DownM        optional `json:"downM,omitempty" plusMinus:"downPlusMinusM" unit:"m" doc:"straight down the fall to the row below, where it is nearest" plusMinusDoc:"one standard deviation of downM; none without an accuracy"`
}

type windrowGapsOut struct {
	Pairs          []windrowPairOut `json:"pairs" doc:"each gap with what lies straight below it"`
	Verdict        string           `json:"verdict" choices:"staggered|lined up|too close to tell|nothing below" doc:"whether any gap lies above a gap"`
	FallBearingDeg float64          `json:"fallBearingDeg" unit:"deg" doc:"the bearing used"`
	FallFrom       string           `json:"fallFrom" choices:"given|rows" doc:"where it comes from"`
	Basis          string           `json:"basis" doc:"what the figures come from"`
	Cautions       []model.Caution  `json:"cautions" doc:"what to watch for on the ground"`
}

var windrowGapsDoc = Doc{
	Name:    "windrow-gaps",
	Growth:  Squared,
	Summary: "what lies straight down the fall below each gap of timber windrows",
	Limits: []string{
		"The fall is one bearing for the whole slope: where it turns, as round a spur, check the rows of each side by themselves.",
		"The row below is the first one met, within 5 km. A space between two rows end to end is open ground: to check it, give them as one row with a gap.",
		"Two gaps that stand clear of each other, or line up, by less than the ± of shiftM are too close to tell.",
		"A row that runs within 30° of the fall is refused, and so are gaps past its end.",
		fmt.Sprintf("At most %d positions and %d gaps in all.", works.MaxWindrowPositions, works.MaxWindrowGaps),
		"No published width of gap or spacing of windrows on grazing land is known, and none is judged.",
	},
	Cautions: cautionTexts(works.WindrowCautions),
	Sources: append(measureSources[:len(measureSources):len(measureSources)],
		model.Source{Title: "No gap below a gap; gaps on the ridge lines", How: model.CommonPractice},
		model.Source{Title: "Contour logs staggered, in touch with the ground, on the contour: NRCS Montana, contour log felling", How: model.LookedUp},
		model.Source{Title: "Rows on a plane along and across the fall", How: model.Derived}),
}

var windrowGaps = define(windrowGapsDoc, func(in windrowGapsIn, work *model.Work) (windrowGapsOut, error) {
	accuracyM, err := accuracy(in.AccuracyM)
	if err != nil {
		return windrowGapsOut{}, err
	}
	w := works.Windrows{FallBearingDeg: orElse(in.FallBearingDeg.Value, math.NaN()), BearingPlusMinusDeg: orElse(in.FallBearingDeg.PlusMinus, 0),
		AccuracyM: accuracyM, ChainagePlusMinusM: orElse(in.ChainagePlusMinusM, 0)}
	for i, r := range in.Rows {
		row := works.Windrow{Name: r.Name, Gaps: r.Gaps}
		if row.Line, err = positionsFrom(r.Line, fmt.Sprintf("rows[%d].line", i)); err != nil {
			return windrowGapsOut{}, err
		}
		w.Rows = append(w.Rows, row)
	}
	s, err := w.Stagger(work)
	if err != nil {
		return windrowGapsOut{}, err
	}
	out := windrowGapsOut{Verdict: string(s.Verdict), FallBearingDeg: s.FallBearingDeg, FallFrom: "given", Basis: string(s.Basis), Cautions: w.Cautions(s)}
	if s.FallFromRows {
		out.FallFrom = "rows"
	}
	for _, p := range s.Pairs {
		pair := windrowPairOut{Row: p.Row + 1, RowName: in.Rows[p.Row].Name, Gap: p.Gap + 1, Meets: string(p.Meets)}
		if p.Below >= 0 {
			below := p.Below + 1
			pair.BelowRow, pair.BelowRowName = &below, in.Rows[p.Below].Name
			pair.DownM = optional{known(p.DownM), known(p.DownPlusMinusM)}
		}
		if p.BelowGap >= 0 {
			gap := p.BelowGap + 1
			pair.BelowGap = &gap
		}
		if p.BelowGap >= 0 || p.Meets == works.MeetsOpen {
			pair.OverlapM, pair.ShiftM = optional{&p.OverlapM, known(p.OverlapPlusMinusM)}, optional{&p.ShiftM, known(p.ShiftPlusMinusM)}
		}
		out.Pairs = append(out.Pairs, pair)
	}
	return out, nil
})
