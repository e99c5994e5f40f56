package modeltest

import (
	"encoding/json"
	"math"
	"testing"
)

// Input reads the input of this name as a T: float64, []float64, string, a struct. It
// fails the test when the input is absent or of another shape.
func Input[T any](t testing.TB, c Case, name string) T {
	t.Helper()
	return value[T](t, c, "input", c.Inputs, name)
}

// Want reads the expected value of this name as a T.
func Want[T any](t testing.TB, c Case, name string) T {
	t.Helper()
	return value[T](t, c, "expected value", c.Expected, name)
}

// Has tells whether the case has an input of this name that is not null.
func (c Case) Has(name string) bool { return present(c.Inputs, name) }

// Expects tells whether the case has an expected value of this name that is not null.
func (c Case) Expects(name string) bool { return present(c.Expected, name) }

// Number reads a numeric input.
func (c Case) Number(t testing.TB, name string) float64 {
	t.Helper()
	return Input[float64](t, c, name)
}

// Text reads a textual input.
func (c Case) Text(t testing.TB, name string) string {
	t.Helper()
	return Input[string](t, c, name)
}

// Check compares got with the expected number of this name, within the case's tolerance.
// got is in the unit of the expected number.
func (c Case) Check(t testing.TB, name string, got float64) {
	t.Helper()
	want := Want[float64](t, c, name)
	t.Logf("%s %s: %s off by %.2g", c.ID, c.Topic, name, math.Abs(got-want))
	if !c.Tolerance.Allows(name, got, want) {
		t.Errorf("%s %s: %s = %v, want %v within %s (%s, %s)", c.ID, c.Topic, name, got, want, c.Tolerance, c.Source, c.Place)
	}
}

// CheckAll compares got with the expected list of numbers of this name, one by one.
func (c Case) CheckAll(t testing.TB, name string, got []float64) {
	t.Helper()
	want := Want[[]float64](t, c, name)
	if len(got) != len(want) {
		t.Errorf("%s %s: %s = %v, want %v (%s, %s)", c.ID, c.Topic, name, got, want, c.Source, c.Place)
		return
	}
	for i := range want {
		t.Logf("%s %s: %s[%d] off by %.2g", c.ID, c.Topic, name, i, math.Abs(got[i]-want[i]))
		if !c.Tolerance.Allows(name, got[i], want[i]) {
			t.Errorf("%s %s: %s[%d] = %v, want %v within %s (%s, %s)", c.ID, c.Topic, name, i, got[i], want[i], c.Tolerance, c.Source, c.Place)
		}
	}
}

func present(values map[string]json.RawMessage, name string) bool {
	raw, ok := values[name]
	return ok && string(raw) != "null"
}

func value[T any](t testing.TB, c Case, what string, values map[string]json.RawMessage, name string) T {
	t.Helper()
	var v T
	raw, ok := values[name]
	if !ok {
		t.Fatalf("%s %s: no %s %q", c.ID, c.Topic, what, name)
	}
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Fatalf("%s %s: %s %q: %v", c.ID, c.Topic, what, name, err)
	}
	return v
}
