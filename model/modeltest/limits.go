package modeltest

import (
	"errors"
	"testing"

	"headcut/model"
)

// Limits gives a check of a number's limits: what comes of those in is in order, and those out
// are refused with a model.Problem at the path.
func Limits(t testing.TB) func(path string, of func(float64) error, in, out []float64) {
	return func(path string, of func(float64) error, in, out []float64) {
		t.Helper()
		if len(in) == 0 || len(out) == 0 {
			t.Errorf("%s: want numbers that are in order and numbers that are not", path)
		}
		for _, v := range in {
			if err := of(v); err != nil {
				t.Errorf("%s of %v: %v, want it taken", path, v, err)
			}
		}
		for _, v := range out {
			if p, ok := errors.AsType[*model.Problem](of(v)); !ok || p.Path != path || p.Reason == "" {
				t.Errorf("%s of %v: %v, want it refused there", path, v, p)
			}
		}
	}
}
