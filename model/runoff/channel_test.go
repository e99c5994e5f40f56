package runoff

import (
	"fmt"
	"math"
	"testing"

	"headcut/model/modeltest"

	"pgregory.net/rapid"
)

func channelOf(t *testing.T, c modeltest.Case) Channel {
	return Channel{BedWidthM: exactly(c.Number(t, "b_m")), SideRunPerRise: c.Number(t, "z_h_per_v"), SlopePct: exactly(100 * c.Number(t, "S")), ManningN: exactly(c.Number(t, "n"))}
}

func TestPublishedChannels(t *testing.T) {
	for _, c := range modeltest.Cases(t, "runoff", "manning") {
		s, err := channelOf(t, c).At(exactly(c.Number(t, "y_m")))
		if err != nil {
			t.Fatalf("%s: %v", c.ID, err)
		}
		c.Check(t, "A_m2", s.AreaM2)
		c.Check(t, "P_m", s.WettedM)
		c.Check(t, "R_m", s.HydraulicRadiusM)
		c.Check(t, "V_m_s", s.VelocityMS)
		c.Check(t, "Q_m3_s", s.FlowM3S.Value)
		if c.Expects("Q_published") {
			c.Check(t, "Q_published", s.FlowM3S.Value)
		}
	}
	for _, c := range modeltest.Cases(t, "runoff", "manning_normal_depth") {
		s, err := channelOf(t, c).For(exactly(c.Number(t, "Q_m3_s")))
		if err != nil {
			t.Fatalf("%s: %v", c.ID, err)
		}
		c.Check(t, "y_m", s.DepthM.Value)
		c.Check(t, "V_m_s", s.VelocityMS)
	}
}

func TestChannelLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.Float64Range(0.02, 4).Draw(t, "y")
		c := Channel{BedWidthM: exactly(rapid.Float64Range(0, 20).Draw(t, "b")), SideRunPerRise: rapid.Float64Range(0.1, 5).Draw(t, "z"),
			SlopePct: exactly(rapid.Float64Range(0.05, 2).Draw(t, "S")), ManningN: exactly(rapid.Float64Range(0.05, 0.1).Draw(t, "n"))}
		s, err := c.At(exactly(y))
		if err != nil {
			t.Fatal(err)
		}
		if s.FlowM3S.Value < 1e-4 || s.FlowM3S.Value > maxStreamM3S {
			return
		}
		if back, err := c.For(exactly(s.FlowM3S.Value)); err != nil || !near(back.DepthM.Value, y) {
			t.Fatalf("%v m3/s in %+v runs %v m deep, want %v (%v)", s.FlowM3S.Value, c, back.DepthM.Value, y, err)
		}
	})
}

func TestChannelSpread(t *testing.T) {
	width, slope, n, depth := Quantity{2, 0.15}, Quantity{1, 0.08}, Quantity{0.035, 0.003}, Quantity{0.4, 0.02}
	c := Channel{BedWidthM: width, SideRunPerRise: 1.5, SlopePct: slope, ManningN: n}
	again := func(draw func(Quantity) Quantity) Channel {
		return Channel{BedWidthM: draw(width), SideRunPerRise: 1.5, SlopePct: draw(slope), ManningN: draw(n)}
	}
	at, err := c.At(depth)
	if err != nil {
		t.Fatal(err)
	}
	holdsSpread(t, at.FlowM3S, func(draw func(Quantity) Quantity) (float64, error) {
		s, err := again(draw).At(draw(depth))
		return s.FlowM3S.Value, err
	})
	flow := Quantity{1.2, 0.1}
	deep, err := c.For(flow)
	if err != nil {
		t.Fatal(err)
	}
	holdsSpread(t, deep.DepthM, func(draw func(Quantity) Quantity) (float64, error) {
		s, err := again(draw).For(draw(flow))
		return s.DepthM.Value, err
	})
}

func TestChannelRefuses(t *testing.T) {
	good := Channel{BedWidthM: exactly(2), SideRunPerRise: 1, SlopePct: exactly(1), ManningN: exactly(0.03)}
	with := func(f func(*Channel)) Channel { c := good; f(&c); return c }
	for _, c := range []struct {
		name    string
		channel Channel
		depth   float64
		path    string
	}{
		{"no-room", with(func(c *Channel) { c.BedWidthM, c.SideRunPerRise = exactly(0), 0 }), 0.3, "bedWidthM"},
		{"width-in-millimetres", with(func(c *Channel) { c.BedWidthM = exactly(2000) }), 0.3, "bedWidthM"},
		{"side-in-degrees", with(func(c *Channel) { c.SideRunPerRise = 45 }), 0.3, "sideRunPerRise"},
		{"rise-over-run", with(func(c *Channel) { c.SlopePct = exactly(0.005) }), 0.3, "slopePct"},
		{"glass", with(func(c *Channel) { c.ManningN = exactly(0.001) }), 0.3, "manningN"},
		{"no-depth", good, 0, "depthM"},
		{"depth-not-a-number", good, math.NaN(), "depthM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if s, err := c.channel.At(exactly(c.depth)); !refused(err, c.path) {
				t.Errorf("At = %+v, %v; want a problem at %q", s, err, c.path)
			}
		})
	}
	if s, err := (Channel{BedWidthM: exactly(0.1), SlopePct: exactly(0.02), ManningN: exactly(0.1)}).For(exactly(100)); !refused(err, "flowM3S") {
		t.Errorf("a river in a furrow = %+v, %v", s, err)
	}
}

// V. M. Ponce, CIVE 530, midterm 2 of spring 2008, problem 1.
func ExampleChannel_At() {
	s, err := Channel{BedWidthM: Unsure(5), SlopePct: Unsure(0.3), ManningN: Unsure(0.015)}.At(Unsure(1.5))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f m3/s\n", s.FlowM3S.Value)
	// Output: 26.23 m3/s
}

func FuzzChannel(f *testing.F) {
	f.Add(5.0, 0.0, 0.3, 0.015, 1.5, 26.23, 0.1)
	f.Add(0.0, 4.0, 0.3, 0.03, 0.3, 0.1818, -1.0)
	f.Add(0.0, 0.0, math.NaN(), 0.0, -1.0, 1e300, math.NaN())
	f.Fuzz(func(t *testing.T, b, z, slope, n, depth, flow, plusMinus float64) {
		c := Channel{BedWidthM: Unsure(b), SideRunPerRise: z, SlopePct: Quantity{slope, plusMinus}, ManningN: Unsure(n)}
		for _, answer := range []func() (Stream, error){
			func() (Stream, error) { return c.At(Quantity{depth, plusMinus}) },
			func() (Stream, error) { return c.For(Quantity{flow, plusMinus}) },
		} {
			s, err := answer()
			sound(t, err, s.DepthM, s.FlowM3S, exactly(s.VelocityMS), exactly(s.HydraulicRadiusM))
		}
	})
}

// TestStreamCautions warns of what bare sand does not bear.
func TestStreamCautions(t *testing.T) {
	for velocityMS, want := range map[float64]int{bareSandMS: 0, bareSandMS + 0.1: 1, 0: 0} {
		all := Stream{VelocityMS: velocityMS}.Cautions()
		if got := len(all) - len(ChannelCautions); got != want {
			t.Errorf("at %v m/s %d more cautions %v, want %d", velocityMS, got, all, want)
		}
	}
}
