package register

import (
	"encoding/json"

	"headcut/model"
)

// Folded is the state of one feature after all its entries.
type Folded struct {
	Feature string                     `json:"feature"`
	Fields  map[string]json.RawMessage `json:"fields"` // the winning values; cleared fields are absent
	Struck  bool                       `json:"struck,omitempty"`
	Clashes []Clash                    `json:"clashes,omitempty"` // by field
	N       uint64                     `json:"n"`                 // number of the newest entry folded in
}

// Clash is a field that two devices set to different values, neither having seen the
// other's entry. It lasts until an entry that saw both sets the field.
type Clash struct {
	Field  string  `json:"field"`  // "strike" when one struck out what the other edited
	Values []Claim `json:"values"` // the one shown first is the one in Fields
}

// Claim is one side of a clash.
type Claim struct {
	Value  json.RawMessage `json:"value"`
	Entry  ID              `json:"entry"`
	Device string          `json:"device"`
	Author string          `json:"author"`
	SeenAt string          `json:"seenAt"`
}

// Model is the feature as computations and exports take it, in the words of today. A place that cannot be read
// is left out; the entry that set it was refused or is of a newer version.
func (f Folded) Model() model.Feature {
	out := model.Feature{ID: f.Feature, Fields: f.Fields}
	out.Kind = out.Text("kind")
	out.Fields = model.Now(out.Kind, out.Fields)
	if raw, ok := f.Fields["geometry"]; ok {
		out.Geometry, _ = model.ParseGeometry(raw)
	}
	return out
}
