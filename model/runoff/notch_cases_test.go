package runoff

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model/modeltest"
)

// weirOf is a coefficient given as a number in metres.
func weirOf(c float64) Weir { return Weir{Coefficient: exactly(c)} }

// TestPublishedNotches: the weirs in feet are answered in metres with the coefficient
// converted, C times the root of a foot in metres.
func TestPublishedNotches(t *testing.T) {
	overFeet := func(c modeltest.Case, weir, length, head float64) {
		n := Notch{CrestLengthM: exactly(metresPerFoot * length), Weir: weirOf(weirFromFeet(weir))}
		c.Check(t, expectedFlow(c), over(t, n, metresPerFoot*head).FlowM3S.Value*cfsPerM3S)
	}
	for _, c := range modeltest.Cases(t, "runoff", "broad_crested_weir_us") {
		overFeet(c, c.Number(t, "C"), c.Number(t, "L_ft"), c.Number(t, "H_ft"))
		if got, want := IdealWeir(32.17), modeltest.Want[float64](t, c, "C_theory"); math.Abs(got-want) > 0.001 {
			t.Errorf("%s: ideal coefficient in feet = %v, want %v", c.ID, got, want)
		}
	}
	for _, c := range modeltest.Cases(t, "runoff", "broad_crested_weir_si") {
		n := Notch{CrestLengthM: exactly(c.Number(t, "L_m")), Weir: weirOf(c.Number(t, "C"))}
		c.Check(t, "Q_m3_s", over(t, n, c.Number(t, "H_m")).FlowM3S.Value)
		c.Check(t, "C_theory", IdealWeir(GravityMS2))
	}
	for _, c := range modeltest.Cases(t, "runoff", "weir_length_for_flow") {
		got, err := Notch{Weir: weirOf(c.Number(t, "C"))}.Length(Unsure(c.Number(t, "Q_m3_s")), Unsure(c.Number(t, "H_m")))
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "L_m", got.CrestLengthM.Value)
	}
	for _, c := range modeltest.Cases(t, "gully", "weir") {
		if c.Text(t, "unit") == "ft, cfs" {
			overFeet(c, c.Number(t, "C"), c.Number(t, "length"), c.Number(t, "head"))
			continue
		}
		n := Notch{CrestLengthM: exactly(c.Number(t, "length")), Weir: weirOf(c.Number(t, "C"))}
		c.Check(t, "Q", over(t, n, c.Number(t, "head")).FlowM3S.Value)
	}
	for _, c := range modeltest.Cases(t, "gully", "weir_head") {
		if Weirs[0].Coefficient.Value != c.Number(t, "C") {
			t.Errorf("%s: the default coefficient is %v, want %v", c.ID, Weirs[0].Coefficient.Value, c.Number(t, "C"))
		}
		got, err := Notch{CrestLengthM: exactly(c.Number(t, "length"))}.Head(Unsure(c.Number(t, "Q")))
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "head", got.HeadM.Value)
	}
	for _, c := range modeltest.Cases(t, "gully", "weir_coefficient") {
		c.Check(t, "C", IdealWeir(c.Number(t, "g")))
	}
	for _, c := range modeltest.Cases(t, "gully", "weir_coefficient_us_to_si") {
		p := checkWeir(exactly(c.Number(t, "C_us")))
		if p == nil || p.Path != "coefficient" || !strings.Contains(p.Reason, "feet") {
			t.Errorf("%s: the coefficient for feet is let pass: %v", c.ID, p)
		}
		if p := checkWeir(exactly(modeltest.Want[float64](t, c, "C_si"))); p != nil {
			t.Errorf("%s: the coefficient for metres is refused: %v", c.ID, p)
		}
		c.Check(t, "C_si", weirFromFeet(c.Number(t, "C_us")))
	}
}

func expectedFlow(c modeltest.Case) string {
	if c.Expects("Q_cfs") {
		return "Q_cfs"
	}
	return "Q"
}

func over(t *testing.T, n Notch, headM float64) Overflow {
	t.Helper()
	o, err := n.Flow(Unsure(headM))
	if err != nil {
		t.Fatalf("Flow(%v m over %+v) = %v", headM, n, err)
	}
	return o
}

// TestPublishedLeaningNotch: HY08 goes both ways, from the head and from the flow.
func TestPublishedLeaningNotch(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "critical_flow_trapezoid") {
		n := Notch{CrestLengthM: exactly(c.Number(t, "bottom")), SideRunPerRise: c.Number(t, "side_h_per_v"), Weir: weirOf(IdealWeir(c.Number(t, "g")))}
		o := over(t, n, modeltest.Want[float64](t, c, "total_head"))
		c.Check(t, "Q", o.FlowM3S.Value)
		c.Check(t, "A", o.FlowM3S.Value/o.VelocityMS)
		c.Check(t, "T", c.Number(t, "bottom")+2*n.SideRunPerRise*o.CriticalDepthM)
		if !c.Tolerance.Allows("yc", o.CriticalDepthM, c.Number(t, "yc")) {
			t.Errorf("%s: critical depth = %v, want %v", c.ID, o.CriticalDepthM, c.Number(t, "yc"))
		}
		back, err := n.Head(Unsure(modeltest.Want[float64](t, c, "Q")))
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "total_head", back.HeadM.Value)
	}
}

// TestPublishedCriticalDepth: HY03 is in feet, 50 ft²/s with g = 9.81 as the solution has
// it; the depth y, the flow's cube root and g hang together alike in any unit.
func TestPublishedCriticalDepth(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "critical_depth_rect") {
		if c.Number(t, "g") != GravityMS2 {
			t.Fatalf("%s: g = %v", c.ID, c.Number(t, "g"))
		}
		y := modeltest.Want[float64](t, c, "yc")
		if got := (critical{bottom: 1}).ideal(y); math.Abs(got/c.Number(t, "q")-1) > 0.003 { // 0.2 % of y, to the power 1.5
			t.Errorf("%s: flow at %v = %v, want %v", c.ID, y, got, c.Number(t, "q"))
		}
		c.Check(t, "yc", (critical{bottom: 1}).depth(1.5*math.Cbrt(c.Number(t, "q")*c.Number(t, "q")/GravityMS2)))
	}
}

// TestPublishedSills: water over a level sill, and over the brink of a chute in feet.
func TestPublishedSills(t *testing.T) {
	for _, c := range modeltest.Cases(t, "banks", "sill_head") {
		n := Notch{CrestLengthM: exactly(c.Number(t, "length")), Weir: weirOf(c.Number(t, "C"))}
		got, err := n.Head(Unsure(c.Number(t, "Q")))
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "head", got.HeadM.Value)
		c.Check(t, "q", c.Number(t, "Q")/n.CrestLengthM.Value)
	}
	for _, c := range modeltest.Cases(t, "banks", "sill_unevenness") {
		at := func(headM float64) float64 { return over(t, Notch{CrestLengthM: exactly(1)}, headM).FlowM3S.Value }
		c.Check(t, "ratio", at(c.Number(t, "head")+c.Number(t, "error"))/at(c.Number(t, "head")-c.Number(t, "error")))
	}
	for _, c := range modeltest.Cases(t, "banks", "chute_critical") {
		n := Notch{CrestLengthM: exactly(metresPerFoot * c.Number(t, "bottom")), SideRunPerRise: c.Number(t, "side"), Weir: weirOf(IdealWeir(GravityMS2))}
		got, err := n.Head(Unsure(c.Number(t, "Q") / cfsPerM3S))
		if err != nil {
			t.Fatal(err)
		}
		headFt := got.HeadM.Value / metresPerFoot
		ycFt := over(t, n, got.HeadM.Value).CriticalDepthM / metresPerFoot
		c.Check(t, "yc", ycFt)
		c.Check(t, "velocity_head", headFt-ycFt)
		if c.Expects("energy") {
			c.Check(t, "energy", headFt)
		}
	}
}

// TestPublishedEnds: a notch with next to no water asks for the 0.15 m that the source
// does.
func TestPublishedEnds(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "abutment_rise_ok") {
		if LeastAbutmentM != c.Number(t, "min_rise") {
			t.Errorf("%s: least rise of the ends = %v, want %v", c.ID, LeastAbutmentM, c.Number(t, "min_rise"))
		}
		o := over(t, Notch{CrestLengthM: exactly(2)}, 0.01)
		hold, lackM := o.EndsHold(c.Number(t, "end_level") - c.Number(t, "crest_level"))
		if want := modeltest.Want[bool](t, c, "ok"); hold != want || (lackM > 0) == want {
			t.Errorf("%s: ends hold: %v, lacking %v m, want %v", c.ID, hold, lackM, want)
		}
	}
}

// Heede 1976 (from memory): half a cubic metre a second over 1.5 m of loose rock.
func ExampleNotch_Head() {
	o, err := Notch{CrestLengthM: Quantity{1.5, 0.02}, FreeboardM: 0.15}.Head(Quantity{0.5, 0.1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f ± %.3f m deep, ends %.2f m above the notch\n", o.HeadM.Value, o.HeadM.PlusMinus, o.AbutmentHeightM.Value)
	// Output: 0.344 ± 0.046 m deep, ends 0.49 m above the notch
}
