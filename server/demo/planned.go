package demo

import (
	"fmt"
	"time"

	"headcut/model/planning"
	"headcut/model/recorded"
)

// plannedIDs knows under which ids the works that a device planned are in the register, by those of the scene.
type plannedIDs struct {
	ids     map[string]string
	changes []planning.Change // of the plan that is being saved
}

// plan plans and adopts on what the device knows of the features that were captured so far.
func (p *plannedIDs) plan(w *walker, r planning.Request, before []Capture) (err error) {
	if len(p.changes) > 0 {
		return fmt.Errorf("%d works of the plan before were not saved", len(p.changes))
	}
	seen := map[string]bool{}
	p.changes, err = adopted(func(yield func(recorded.Item) bool) {
		for _, c := range before {
			id := orSame(p.ids, c.Feature)
			f := w.Feature(w.property, id)
			if !seen[id] && !yield(recorded.Item{Feature: f.Model(), Version: string(f.Seen.Append(nil)), Struck: f.Struck}) {
				return
			}
			seen[id] = true
		}
	}, w.property, r, w.clock.Format(time.DateOnly))
	return err
}

// of is what a capture comes to in the register: of an adopted plan its next change.
func (p *plannedIDs) of(c Capture) (feature string, set map[string]any, err error) {
	if !c.Adopted {
		return orSame(p.ids, c.Feature), renamed(c.Set, p.ids), nil
	}
	if len(p.changes) == 0 {
		return "", nil, fmt.Errorf("the plan on the device has no %s, which the scene has", c.Feature)
	}
	next := p.changes[0]
	p.changes = p.changes[1:]
	p.ids[c.Feature] = next.Feature
	set = map[string]any{}
	for name, raw := range next.Fields {
		set[name] = raw
	}
	return next.Feature, set, nil
}
