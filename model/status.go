package model

import (
	"encoding/json"
	"maps"

	"headcut/model/jsonvalue"
)

// Status is how far a work has come.
type Status string

// The statuses of a work, in the order in which it usually passes them.
const (
	Proposed Status = "proposed" // chosen, nothing on the ground yet
	Pegged   Status = "pegged"   // surveyed and marked on the ground
	Built    Status = "built"
	Failed   Status = "failed" // built, and no longer doing its job
	Removed  Status = "removed"
)

// Statuses lists every status.
var Statuses = []Status{Proposed, Pegged, Built, Failed, Removed}

// DateField names the field that holds the day a work came to this status.
func (s Status) DateField() string { return string(s) + "On" }

// Condition is what a visit found of a work.
type Condition string

const (
	Sound     Condition = "sound" // "holding" in entries of older programs
	NeedsWork Condition = "needs work"
	HasFailed Condition = "failed"
	Healed    Condition = "healed"
)

// Conditions lists every condition, as a form offers them.
var Conditions = []string{string(Sound), string(NeedsWork), string(HasFailed), string(Healed)}

// Now gives fields with the words of older programs as they are said now. Entries keep
// what they said: this is for reading. The map given is not changed.
func Now(kind string, fields map[string]json.RawMessage) map[string]json.RawMessage {
	out := fields
	for _, f := range renamed[kind] {
		raw, ok := fields[f.Name]
		if !ok {
			continue
		}
		old, _ := decodeText(raw)
		if now, ok := f.Was[old]; ok {
			out = maps.Clone(out)
			out[f.Name], _ = jsonvalue.Marshal(now)
		}
	}
	return out
}

// renamed lists by kind the fields whose choices had other words once.
var renamed = func() map[string][]Field {
	all := map[string][]Field{}
	for i := range Kinds {
		for _, f := range Kinds[i].listFields() {
			if f.Was != nil {
				all[Kinds[i].Name] = append(all[Kinds[i].Name], f)
			}
		}
	}
	return all
}()
