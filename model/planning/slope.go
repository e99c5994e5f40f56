package planning

import (
	"encoding/json"

	"headcut/model"
	"headcut/model/recorded"
)

func init() {
	planned[Banks] = planner{computation: "bank-layout", kinds: []string{"scald", "gully-head", "catchment"}, own: []string{"atM", "fromM", "toM"},
		on: "on the slope of a catchment, or above a gully head or a scald", called: "Banks at ", draft: (*drafting).banks, stands: slopeStands, says: (*Draft).gradedBanksBeside, adopt: (*adopting).gradedBanks}
	planned[RipLines] = planner{computation: "rip-area", kinds: []string{"scald", "rip-line"}, recorded: []string{"lines", "accuracyM", "basis", "contour"}, own: []string{"apartM"},
		on: "on a scald or beside a rip line", called: "Rip lines at ", draft: (*drafting).ripLines, stands: linesStand("rip-line"), says: (*Draft).lineSays, adopt: (*adopting).ripLines, changed: linesChanged("rip-line")}
	planned[Windrows] = planner{computation: "windrow-gaps", kinds: []string{"scald", "windrow"}, recorded: []string{"rows", "accuracyM"}, own: []string{"apartM", "gapM", "gapsApartM", "heightM"},
		on: "on a scald or beside a windrow", called: "Windrows at ", draft: (*drafting).windrows, stands: linesStand("windrow"), says: (*Draft).lineSays, adopt: (*adopting).windrows, changed: linesChanged("windrow")}
}

// linesChanged says which lines of a patch are proven now and were not when a plan was adopted, besides those
// that it proposed itself, and which were pegged again.
func linesChanged(kind string) func(*Property, *recorded.Item, map[string]bool) []BaseChange {
	return func(p *Property, plan *recorded.Item, used map[string]bool) (all []BaseChange) {
		of := p.items[plan.Text("of")]
		if of == nil || of.Struck {
			return nil
		}
		d := &drafting{p: p, item: of, request: Request{Given: map[string]json.RawMessage{}}}
		own := map[string]bool{}
		lines := d.patchOf(kind)
		for _, l := range lines.lines {
			own[l.item.ID] = l.item.Text("plan") == plan.ID
			if !used[l.item.ID] && !own[l.item.ID] {
				all = append(all, BaseChange{l.item.ID, l.item.Called() + " is checked to keep to the contour by a closed level run now, and the plan goes without it."})
			}
		}
		for _, id := range model.Keys(lines.runs) {
			for _, line := range lines.runs[id] {
				if used[line] && !used[id] && line != of.ID {
					all = append(all, BaseChange{id, p.items[line].Called() + " was pegged again by " + p.items[id].Called() + "."})
				}
			}
		}
		return all
	}
}
