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

func (in ripSiteIn) site() works.RipSite {
	return works.RipSite{
		SlopePct: orElse(in.GroundSlopePct, math.NaN()), Rule: orElse(in.SlopeRule, ""),
		Subsoil: works.Subsoil(orElse(in.Subsoil, "")), OverrideReason: in.OverrideReason, Contour: works.RipContour(orElse(in.Contour, "")),
	}
}
