package runoff

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(math.Abs(a), math.Abs(b)) }

// TestNotchLaws: flow, head and length lead back to each other; leaning sides, a longer
// notch and a better coefficient never deepen the water.
func TestNotchLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(0.2, 20).Draw(t, "length m")
		head := rapid.Float64Range(0.01, 0.59).Draw(t, "head m")
		n := Notch{CrestLengthM: exactly(length), SideRunPerRise: rapid.Float64Range(0, 5).Draw(t, "side"), Weir: weirOf(rapid.Float64Range(1.3, 1.8).Draw(t, "C"))}
		o, err := n.Flow(exactly(head))
		if err != nil {
			t.Fatal(err)
		}
		flow := o.FlowM3S.Value
		if back, err := n.Head(exactly(flow)); err != nil || !near(back.HeadM.Value, head) {
			t.Fatalf("%v m3/s over %+v stands %v m deep, want %v (%v)", flow, n, back.HeadM.Value, head, err)
		}
		if back, err := n.Length(exactly(flow), exactly(head)); err != nil || !near(back.CrestLengthM.Value, length) {
			t.Fatalf("%v m3/s at %v m over %+v needs %v m, want %v (%v)", flow, head, n, back.CrestLengthM.Value, length, err)
		}
		upright := n
		upright.SideRunPerRise = 0
		if o, err := upright.Flow(exactly(head)); err != nil || o.FlowM3S.Value > flow*(1+1e-12) || !near(o.FlowM3S.Value, n.Weir.Coefficient.Value*length*math.Pow(head, 1.5)) {
			t.Fatalf("upright sides pass %v m3/s, leaning ones %v; want C L H^1.5 and no more (%v)", o.FlowM3S.Value, flow, err)
		}
		// Q² T = g A³ at the ideal flow, and the head is y + A/(2T).
		y, z := o.CriticalDepthM, n.SideRunPerRise
		area, width := y*(length+z*y), length+2*z*y
		ideal := flow * IdealWeir(GravityMS2) / n.Weir.Coefficient.Value
		if !near(ideal*ideal*width, GravityMS2*area*area*area) || !near(y+area/(2*width), head) {
			t.Fatalf("at %v m over %+v the depth %v is not critical", head, n, y)
		}
	})
}

func drawRain(t *rapid.T) Rainfall {
	minutes, intensity := rapid.Float64Range(1, 6).Draw(t, "first min"), rapid.Float64Range(50, 400).Draw(t, "first mm/h")
	rain := Rainfall{{minutes, intensity}}
	for range rapid.IntRange(1, 5).Draw(t, "more rows") {
		step := rapid.Float64Range(1.05, 3).Draw(t, "step")
		minutes, intensity = minutes*step, intensity*math.Pow(step, -rapid.Float64Range(0.05, 0.95).Draw(t, "exponent"))
		rain = append(rain, Burst{minutes, intensity})
	}
	return rain
}

// TestRainfallLaws: each way of reading meets the rows themselves and stays between its two
// neighbours in intensity. In depth too, but for straight intensities, which can give more
// rain in less time: one more reason why they are not the default.
func TestRainfallLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rain := drawRain(t)
		if p := rain.check(); p != nil {
			t.Fatalf("check(%v) = %v", rain, p)
		}
		for _, between := range Betweens {
			read := func(m float64) float64 {
				r, err := rain.At(exactly(m), between, 0)
				if err != nil {
					t.Fatalf("At(%v) of %v = %v", m, rain, err)
				}
				return r.IntensityMmH.Value
			}
			for i, b := range rain {
				if !near(read(b.Minutes), b.IntensityMmH) {
					t.Fatalf("%s at %v min = %v, want the row's %v", between, b.Minutes, read(b.Minutes), b.IntensityMmH)
				}
				if i == 0 {
					continue
				}
				a := rain[i-1]
				share := rapid.Float64Range(0, 1).Draw(t, "share")
				m := min(a.Minutes+share*(b.Minutes-a.Minutes), b.Minutes)
				got := read(m)
				const rounding = 1e-9
				if got > a.IntensityMmH*(1+rounding) || got < b.IntensityMmH*(1-rounding) ||
					got*m < a.IntensityMmH*a.Minutes*(1-rounding) || between != StraightIntensity && got*m > b.IntensityMmH*b.Minutes*(1+rounding) {
					t.Fatalf("%s at %v min = %v mm/h, outside %v and %v", between, m, got, a, b)
				}
			}
		}
	})
}

// TestKinematicSettles: the time that is answered, put back into the formula with the
// intensity read at it, gives itself, whichever way the table is read.
func TestKinematicSettles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rain := drawRain(t)
		l, s, n := rapid.Float64Range(5, 200).Draw(t, "L"), rapid.Float64Range(0.2, 30).Draw(t, "S"), rapid.Float64Range(0.01, 0.8).Draw(t, "n")
		g := Ground{LengthM: measured(l), SlopePct: measured(s), ManningN: measured(n), Rain: rain, Between: rapid.SampledFrom(Betweens).Draw(t, "between")}
		c, err := g.Concentration(Kinematic)
		if err != nil {
			if !refused(err, "durations") {
				t.Fatal(err)
			}
			return
		}
		if r, err := rain.At(c.Minutes, g.Between, 0); c.Minutes.Value > 0.5 && (err != nil || !near(r.IntensityMmH.Value, c.IntensityMmH)) {
			t.Fatalf("%v mm/h was used, the table has %v at %v (%v)", c.IntensityMmH, r.IntensityMmH.Value, c.Minutes, err)
		}
		if again := 6.99 * math.Pow(n*l/math.Sqrt(s/100), 0.6) / math.Pow(c.IntensityMmH, 0.4); !near(again, c.Minutes.Value) {
			t.Fatalf("%v min put back gives %v", c.Minutes.Value, again)
		}
	})
}

// TestRationalLaws: parts of one coefficient are as good as the whole; the order of parts
// does not matter; the peak grows with what the rain and the land give.
func TestRationalLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var c Catchment
		for range rapid.IntRange(1, 5).Draw(t, "parts") {
			c = append(c, Part{Unsure(rapid.Float64Range(0.1, 2).Draw(t, "ha")), Unsure(rapid.Float64Range(0.05, 1).Draw(t, "C"))})
		}
		i := rapid.Float64Range(10, 300).Draw(t, "mm/h")
		rational := func(c Catchment) Peak {
			p, err := c.Rational(Unsure(i), widest)
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		p := rational(c)
		whole := rational(Catchment{{p.AreaHa, p.Coefficient}})
		if !near(p.FlowM3S.Value, whole.FlowM3S.Value) {
			t.Fatalf("parts give %v, the whole with the weighted coefficient %v", p.FlowM3S.Value, whole.FlowM3S.Value)
		}
		turned := append(append(Catchment{}, c[1:]...), c[0])
		if q := rational(turned); !near(q.FlowM3S.Value, p.FlowM3S.Value) {
			t.Fatalf("turned round, the parts give %v, not %v", q.FlowM3S.Value, p.FlowM3S.Value)
		}
		// No more than all the rain: i A / 360 in these units.
		if most := i * p.AreaHa.Value / 360; p.FlowM3S.Value > most*(1+1e-12) {
			t.Fatalf("%v m3/s is more than falls, %v", p.FlowM3S.Value, most)
		}
	})
}

// TestAlikePartsKeepTheirCoefficient: however a catchment of one cover is parted, the
// coefficient is the one that was given, to the last bit.
func TestAlikePartsKeepTheirCoefficient(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(0.01, 1).Draw(t, "coefficient")
		var c Catchment
		for range rapid.IntRange(1, 6).Draw(t, "parts") {
			c = append(c, Part{exactly(rapid.Float64Range(0.1, 1).Draw(t, "area ha")), exactly(k)})
		}
		peak, err := c.Rational(exactly(50), AreaLimits[0])
		if err != nil {
			t.Fatal(err)
		}
		if peak.Coefficient.Value != k {
			t.Fatalf("parts of coefficient %v are given %v", k, peak.Coefficient.Value)
		}
	})
}
