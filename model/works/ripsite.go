package works

import (
	"fmt"
	"math"

	"headcut/model"
)

// RipSlopeRule is a handbook's limit of the slope on which ground is ripped.
type RipSlopeRule struct {
	Name   string
	MostPC float64 // the ground must be flatter than this, %
	Source model.Source
}

// RipSlopeRules are the limits known, the stricter first, which is meant when none is
// named: a machine ripping along the contour of a steeper slope may roll. They are for
// grazing land, not for mine banks or roads, and are named by the ground they are for.
var RipSlopeRules = []RipSlopeRule{
	{"dry rangeland, under 15 %", 15, model.Source{Title: "USDA NRCS Arizona, practice 548, grazing land mechanical treatment: slopes under 15 %", How: model.LookedUp}},
	{"grazing land, under 30 %", 30, model.Source{Title: "USDA NRCS conservation practice standard 548, grazing land mechanical treatment (1995): slopes under 30 %", How: model.LookedUp}},
}

// Subsoil is what a test of the subsoil showed.
type Subsoil string

const (
	Dispersive    Subsoil = "dispersive"
	NotDispersive Subsoil = "not dispersive"
	NotTested     Subsoil = "not tested"
)

// RipContour is how anyone knows that lines are on the contour.
type RipContour string

// The states of a contour: those of contour-check, and one that needs no survey.
const (
	ContourOK          RipContour = "OK"
	ContourFails       RipContour = "fails"
	ContourNotLevelled RipContour = "not levelled"
	BetweenBanks       RipContour = "between banks" // parallel to surveyed banks on both sides
)

// RipSite is the ground to be ripped.
type RipSite struct {
	SlopePct       float64 // square to the lines; NaN when not known
	Rule           string  // of RipSlopeRules; "" is the first
	Subsoil        Subsoil // "" when nothing was said
	OverrideReason string  // why a dispersive subsoil is to be ripped anyway
	Contour        RipContour
}

// MayRip says whether lines may be ripped for all that is known of their contour, and
// whether that is proven. Lines on the contour must be surveyed by level, but between
// existing contour banks one may rip parallel to them (common practice, no source).
func (c RipContour) MayRip() (may, proven bool, text string) {
	switch c {
	case ContourOK:
		return true, true, "The contour was levelled and is OK."
	case BetweenBanks:
		return true, false, "Ripped parallel to surveyed banks: it needs no survey of its own, is as good as the banks are, and is not checked."
	case ContourFails:
		return false, true, "The contour was levelled and fails: move the pegs that are off before ripping."
	}
	return false, false, "The contour was not levelled: level it before ripping."
}

// rule finds the slope rule.
func (s RipSite) rule() (RipSlopeRule, *model.Problem) {
	r, ok := model.Find(RipSlopeRules, func(r RipSlopeRule) bool { return r.Name == s.Rule || s.Rule == "" })
	return r, model.Require(ok, "slopeRule", fmt.Sprintf("give %q or %q", RipSlopeRules[0].Name, RipSlopeRules[1].Name), "%q is no rule for slopes", s.Rule)
}

// Check refuses ground that must not be ripped: too steep by the rule, or dispersive below
// without a reason why it is to be ripped anyway. It returns the rule that it used.
func (s RipSite) Check() (RipSlopeRule, error) {
	rule, p := s.rule()
	slopePct := s.SlopePct
	if math.IsNaN(slopePct) { // not known
		slopePct = 0
	}
	if p = model.FirstProblem(p,
		model.Require(slopePct >= 0 && slopePct <= 1000, "groundSlopePct", "give per cent, not degrees or metres per metre", "%v %% is no slope", slopePct),
		model.Require(slopePct < rule.MostPC, "groundSlopePct", s.steeperFix(rule),
			"%v %% is too steep for a machine to rip along the contour: slopes under %v %% (%s)", slopePct, rule.MostPC, rule.Source),
		model.Require(s.Subsoil != Dispersive || s.OverrideReason != "", "overrideReason", "do not rip; or give the reason why it is to be ripped, and treat the soil",
			"is missing: the subsoil is dispersive, and careless ripping is among the causes of tunnels in it")); p != nil {
		return rule, p
	}
	return rule, nil
}

// steeperFix says what to do on ground that the rule refuses.
func (s RipSite) steeperFix(rule RipSlopeRule) string {
	if widest := RipSlopeRules[len(RipSlopeRules)-1]; rule.MostPC < widest.MostPC && s.SlopePct < widest.MostPC {
		return fmt.Sprintf("fence it and let grass come; name the slopeRule %q only where that practice applies and the machine is made for such a side slope", widest.Name)
	}
	return "do not rip it; fence it and let grass come"
}

// Cautions are those that what is known of the site calls for.
func (s RipSite) Cautions() []model.Caution {
	var all model.Cautions
	switch strictest := RipSlopeRules[0]; {
	case math.IsNaN(s.SlopePct):
		all.Add("groundSlopePct", "The slope of the ground was not given: machines rip slopes under %v %% (%s). Measure it first.", strictest.MostPC, strictest.Source)
	case s.SlopePct >= strictest.MostPC:
		all.Add("groundSlopePct", "%v %% is steeper than the %v %% of the stricter practice (%s): a tractor along the contour may roll. Keep to the maker's side slope, and stay off it when wet.", s.SlopePct, strictest.MostPC, strictest.Source)
	}
	switch s.Subsoil {
	case Dispersive:
		all.Add("subsoil", "The subsoil is dispersive and is ripped for this reason: %s Ripping may start tunnels there, and may fail where it is meant to stop them: add gypsum and grass, and look after each storm.", s.OverrideReason)
	case NotTested:
		all.Add("subsoil", "The subsoil was not tested: put a crumb of it in rain water overnight before ripping; a cloud round it says stop.")
	}
	if may, _, text := s.Contour.MayRip(); s.Contour != "" && (!may || s.Contour == BetweenBanks) {
		all.Add("contour", "%s", text)
	}
	return all
}
