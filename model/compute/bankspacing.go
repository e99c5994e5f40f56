package compute

import (
	"headcut/model"
	"headcut/model/banks"
	"headcut/model/runoff"
	"headcut/model/track"
)

// bankSpacingIn is whose rule spaces banks down a slope.
type bankSpacingIn struct {
	SpacingRule string           `json:"spacingRule,omitempty" choices:"local|ramser|india-high-rainfall|rajasthan|kenya|hillside-ditch|interceptor-dike" doc:"whose rule; the published ones are for ploughed land, ditches or building sites, none is for grazing land; local if its numbers are given. None: the bank stands alone, as one above a gully head does"`
	SlopeFactor *float64         `json:"slopeFactor,omitempty" unit:"1" doc:"a of a local rule VI = a S + b, S being the land's slope in per cent"`
	Constant    *float64         `json:"constant,omitempty" unit:"1" doc:"b of it"`
	RuleUnit    string           `json:"ruleUnit,omitempty" choices:"m|cm|ft" doc:"unit in which that rule gives VI; m if not given"`
	Rows        []track.LocalRow `json:"rows,omitempty" doc:"a local table instead, gentlest slope of land first; distances on the level"`
	RuleSource  string           `json:"ruleSource,omitempty" doc:"who published the local rule or table"`
}

type bankSpacingOut struct {
	Rule    string `json:"rule" doc:"whose rule"`
	Text    string `json:"text" doc:"the rule with its unit, as printed or given"`
	MadeFor string `json:"madeFor" doc:"the land that it is printed for"`
	Source  string `json:"source" doc:"where it is printed"`
	banks.Spacing
}

// rule is the rule of the input, false where there is none.
func (in bankSpacingIn) rule() (rule banks.Rule, given bool, err error) {
	line := in.SlopeFactor != nil || in.Constant != nil
	rule, published := banks.RuleNamed(in.SpacingRule)
	switch {
	case published && (line || in.Rows != nil || in.RuleUnit != "" || in.RuleSource != ""):
		return rule, true, &model.Problem{Path: "spacingRule", Reason: "a published rule cannot be given with local numbers", Fix: "name it local, or leave the numbers out"}
	case published:
		return rule, true, nil
	case line && in.Rows != nil:
		return rule, true, &model.Problem{Path: "rows", Reason: "cannot be given with a rule's numbers", Fix: "give one of the two"}
	case in.Rows != nil:
		rule, err = banks.LocalRows(model.Each(in.Rows, func(r track.LocalRow) model.SpacingRow { return model.SpacingRow(r) }), in.RuleSource)
		return rule, true, model.Within(err, "rows")
	case line:
		unit := in.RuleUnit
		if unit == "" {
			unit = "m"
		}
		rule, err = banks.Local(orElse(in.SlopeFactor, 0), orElse(in.Constant, 0), unit, in.RuleSource)
		return rule, true, err
	case in.SpacingRule != "" || in.RuleUnit != "" || in.RuleSource != "":
		return rule, true, &model.Problem{Path: "slopeFactor", Reason: "is missing", Fix: "give slopeFactor and constant of the local rule, or rows of the local table"}
	}
	return rule, false, nil
}

// spacing is how far apart banks stand on the land, nil where no rule was given.
func (in bankSpacingIn) spacing(land *runoff.Quantity) (*bankSpacingOut, error) {
	rule, given, err := in.rule()
	if err != nil || !given {
		return nil, err
	}
	if land == nil {
		return nil, &model.Problem{Path: "landSlopePct", Reason: "is missing", Fix: "give the land's slope: the spacing follows from it"}
	}
	s, err := rule.Space(*land)
	return &bankSpacingOut{Rule: rule.Name, Text: rule.Text, MadeFor: rule.MadeFor, Source: rule.Source.String(), Spacing: s}, err
}

// spacingCautions say what a rule is worth on grazing land.
func (s *bankSpacingOut) cautions() (all model.Cautions) {
	all.AddIf(s != nil && s.Rule != "local", "spacing", "No published spacing for grazing land is known. This rule is for other land, and the rules differ almost threefold: use the district's table where there is one.")
	all.AddIf(s != nil && s.Rule == "local", "spacing", "No published spacing for grazing land is known: the spacing is worth what the local rule is.")
	return all
}

// ruleSources are those of the published rules.
func ruleSources() []model.Source {
	return model.Each(banks.Rules, func(r banks.Rule) model.Source {
		s := r.Source
		s.Title = r.Name + ": " + s.Title
		return s
	})
}
