package compute

import (
	"fmt"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/works"
)

type ripAreaIn struct {
	Lines     [][][2]float64 `json:"lines" unit:"deg" doc:"each rip, pass by pass, as longitude and latitude of its positions, WGS84; in any order"`
	AccuracyM *float64       `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of a position along any direction; the receiver's own accuracy, for want of better"`
}

type ripAreaOut struct {
	LengthM     float64         `json:"lengthM" unit:"m" doc:"of all lines together"`
	PlusMinusM  *float64        `json:"plusMinusM,omitempty" unit:"m" doc:"one standard deviation of lengthM; none without an accuracy"`
	SpacingM    *spacingOut     `json:"spacingM,omitempty" unit:"m" doc:"between neighbouring lines, square to them all along; none when no line has a neighbour"`
	AreaM2      *float64        `json:"areaM2,omitempty" unit:"m2" doc:"treated: length times spacing, place by place; none when no line has a neighbour"`
	PlusMinusM2 *float64        `json:"plusMinusM2,omitempty" unit:"m2" doc:"one standard deviation of areaM2; none without an accuracy"`
	Basis       string          `json:"basis" doc:"what the figures come from"`
	Cautions    []model.Caution `json:"cautions" doc:"what is odd about the lines"`
}

type spacingOut struct {
	Min            float64  `json:"min" unit:"m" doc:"the narrowest place"`
	Mean           float64  `json:"mean" unit:"m" doc:"over all places that have a neighbour"`
	Max            float64  `json:"max" unit:"m" doc:"the widest place"`
	PlusMinusM     *float64 `json:"plusMinusM,omitempty" unit:"m" doc:"one standard deviation of min and max; none without an accuracy"`
	MeanPlusMinusM *float64 `json:"meanPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of mean; none without an accuracy"`
}

var ripArea = define(Doc{
	Name:    "rip-area",
	Summary: "length, spacing and treated area of rip lines",
	Limits: []string{
		"Each pass is a line of its own: where a track turns round, cut it.",
		"A line treats half-way to its neighbour on each side, as much again on a side that has none, and nothing past its ends; where it has no neighbour at all, the mean spacing. So n lines of length l, s apart, treat n l s.",
		fmt.Sprintf("Neighbours are looked for up to %v m, square to the line; lines that face each other over less than %v %% of the shorter one are not neighbours.", works.NeighbourM, 100*works.FacingShare),
		fmt.Sprintf("At most %d positions in all, within 20 km.", works.MaxRipPositions),
		"Whether the lines are on the contour is for contour-check, with a level.",
	},
	Cautions: []string{
		"Spacing of a few metres between rough fixes is worth nothing: tape it.",
		"In dispersive subsoil ripping can start tunnels: test the soil first.",
	},
	Sources: append(measureSources[:len(measureSources):len(measureSources)],
		model.Source{Title: "Length times spacing, each line treating half-way to the next", How: model.CommonPractice},
		model.Source{Title: "Careless ripping among the causes of tunnel erosion: Victorian note LC0061", How: model.LookedUp}),
}, func(in ripAreaIn) (ripAreaOut, error) {
	accuracyM, err := accuracy(in.AccuracyM)
	if err != nil {
		return ripAreaOut{}, err
	}
	lines := make([]orb.LineString, len(in.Lines))
	for i, line := range in.Lines {
		if lines[i], err = positionsFrom(line, fmt.Sprintf("lines[%d]", i)); err != nil {
			return ripAreaOut{}, err
		}
	}
	r, err := works.RipArea(lines, accuracyM)
	if err != nil {
		return ripAreaOut{}, err
	}
	out := ripAreaOut{LengthM: r.LengthM, PlusMinusM: known(r.LengthPlusMinusM), Basis: string(model.GPS), Cautions: r.Cautions()}
	if s := r.Spacing; s != nil {
		out.SpacingM = &spacingOut{s.MinM, s.MeanM, s.MaxM, known(s.PlusMinusM), known(s.MeanPlusMinusM)}
		out.AreaM2, out.PlusMinusM2 = &r.AreaM2, known(r.AreaPlusMinusM2)
	}
	return out, nil
})
