package compute

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

// probe has a field of every shape that an input may have.
type probe struct {
	Level    float64      `json:"levelM" unit:"m" doc:"a level"`
	Maybe    *float64     `json:"maybeM,omitempty" unit:"m" doc:"perhaps a level"`
	Count    int          `json:"count,omitempty" unit:"1" doc:"how many"`
	Name     string       `json:"name,omitempty" doc:"a name"`
	Basis    *string      `json:"basis,omitempty" choices:"levelled|GPS" doc:"how"`
	Wet      bool         `json:"wet,omitempty" doc:"whether"`
	Rows     []probeRow   `json:"rows,omitempty" doc:"rows"`
	Place    *[2]float64  `json:"place,omitempty" unit:"deg" doc:"where"`
	Rings    [][][2]int64 `json:"rings,omitempty" doc:"nested lists"`
	Inner    *probeRow    `json:"inner,omitempty" doc:"an object"`
	probeEnd              // its fields stand beside the others
}

type probeRow struct {
	BS float64  `json:"bs" unit:"m" doc:"backsight"`
	FS *float64 `json:"fs,omitempty" unit:"m" doc:"foresight"`
}

type probeEnd struct {
	End float64 `json:"end,omitempty" unit:"m" doc:"the end"`
}

func TestDecode(t *testing.T) {
	var got probe
	text := "\ufeff" + ` { "rows":[{"bs":1.5,"fs":null},{"fs":-2,"bs":0}], "levelM":1e2, "count":3, "name":"öd é", "basis":"GPS", "wet":true,
		"place":[151.5,-27.25], "rings":[[[1,2],[3,4]],[]], "inner":{"bs":2}, "end":7, "maybeM":null } ` + "\n"
	p := shapes{}.decode([]byte(text), &got, nil, nil)
	if p != nil {
		t.Fatalf("decode(%s): %v", text, p)
	}
	two, gps := -2.0, "GPS"
	want := probe{
		Level: 100, Count: 3, Name: "öd é", Basis: &gps, Wet: true,
		Rows: []probeRow{{BS: 1.5}, {BS: 0, FS: &two}}, Place: &[2]float64{151.5, -27.25},
		Rings: [][][2]int64{{{1, 2}, {3, 4}}, {}}, Inner: &probeRow{BS: 2}, probeEnd: probeEnd{End: 7},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("decode(%s)\n got %+v\nwant %+v", text, got, want)
	}
}

func TestDecodeNamesTheFault(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"empty", ``, "the input is empty (give one JSON object)"},
		{"blank", " \n", "the input is empty (give one JSON object)"},
		{"not-an-object", `[1]`, "the input is a list, not an object (put it in braces: {\"name\": value, ...})"},
		{"a-number", `3`, "the input is a number, not an object (put it in braces: {\"name\": value, ...})"},
		{"null", `null`, "the input is null, not an object (put it in braces: {\"name\": value, ...})"},
		{"missing", `{}`, "levelM: is missing (a level)"},
		{"missing-null", `{"levelM":null}`, "levelM: is missing (a level)"},
		{"missing-in-a-row", `{"levelM":1,"rows":[{"bs":1},{"fs":2}]}`, "rows[1].bs: is missing (backsight)"},
		{"text-for-number", `{"levelM":1,"rows":[{"bs":1},{"bs":1},{"bs":1},{"bs":"1.2"}]}`, "rows[3].bs: is text, not a number"},
		{"list-for-number", `{"levelM":[1]}`, "levelM: is a list, not a number"},
		{"object-for-number", `{"levelM":{"m":1}}`, "levelM: is an object, not a number"},
		{"number-for-text", `{"levelM":1,"name":5}`, "name: is a number, not text"},
		{"number-for-yes", `{"levelM":1,"wet":1}`, "wet: is a number, not true or false"},
		{"yes-for-list", `{"levelM":1,"rows":true}`, "rows: is true or false, not a list"},
		{"list-for-object", `{"levelM":1,"rows":[[1,2]]}`, "rows[0]: is a list, not an object"},
		{"null-in-a-list", `{"levelM":1,"rings":[null]}`, "rings[0]: is null, not a list"},
		{"broken-whole-number", `{"levelM":1,"count":1.5}`, "count: 1.5 is not a whole number"},
		{"huge-whole-number", `{"levelM":1,"count":1e300}`, "count: 1e300 is not a whole number"},
		{"overflow", `{"levelM":1e400}`, "levelM: 1e400 is too large for a number"},
		{"minus-overflow", `{"levelM":-1e999}`, "levelM: -1e999 is too large for a number"},
		{"nan", `{"levelM":NaN}`, "line 1: levelM: NaN is not a number (leave out what was not measured)"},
		{"nan-in-a-row", "{\"levelM\":1,\n\"rows\":[{\"bs\":1},{\"bs\":1,\"fs\": nan}]}", "line 2: rows[1].fs: NaN is not a number (leave out what was not measured)"},
		{"minus-infinity", `{"levelM": -Infinity}`, "line 1: levelM: Inf is not a number (leave out what was not measured)"},
		{"choice", `{"levelM":1,"basis":"gps"}`, `basis: "gps" is not one of the choices (give one of levelled, GPS)`},
		{"unknown-near", `{"levelM":1,"rows":[{"bs":1,"sf":1}]}`, "rows[0].sf: is not a field of this computation (the fields are bs, fs)"},
		{"unknown-case", `{"LevelM":1}`, "LevelM: is not a field of this computation (did you mean levelM?)"},
		{"unknown-capitals", `{"LEVELM":1}`, "LEVELM: is not a field of this computation (did you mean levelM?)"},
		{"unknown-slip", `{"levlM":1}`, "levlM: is not a field of this computation (did you mean levelM?)"},
		{"twice", `{"levelM":1,"levelM":2}`, "levelM: is there twice (keep one of the two)"},
		{"twice-null", `{"maybeM":null,"levelM":1,"maybeM":2}`, "maybeM: is there twice (keep one of the two)"},
		{"trailing", `{"levelM":1} {}`, "line 1: something follows the end of the object (give one JSON object and nothing after it)"},
		{"trailing-brace", `{"levelM":1}}`, "line 1: something follows the end of the object (give one JSON object and nothing after it)"},
		{"cut-off", "{\"levelM\":1,\n\"rows\":[{\"bs\":1}", "line 2: rows: the input ends too early (close the bracket, brace or quote that is open, or send all of it)"},
		{"cut-off-in-text", `{"levelM":1,"name":"ab`, "line 1: name: the input ends too early (close the bracket, brace or quote that is open, or send all of it)"},
		{"position-short", `{"levelM":1,"place":[1]}`, "place: has 1 values and needs 2"},
		{"position-long", `{"levelM":1,"place":[1,2,3]}`, "place: has more than 2 values"},
		{"deep", `{"levelM":` + strings.Repeat("[", 100_000), "levelM: is a list, not a number"},
		{"deep-list", `{"levelM":1,"rings":` + strings.Repeat("[", 100_000), "rings[0][0][0]: is a list, not a number"},
		{"latin-1", "{\"name\":\"\xe9\"}", "the input is not UTF-8 text (save it as UTF-8)"},
		{"half-a-pair", "{\"levelM\":1,\n\"name\":\"\\ud83dx\"}", "line 2: name: has half a surrogate pair (write the character itself in UTF-8)"},
		{"half-a-pair-as-a-name", `{"\ude00":1}`, "line 1: has half a surrogate pair (write the character itself in UTF-8)"},
		{"too-long", `{"levelM":1}` + strings.Repeat(" ", MaxInput), "the input is longer than 16 MiB (send it in parts)"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var into probe
			p := shapes{}.decode([]byte(test.in), &into, nil, nil)
			if p == nil || p.Error() != test.want {
				t.Errorf("decode(%.60s) = %v, want %s", test.in, p, test.want)
			}
		})
	}
}

// TestListsAreBounded: a few million empty rows, of three bytes each, must not take gigabytes.
func TestListsAreBounded(t *testing.T) {
	_, err := Run("level-run", []byte(`{"rows":[`+strings.Repeat("{},", 2_000_000)+`{}]}`))
	if err == nil || !strings.Contains(err.Error(), "too many to work through at once") {
		t.Errorf("two million empty rows: %v", err)
	}
}

func TestDecodeTellsSyntaxApart(t *testing.T) {
	for _, in := range []string{`{"levelM":01}`, `{"levelM":1,}`, `{"levelM" 1}`, `{levelM:1}`, `{'levelM':1}`, `{"levelM":.5}`, `{"levelM":+1}`, `{"levelM":1;"count":2}`} {
		var into probe
		p := shapes{}.decode([]byte(in), &into, nil, nil)
		if p == nil || p.Line != 1 || (!strings.HasPrefix(p.Reason, "is not JSON: ") && p.Reason != "the input ends too early") {
			t.Errorf("decode(%s) = %v, want a problem of syntax on line 1", in, p)
		}
	}
}

// FuzzDecode holds the reader to encoding/json: what it takes is JSON and means the same
// there; what it calls no JSON is none.
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		`{"levelM":1}`, `{"levelM":1e2,"rows":[{"bs":1.5,"fs":null}],"place":[1,2],"rings":[[[1,2]],[]],"wet":true,"name":"\u00e9\n","basis":"GPS","end":-0,"inner":{"bs":2}}`,
		`{"levelM":NaN}`, `{"levelM":1,}`, `{"levelM":1}x`, `[`, `{"levelM":1,"count":1.0}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		var got probe
		p := shapes{}.decode(in, &got, nil, nil)
		body := bytes.TrimPrefix(in, []byte("\xef\xbb\xbf"))
		if p != nil {
			syntax := strings.HasPrefix(p.Reason, "is not JSON: ") || p.Reason == "the input ends too early" || strings.HasSuffix(p.Reason, " is not a number") || strings.HasPrefix(p.Reason, "something follows")
			if syntax && json.Valid(body) {
				t.Fatalf("decode(%q) = %v, but it is JSON", in, p)
			}
			if !utf8.ValidString(p.Error()) {
				t.Fatalf("decode(%q) says %q, which is not UTF-8", in, p.Error())
			}
			return
		}
		var want probe
		if !json.Valid(body) {
			t.Fatalf("decode took %q, which is not JSON", in)
		}
		if err := json.Unmarshal(body, &want); err != nil && !strings.Contains(err.Error(), "into Go struct field probe.count of type int") && !strings.Contains(err.Error(), "int64") {
			t.Fatalf("decode took %q, encoding/json says %v", in, err)
		} else if err == nil && !reflect.DeepEqual(got, want) {
			t.Fatalf("decode(%q)\n got %+v\nwant %+v", in, got, want)
		}
	})
}
