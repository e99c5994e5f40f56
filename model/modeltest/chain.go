package modeltest

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
)

// Step is one computation of a chain.
type Step struct {
	Name  string                     `json:"name"`
	Set   map[string]json.RawMessage `json:"set,omitempty"`   // what is given beside the answer before; of the first step all
	Wants map[string]any             `json:"wants,omitempty"` // what must be in its answer, by paths like pairs.0.verdict
}

// Chain is computations of which each takes the whole answer of the one before.
type Chain struct {
	Steps []Step
}

// Chains returns the chains of testdata/chains.json.
func Chains(t testing.TB) []Chain {
	t.Helper()
	path := filepath.Join(filepath.Dir(filepath.Dir(goldenPath(t, ""))), "chains.json")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var all [][]Step
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&all); err != nil || len(all) == 0 {
		t.Fatalf("%s: %d chains, %v", path, len(all), err)
	}
	chains := make([]Chain, len(all))
	for i, steps := range all {
		chains[i] = Chain{steps}
	}
	return chains
}

// Name is the chain's computations in their order.
func (c Chain) Name() string {
	names := make([]string, len(c.Steps))
	for i, s := range c.Steps {
		names[i] = s.Name
	}
	return strings.Join(names, "_")
}

// Beside is the step's input: the answer before, nil for the first step, with its own
// values beside.
func (s Step) Beside(t testing.TB, answer []byte) []byte {
	t.Helper()
	own, err := json.Marshal(s.Set)
	if err != nil {
		t.Fatal(err)
	}
	switch {
	case answer == nil:
		return own
	case len(s.Set) == 0:
		return answer
	}
	return append(append(bytes.TrimSuffix(bytes.Clone(answer), []byte("}")), ','), own[1:]...)
}

// At is the value at a path like pairs.0.verdict, nil where there is none.
func At(v any, path string) any {
	for _, name := range strings.Split(path, ".") {
		switch in := v.(type) {
		case map[string]any:
			v = in[name]
		case []any:
			i, err := strconv.Atoi(name)
			if err != nil || i < 0 || i >= len(in) {
				return nil
			}
			v = in[i]
		default:
			return nil
		}
	}
	return v
}

// Near tells whether two values are the same, numbers to a thousandth of themselves.
func Near(a, b any) bool {
	x, isX := a.(float64)
	y, isY := b.(float64)
	if isX && isY {
		return math.Abs(x-y) <= 1e-3*math.Max(math.Abs(y), 1e-3)
	}
	return reflect.DeepEqual(a, b)
}
