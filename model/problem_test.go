package model

import (
	"math"
	"testing"
)

// TestInRange: both ends of a range are in it, and no number is not.
func TestInRange(t *testing.T) {
	for v, in := range map[float64]bool{-0.5: true, 0: true, 2: true, -0.51: false, 2.01: false, math.Inf(1): false, math.Inf(-1): false, math.NaN(): false} {
		if p := InRange("offsetM", v, -0.5, 2, "", " m", ""); (p == nil) != in || p != nil && p.Path != "offsetM" {
			t.Errorf("%v: %v, want in range: %t", v, p, in)
		}
	}
	for _, c := range []struct{ what, unit, fix, want string }{
		{"", " m", "measure again", "heads[2].depthM: 9 is not from 0 to 2 m (measure again)"},
		{"a depth", " m", "", "heads[2].depthM: 9 is not a depth from 0 to 2 m"},
		{"a share", "", "", "heads[2].depthM: 9 is not a share from 0 to 2"},
	} {
		if got := InRange("depthM", 9, 0, 2, c.what, c.unit, c.fix).Within("heads[2]").Error(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestRequire: what holds is no problem, and no problem is no error wherever it is handed on.
func TestRequire(t *testing.T) {
	if p := Require(true, "a", "b", "c"); p != nil || p.Within("d") != nil || p.Err() != nil {
		t.Errorf("what holds is refused: %v", p)
	}
	p := Require(false, "a", "b", "%d of %s", 3, "c")
	if got, want := p.Error(), "a: 3 of c (b)"; got != want || p.Err() != error(p) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := FirstProblem(nil, p, Require(false, "e", "", "f")); got != p {
		t.Errorf("the first of three is %v, want %v", got, p)
	}
	if FirstProblem() != nil || FirstProblem(nil, nil) != nil {
		t.Error("none of none is a problem")
	}
}

func TestPlusMinus(t *testing.T) {
	for _, c := range []struct {
		of   []float64
		want float64
	}{{nil, 0}, {[]float64{2}, 2}, {[]float64{3, 4}, 5}, {[]float64{0, 0}, 0}, {[]float64{2, 3, 6}, 7}, {[]float64{3, -1}, -1}, {[]float64{-1, 3}, -1}} {
		if got := JointPlusMinus(c.of...); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v together: %v, want %v", c.of, got, c.want)
		}
	}
	for _, c := range [][3]float64{{2, 3, 6}, {-2, 3, 6}, {2, 0, 0}, {2, -1, -1}, {0, -0.5, -1}} {
		if got := ScaledPlusMinus(c[0], c[1]); got != c[2] {
			t.Errorf("%v times %v: %v, want %v", c[1], c[0], got, c[2])
		}
	}
}

func TestCautionsAreFormatted(t *testing.T) {
	general := []Caution{{Text: "always"}}
	all := append(Cautions(nil), general...)
	all.Add("heightM", "%d %% of it", 3)
	all.AddIf(false, "depthM", "never")
	all.AddIf(true, "widthM", "%s", "so")
	if len(all) != 3 || all[0] != general[0] || all[1] != (Caution{"heightM", "3 % of it"}) || all[2] != (Caution{"widthM", "so"}) {
		t.Errorf("%v", all)
	}
}
