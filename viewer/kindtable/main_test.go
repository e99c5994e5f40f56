package main

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"headcut/model"
)

func TestFilesAreCurrent(t *testing.T) {
	for name, made := range files {
		want, err := made()
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile("../src/base/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not what model gives: run go generate ./viewer/kindtable", name)
		}
	}
}

// What the pages read is what the server checks by: kinds in order, every field of each.
func TestTableHoldsEveryField(t *testing.T) {
	text, err := os.ReadFile("../src/base/kinds.json")
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		CommonFields, WorkFields []model.Field
		Kinds                    []model.Kind
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Kinds) != len(model.Kinds) {
		t.Fatalf("%d kinds, want %d", len(got.Kinds), len(model.Kinds))
	}
	for i, kind := range got.Kinds {
		want := model.Kinds[i]
		fields := append([]model.Field{}, got.CommonFields...)
		if kind.Work {
			fields = append(fields, got.WorkFields...)
		}
		fields = append(fields, kind.Fields...)
		if kind.Name != want.Name || len(fields) != len(want.AllFields()) {
			t.Errorf("kind %d is %s with %d fields, want %s with %d", i, kind.Name, len(fields), want.Name, len(want.AllFields()))
			continue
		}
		for k, field := range want.AllFields() {
			if fields[k].Name != field.Name || fields[k].Type != field.Type || fields[k].Unit != field.Unit {
				t.Errorf("%s: field %d is %+v, want %+v", kind.Name, k, fields[k], field)
			}
		}
	}
}
