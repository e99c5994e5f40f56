package runoff

import (
	"fmt"
	"math"
	"testing"

	"headcut/model/modeltest"
)

func TestPublishedCurveNumbers(t *testing.T) {
	for _, c := range modeltest.Cases(t, "runoff", "curve_number") {
		q, s, err := StormRunoff(exactly(c.Number(t, "P_mm")), exactly(c.Number(t, "CN")))
		if err != nil {
			t.Fatalf("%s: %v", c.ID, err)
		}
		c.Check(t, "Q_mm", q.Value)
		c.Check(t, "S_mm", s)
	}
}

func TestPastureCondition(t *testing.T) {
	for _, c := range []struct {
		coverPct float64
		group    string
		name     string
		want     float64
	}{{0, "A", "poor", 68}, {49, "C", "poor", 86}, {50, "D", "fair", 84}, {75, "B", "fair", 69}, {76, "C", "good", 74}, {100, "A", "good", 39}} {
		got, err := Pasture(c.coverPct)
		if err != nil || got.Name != c.name {
			t.Errorf("Pasture(%v %%) = %s, %v; want %s", c.coverPct, got.Name, err, c.name)
		}
		if cn, err := got.CurveNumber(c.group); err != nil || cn != c.want {
			t.Errorf("%s on %s = %v, %v; want %v", c.name, c.group, cn, err, c.want)
		}
	}
	for _, bad := range []float64{-1, 101, math.NaN()} {
		if got, err := Pasture(bad); !refused(err, "coverPct") {
			t.Errorf("Pasture(%v) = %v, %v", bad, got, err)
		}
	}
	if _, err := Conditions[0].CurveNumber("E"); !refused(err, "soilGroup") {
		t.Errorf("group E: %v", err)
	}
	for _, bad := range odd {
		if got, _, err := StormRunoff(exactly(bad), exactly(80)); !refused(err, "rainMm") {
			t.Errorf("%v mm of rain: %v, %v", bad, got, err)
		}
	}
	if got, _, err := StormRunoff(exactly(60), exactly(0.8)); !refused(err, "curveNumber") {
		t.Errorf("a share for a curve number: %v, %v", got, err)
	}
}

func TestStormRunoffSpread(t *testing.T) {
	rain, cn := Quantity{60, 5}, Quantity{80, 1.5}
	stated, _, err := StormRunoff(rain, cn)
	if err != nil {
		t.Fatal(err)
	}
	holdsSpread(t, stated, func(draw func(Quantity) Quantity) (float64, error) {
		q, _, err := StormRunoff(draw(rain), draw(cn))
		return q.Value, err
	})
	// 12.7 mm is where curve number 80 starts to run off.
	for _, c := range []struct {
		rainMm float64
		known  bool
	}{{13, false}, {12, false}, {30, true}, {2, true}} {
		if q, _, err := StormRunoff(Quantity{c.rainMm, 1}, Quantity{80, 1}); err != nil || (q.PlusMinus >= 0) != c.known {
			t.Errorf("%v mm: %+v, %v; want a plus-minus known: %v", c.rainMm, q, err, c.known)
		}
	}
}

// Poor pasture on group C under 60 mm, and the same when its cover is good.
func ExampleStormRunoff() {
	for _, condition := range []Condition{Conditions[0], Conditions[2]} {
		cn, _ := condition.CurveNumber("C")
		q, _, err := StormRunoff(Unsure(60), Unsure(cn))
		fmt.Printf("%s: %.1f mm %v\n", condition.Name, q.Value, err)
	}
	// Output:
	// poor: 28.7 mm <nil>
	// good: 13.5 mm <nil>
}

func FuzzStormRunoff(f *testing.F) {
	f.Add(60.0, 5.0, 86.0, 1.0)
	f.Add(20.0, -1.0, 49.0, -1.0)
	f.Add(math.NaN(), 0.0, 0.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, rain, rainPM, cn, cnPM float64) {
		q, s, err := StormRunoff(Quantity{rain, rainPM}, Quantity{cn, cnPM})
		sound(t, err, q, exactly(s))
		if err == nil && q.Value > rain {
			t.Fatalf("%v mm run off of %v mm", q.Value, rain)
		}
	})
}
