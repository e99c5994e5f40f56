package levelling

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// TestLimitsAreTaken: a number at its limit is taken, and refused at its path beyond it.
func TestLimitsAreTaken(t *testing.T) {
	contour := func(edit func(*[2]Peg, *ContourOptions)) error {
		pegs, o := [2]Peg{{LevelM: 100}, {ChainageM: 10, LevelM: 100}}, ContourOptions{Basis: model.Levelled}
		edit(&pegs, &o)
		_, err := CheckContour(pegs[:], o)
		return err
	}
	run := func(edit func(rows []model.LevelRow, o *Options)) error {
		rows := []model.LevelRow{{BS: new(1.0), KnownLevelM: new(100.0), DistanceM: new(20.0)}, {IS: new(1.0), DistanceM: new(30.0)}, {FS: new(1.0), DistanceM: new(40.0)}}
		var o Options
		edit(rows, &o)
		_, err := Reduce(rows, o)
		return err
	}
	limit := modeltest.Limits(t)
	limit("pegs[1].levelM", func(v float64) error { return contour(func(p *[2]Peg, _ *ContourOptions) { p[1].LevelM = v }) }, []float64{-HighestM, HighestM}, []float64{-HighestM - 1, HighestM + 1, math.NaN()})
	limit("pegs[1].chainageM", func(v float64) error { return contour(func(p *[2]Peg, _ *ContourOptions) { p[1].ChainageM = v }) }, []float64{0.001, 1e6}, []float64{0, 0.0009, 1.1e6, math.NaN()})
	limit("pegs[0].chainageM", func(v float64) error { return contour(func(p *[2]Peg, _ *ContourOptions) { p[0].ChainageM = v }) }, []float64{-1e6, 0}, []float64{-1.1e6})
	limit("toleranceM", func(v float64) error { return contour(func(_ *[2]Peg, o *ContourOptions) { o.ToleranceM = v }) }, []float64{0, MaxToleranceM}, []float64{-0.1, 1.01})
	limit("gradeTolerancePct", func(v float64) error { return contour(func(_ *[2]Peg, o *ContourOptions) { o.GradeTolerancePct = v }) }, []float64{0, 1000}, []float64{-0.1, 1001})
	limit("levelPlusMinusM", func(v float64) error { return contour(func(_ *[2]Peg, o *ContourOptions) { o.PlusMinusM = v }) }, []float64{0, 100}, []float64{-0.1, 101})
	limit("lipM", func(v float64) error { return contour(func(_ *[2]Peg, o *ContourOptions) { o.Lip.HeightM = v }) }, []float64{0, LeastLipM, HighestLipM}, []float64{0.009, -1, 1.01})
	limit("lipPlusMinusM", func(v float64) error { return contour(func(_ *[2]Peg, o *ContourOptions) { o.Lip.PlusMinusM = v }) }, []float64{0, HighestLipM}, []float64{-0.1, 1.01})
	limit("staffLengthM", func(v float64) error { return run(func(_ []model.LevelRow, o *Options) { o.StaffLengthM = v }) }, []float64{0, 1, 20}, []float64{-1, 20.1})
	limit("rows[1].is", func(v float64) error { return run(func(rows []model.LevelRow, o *Options) { rows[1].IS = &v }) }, []float64{-5, 5}, []float64{-5.001, 5.001})
	limit("tolerance.perRootKmMm", func(v float64) error { return run(func(_ []model.LevelRow, o *Options) { o.PerRootKmMm = v }) }, []float64{0, 1000}, []float64{-1, 1001})
	limit("tolerance.perRootSetupMm", func(v float64) error { return run(func(_ []model.LevelRow, o *Options) { o.PerRootSetupMm = v }) }, []float64{0, 1000}, []float64{-1, 1001})
	limit("readingPlusMinusMm", func(v float64) error { return run(func(_ []model.LevelRow, o *Options) { o.ReadingMm = v }) }, []float64{0, 1000}, []float64{-1, 1001})
	limit("rows[0].distanceM", func(v float64) error { return run(func(rows []model.LevelRow, _ *Options) { rows[0].DistanceM = &v }) }, []float64{0, 30}, []float64{-1, math.NaN()})
	limit("rows[1].distanceM", func(v float64) error { return run(func(rows []model.LevelRow, _ *Options) { rows[1].DistanceM = &v }) }, []float64{20, 40}, []float64{19.9})
	limit("rows[2].distanceM", func(v float64) error { return run(func(rows []model.LevelRow, _ *Options) { rows[2].DistanceM = &v }) }, []float64{30, 1e7}, []float64{29.9, 1.1e7})
	limit("rows[2].distanceM", func(v float64) error {
		return run(func(rows []model.LevelRow, _ *Options) { rows[1].DistanceM, rows[2].DistanceM = nil, &v })
	}, []float64{20.1}, []float64{20})
	limit("instrumentLevelM", func(v float64) error { _, err := SetOut(v, v, 5); return err }, []float64{-HighestM, HighestM}, []float64{-HighestM - 1, HighestM + 1, math.NaN()})
	limit("targetLevelM", func(v float64) error { _, err := SetOut(100, v, 5); return err }, []float64{95, 100}, []float64{94.999, 100.001})
}

// TestDistancesThatSomeRowsLack: two rows with a distance and one without are told, a single one is
// not, nor are distances on all.
func TestDistancesThatSomeRowsLack(t *testing.T) {
	for measured, told := range []bool{false, false, true, false} {
		rows := []model.LevelRow{{BS: new(1.0), KnownLevelM: new(100.0)}, {IS: new(1.2)}, {IS: new(1.4)}, {FS: new(1.001), KnownLevelM: new(100.0)}}
		for i := range measured {
			rows[i+1].DistanceM = new(float64(10 * (i + 1)))
		}
		run, err := Reduce(rows, Options{})
		if err != nil || !run.Closed {
			t.Fatalf("%+v, %v", run, err)
		}
		if got := strings.Contains(fmt.Sprint(run.Cautions), "lack their distance"); got != told {
			t.Errorf("%d of 3 rows have a distance: cautions %v, want it told: %t", measured, run.Cautions, told)
		}
	}
}
