package planning

import (
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
)

// BaseChange is what became of a feature that a plan rests on.
type BaseChange struct {
	Feature string `json:"feature"`
	What    string `json:"what"` // in a sentence, with its name
}

// Plans are the plans that were adopted, by their ids.
func (p *Property) Plans() []*recorded.Item { return slices.Collect(p.of(model.PlanKind)) }

// Changed tells what of a plan's base is another than when it was adopted; nothing where all is as it
// was. A newer run that closes changes the base too: it would be used now.
func (p *Property) Changed(plan *recorded.Item) []BaseChange {
	var rests []rest
	if jsonvalue.Unmarshal([]byte(plan.Text("restsOn")), &rests) != nil {
		return []BaseChange{{plan.ID, plan.Called() + " does not say what it rests on: plan again."}}
	}
	var all []BaseChange
	used, levelled := map[string]bool{}, false
	for _, r := range rests {
		used[r.Feature] = true
		name, item := r.Name, p.items[r.Feature]
		levelled = levelled || item != nil && item.Kind == "level-run"
		if name == "" {
			name = "feature " + r.Feature
		}
		what := ""
		switch {
		case item == nil:
			what = "is not on this property any more"
		case item.Struck:
			what = "was struck out since"
		case len(item.Clashes) > 0 && item.Version != r.Version:
			what = "was changed by two people differently since, and nobody has settled it"
		case item.Version != r.Version:
			what = "was edited since, or struck out and restored"
		}
		if what != "" {
			all = append(all, BaseChange{r.Feature, name + " " + what + "."})
		}
	}
	if changed := planned[Purpose(plan.Text("plans"))].changed; changed != nil {
		all = append(all, changed(p, plan, used)...)
	}
	for _, run := range p.figures.LevelledRuns(plan.Text("of")) {
		if !levelled || !run.Proven || used[run.ID] {
			break // the best come first, and the newest of those; a peak flow rests on none
		}
		all = append(all, BaseChange{run.ID, fmt.Sprintf("%s%s closes, and is newer than the run used.", run.Called, ofDay(run.ObservedOn))})
	}
	return all
}
