package phone

import (
	"encoding/json"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/register"
)

// plantAtOnce is how many entries go to the office in one request.
const plantAtOnce = 500

// PlantFeatures gives the office features of a property, an entry each, as a desk would have
// sent them on the morning of 1 January 2026. A field "id" is the feature's id; one without
// gets another. It returns the ids.
func (o *Office) PlantFeatures(property string, features ...map[string]any) []string {
	o.t.Helper()
	held := o.Property(property).ID
	ids := make([]string, len(features))
	var entries []register.Entry
	for i, fields := range features {
		set := map[string]json.RawMessage{}
		for name, value := range fields {
			if name == "id" {
				ids[i] = value.(string)
				continue
			}
			raw, err := json.Marshal(value)
			if err != nil {
				o.t.Fatal(err)
			}
			set[name] = raw
		}
		if ids[i] == "" {
			ids[i] = o.newID()
		}
		o.planted++
		at := time.Date(2026, 1, 1, 9, int(o.planted), 0, 0, time.UTC)
		entries = append(entries, register.Entry{
			Version: register.Version, ID: register.ID(o.newID()), Property: held, Feature: ids[i], Device: "desk",
			DeviceSeq: o.planted, Stamp: register.StampAt(at), SeenAt: at.Format(time.RFC3339), Author: "A. Desk", Set: model.FieldValuesOf(set),
		})
	}
	for len(entries) > 0 {
		n := min(len(entries), plantAtOnce)
		o.Plant(property, entries[:n]...)
		entries = entries[n:]
	}
	return ids
}

func (o *Office) newID() string {
	o.t.Helper()
	id, err := uuid.NewV7()
	if err != nil {
		o.t.Fatal(err)
	}
	return id.String()
}
