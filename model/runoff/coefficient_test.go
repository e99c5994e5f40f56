package runoff

import (
	"fmt"
	"math"
	"testing"
)

// TestLookup: figures of both tables, and the borders of the slope classes.
func TestLookup(t *testing.T) {
	for _, c := range []struct {
		name, table, cover, soil string
		slopePct                 float64
		want                     Quantity
	}{
		{"rm4-rolling-pasture", "land-by-slope-and-soil", "pasture", "clay and silt loam", 7, Unsure(0.36)},
		{"rm5-hilly-pasture", "land-by-slope-and-soil", "pasture", "tight clay", 12, Unsure(0.60)},
		{"rm6-rolling-pasture", "land-by-slope-and-soil", "pasture", "open sandy loam", 7, Unsure(0.16)},
		{"rm7-flat-pasture", "land-by-slope-and-soil", "pasture", "tight clay", 2, Unsure(0.40)},
		{"just-flat", "land-by-slope-and-soil", "woodland", "open sandy loam", 4.99, Unsure(0.10)},
		{"border-is-the-steeper", "land-by-slope-and-soil", "woodland", "open sandy loam", 5, Unsure(0.25)},
		{"steepest", "land-by-slope-and-soil", "cultivated", "tight clay", 30, Unsure(0.82)},
		{"level", "land-by-slope-and-soil", "cultivated", "clay and silt loam", 0, Unsure(0.50)},
		{"range", "bare-and-grazed-ground", "pasture", "heavy", math.NaN(), Quantity{0.30, 0.30 / math.Sqrt(12)}},
		{"soil-does-not-matter", "bare-and-grazed-ground", "bare smooth", "", math.NaN(), Quantity{0.45, 0.30 / math.Sqrt(12)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Lookup(c.table, c.cover, c.soil, c.slopePct)
			if err != nil || math.Abs(got.Value-c.want.Value) > 1e-12 || math.Abs(got.PlusMinus-c.want.PlusMinus) > 1e-12 || got.Source == "" {
				t.Errorf("Lookup = %+v, %v; want %v", got, err, c.want)
			}
		})
	}
	for _, c := range []struct {
		name, table, cover, soil string
		slopePct                 float64
		path                     string
	}{
		{"no-table", "", "pasture", "heavy", 5, "table"},
		{"no-cover", "land-by-slope-and-soil", "", "tight clay", 5, "cover"},
		{"cover-of-the-other-table", "land-by-slope-and-soil", "bare smooth", "tight clay", 5, "cover"},
		{"soil-of-the-other-table", "land-by-slope-and-soil", "pasture", "heavy", 5, "soil"},
		{"no-soil", "bare-and-grazed-ground", "pasture", "", math.NaN(), "soil"},
		{"no-slope", "land-by-slope-and-soil", "pasture", "tight clay", math.NaN(), "slopePct"},
		{"too-steep", "land-by-slope-and-soil", "pasture", "tight clay", 30.1, "slopePct"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got, err := Lookup(c.table, c.cover, c.soil, c.slopePct); !refused(err, c.path) {
				t.Errorf("Lookup = %+v, %v; want a problem at %q", got, err, c.path)
			}
		})
	}
}

// TestTablesAreWhole: every row has a figure for each soil or one for all, classes grow
// steeper, and every figure is a coefficient.
func TestTablesAreWhole(t *testing.T) {
	for _, table := range Coefficients {
		steepest := map[string]float64{}
		for _, r := range table.Rows {
			if len(r.C) != 1 && len(r.C) != len(table.Soils) {
				t.Errorf("%s, %s: %d figures for %d soils", table.Name, r.Cover, len(r.C), len(table.Soils))
			}
			if last, seen := steepest[r.Cover]; seen && r.ToSlopePct <= last {
				t.Errorf("%s, %s: the class to %v %% comes after the one to %v %%", table.Name, r.Cover, r.ToSlopePct, last)
			}
			steepest[r.Cover] = r.ToSlopePct
			for _, c := range r.C {
				if c.Low < 0.01 || c.High < c.Low || c.High > 1 {
					t.Errorf("%s, %s: %v is no range of coefficients", table.Name, r.Cover, c)
				}
			}
		}
	}
}

// Schwab's rolling pasture on clay and silt loam under 80 mm/h.
func ExampleCatchment_Rational() {
	c, err := Lookup("land-by-slope-and-soil", "pasture", "clay and silt loam", 7)
	if err != nil {
		fmt.Println(err)
		return
	}
	peak, err := Catchment{{Unsure(5), c.Quantity}}.Rational(Unsure(80), AreaLimits[0])
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f m3/s\n", peak.FlowM3S.Value)
	// Output: 0.40 m3/s
}
