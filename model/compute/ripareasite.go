package compute

import (
	"math"

	"headcut/model/works"
)

// ripSiteIn is what is known of the ground that is ripped.
type ripSiteIn struct {
	GroundSlopePct    *float64 `json:"groundSlopePct,omitempty" unit:"%" doc:"slope of the ground, square to the lines"`
	SlopePlusMinusPct *float64 `json:"slopePlusMinusPct,omitempty" unit:"%" doc:"one standard deviation of groundSlopePct; taken as right if not given"`
	SlopeRule         *string  `json:"slopeRule,omitempty" choices:"dry rangeland, under 15 %|grazing land, under 30 %" doc:"whose limit of slope applies; the stricter, dry rangeland, if not given"`
	Subsoil           *string  `json:"subsoil,omitempty" choices:"dispersive|not dispersive|not tested" doc:"what a test of the subsoil showed"`
	OverrideReason    string   `json:"overrideReason,omitempty" doc:"why a dispersive subsoil is to be ripped anyway"`
	Contour           *string  `json:"contour,omitempty" choices:"OK|fails|not levelled|between banks" doc:"the verdict of contour-check; between banks for lines parallel to surveyed banks"`
}

type ripSlopeOut struct {
	Rule     string  `json:"rule" doc:"the rule used"`
	LimitPct float64 `json:"limitPct" unit:"%" doc:"the ground is flatter than this"`
}

type ripContourOut struct {
	State  string `json:"state" choices:"OK|fails|not levelled|between banks" doc:"as given"`
	MayRip bool   `json:"mayRip" doc:"whether the lines may be ripped"`
	Proven bool   `json:"proven" doc:"whether a level has shown it"`
	Text   string `json:"text" doc:"the same in a sentence"`
}

type ripPlaceOut struct {
	Line       int        `json:"line" unit:"1" doc:"number of the line on which it is, counted from 1"`
	OtherLine  int        `json:"otherLine" unit:"1" doc:"number of the line it looks at"`
	Position   [2]float64 `json:"position" unit:"deg" doc:"longitude and latitude on the first, WGS84"`
	SpacingM   float64    `json:"spacingM" unit:"m" doc:"from there to the other, square to the first"`
	PlusMinusM *float64   `json:"plusMinusM,omitempty" unit:"m" doc:"one standard deviation of spacingM; none without an accuracy"`
}

type ripPairOut struct {
	Lines          [2]int      `json:"lines" unit:"1" doc:"numbers of the two lines, counted from 1"`
	FacingM        [2]float64  `json:"facingM" unit:"m" doc:"how much of each has the other for its neighbour"`
	SharePct       [2]float64  `json:"sharePct" unit:"%" doc:"the same, of its length: less than 100 where it reaches past the other, or a third comes between"`
	Min            float64     `json:"min" unit:"m" doc:"the narrowest place"`
	Mean           float64     `json:"mean" unit:"m" doc:"over all places where they face"`
	Max            float64     `json:"max" unit:"m" doc:"the widest place"`
	MeanPlusMinusM *float64    `json:"meanPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of mean; none without an accuracy"`
	MinAt          ripPlaceOut `json:"minAt" doc:"where it is narrowest"`
	MaxAt          ripPlaceOut `json:"maxAt" doc:"where it is widest"`
}

func (in ripSiteIn) site() works.RipSite {
	return works.RipSite{
		SlopePct: orElse(in.GroundSlopePct, math.NaN()), Rule: orElse(in.SlopeRule, ""),
		Subsoil: works.Subsoil(orElse(in.Subsoil, "")), OverrideReason: in.OverrideReason, Contour: works.RipContour(orElse(in.Contour, "")),
	}
}

func ripPlaceFrom(p works.RipPlace) ripPlaceOut {
	return ripPlaceOut{Line: p.Line + 1, OtherLine: p.Other + 1, Position: p.At, SpacingM: p.SpacingM, PlusMinusM: known(p.PlusMinusM)}
}
