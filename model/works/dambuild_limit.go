package works

import (
	"fmt"
	"slices"

	"headcut/model"
)

// HeightRule is how high a dam of some kinds may be, from the bed to the sill of its notch,
// by somebody's word.
type HeightRule struct {
	Name   string
	MaxM   float64
	Kinds  []DamKind
	Source model.Source
}

// HeightRules lists the limits, the lowest first. They disagree; MaxCrestM holds above all.
var HeightRules = []HeightRule{
	{"Jepson", 15 * 0.0254, DamKinds, model.Source{Title: "Jepson, USDA Farmers' Bulletin 1813", Place: "temporary dams: overfall seldom above 15 inches", How: model.LookedUp}},
	{"Australian fact sheets", 0.5, []DamKind{LooseRock}, model.Source{Title: "Australian fact sheets on rock check dams", Place: "crest about 0.5 m above the bed at most", How: model.FromMemory}},
	{"STEP", 0.6, []DamKind{LooseRock, Netting}, model.Source{Title: "Toronto and Region Conservation, LID planning and design guide (STEP), check dams", Place: "rock, gabion and timber dams in swales", How: model.LookedUp}},
	{"Wisconsin DNR", 36 * 0.0254, []DamKind{LooseRock}, model.Source{Title: "Wisconsin DNR Conservation Practice Standard 1062, Ditch Check (2006)", Place: "stone checks of 10 to 36 inches", How: model.LookedUp}},
	{"FAO", 1.0, []DamKind{LooseRock, Netting, Brushwood}, model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "chapter III, effective height", How: model.FromMemory}},
}

// Allows tells whether the rule would have a sill so high.
func (r HeightRule) Allows(crestHeightM float64) bool {
	const rounding = 1e-9
	return crestHeightM <= r.MaxM+rounding
}

// Holds tells whether the rule speaks of a kind of dam.
func (r HeightRule) Holds(kind DamKind) bool { return slices.Contains(r.Kinds, kind) }

// checkHeightRule holds the dam to the rule that was named, if any was.
func (d DamBuild) checkHeightRule() *model.Problem {
	if d.HeightRule == "" {
		return nil
	}
	names := ""
	for _, r := range HeightRules {
		if r.Name != d.HeightRule {
			names += ", " + r.Name
			continue
		}
		if !r.Holds(d.Kind) {
			return &model.Problem{Path: "heightRule", Reason: fmt.Sprintf("%s says nothing of %s", r.Name, d.Kind), Fix: "name another rule"}
		}
		if !r.Allows(d.CrestHeightM) {
			return &model.Problem{Path: "crestHeightM", Reason: fmt.Sprintf("%v m is above the %s m of the rule named, %s", d.CrestHeightM, model.RoundedDown(r.MaxM, 2), r.Source.Title), Fix: "build more and lower dams"}
		}
		return nil
	}
	return &model.Problem{Path: "heightRule", Reason: fmt.Sprintf("%q is not a rule for heights", d.HeightRule), Fix: "give one of " + names[2:]}
}
