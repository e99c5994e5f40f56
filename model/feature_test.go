package model

import (
	"encoding/json"
	"reflect"
	"testing"
)

// Values are read as encoding/json reads them, and what is of another type reads as none.
func TestFeatureReads(t *testing.T) {
	f := Feature{Fields: map[string]json.RawMessage{}}
	for name, raw := range map[string]string{
		"one": `1.5`, "exponent": `1e2`, "null": `null`, "word": `"é\n"`, "plain": `"gully head"`, "list": `[1]`, "tilde": `"~"`, "space": `" "`, "delete": "\"\u007f\"",
		"yes": `true`, "no": `false`, "book": `[{"point":"BM","bs":1.2}]`, "spaced": `[ {"point": "BM", "bs": 1.2, "struck": true} ]`, "escaped": `[{"point":"é"}]`, "huge": `1e400`,
	} {
		f.Fields[name] = json.RawMessage(raw)
	}
	for name, want := range map[string]float64{"one": 1.5, "exponent": 100, "null": 0, "word": 0, "absent": 0, "huge": 0, "book": 0} {
		if got, ok := f.Number(name); got != want || ok != (want != 0) {
			t.Errorf("the number %s is %v, %t; want %v", name, got, ok, want)
		}
	}
	for name, want := range map[string]string{"word": "é\n", "plain": "gully head", "one": "", "null": "", "absent": "", "list": "", "tilde": "~", "space": " ", "delete": "\u007f"} {
		if got := f.Text(name); got != want {
			t.Errorf("the text %s is %q, want %q", name, got, want)
		}
	}
	for name, want := range map[string]bool{"yes": true, "no": false, "one": false, "absent": false} {
		if got := f.Yes(name); got != want {
			t.Errorf("yes of %s is %t, want %t", name, got, want)
		}
	}
	reading := 1.2
	for name, want := range map[string][]LevelRow{"book": {{Point: "BM", BS: &reading}}, "spaced": {{Point: "BM", BS: &reading, Struck: true}}, "escaped": {{Point: "é"}}, "one": nil, "null": nil, "absent": nil} {
		if got := f.LevelRows(name); !reflect.DeepEqual(got, want) {
			t.Errorf("the rows %s are %+v, want %+v", name, got, want)
		}
	}
	if (Feature{Fields: map[string]json.RawMessage{"status": json.RawMessage(`"built"`)}}).Status() != Built {
		t.Error("a built work has another status")
	}
}

// The quick reader takes texts of all printable ASCII but what JSON escapes.
func TestPlainTextsAreUsual(t *testing.T) {
	for c := rune(0); c < 0x100; c++ {
		raw := "\"a" + string(c) + "\""
		want := c >= 0x20 && c < 0x80 && c != '\\' && c != '"'
		if got, ok := plainString([]byte(raw)); ok != want || ok && got != "a"+string(c) {
			t.Errorf("%q is read as %q, %t; want it taken: %t", raw, got, ok, want)
		}
	}
}

// All the fields of a kind: the common ones, a work's, its own; of a kind that is not in the table too.
func TestAllFields(t *testing.T) {
	own := &Kind{Name: "check-dam", Fields: []Field{{Name: "mine"}}}
	if got := own.AllFields(); len(got) != len(CommonFields)+1 || got[len(got)-1].Name != "mine" {
		t.Errorf("a kind of the same name as one in the table has the fields of that: %v", got)
	}
	dam, _ := KindNamed("check-dam")
	if got, want := len(dam.AllFields()), len(CommonFields)+len(WorkFields)+len(dam.Fields); got != want || &dam.AllFields()[0] != &dam.AllFields()[0] {
		t.Errorf("a dam has %d fields, want %d, made once", got, want)
	}
}
