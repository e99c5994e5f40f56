package demo

import (
	"encoding/json"
	"fmt"
	"iter"

	"headcut/model"
	"headcut/model/planning"
	"headcut/model/recorded"
)

// adopt plans on what was recorded so far and adopts the answer. The works and the plan, which comes last, are
// known in the scene by these ids.
func (d *days) adopt(by Person, r planning.Request, as func(i int) string, plan string) {
	changes, err := adopted(itemsOf(d.captures), "", r, d.today())
	if err != nil {
		panic(err) // the scene is fixed
	}
	ids := map[string]string{changes[len(changes)-1].Feature: plan}
	for i, c := range changes[:len(changes)-1] {
		ids[c.Feature] = as(i)
	}
	for i, c := range changes {
		set := map[string]any{}
		for name, raw := range c.Fields {
			set[name] = raw
		}
		saved := d.capture(by, ids[c.Feature], renamed(set, ids))
		if saved.Adopted = true; i == 0 {
			saved.Adopts = &r
		}
	}
}

// adopted are the changes of a plan that somebody adopts.
func adopted(items iter.Seq[recorded.Item], property string, r planning.Request, today string) ([]planning.Change, error) {
	o, err := planning.Survey(property, items).Plan(r, today)
	if err != nil {
		return nil, err
	}
	if o.Adoption == nil || len(o.Adoption.Changes) == 0 {
		return nil, fmt.Errorf("%s of %s: nothing to adopt: %q", r.Plans, r.Of, o.Refused)
	}
	return o.Adoption.Changes, nil
}

// itemsOf are the features as captures leave them.
func itemsOf(captures []Capture) iter.Seq[recorded.Item] {
	return func(yield func(recorded.Item) bool) {
		all := map[string]map[string]json.RawMessage{}
		var order []string
		for _, c := range captures {
			if all[c.Feature] == nil {
				all[c.Feature] = map[string]json.RawMessage{}
				order = append(order, c.Feature)
			}
			for name, v := range c.Set {
				raw, err := json.Marshal(v)
				if err != nil {
					panic(err) // the scene is fixed
				}
				all[c.Feature][name] = raw
			}
		}
		for _, id := range order {
			f := model.Feature{ID: id, Fields: all[id]}
			f.Kind = f.Text("kind")
			if raw, ok := f.Fields["geometry"]; ok {
				g, err := model.ParseGeometry(raw)
				if err != nil {
					panic(err) // the scene is fixed
				}
				f.Geometry = g
			}
			if !yield(recorded.Item{Feature: f}) {
				return
			}
		}
	}
}

// renamed is a set of fields with ids in place of others, wherever a field or the row of a level book names one.
func renamed(set map[string]any, ids map[string]string) map[string]any {
	if len(ids) == 0 {
		return set
	}
	all := map[string]any{}
	for name, v := range set {
		switch v := v.(type) {
		case string:
			all[name] = orSame(ids, v)
		case json.RawMessage:
			all[name] = v
			if text := model.TextOf(v); ids[text] != "" {
				all[name] = ids[text]
			}
		case []model.LevelRow:
			rows := append([]model.LevelRow(nil), v...)
			for i := range rows {
				rows[i].Feature = orSame(ids, rows[i].Feature)
			}
			all[name] = rows
		default:
			all[name] = v
		}
	}
	return all
}

func orSame(ids map[string]string, id string) string {
	if other := ids[id]; other != "" {
		return other
	}
	return id
}
