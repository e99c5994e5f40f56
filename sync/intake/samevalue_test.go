package intake

import (
	"encoding/json"
	"testing"

	"headcut/model"
)

// TestRetyped reads values as other programs write them: as text, or of another type.
func TestRetyped(t *testing.T) {
	for _, test := range []struct {
		of        model.FieldType
		raw, want string // "" where it is none
	}{
		{model.YesNo, `true`, "true"}, {model.YesNo, `1`, "true"}, {model.YesNo, `"T"`, "true"}, {model.YesNo, `"Yes"`, "true"}, {model.YesNo, `"y"`, "true"},
		{model.YesNo, `false`, "false"}, {model.YesNo, `"0"`, "false"}, {model.YesNo, `"f"`, "false"}, {model.YesNo, `"no"`, "false"}, {model.YesNo, `"N"`, "false"},
		{model.YesNo, `"perhaps"`, ""}, {model.YesNo, `2`, ""},
		{model.Date, `"2026-05-13"`, `"2026-05-13"`}, {model.Date, `"02/03/2026"`, ""},
		{model.Instant, `"2026/05/13 09:30:00+00"`, `"2026-05-13T09:30:00Z"`}, {model.Instant, `"today"`, ""},
		{model.Text, `"a"`, `"a"`}, {model.Text, `3`, `"3"`},
		{model.Numbers, `"[1, 2]"`, "[1,2]"}, {model.Numbers, `[1,2]`, "[1,2]"},
	} {
		got, ok := retyped(model.Field{Type: test.of}, json.RawMessage(test.raw))
		if ok != (test.want != "") || ok && string(got) != test.want {
			t.Errorf("%s as %v is %s (%t), want %q", test.raw, test.of, got, ok, test.want)
		}
	}
}

// TestSame: values that lost digits or were written another way on their way stay the same.
func TestSame(t *testing.T) {
	for _, test := range []struct {
		of   model.FieldType
		a, b string
		want bool
	}{
		{model.Number, "0.45", "0.4500000001", true}, {model.Number, "0.45", "0.45001", false}, {model.Number, "1e9", "1000000000.9", true},
		{model.Number, "1e9", "1000000002", false}, {model.Number, "0.45", `"x"`, false}, {model.Number, `"x"`, "0.45", false},
		{model.Instant, `"2026-05-13T09:30:00Z"`, `"2026/05/13 09:30:00+00"`, true}, {model.Instant, `"2026-05-13T09:30:00Z"`, `"2026/05/13 09:31:00+00"`, false},
		{model.Instant, `"x"`, `"x"`, false}, {model.Instant, `"0001-01-01T00:00:00Z"`, `"x"`, false}, {model.Instant, `"x"`, `"0001-01-01T00:00:00Z"`, false},
		{model.Text, `"a"`, `"a"`, true}, {model.Text, `"a"`, `"b"`, false},
	} {
		if got := same(model.Field{Type: test.of}, json.RawMessage(test.a), json.RawMessage(test.b)); got != test.want {
			t.Errorf("%s and %s as %v are the same: %t", test.a, test.b, test.of, got)
		}
	}
}
