package runoff

import (
	"math"
	"math/rand/v2"
	"testing"
)

// draws of each figure; the spread of so many is known to about 0.7 %.
const draws = 10_000

// holdsSpread draws the inputs, works the figure out from each draw, and compares the
// standard deviation of the figures with the plus-minus that was stated.
func holdsSpread(t *testing.T, stated Quantity, figure func(draw func(Quantity) Quantity) (float64, error)) {
	t.Helper()
	r := rand.New(rand.NewPCG(11, 25))
	draw := func(q Quantity) Quantity { return Quantity{Value: q.Value + q.PlusMinus*r.NormFloat64()} }
	mean, squares := 0.0, 0.0
	for i := range draws {
		v, err := figure(draw)
		if err != nil {
			t.Fatalf("draw %d: %v", i, err)
		}
		off := v - mean
		mean += off / float64(i+1)
		squares += off * (v - mean)
	}
	got := math.Sqrt(squares / (draws - 1))
	t.Logf("stated %.5g, drawn %.5g: %+.1f %%", stated.PlusMinus, got, 100*(stated.PlusMinus/got-1))
	if !(math.Abs(stated.PlusMinus-got) <= 0.05*got) {
		t.Errorf("stated %v ± %v, but %d draws spread by %v", stated.Value, stated.PlusMinus, draws, got)
	}
}

func TestPeakSpread(t *testing.T) {
	whole := Catchment{{Quantity{5, 0.4}, Quantity{0.36, 0.08}}}
	parts := Catchment{{Quantity{3, 0.2}, Quantity{0.6, 0.08}}, {Quantity{2, 0.3}, Quantity{0.2, 0.04}}, {Quantity{1, 0}, Quantity{0.45, 0.08}}}
	intensity := Quantity{80, 14}
	for name, c := range map[string]Catchment{"one": whole, "three-parts": parts} {
		peak, err := c.Rational(intensity, AreaLimits[0])
		if err != nil {
			t.Fatal(err)
		}
		again := func(draw func(Quantity) Quantity) (Peak, error) {
			var drawn Catchment
			for _, p := range c {
				drawn = append(drawn, Part{draw(p.AreaHa), draw(p.Coefficient)})
			}
			return drawn.Rational(draw(intensity), widest)
		}
		t.Run(name+"-flow", func(t *testing.T) {
			holdsSpread(t, peak.FlowM3S, func(draw func(Quantity) Quantity) (float64, error) {
				p, err := again(draw)
				return p.FlowM3S.Value, err
			})
		})
		t.Run(name+"-coefficient", func(t *testing.T) {
			holdsSpread(t, peak.Coefficient, func(draw func(Quantity) Quantity) (float64, error) {
				p, err := again(draw)
				return p.Coefficient.Value, err
			})
		})
		t.Run(name+"-area", func(t *testing.T) {
			if peak.AreaHa.PlusMinus == 0 {
				t.Fatal("the area is stated to be exact")
			}
			holdsSpread(t, peak.AreaHa, func(draw func(Quantity) Quantity) (float64, error) {
				p, err := again(draw)
				return p.AreaHa.Value, err
			})
		})
	}
}

var storms = Rainfall{{5, 160}, {10, 125}, {15, 105}, {20, 92}, {30, 74}, {60, 48}, {120, 30}}

func TestIntensitySpread(t *testing.T) {
	time, tablePct := Quantity{44, 3}, 2.0
	for _, between := range Betweens {
		t.Run(string(between), func(t *testing.T) {
			stated, err := storms.At(time, between, tablePct)
			if err != nil {
				t.Fatal(err)
			}
			holdsSpread(t, stated.IntensityMmH, func(draw func(Quantity) Quantity) (float64, error) {
				r, err := storms.At(draw(time), between, 0)
				return r.IntensityMmH.Value * draw(Quantity{1, tablePct / 100}).Value, err
			})
		})
	}
}

func TestTimeSpread(t *testing.T) {
	length, slope, area, horton, manning := Quantity{120, 8}, Quantity{4, 0.3}, Quantity{2, 0.2}, Quantity{0.045, 0.004}, Quantity{0.25, 0.02}
	ground := Ground{LengthM: &length, SlopePct: &slope, AreaHa: &area, HortonN: &horton, ManningN: &manning, Rain: storms}
	for _, m := range Methods {
		t.Run(string(m), func(t *testing.T) {
			stated, err := ground.Concentration(m)
			if err != nil {
				t.Fatal(err)
			}
			holdsSpread(t, stated.Minutes, func(draw func(Quantity) Quantity) (float64, error) {
				l, s, a, h, n := draw(length), draw(slope), draw(area), draw(horton), draw(manning)
				c, err := Ground{LengthM: &l, SlopePct: &s, AreaHa: &a, HortonN: &h, ManningN: &n, Rain: storms}.Concentration(m)
				return c.Minutes.Value, err
			})
		})
	}
}

func TestNotchSpread(t *testing.T) {
	length, flow, head, weir := Quantity{2, 0.1}, Quantity{0.4, 0.06}, Quantity{0.25, 0.02}, Quantity{1.4, 0.04}
	for _, side := range []struct {
		name       string
		runPerRise float64
	}{{"upright", 0}, {"leaning", 2}} {
		notch := func(length, weir Quantity) Notch {
			return Notch{CrestLengthM: length, SideRunPerRise: side.runPerRise, Weir: Weir{Coefficient: weir}, FreeboardM: 0.15}
		}
		t.Run(side.name+"-head", func(t *testing.T) {
			stated, err := notch(length, weir).Head(flow)
			if err != nil {
				t.Fatal(err)
			}
			holdsSpread(t, stated.HeadM, func(draw func(Quantity) Quantity) (float64, error) {
				o, err := notch(draw(length), draw(weir)).Head(draw(flow))
				return o.HeadM.Value, err
			})
			holdsSpread(t, stated.AbutmentHeightM, func(draw func(Quantity) Quantity) (float64, error) {
				o, err := notch(draw(length), draw(weir)).Head(draw(flow))
				return o.AbutmentHeightM.Value, err
			})
		})
		t.Run(side.name+"-flow", func(t *testing.T) {
			stated, err := notch(length, weir).Flow(head)
			if err != nil {
				t.Fatal(err)
			}
			holdsSpread(t, stated.FlowM3S, func(draw func(Quantity) Quantity) (float64, error) {
				o, err := notch(draw(length), draw(weir)).Flow(draw(head))
				return o.FlowM3S.Value, err
			})
		})
		t.Run(side.name+"-length", func(t *testing.T) {
			flow, head := Quantity{0.4, 0.03}, Quantity{0.25, 0.006}
			stated, err := notch(Quantity{}, weir).Length(flow, head)
			if err != nil {
				t.Fatal(err)
			}
			holdsSpread(t, stated.CrestLengthM, func(draw func(Quantity) Quantity) (float64, error) {
				o, err := notch(Quantity{}, draw(weir)).Length(draw(flow), draw(head))
				return o.CrestLengthM.Value, err
			})
		})
	}
}

// TestUnknownStaysUnknown: a figure is as unknown as the least known of its inputs.
func TestUnknownStaysUnknown(t *testing.T) {
	known, unsure := Quantity{2, 0.1}, Unsure(2)
	share := Quantity{0.5, 0.1}
	for name, c := range map[string]Catchment{
		"area":        {{unsure, share}},
		"coefficient": {{known, Unsure(0.5)}},
		"one-part":    {{known, share}, {unsure, share}},
	} {
		if p, err := c.Rational(Quantity{80, 8}, AreaLimits[0]); err != nil || p.FlowM3S.PlusMinus >= 0 {
			t.Errorf("%s unknown: flow %+v, %v; want an unknown plus-minus", name, p.FlowM3S, err)
		}
	}
	if p, err := (Catchment{{known, share}}).Rational(Unsure(80), AreaLimits[0]); err != nil || p.FlowM3S.PlusMinus >= 0 {
		t.Errorf("intensity unknown: flow %+v, %v", p.FlowM3S, err)
	}
	n := Notch{CrestLengthM: unsure}
	if o, err := n.Head(Quantity{0.4, 0.1}); err != nil || o.HeadM.PlusMinus >= 0 {
		t.Errorf("length unknown: head %+v, %v", o.HeadM, err)
	}
	if o, err := n.Flow(Quantity{0.2, 0.01}); err != nil || o.FlowM3S.PlusMinus >= 0 {
		t.Errorf("length unknown: flow %+v, %v", o.FlowM3S, err)
	}
	if o, err := (Notch{CrestLengthM: known}).Flow(Unsure(0.2)); err != nil || o.FlowM3S.PlusMinus >= 0 || o.HeadM.PlusMinus >= 0 {
		t.Errorf("head unknown: %+v, %v", o, err)
	}
	if c, err := (Ground{LengthM: &Quantity{100, 5}, SlopePct: measured(3)}).Concentration(Kirpich); err != nil || c.Minutes.PlusMinus >= 0 {
		t.Errorf("slope unknown: %+v, %v", c, err)
	}
}
