package modeltest

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// Golden is one input of a computation with the bytes that every entry point must answer to it.
// Exactly one of Answer and Refusal is set, and of Input and Text.
//
// A golden keeps answers from changing unseen and entry points from differing. It does not say
// that an answer is right: the examples of testdata/reference do.
type Golden struct {
	Name    string          `json:"name"`
	Input   json.RawMessage `json:"input,omitempty"`
	Text    string          `json:"text,omitempty"` // an input that is not JSON
	Answer  json.RawMessage `json:"answer,omitempty"`
	Refusal json.RawMessage `json:"refusal,omitempty"`
}

var goldenName = regexp.MustCompile(`^[a-z0-9-]+$`)

// Goldens returns the cases of testdata/compute/NAME.json. The test fails when there is
// no such file, or none of its cases is answered, or none refused.
func Goldens(t testing.TB, computation string) []Golden {
	t.Helper()
	path := goldenPath(t, computation)
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("every computation has golden cases: %v", err)
	}
	var all []Golden
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&all); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	seen := map[string]bool{}
	answered, refused := 0, 0
	for _, g := range all {
		if seen[g.Name] || !goldenName.MatchString(g.Name) {
			t.Errorf("%s: case name %q is there twice or not of a-z, 0-9 and dashes", path, g.Name)
		}
		seen[g.Name] = true
		if (g.Input == nil) == (g.Text == "") || g.Answer != nil && g.Refusal != nil {
			t.Errorf("%s: %s: want an input or a text, and an answer or a refusal", path, g.Name)
		}
		if g.Answer != nil {
			answered++
		}
		if g.Refusal != nil {
			refused++
		}
	}
	if len(all) == 0 || answered+refused == len(all) && (answered == 0 || refused == 0) {
		t.Errorf("%s: %d cases are answered and %d refused, want some of both", path, answered, refused)
	}
	return all
}

// In is the input as an entry point is given it.
func (g Golden) In() []byte {
	if g.Input == nil {
		return []byte(g.Text)
	}
	return compact(g.Input)
}

// Out is what an entry point must hand out, and whether it is a refusal.
func (g Golden) Out() (text []byte, refused bool) {
	if g.Refusal != nil {
		return compact(g.Refusal), true
	}
	return compact(g.Answer), false
}

// WriteGoldens writes the cases back, for a test that was run with -update.
func WriteGoldens(t testing.TB, computation string, all []Golden) {
	t.Helper()
	var b bytes.Buffer
	b.WriteString("[\n")
	for i, g := range all {
		if i > 0 {
			b.WriteString(",\n")
		}
		name, _ := json.Marshal(g.Name)
		b.WriteString(`{"name": ` + string(name))
		for _, part := range []struct {
			name string
			text []byte
		}{{"input", g.Input}, {"text", quoted(g.Text)}, {"answer", g.Answer}, {"refusal", g.Refusal}} {
			if part.text != nil {
				b.WriteString(",\n \"" + part.name + "\": ")
				b.Write(compact(part.text))
			}
		}
		b.WriteString("}")
	}
	b.WriteString("\n]\n")
	if err := os.WriteFile(goldenPath(t, computation), b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func goldenPath(t testing.TB, computation string) string {
	return filepath.Join(Root(t), "compute", computation+".json")
}

func quoted(text string) []byte {
	if text == "" {
		return nil
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(text)
	return b.Bytes()
}

func compact(text []byte) []byte {
	var b bytes.Buffer
	if err := json.Compact(&b, text); err != nil {
		return text
	}
	return b.Bytes()
}
