package runoff

import (
	"math"
	"testing"
)

// The ± of a product of two that err apart by half of themselves each: √(¼ + ¼ + 1/16) = ¾ (exact).
func TestPlusMinusOfAProduct(t *testing.T) {
	for _, c := range [][3]float64{{0.5, 0.5, 0.75}, {0, 0, 0}, {0, 0.2, 0.2}, {0.2, 0, 0.2}, {-1, 0.2, -1}, {0.2, -1, -1}} {
		if got := ofProduct(c[0], c[1]); math.Abs(got-c[2]) > 1e-12 {
			t.Errorf("of %v and %v: %v, want %v", c[0], c[1], got, c[2])
		}
	}
	for _, c := range [][4]float64{{0.1, 2, 1, 0.1}, {0.1, 1.99, 1, -1}, {0.1, 0, 0, 0.1}, {0.1, 9, -1, -1}} {
		if got := unlessNear(c[0], c[1], c[2]); got != c[3] {
			t.Errorf("a ± of %v, %v from the start which errs by %v: %v, want %v", c[0], c[1], c[2], got, c[3])
		}
	}
}

// A notch 2 m long with sides of 1.5 to 1, 0.3 m of water and 0.2 m of freeboard: the water is
// 2 + 2·1.5·0.3 = 2.9 m wide, the notch 2 + 2·1.5·0.5 = 3.5 m (geometry).
func TestWidthsOfANotch(t *testing.T) {
	o := over(t, Notch{CrestLengthM: exactly(2), SideRunPerRise: 1.5, FreeboardM: 0.2}, 0.3)
	y := o.CriticalDepthM
	for name, c := range map[string][2]float64{
		"water": {o.WaterWidthM, 2.9}, "notch": {o.NotchWidthM, 3.5}, "ends": {o.AbutmentHeightM.Value, 0.5},
		"velocity": {o.VelocityMS, o.FlowM3S.Value / (2*y + 1.5*y*y)}, "flow over the mean width": {o.FlowPerMetreM2S, o.FlowM3S.Value / (2 + 1.5*y)},
	} {
		if math.Abs(c[0]-c[1]) > 1e-12 {
			t.Errorf("%s: %v, want %v", name, c[0], c[1])
		}
	}
}

// Where nobody says how to read between rows, it is on log scales of both.
func TestReadingBetweenRows(t *testing.T) {
	rain := Rainfall{{5, 100}, {20, 50}}
	for between, want := range map[Between]float64{"": 100 * math.Sqrt(0.5), LogLog: 100 * math.Sqrt(0.5), StraightIntensity: 100 - 50.0/3, StraightDepth: (500 + 500.0/3) / 10} {
		got, err := rain.At(Unsure(10), between, -1)
		if err != nil || math.Abs(got.IntensityMmH.Value-want) > 1e-9 || got.Between == "" {
			t.Errorf("%q: %+v, %v; want %v mm/h", between, got, err, want)
		}
	}
}

// The longest time that any method gives, on 50 km at 0.1 %, is shorter than the longest storm that
// a table may have: no time needs to be refused.
func TestNoTimeIsLongerThanAnyStorm(t *testing.T) {
	for _, constant := range BransbyConstants {
		c, err := Ground{LengthM: measured(50_000), SlopePct: measured(0.1), AreaHa: measured(0.1), Constant: constant}.Concentration(BransbyWilliams)
		if err != nil || c.Minutes.Value > maxBurstMin || c.Minutes.Value < constant.Value*50/math.Pow(0.001, 0.1)*0.999 {
			t.Errorf("with %v: %v min, %v", constant.Value, c.Minutes.Value, err)
		}
	}
}

// A channel takes what it carries at its greatest depth, and no more.
func TestDeepestFlow(t *testing.T) {
	c := Channel{BedWidthM: Unsure(0.5), SlopePct: Unsure(0.5), ManningN: Unsure(0.05)}
	most := c.even(maxDepthM).FlowM3S.Value
	if s, err := c.For(Unsure(most)); err != nil || math.Abs(s.DepthM.Value-maxDepthM) > 1e-9 {
		t.Errorf("%v m3/s: %+v, %v; want %v m", most, s, err, maxDepthM)
	}
	if _, err := c.For(Unsure(most * 1.0001)); err == nil {
		t.Error("more is taken")
	}
}

// A table has from 2 to so many durations.
func TestRowsOfARainfallTable(t *testing.T) {
	for n, taken := range map[int]bool{0: false, 1: false, 2: true, maxBursts: true, maxBursts + 1: false} {
		var r Rainfall
		for i := range n {
			r = append(r, Burst{float64(i + 1), 100})
		}
		if p := r.check(); (p == nil) != taken {
			t.Errorf("%d durations: %v", n, p)
		}
	}
}

// A storm that does not run off has none, as surely as the storm itself is far from the one that does.
func TestStormsThatDoNotRunOff(t *testing.T) {
	for _, c := range []struct{ rainMm, plusMinusMm, want, wantPlusMinus float64 }{{20, 1, 0, 0}, {50, 1, 0, -1}, {20, -1, 0, -1}, {20, 0, 0, 0}} { // 0.2 S of CN 50 is 50.8 mm
		q, _, err := StormRunoff(Quantity{c.rainMm, c.plusMinusMm}, exactly(50))
		if err != nil || q.Value != c.want || math.Signbit(q.Value) || q.PlusMinus != c.wantPlusMinus {
			t.Errorf("%v ± %v mm run off by %+v, %v; want %v ± %v", c.rainMm, c.plusMinusMm, q, err, c.want, c.wantPlusMinus)
		}
	}
}
