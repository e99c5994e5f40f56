package model

import (
	"encoding/json"
	"testing"
)

// A value is as its officer said it was measured, and one that nobody said anything about
// is never called taped or by GPS.
func TestBasisOfAField(t *testing.T) {
	tests := []struct {
		name, kind, fields, field string
		want                      Basis
	}{
		{"height that nobody said how", "check-dam", `{"crestHeightM": 0.45}`, "crestHeightM", NotRecorded},
		{"height taped", "check-dam", `{"crestHeightM": 0.45, "crestHeightBasis": "taped"}`, "crestHeightM", Taped},
		{"height from the plan", "check-dam", `{"crestHeightM": 0.45, "crestHeightBasis": "from plan"}`, "crestHeightM", FromPlan},
		{"height in words nobody knows", "check-dam", `{"crestHeightM": 0.45, "crestHeightBasis": "guessed"}`, "crestHeightM", NotRecorded},
		{"chainage, which was asked for as taped", "check-dam", `{"chainageM": 12}`, "chainageM", Taped},
		{"chainage estimated", "check-dam", `{"chainageM": 12, "chainageBasis": "estimated"}`, "chainageM", Estimated},
		{"line tapped, in entries of older programs", "rip-line", `{"accuracyM": 4, "receiver": {"how": ["tapped", "tapped"]}}`, "geometry", Drawn},
		{"line tapped in part", "rip-line", `{"accuracyM": 4, "receiver": {"how": ["walked", "tapped"]}}`, "geometry", Drawn},
		{"line walked", "rip-line", `{"accuracyM": 4, "receiver": {"how": ["walked", "stood"]}}`, "geometry", GPS},
		{"point of a receiver", "gully-head", `{"accuracyM": 4}`, "geometry", GPS},
		{"point moved on the map", "gully-head", `{"accuracyM": 4, "positionBasis": "drawn on the map"}`, "geometry", Drawn},
		{"place of an unknown file", "track", `{}`, "geometry", NotRecorded},
		{"kind of a newer program", "swale", `{"accuracyM": 4}`, "geometry", GPS},
		{"accuracy of nought, which says nothing", "gully-head", `{"accuracyM": 0}`, "geometry", NotRecorded},
		{"accuracy in words", "gully-head", `{"accuracyM": "good"}`, "geometry", NotRecorded},
		{"field that no kind has, of a feature with an empty field", "check-dam", `{"": "taped"}`, "swaleDepthM", NotRecorded},
		{"odd receiver", "track", `{"receiver": 7}`, "geometry", NotRecorded},
	}
	for _, test := range tests {
		f := Feature{Kind: test.kind}
		if err := json.Unmarshal([]byte(test.fields), &f.Fields); err != nil {
			t.Fatal(err)
		}
		if got := f.Basis(test.field); got != test.want {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
	}
}

// Every field that names another as telling how it was measured names one of its kind,
// whose choices are bases.
func TestBasisFieldsAreThere(t *testing.T) {
	for _, kind := range Kinds {
		for _, f := range kind.AllFields() {
			if f.Basis == "" {
				continue
			}
			how, ok := kind.FieldNamed(f.Basis)
			if !ok || how.Type != Choice || len(how.Choices) == 0 {
				t.Errorf("%s: %s is measured as %q tells, which is %+v", kind.Name, f.Name, f.Basis, how)
			}
			for _, c := range how.Choices {
				if Weakest(Basis(c)) != Basis(c) {
					t.Errorf("%s: %s offers %q, which is no basis", kind.Name, how.Name, c)
				}
			}
		}
	}
}

// An entry of an older program says "holding": it is taken, and read as sound.
func TestOldConditionReadsAsSound(t *testing.T) {
	visit, _ := KindNamed("visit")
	field, _ := visit.FieldNamed("condition")
	if p := field.Check(json.RawMessage(`"holding"`)); p != nil {
		t.Errorf("an old phone's visit is refused: %v", p)
	}
	old := map[string]json.RawMessage{"kind": json.RawMessage(`"visit"`), "condition": json.RawMessage(` "holding"`)}
	if now := Now("visit", old); string(now["condition"]) != `"sound"` || string(old["condition"]) != ` "holding"` {
		t.Errorf("reads as %s; what was stored is %s", now["condition"], old["condition"])
	}
	for _, kept := range []string{`"failed"`, `null`, `7`, `"odd"`} {
		if now := Now("visit", map[string]json.RawMessage{"condition": json.RawMessage(kept)}); string(now["condition"]) != kept {
			t.Errorf("%s reads as %s", kept, now["condition"])
		}
	}
}
