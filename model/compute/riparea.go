package compute

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/works"
)

type ripAreaIn struct {
	Lines     [][][2]float64 `json:"lines" unit:"deg" doc:"each rip, pass by pass, as longitude and latitude of its positions, WGS84; in any order"`
	AccuracyM *float64       `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of a position along any direction; the receiver's own accuracy, for want of better"`
	Basis     string         `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the positions came about; GPS if not given"`
	ripSiteIn
	Lip  *ripLipIn  `json:"lip,omitempty" doc:"the bank or furrow lip that ponds water on the slope above; needs groundSlopePct"`
	Slot *ripSlotIn `json:"slot,omitempty" doc:"the open rip, as it is on the day it is cut"`
}

type ripAreaOut struct {
	LengthM     float64            `json:"lengthM" unit:"m" doc:"of all lines together"`
	PlusMinusM  *float64           `json:"plusMinusM,omitempty" unit:"m" doc:"one standard deviation of lengthM; none without an accuracy"`
	SpacingM    *works.Spacing     `json:"spacingM,omitempty" unit:"m" doc:"between neighbouring lines, square to them all along; none when no line has a neighbour"`
	AreaM2      *float64           `json:"areaM2,omitempty" unit:"m2" doc:"treated: length times spacing, place by place; none when no line has a neighbour"`
	PlusMinusM2 *float64           `json:"plusMinusM2,omitempty" unit:"m2" doc:"one standard deviation of areaM2; none without an accuracy"`
	AloneM      float64            `json:"aloneM" unit:"m" doc:"length of line that has no neighbour on either side"`
	Pairs       []works.RipSpacing `json:"pairs" doc:"neighbouring lines, and how far apart they are over the part along which they face each other"`
	WaterHeldM3 *float64           `json:"waterHeldM3,omitempty" unit:"m3" doc:"on the day of ripping, by lines that are level; none without lip or slot"`
	Water       *ripWaterOut       `json:"water,omitempty" doc:"what that is made of"`
	Slope       *ripSlopeOut       `json:"slope,omitempty" doc:"the limit that the ground's slope was held to; none without groundSlopePct"`
	Contour     *ripContourOut     `json:"contour,omitempty" doc:"whether the lines may be ripped for all that is known of their contour; none without contour"`
	Basis       string             `json:"basis" doc:"what the figures come from"`
	Cautions    []model.Caution    `json:"cautions" doc:"what is odd about the lines"`
}

var ripAreaDoc = Doc{
	Name:    "rip-area",
	Growth:  LogLinear,
	Summary: "length, spacing and treated area of rip lines, and the water they hold",
	Limits: []string{
		"Each pass is a line of its own: where a track turns round, cut it.",
		"A line treats half-way to its neighbour on each side, as much again on a side that has none, and nothing past its ends; where it has no neighbour at all, the mean spacing. So n lines of length l, s apart, treat n l s.",
		fmt.Sprintf("Neighbours are looked for up to %v m, square to the line; lines that face each other over less than %v %% of the shorter one are not neighbours.", works.NeighbourM, 100*works.FacingShare),
		fmt.Sprintf("At most %d positions in all, within 20 km.", works.MaxRipPositions),
		"Whether the lines are on the contour is for contour-check, with a level; between surveyed banks lines may be ripped parallel to them without, and are then not checked.",
		"Ground as steep as the rule's limit is refused, and so is a dispersive subsoil without a reason why it is to be ripped anyway.",
		"Water held is that of level lines, full, no farther up the slope than the mean spacing; contour-check gives how much water a line that is not level keeps.",
	},
	Cautions: []string{
		"Spacing of a few metres between rough fixes is worth nothing: tape it.",
		"In dispersive subsoil ripping can start tunnels: test the soil first.",
		"An open rip fills with crumbs within a few storms: the water held is for the day it is cut, and is no gain of soil water.",
		"Rip when the soil is dry enough to shatter, not wet; keep stock off after. Ask about buried services, heritage and permits before.",
	},
	Sources: append(measureSources[:len(measureSources):len(measureSources)],
		model.Source{Title: "Length times spacing, each line treating half-way to the next", How: model.CommonPractice},
		model.Source{Title: "Careless ripping among the causes of tunnel erosion: Victorian note LC0061", How: model.LookedUp},
		model.Source{Title: "Water behind a level lip: h^2/(2s) + z h^2/2 a metre; a slot: half of width times depth", How: model.Derived},
		model.Source{Title: "Between contour banks one may rip parallel to them without a survey", How: model.CommonPractice},
		model.Source{Title: "A crumb in rain water that clouds it is dispersive: W. W. Emerson, 1967", How: model.FromMemory},
		works.RipSlopeRules[0].Source, works.RipSlopeRules[1].Source),
}

var ripArea = define(ripAreaDoc, func(in ripAreaIn, work *model.Work) (ripAreaOut, error) {
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
	site := in.site()
	rule, err := site.Check()
	if err != nil {
		return ripAreaOut{}, err
	}
	r, err := works.RipArea(lines, accuracyM, work)
	if err != nil {
		return ripAreaOut{}, err
	}
	out := ripAreaOut{LengthM: r.LengthM, PlusMinusM: known(r.LengthPlusMinusM), AloneM: r.AloneM, SpacingM: r.Spacing, Pairs: r.Pairs, Basis: string(basisOr(in.Basis, model.GPS))}
	if r.Spacing != nil {
		out.AreaM2, out.PlusMinusM2 = &r.AreaM2, known(r.AreaPlusMinusM2)
	}
	if in.GroundSlopePct != nil {
		out.Slope = &ripSlopeOut{Rule: rule.Name, LimitPct: rule.MostPC}
	}
	if in.Contour != nil {
		may, proven, text := site.Contour.MayRip()
		out.Contour = &ripContourOut{State: string(site.Contour), MayRip: may, Proven: proven, Text: text}
	}
	water, cautions, err := in.water(r)
	if err != nil {
		return ripAreaOut{}, err
	}
	if water != nil {
		out.Water, out.WaterHeldM3 = water, &water.TotalM3.Value
	}
	out.Cautions = slices.Concat(r.Cautions(), site.Cautions(), cautions)
	return out, nil
})
