package compute

import (
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// TestEachPairGoesTogether pipes an answer as it stands into the next computation, with what
// more that needs beside, and looks at what must have come over. The pages and HTTP
// pipe the same (server/parity).
func TestEachPairGoesTogether(t *testing.T) {
	for _, c := range modeltest.Chains(t) {
		t.Run(c.Name(), func(t *testing.T) {
			var answer []byte
			for _, step := range c.Steps {
				in := step.Beside(t, answer)
				out, err := Run(step.Name, in)
				if err != nil {
					t.Fatalf("%s of %.600s: %v", step.Name, in, err)
				}
				answer = out
				var got map[string]any
				if err := json.Unmarshal(out, &got); err != nil {
					t.Fatal(err)
				}
				for _, at := range slices.Sorted(maps.Keys(step.Wants)) {
					if have := modeltest.At(got, at); !modeltest.Near(have, step.Wants[at]) {
						t.Errorf("%s: %s is %v, want %v, in %.900s", step.Name, at, have, step.Wants[at], out)
					}
				}
			}
		})
	}
}

// TestChainsAreWhole: every computation that says what it takes has a chain that gives it.
func TestChainsAreWhole(t *testing.T) {
	piped := map[string]bool{}
	for _, c := range modeltest.Chains(t) {
		for i := 1; i < len(c.Steps); i++ {
			piped[c.Steps[i-1].Name+" to "+c.Steps[i].Name] = true
		}
	}
	for _, c := range All() {
		for _, from := range c.Takes {
			if _, ok := Named(from); !ok || !piped[from+" to "+c.Name] {
				t.Errorf("no chain goes from %s to %s", from, c.Name)
			}
		}
	}
}

// TestLayoutIsOfNoSingleDam: who pipes a layout of dams into what takes one dam reads where the
// answer is that was looked for, and it is there.
func TestLayoutIsOfNoSingleDam(t *testing.T) {
	layout := `{"bed":[{"chainageM":0,"levelM":100},{"chainageM":60,"levelM":103}],"crestHeightM":0.4}`
	out, err := Run("dam-layout", []byte(layout))
	if err != nil {
		t.Fatal(err)
	}
	_, err = Run("rock-dam", out)
	p, ok := errors.AsType[*model.Problem](err)
	if !ok || p.Path != "dams" || !strings.Contains(p.Fix, "dam-check") || !strings.Contains(p.Fix, "build") {
		t.Errorf("a layout given to rock-dam: %v, want that dam-layout answers it, given build", err)
	}
	if _, err := Run("dam-check", out); err != nil {
		t.Errorf("a layout given to dam-check: %v", err)
	}
}

// TestTyposBesideAnAnswerAreRefused: what is neither the input's nor the answer's is a slip,
// and a name of the answer without the rest of it is one too.
func TestTyposBesideAnAnswerAreRefused(t *testing.T) {
	bed := `"bed":[{"chainageM":0,"levelM":100},{"chainageM":20,"levelM":101},{"chainageM":60,"levelM":103}]`
	section, err := Run("long-section", []byte("{"+bed+"}"))
	if err != nil {
		t.Fatal(err)
	}
	whole := strings.TrimSuffix(string(section), "}")
	for in, want := range map[string]string{
		whole + `,"crestHightM":0.3}`:                                 "crestHightM: is not a field of this computation (did you mean crestHeightM?)",
		whole + `,"crestHeightM":"high"}`:                             "crestHeightM: is text, not a number",
		whole + `,"crestHeightM":1,"bed":[]}`:                         "bed: is there twice (keep one of the two)",
		"{" + bed + `,"meanSlopePct":5}`:                              "meanSlopePct: is not a field of this computation",
		strings.Replace(whole, `"fallM":3,`, `"fallM":"3",`, 1) + "}": "fallM: is text, not a number",
		whole + `,"crestHeightM":3}`:                                  "crestHeightM",
	} {
		_, err := Run("dam-layout", []byte(in))
		if p, ok := err.(*model.Problem); !ok || !strings.HasPrefix(p.Error(), want) {
			t.Errorf("%.300s: %v, want %s", in, err, want)
		}
	}
	deep := whole + `,"x":` + strings.Repeat("[", 1_000_000) + strings.Repeat("]", 1_000_000) + "}"
	if _, err := Run("dam-layout", []byte(deep)); err == nil {
		t.Error("a million lists in each other are taken")
	}
	if _, err := Run("dam-layout", section); err != nil {
		t.Errorf("the answer alone: %v", err)
	}
}
