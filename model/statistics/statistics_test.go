package statistics

import (
	"math"
	"testing"

	"headcut/model/modeltest"
)

func TestStudentCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "monitor", "student_t_975") {
		c.Check(t, "t", T95(int(c.Number(t, "freedom"))))
	}
	if got := T95(0); !math.IsInf(got, 1) {
		t.Errorf("T95(0) = %v, want +Inf", got)
	}
	if below, above := T95(199), T95(200); !(below > above && below-above < 2e-4) {
		t.Errorf("t95 goes from %v at 199 to %v at 200, where the formulas meet", below, above)
	}
}

// From 200 degrees of freedom on t is what leaves a twentieth outside too, by the exact series.
func TestStudentOfManyVisits(t *testing.T) {
	for _, freedom := range []int{199, 200, 201, 500, 1000} {
		if got := withinT(math.Atan(T95(freedom)/math.Sqrt(float64(freedom))), freedom); math.Abs(got-0.95) > 1e-7 {
			t.Errorf("t of %d holds %v, want 0.95", freedom, got)
		}
	}
}

// A plus-minus is the root of the squares of what each value's own does; one that is not known
// counts only where its value matters.
func TestPropagate(t *testing.T) {
	for _, c := range []struct {
		name      string
		of        func(v []float64) float64
		plusMinus []float64
		want      float64
	}{
		{"both", func(v []float64) float64 { return v[0] * v[1] }, []float64{0.6, 0.4}, 5}, // 0.6 times 5 and 0.4 times 10
		{"one-exact", func(v []float64) float64 { return v[0] * v[1] }, []float64{0.6, 0}, 3},
		{"one-not-known", func(v []float64) float64 { return v[0] * v[1] }, []float64{0.6, -1}, -1},
		{"not-known-and-without-effect", func(v []float64) float64 { return v[0] }, []float64{0.6, -1}, 0.6},
		{"without-end", func(v []float64) float64 { return 1 / (v[0] - v[0]) }, []float64{0.6, 0}, -1},
	} {
		if got := Propagate(c.of, []float64{10, 5}, c.plusMinus); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: ± %v, want %v", c.name, got, c.want)
		}
	}
}
