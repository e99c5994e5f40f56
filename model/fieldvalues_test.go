package model

import (
	"encoding/json"
	"maps"
	"testing"

	"pgregory.net/rapid"
)

// A list of values says what a map of them says, and as JSON is the same text.
func TestFieldValuesAreAMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.StringMatching(`[a-e]{1,2}`)
		byName := rapid.MapOf(names, rapid.Map(rapid.Int(), func(n int) json.RawMessage {
			raw, _ := json.Marshal(n)
			return raw
		})).Draw(t, "by name")
		values := FieldValuesOf(byName)
		name := names.Draw(t, "name")
		want, there := byName[name]
		if got, ok := values.Value(name); ok != there || string(got) != string(want) || values.Has(name) != there {
			t.Errorf("Value(%q) = %s, %v, want %s, %v", name, got, ok, want, there)
		}
		changed := values.With(name, json.RawMessage("true"))
		if got := string(changed.Get(name)); got != "true" || string(values.Get(name)) != string(want) {
			t.Errorf("With(%q, true) has %s there, and what it was made from %s", name, got, values.Get(name))
		}
		byName = maps.Clone(byName)
		byName[name] = json.RawMessage("true")
		text, err := json.Marshal(changed)
		wanted, wantErr := json.Marshal(byName)
		if err != nil || wantErr != nil || string(text) != string(wanted) {
			t.Errorf("as JSON %s (%v), want %s (%v)", text, err, wanted, wantErr)
		}
		var read FieldValues
		if err := json.Unmarshal(text, &read); err != nil || !maps.EqualFunc(read.ByName(), byName, func(a, b json.RawMessage) bool { return string(a) == string(b) }) {
			t.Errorf("read back %s: %v (%v)", text, read, err)
		}
		last := ""
		for name := range changed.All() {
			if name <= last {
				t.Errorf("%q stands after %q", name, last)
			}
			last = name
		}
		for range changed.All() {
			break // which panics where the list goes on
		}
	})
}
