package treatment

import (
	"strings"

	"headcut/model"
)

// Effect is what a rule does to its treatments.
type Effect string

const (
	Fits     Effect = "fits"
	RulesOut Effect = "ruled out"
	Needs    Effect = "needs"
)

// Effects lists every effect.
var Effects = []Effect{Fits, RulesOut, Needs}

// Rule is one row of the table: when all its conditions hold, Then for its treatments.
type Rule struct {
	ID     string
	When   []Condition
	Then   Effect
	For    []Treatment
	Why    string
	Source model.Source
}

// String is the row as a line of text: id, conditions, treatments, effect, why, source.
func (r Rule) String() string {
	treatments := model.Each(r.For, func(t Treatment) string { return string(t) })
	return r.ID + ": " + r.Conditions() + " -> " + strings.Join(treatments, ", ") + " " + string(r.Then) +
		": " + r.Why + " [" + r.Source.String() + "]"
}

// Conditions is the conditions as text: "gully; depth above 0.3 m".
func (r Rule) Conditions() string {
	return strings.Join(model.Each(r.When, Condition.String), "; ")
}

// Lines is the whole table as text, a line for each rule.
func Lines() []string {
	rules := Rules
	return model.Each(rules, Rule.String)
}
