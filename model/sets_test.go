package model

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestClosedSetsAreWhole reads the package's own source: every constant of a closed set must
// stand in the list of its members, once, so that a new one cannot be left out of the tests
// that walk the lists.
func TestClosedSetsAreWhole(t *testing.T) {
	lists := map[string][]string{
		"Status": texts(Statuses), "Shape": texts(Shapes), "FieldType": texts(FieldTypes), "Basis": texts(Bases), "Condition": Conditions,
		"Verdict": texts(Verdicts), "How": texts(Hows), "Spot": texts(Spots),
	}
	found := map[string][]string{}
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if !strings.HasSuffix(file.Name(), ".go") || strings.HasSuffix(file.Name(), "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file.Name(), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if !ok || spec.Type == nil || len(spec.Values) != 1 {
				return true
			}
			kind, isName := spec.Type.(*ast.Ident)
			value, isText := spec.Values[0].(*ast.BasicLit)
			if isName && isText && value.Kind == token.STRING {
				text, err := strconv.Unquote(value.Value)
				if err != nil {
					t.Fatal(err)
				}
				found[kind.Name] = append(found[kind.Name], text)
			}
			return true
		})
	}
	for kind, members := range found {
		list, ok := lists[kind]
		if !ok {
			t.Errorf("the closed set %s is not looked at here", kind)
			continue
		}
		if !slices.Equal(slices.Sorted(slices.Values(list)), slices.Sorted(slices.Values(members))) {
			t.Errorf("the list of %s has %q, its constants are %q", kind, list, members)
		}
		if slices.Contains(list, "") || len(slices.Compact(slices.Sorted(slices.Values(list)))) != len(list) {
			t.Errorf("the list of %s has an empty or a doubled member: %q", kind, list)
		}
	}
	for kind := range lists {
		if len(found[kind]) == 0 {
			t.Errorf("no constants of %s found in the source", kind)
		}
	}
}

func texts[T ~string](all []T) []string {
	out := make([]string, len(all))
	for i, v := range all {
		out[i] = string(v)
	}
	return out
}

func TestWeakest(t *testing.T) {
	tests := []struct {
		bases []Basis
		want  Basis
	}{
		{nil, Unproven},
		{[]Basis{Levelled}, Levelled},
		{[]Basis{Levelled, GPS, Taped}, GPS},
		{[]Basis{Taped, Unproven}, Unproven},
		{[]Basis{Levelled, ""}, Unproven},
		{[]Basis{"guessed", Levelled}, Unproven},
	}
	for _, test := range tests {
		if got := Weakest(test.bases...); got != test.want {
			t.Errorf("Weakest(%q) = %q, want %q", test.bases, got, test.want)
		}
	}
	for i, better := range Bases {
		for _, worse := range Bases[i:] {
			if Weakest(better, worse) != worse || Weakest(worse, better) != worse {
				t.Errorf("Weakest(%q, %q) is not %q", better, worse, worse)
			}
		}
	}
}

func TestProblemReads(t *testing.T) {
	tests := []struct {
		problem Problem
		want    string
	}{
		{Problem{Reason: "is empty"}, "is empty"},
		{Problem{File: "book.csv", Line: 3, Path: "bs", Reason: "is not a number", Fix: "give metres"}, "book.csv:3: bs: is not a number (give metres)"},
		{Problem{File: "book.csv", Reason: "is empty"}, "book.csv: is empty"},
		{Problem{Line: 7, Reason: "is short"}, "line 7: is short"},
		{*(&Problem{Path: "levelM", Reason: "is missing"}).Within("[3]").Within("bed"), "bed[3].levelM: is missing"},
		{*(&Problem{Reason: "is empty"}).Within("bed"), "bed: is empty"},
	}
	for _, test := range tests {
		if got := test.problem.Error(); got != test.want {
			t.Errorf("%+v reads %q, want %q", test.problem, got, test.want)
		}
	}
	inner := &Problem{Path: "levelM", Reason: "is missing"}
	if inner.Within("bed"); inner.Path != "levelM" {
		t.Errorf("Within changed its receiver to %q", inner.Path)
	}
}

func TestSourceReads(t *testing.T) {
	for want, source := range map[string]Source{
		"Roads, 2003, Table 7.1 (looked up)": {Title: "Roads, 2003", Place: "Table 7.1", How: LookedUp},
		"Gullies, 1976 (from memory)":        {Title: "Gullies, 1976", How: FromMemory},
		"common practice, no source":         {How: CommonPractice},
	} {
		if got := source.String(); got != want {
			t.Errorf("%+v reads %q, want %q", source, got, want)
		}
	}
}

func TestFeatureReadsItsFields(t *testing.T) {
	f := Feature{Fields: map[string]json.RawMessage{}}
	for name, raw := range map[string]string{
		"depth": `1.6`, "none": `null`, "text": `"deep"`, "list": `[1]`, "yes": `true`, "no": `false`, "status": `"built"`,
		"rows": `[{"point":"BM","bs":1.25,"spot":"mark"}]`, "far": `1e400`,
	} {
		f.Fields[name] = json.RawMessage(raw)
	}
	for name, want := range map[string]float64{"depth": 1.6} {
		if got, ok := f.Number(name); !ok || got != want {
			t.Errorf("Number(%q) = %v, %v, want %v", name, got, ok, want)
		}
	}
	for _, name := range []string{"absent", "none", "text", "list", "yes", "far"} {
		if got, ok := f.Number(name); ok {
			t.Errorf("Number(%q) = %v, want none", name, got)
		}
	}
	for name, want := range map[string]string{"text": "deep", "depth": "", "none": "", "absent": ""} {
		if got := f.Text(name); got != want {
			t.Errorf("Text(%q) = %q, want %q", name, got, want)
		}
	}
	if !f.Yes("yes") || f.Yes("no") || f.Yes("absent") || f.Yes("depth") {
		t.Error("Yes takes something else than true for true")
	}
	if rows := f.LevelRows("rows"); len(rows) != 1 || rows[0].BS == nil || *rows[0].BS != 1.25 || rows[0].IS != nil || rows[0].Spot != MarkSpot {
		t.Errorf("LevelRows = %+v", rows)
	}
	if rows := f.LevelRows("text"); rows != nil {
		t.Errorf("LevelRows of a text = %+v", rows)
	}
	if f.Status() != Built || (Feature{}).Status() != "" {
		t.Errorf("Status = %q, and %q without fields", f.Status(), Feature{}.Status())
	}
}
