package model

import (
	"encoding/json"
	"strings"
	"testing"
)

const sha = `"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"`

// fieldCases are for each type the values it takes and those it refuses with a word of the
// reason. Every type must be here.
var fieldCases = map[FieldType]struct {
	field Field
	good  []string
	bad   map[string]string
}{
	Text: {Field{}, []string{`""`, `"bank é 水"`, `"a\nb"`},
		map[string]string{`5`: "not text", `["a"]`: "not text", "\"\xff\"": "UTF-8", `"open`: "not text"}},
	Number: {Field{Min: 0, Max: 50, Unit: "m"}, []string{`0`, `50`, `1.6`, `1e1`, `-0`},
		map[string]string{`"1.6"`: "not a number", `-0.1`: "outside 0 to 50 m", `50.01`: "outside", `1e400`: "not a number", `NaN`: "not a number", `1,6`: "not a number", `true`: "not a number", `[1]`: "not a number"}},
	Integer: {Field{Min: 1, Max: 10, Unit: "1"}, []string{`1`, `10`, `3.0`},
		map[string]string{`1.5`: "whole", `0`: "outside 1 to 10", `"2"`: "not a number"}},
	YesNo: {Field{}, []string{`true`, `false`}, map[string]string{`"true"`: "true nor false", `1`: "true nor false", `True`: "true nor false"}},
	Date: {Field{}, []string{`"2026-11-25"`, `"2024-02-29"`},
		map[string]string{`"2026-02-30"`: "not a date", `"25/11/2026"`: "not a date", `"2026-11-25T00:00:00Z"`: "not a date", `20261125`: "not text", `""`: "not a date", `"2026-1-5"`: "not a date"}},
	Instant: {Field{}, []string{`"2026-11-25T09:30:00+10:00"`, `"2026-11-25T09:30:00.25Z"`},
		map[string]string{`"2026-11-25T09:30:00"`: "not a time", `"2026-11-25 09:30:00Z"`: "not a time", `"2026-11-25T09:30:00,5Z"`: "not a time", `"2026-11-25T9:30:00Z"`: "not a time", `1764027000`: "not text"}},
	Choice:    {Field{Choices: []string{"left", "right"}}, []string{`"left"`}, map[string]string{`"Left"`: "choices", `""`: "choices", `0`: "not text"}},
	Reference: {Field{}, []string{`"0b9e"`}, map[string]string{`""`: "names no feature", `7`: "not text"}},
	Place: {Field{}, []string{`{"type":"Point","coordinates":[146,-20]}`, ` {"type":"LineString","coordinates":[[146,-20],[146,-21]]} `},
		map[string]string{`{}`: "type", `[146,-20]`: "GeoJSON", `{"type":"Point","coordinates":[-20,146]}`: "swapped", `"here"`: "GeoJSON"}},
	Photos: {Field{}, []string{`[]`, `[` + sha + `]`},
		map[string]string{`[` + strings.ToUpper(sha) + `]`: "photo 1", `[` + sha + `,"abc"]`: "photo 2", sha: "not a list", `[null]`: "photo 1", `{}`: "not a list"}},
	Numbers: {Field{}, []string{`[]`, `[1.5,null,-3]`}, map[string]string{`["1"]`: "not a list", `5`: "not a list", `[1e400]`: "not a list"}},
	LevelRows: {Field{}, []string{`[]`, `[{"point":"BM","bs":1.2,"knownLevelM":100}]`, `[{"point":"P","fs":-2.1,"inverted":true}]`,
		`[{"is":1.2,"feature":"x","spot":"section","offsetM":-2.5}]`, `[{"is":1.2,"feature":"g","spot":"section","chainageM":40,"offsetM":500}]`, `[{"is":1.2,"spot":"bed","offsetM":600,"struck":true}]`},
		map[string]string{`[{"point":"BM","bs":"1.2"}]`: "not a list", `{}`: "not a list", `[5]`: "not a list",
			`[{"bs":1},{"is":1,"feature":"g","spot":"bed","chainageM":4,"offsetM":1}]`: "row 2 has an offset and is not a point of a cross-section",
			`[{"is":1,"offsetM":0}]`: "row 1 has an offset", `[{"is":1,"spot":"section","offsetM":-500.1}]`: "row 1 has an offset of -500.1 m, beyond 500 m"}},
	SpacingRows: {Field{}, []string{`[]`, `[{"upToPct":4,"spacingM":60},{"upToPct":6,"spacingM":33.5}]`, "[" + strings.Repeat(`{"upToPct":4,"spacingM":60},`, 99) + `{"upToPct":4,"spacingM":60}]`},
		map[string]string{`[{"upToPct":4}]`: "row 1", `[{"upToPct":"4","spacingM":60}]`: "not a list", `[{"upToPct":4,"spacingM":60},null]`: "row 2",
			`[{"upToPct":4,"spacingM":-60}]`: "row 1", `{}`: "not a list", `[[4,60]]`: "not a list", "[" + strings.Repeat(`{"upToPct":4,"spacingM":60},`, 100) + `{"upToPct":4,"spacingM":60}]`: "101 rows"}},
	RainRows: {Field{}, []string{`[]`, `[{"minutes":5,"intensityMmH":150},{"minutes":10,"intensityMmH":110.5}]`},
		map[string]string{`[{"minutes":5}]`: "row 1", `[{"minutes":"5","intensityMmH":150}]`: "not a list", `[{"minutes":5,"intensityMmH":150},null]`: "row 2",
			`[{"minutes":5,"intensityMmH":0}]`: "row 1", `[{"minutes":-5,"intensityMmH":10}]`: "row 1", `{}`: "not a list", "[" + strings.Repeat(`{"minutes":5,"intensityMmH":150},`, 1000) + `{"minutes":5,"intensityMmH":150}]`: "1001 rows"}},
	RateRows: {Field{}, []string{`[]`, `[{"item":"rock","unit":"m3","costPerUnit":85,"hoursPerUnit":0.4},{"item":"post","unit":"each","costPerUnit":0}]`, "[" + strings.Repeat(`{"item":"rock","unit":"m3","costPerUnit":1},`, 499) + `{"item":"rock","unit":"m3","costPerUnit":1}]`},
		map[string]string{`[{"item":"rock","costPerUnit":1}]`: "unit in rate 1", `[{"unit":"m3","costPerUnit":1}]`: "item or the unit in rate 1", `[{"item":"rock","unit":"m3"}]`: "hours in rate 1", `[{"item":"rock","unit":"m3","hoursPerUnit":-1}]`: "below 0 in rate 1",
			`[{"item":"rock","unit":"m3","costPerUnit":-1}]`: "below 0 in rate 1", `[{"item":"rock","unit":"m3","costPerUnit":1},null]`: "rate 2", `[{"item":"rock","unit":"m3","costPerUnit":"85"}]`: "not a list", `{}`: "not a list",
			"[" + strings.Repeat(`{"item":"rock","unit":"m3","costPerUnit":1},`, 500) + `{"item":"rock","unit":"m3","costPerUnit":1}]`: "501 rates"}},
}

func TestEveryFieldTypeChecks(t *testing.T) {
	for _, kind := range FieldTypes {
		cases, ok := fieldCases[kind]
		if !ok || len(cases.good) == 0 || len(cases.bad) == 0 {
			t.Errorf("field type %s has no good or no bad values here", kind)
			continue
		}
		f := cases.field
		f.Name, f.Type = "thing", kind
		for _, raw := range append(cases.good, `null`, " null\n") {
			if p := f.Check(json.RawMessage(raw)); p != nil {
				t.Errorf("%s: Check(%s) = %v, want it taken", kind, raw, p)
			}
		}
		cases.bad[""] = ""
		cases.bad["{"] = ""
		for raw, want := range cases.bad {
			p := f.Check(json.RawMessage(raw))
			if p == nil {
				t.Errorf("%s: Check(%s) takes it, want it refused", kind, raw)
				continue
			}
			if p.Path != "thing" || p.Fix == "" || !strings.Contains(p.Error(), want) {
				t.Errorf("%s: Check(%s) = %+v, want a path, a fix and %q", kind, raw, p, want)
			}
			if strings.Contains(p.Error(), " 1)") && f.Unit == "1" {
				t.Errorf("%s: Check(%s) = %v shows the unit of plain numbers", kind, raw, p)
			}
		}
	}
	for kind := range fieldCases {
		found := false
		for _, known := range FieldTypes {
			found = found || known == kind
		}
		if !found {
			t.Errorf("field type %s is missing from FieldTypes", kind)
		}
	}
	if p := (&Field{Name: "x", Type: "colour"}).Check(json.RawMessage(`1`)); p == nil || !strings.Contains(p.Reason, "unknown type colour") {
		t.Errorf("Check of an unknown type = %v", p)
	}
}

// Each type of field says what to do about a value that it does not take.
func TestFieldFixes(t *testing.T) {
	for _, c := range []struct {
		field Field
		raw   string
		want  string
	}{
		{Field{Type: Choice, Choices: []string{"left", "right"}}, `"up"`, `choose one of ["left" "right"]`},
		{Field{Type: Number, Max: 50, Unit: "m"}, `51`, "give a number from 0 to 50 in m"},
		{Field{Type: Integer, Min: 1, Max: 10, Unit: "1"}, `11`, "give a number from 1 to 10"},
		{Field{Type: Number}, `"1"`, "give a number"},
		{Field{Type: Date, Max: 50}, `"x"`, "write it as 2026-11-25"},
		{Field{Type: Instant}, `"x"`, "write it as 2026-11-25T09:30:00+10:00"},
		{Field{Type: YesNo}, `1`, "give true or false"},
		{Field{Type: Place}, `{}`, "give a GeoJSON geometry with [longitude, latitude] in degrees"},
		{Field{Type: Photos}, `1`, "see the field's description"},
	} {
		if p := c.field.Check(json.RawMessage(c.raw)); p == nil || p.Fix != c.want {
			t.Errorf("%s %s: %+v, want the fix %q", c.field.Type, c.raw, p, c.want)
		}
	}
}

func FuzzFieldCheck(f *testing.F) {
	for _, cases := range fieldCases {
		for _, raw := range cases.good {
			f.Add(raw)
		}
		for raw := range cases.bad {
			f.Add(raw)
		}
	}
	f.Fuzz(func(t *testing.T, raw string) {
		for kind, cases := range fieldCases {
			field := cases.field
			field.Name, field.Type = "thing", kind
			if field.Check(json.RawMessage(raw)) == nil && !json.Valid([]byte(raw)) {
				t.Errorf("%s: Check(%q) takes what is not JSON", kind, raw)
			}
		}
	})
}
