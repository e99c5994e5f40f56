package treatment

import (
	"strings"

	"headcut/model"
)

// Effect is what a rule does to its treatments.
type Effect string

// The effects.
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
	treatments := make([]string, len(r.For))
	for i, t := range r.For {
		treatments[i] = string(t)
	}
	return r.ID + ": " + r.Conditions() + " -> " + strings.Join(treatments, ", ") + " " + string(r.Then) +
		": " + r.Why + " [" + r.Source.String() + "]"
}

// Conditions is the conditions as text: "gully; depth above 0.3 m".
func (r Rule) Conditions() string {
	conditions := make([]string, len(r.When))
	for i, c := range r.When {
		conditions[i] = c.String()
	}
	return strings.Join(conditions, "; ")
}

// Lines is the whole table as text, a line for each rule.
func Lines() []string {
	rules := Rules()
	lines := make([]string, len(rules))
	for i, r := range rules {
		lines[i] = r.String()
	}
	return lines
}
