//go:build !js

package planning

// A phone's program goes without forage, which would make it larger than it may be: cuts are dried in
// an oven for half a day, so that nobody budgets in the paddock.
func init() {
	planned[Forage] = planner{computation: "forage-budget", kinds: []string{"paddock"}, recorded: []string{"landTypes"}, on: "for a paddock", called: "Forage budget of ",
		draft: (*drafting).forage, says: coverOf, changed: (*Property).forageChanged}
}
