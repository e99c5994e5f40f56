package figures

import (
	"headcut/model"
)

// RestsOn are the ids of what the sheet of a feature rests on besides the feature and its visits: the level runs that
// levelled it or by which it was pegged, and of a dam its gully and the dams next to it.
func (l *PropertyFigures) RestsOn(f model.Feature) []string {
	on := map[string]bool{}
	for _, s := range l.spots[f.ID] {
		on[s.run.id] = true
	}
	if run := f.Text("levelRun"); l.runs[run] != nil {
		on[run] = true
	}
	if d := l.dams[f.ID]; d != nil {
		if d.in != nil {
			on[d.in.id] = true
		}
		if d.next != nil {
			on[d.next.upper.id] = true
		}
		if d.below != nil {
			on[d.below.lower.id] = true
		}
		if l.dams[d.belowID] != nil && d.upFromM != nil {
			on[d.belowID] = true
		}
	}
	delete(on, f.ID)
	return model.Keys(on)
}
