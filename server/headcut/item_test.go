package main

import (
	"encoding/json"
	"testing"

	"headcut/model"
	"headcut/model/recorded"
)

// item is a feature as a register has it, from the JSON of its fields.
func item(t testing.TB, id, fields string) recorded.Item {
	t.Helper()
	f := model.Feature{ID: id}
	if err := json.Unmarshal([]byte(fields), &f.Fields); err != nil {
		t.Fatal(err)
	}
	f.Kind = f.Text("kind")
	f.Geometry, _ = model.ParseGeometry(f.Fields["geometry"])
	return recorded.Item{Feature: f}
}
