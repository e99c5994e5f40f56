package runoff

import (
	"math"
	"strings"
	"testing"

	"headcut/model/modeltest"
)

// TestLimitsAreTaken: a number at its limit is taken, and refused at its path beyond it.
func TestLimitsAreTaken(t *testing.T) {
	rain := func(rows ...Burst) error { return Rainfall(rows).check().Err() }
	bound := bound{"depthM", 1, 5, "a depth", " m", ""}
	limit := modeltest.Limits(t)
	limit("depthM", func(v float64) error { return bound.exactly(v).Err() }, []float64{1, 5}, []float64{0.9, 5.1, math.NaN()})
	limit("depthPlusMinusM", func(v float64) error { return bound.check(Quantity{2, v}, "depthPlusMinusM").Err() }, []float64{-1, 0, 2}, []float64{2.01, math.NaN()})
	limit("[1].minutes", func(v float64) error { return rain(Burst{5, 50}, Burst{v, 50}) }, []float64{5.01, maxBurstMin}, []float64{5, 4, maxBurstMin + 1})
	limit("[1].intensityMmH", func(v float64) error { return rain(Burst{5, 50}, Burst{10, v}) }, []float64{25 / 1.01 * 1.0001, 50.5}, []float64{25 / 1.01 * 0.9999, 50.51})
	limit("intensityPlusMinusPct", func(v float64) error {
		_, err := Rainfall{{5, 50}, {10, 40}}.At(Unsure(7), LogLog, v)
		return err
	}, []float64{-1, 0, 100}, []float64{100.1, math.NaN()})
	limit("timeOfConcentrationMin", func(v float64) error {
		_, err := Rainfall{{ShortestBurstMin, 50}, {10, 40}}.At(Unsure(v), LogLog, -1)
		return err
	}, []float64{0.5, 6, 10}, []float64{0.4, 10.1})
	limit("timeOfConcentrationMin", func(v float64) error {
		_, err := Rainfall{{ShortestBurstMin + 1, 50}, {10, 40}}.At(Unsure(v), LogLog, -1)
		return err
	}, []float64{7, 10}, []float64{6.9})
	limit("areaHa", func(v float64) error {
		return Ground{LengthM: new(Unsure(100)), AreaHa: new(Unsure(v))}.fits().Err()
	}, []float64{math.Pi}, []float64{math.Pi * 1.0001})
	limit("slopePct", func(v float64) error {
		_, err := Lookup("land-by-slope-and-soil", "pasture", "tight clay", v)
		return err
	}, []float64{0, 5, 30}, []float64{-0.1, 30.1, math.NaN()})
	limit("coefficient", func(v float64) error { return checkWeir(Unsure(v)).Err() }, []float64{leastWeir, mostWeir}, []float64{1.19, 1.91, leastFeet, mostFeet, 3.6})
	limit("bedWidthM", func(v float64) error {
		return Channel{BedWidthM: Unsure(v), SlopePct: Unsure(1), ManningN: Unsure(0.03)}.check().Err()
	}, []float64{0.1, maxBedM}, []float64{0, 100.1})
	for v, feet := range map[float64]bool{2.19: false, leastFeet: true, mostFeet: true, 3.51: false} {
		if p := checkWeir(Unsure(v)); p == nil || strings.Contains(p.Reason, "feet") != feet {
			t.Errorf("a coefficient of %v: %v, want it taken for one of feet: %t", v, p, feet)
		}
	}
	// A slope on the border of two classes is in the steeper.
	for slopePct, want := range map[float64]float64{4.9: 0.4, 5: 0.55, 9.9: 0.55, 10: 0.6, 30: 0.6} {
		if c, err := Lookup("land-by-slope-and-soil", "pasture", "tight clay", slopePct); err != nil || c.Value != want {
			t.Errorf("pasture on tight clay at %v %%: %v, %v, want %v", slopePct, c.Value, err, want)
		}
	}
}
