package main

import (
	"encoding/json"
	"os"
	"slices"
	"testing"

	"headcut/model"
)

// The field page checks values before it calls them saved; what it refuses must be what the
// server refuses. Both read these cases.
func TestPhoneAndServerRefuseTheSame(t *testing.T) {
	text, err := os.ReadFile("../src/survey/form/check.cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		Kind    string
		Set     map[string]json.RawMessage
		Refused []string
	}
	if err := json.Unmarshal(text, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) < 50 {
		t.Fatalf("%d cases, want at least 50", len(cases))
	}
	for _, c := range cases {
		got := []string{}
		for _, p := range model.CheckFields(c.Kind, model.FieldValuesOf(c.Set)) {
			got = append(got, p.Path)
		}
		slices.Sort(got)
		slices.Sort(c.Refused)
		if !slices.Equal(got, c.Refused) {
			t.Errorf("%s %s: refused are %v, want %v", c.Kind, c.Set, got, c.Refused)
		}
	}
}
