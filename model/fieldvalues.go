package model

import (
	"encoding/json"
	"iter"
	"slices"
	"strings"

	"headcut/model/jsonvalue"
)

// FieldValue is the value of one field, as JSON.
type FieldValue struct {
	Name string
	Raw  json.RawMessage
}

// FieldValues are values of an item's fields, each name once, in the order of the names. An
// entry has few of them, so a list is quicker to make and to look through than a map. As JSON
// they are an object from name to value.
type FieldValues []FieldValue

// FieldValuesOf puts a map's values in order.
func FieldValuesOf(byName map[string]json.RawMessage) FieldValues {
	if byName == nil {
		return nil
	}
	values := make(FieldValues, 0, len(byName))
	for name, raw := range byName {
		values = append(values, FieldValue{name, raw})
	}
	values.Sort()
	return values
}

// Sort brings values that were put together in another order into that of their names.
func (v FieldValues) Sort() {
	SortStable(v, func(a, b FieldValue) int { return strings.Compare(a.Name, b.Name) })
}

// Value is that of a field; ok is false where it is not among them.
func (v FieldValues) Value(name string) (raw json.RawMessage, ok bool) {
	for i := range v {
		if v[i].Name == name {
			return v[i].Raw, true
		}
	}
	return nil, false
}

// Has tells whether a field is among them.
func (v FieldValues) Has(name string) bool {
	_, ok := v.Value(name)
	return ok
}

// Get is the value of a field; nil where it is not among them.
func (v FieldValues) Get(name string) json.RawMessage {
	raw, _ := v.Value(name)
	return raw
}

// All goes through them in order.
func (v FieldValues) All() iter.Seq2[string, json.RawMessage] {
	return func(yield func(string, json.RawMessage) bool) {
		for i := range v {
			if !yield(v[i].Name, v[i].Raw) {
				return
			}
		}
	}
}

// ByName is a map with the same values.
func (v FieldValues) ByName() map[string]json.RawMessage {
	if v == nil {
		return nil
	}
	byName := make(map[string]json.RawMessage, len(v))
	for i := range v {
		byName[v[i].Name] = v[i].Raw
	}
	return byName
}

// MarshalJSON writes an object.
func (v FieldValues) MarshalJSON() ([]byte, error) { return jsonvalue.Marshal(v.ByName()) }

// UnmarshalJSON reads an object.
func (v *FieldValues) UnmarshalJSON(raw []byte) error {
	var byName map[string]json.RawMessage
	if err := jsonvalue.Unmarshal(raw, &byName); err != nil {
		return err
	}
	*v = FieldValuesOf(byName)
	return nil
}

// With is a copy in which one field has this value.
func (v FieldValues) With(name string, raw json.RawMessage) FieldValues {
	with := slices.DeleteFunc(slices.Clone(v), func(f FieldValue) bool { return f.Name == name })
	with = append(with, FieldValue{name, raw})
	with.Sort()
	return with
}
