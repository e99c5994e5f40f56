package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/section"
)

// BaseChange is what became of a feature that a plan rests on.
type BaseChange struct {
	Feature string `json:"feature"`
	What    string `json:"what"` // in a sentence, with its name
}

// Plans are the plans that were adopted, by their ids.
func (p *Property) Plans() []*recorded.Item { return slices.Collect(p.of(model.PlanKind)) }

// Changed tells what of a plan's base is another than when it was adopted; nothing where all is as it
// was. A newer run that closes, or a peak flow that was adopted since, changes the base too: it would be used now.
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
		if item != nil && !item.Struck && item.Version != r.Version && p.runStands(plan, item, r, rests) {
			continue
		}
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
		case isPeakFlow(item) && !isPeakFlow(plan) && len(p.Changed(item)) > 0:
			what = "rests on what has changed since"
		}
		if what != "" {
			all = append(all, BaseChange{r.Feature, name + " " + what + "."})
		}
	}
	if changed := planned[Purpose(plan.Text("plans"))].changed; changed != nil {
		all = append(all, changed(p, plan, used)...)
	}
	all = append(all, p.flowsChanged(plan, used)...)
	for _, run := range p.figures.LevelledRuns(plan.Text("of")) {
		if planned[Purpose(plan.Text("plans"))].levels != "" && (pegsAlone(run) || run.AcrossAlone()) {
			continue // what was pegged by the plan, mostly, or levelled across: it goes by such a run only where there is nothing else
		}
		if !levelled || !run.Proven || used[run.ID] {
			break // the best come first, and the newest of those; a peak flow rests on none
		}
		all = append(all, BaseChange{run.ID, fmt.Sprintf("%s%s closes, and is newer than the run used.", run.Called, ofDay(run.ObservedOn))})
	}
	return all
}

func isPeakFlow(plan *recorded.Item) bool {
	return plan.Kind == model.PlanKind && plan.Text("plans") == string(PeakFlow)
}

// runStands tells whether a level run that was edited since still gives what a plan was made from. A phone, which
// does not know how some plans go by theirs, says nothing of those.
func (p *Property) runStands(plan, run *recorded.Item, r rest, all []rest) bool {
	how, known := planned[Purpose(plan.Text("plans"))]
	switch {
	case run.Kind != "level-run":
		return false
	case !known:
		return true
	case how.stands != nil:
		return how.stands(p, plan, run, r, all)
	}
	return p.levelsStand(plan, run)
}

// levelsStand tells whether a level run that was edited since still gives all levels that a plan was made
// from, and has got none beside them but those of pegs: works are pegged in the run of their plan.
func (p *Property) levelsStand(plan, run *recorded.Item) bool {
	how, of := planned[Purpose(plan.Text("plans"))], p.items[plan.Text("of")]
	if how.runs == nil || of == nil || run.Kind != "level-run" {
		return false
	}
	var in map[string]json.RawMessage
	var was section.Bed
	var fromM *float64
	if jsonvalue.Unmarshal([]byte(plan.Text("input")), &in) != nil || jsonvalue.Unmarshal(in[how.levels], &was) != nil {
		return false
	}
	if raw, turned := in["turnedAtM"]; turned && jsonvalue.Unmarshal(raw, &fromM) != nil {
		return false
	}
	d := &drafting{p: p, item: of}
	return slices.ContainsFunc(how.runs(d), func(l *levelled) bool {
		return l.ID == run.ID && l.Proven && l.unfit == "" && sameM(l.fromM, fromM) && l.has(was)
	})
}

// has tells whether these levels are all there, each to the millimetre, and no other but at pegs.
func (l *levelled) has(was section.Bed) bool {
	for _, s := range l.bed {
		same := len(was) > 0 && math.Abs(was[0].ChainageM-s.ChainageM) < section.LeastApartM/2 && math.Abs(was[0].LevelM-s.LevelM) < section.LeastApartM/2
		switch {
		case same:
			was = was[1:]
		case !slices.ContainsFunc(l.Spots, func(spot figures.LevelledSpot) bool {
			return spot.Place == model.PegSpot && spot.ChainageM != nil && *spot.ChainageM == s.ChainageM
		}):
			return false
		}
	}
	return len(was) == 0
}

// pegsAlone tells whether works were pegged on a feature in a run, and it was not levelled besides.
func pegsAlone(run figures.LevelledRun) bool {
	return !slices.ContainsFunc(run.Spots, func(s figures.LevelledSpot) bool { return s.Place != model.PegSpot })
}
