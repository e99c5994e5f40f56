package banks

import (
	"maps"
	"math"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
	"headcut/model/runoff"
)

func exactly(v float64) runoff.Quantity { return runoff.Quantity{Value: v} }

// spaced is what a rule says of a slope.
func spaced(t *testing.T, r Rule, slopePct float64) Spacing {
	t.Helper()
	s, err := r.Space(exactly(slopePct))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// apart is a fall of viM from bank to bank on a slope, whatever the slope.
func apart(t *testing.T, viM, slopePct float64) Spacing {
	t.Helper()
	r, err := Local(0, viM, "m", "")
	if err != nil {
		t.Fatal(err)
	}
	return spaced(t, r, slopePct)
}

func named(t *testing.T, name string) Rule {
	t.Helper()
	r, ok := RuleNamed(name)
	if !ok {
		t.Fatalf("no rule is called %s", name)
	}
	return r
}

func trapezoid(bedM, side, n float64) Channel {
	return Channel{BedWidthM: bedM, BankRunPerRise: side, UphillRunPerRise: exactly(side), ManningN: exactly(n)}
}

func trapezoidOf(t *testing.T, c modeltest.Case) Channel {
	return trapezoid(c.Number(t, "bottom"), c.Number(t, "side"), c.Number(t, "n"))
}

func flowAt(t *testing.T, c Channel, depthM, slope float64) Flow {
	t.Helper()
	f, err := c.At(exactly(depthM), exactly(100*slope))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func flowFor(t *testing.T, c Channel, flowM3S, slope float64) Flow {
	t.Helper()
	f, err := c.For(exactly(flowM3S), exactly(100*slope))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// storing is the depth at which water that stands on a level bank's land is so many square
// metres across.
func storing(t *testing.T, bankRunPerRise, slopePct, areaM2 float64) (depthM, perDepth2 float64) {
	c := Channel{BankRunPerRise: bankRunPerRise, UphillRunPerRise: Uphill(exactly(slopePct)), ManningN: exactly(0.03)}
	perDepth2 = flowAt(t, c, 1, 0.001).AreaM2
	return math.Sqrt(areaM2 / perDepth2), perDepth2
}

// halved finds where f passes nought between low and high.
func halved(low, high float64, f func(float64) float64) float64 {
	for range 60 {
		if m := (low + high) / 2; f(m) < 0 {
			low = m
		} else {
			high = m
		}
	}
	return high
}

// slip is wrong by what the source prints, and must stay so.
func slip(t *testing.T, c modeltest.Case, got float64) {
	t.Helper()
	if c.Expects("printed_slip") && c.Tolerance.Allows("printed_slip", got, modeltest.Want[float64](t, c, "printed_slip")) {
		t.Errorf("%s: %v is the slip that the source prints", c.ID, got)
	}
}

const cubicFootM3 = footM * footM * footM

// published says for each topic of the reference file how it is met.
var published = map[string]func(*testing.T, modeltest.Case){
	"vi_linear": func(t *testing.T, c modeltest.Case) {
		k, slope := c.Number(t, "k"), c.Number(t, "slope_pct")
		r := Rule{UnitM: k, PerPct: c.Number(t, "a"), Constant: c.Number(t, "b")}
		got := spaced(t, r, slope).VerticalM.Value
		c.Check(t, "VI", got)
		slip(t, c, got)
		if name := map[string]string{"BS01": "ramser", "BS02": "india-high-rainfall", "BS06": "rajasthan", "BS12": "kenya"}[c.ID]; name != "" {
			c.Check(t, "VI", spaced(t, named(t, name), slope).VerticalM.Value)
		}
	},
	"hi_from_vi": func(t *testing.T, c modeltest.Case) {
		c.Check(t, "HI", apart(t, c.Number(t, "VI"), c.Number(t, "slope_pct")).HorizontalM.Value)
	},
	"slope_distance": func(t *testing.T, c modeltest.Case) {
		vi := c.Number(t, "VI")
		c.Check(t, "d", apart(t, vi, 100*vi/c.Number(t, "HI")).AlongGroundM)
	},
	"length_per_ha": func(t *testing.T, c modeltest.Case) {
		c.Check(t, "m_per_ha", LengthPerHaM(c.Number(t, "spacing")))
	},
	"count_per_1000": func(t *testing.T, c modeltest.Case) { // a hectare is 10 m of 1000
		c.Check(t, "n", LengthPerHaM(c.Number(t, "HI"))/10)
	},
	"hillside_ditch_ft": func(t *testing.T, c modeltest.Case) {
		c.Check(t, "ft", spaced(t, named(t, "hillside-ditch"), c.Number(t, "slope_pct")).HorizontalM.Value/footM)
	},
	"interceptor_dike_ft": func(t *testing.T, c modeltest.Case) {
		c.Check(t, "ft", spaced(t, named(t, "interceptor-dike"), c.Number(t, "slope_pct")).HorizontalM.Value/footM)
	},
	"bank_catchment": func(t *testing.T, c modeltest.Case) {
		c.Check(t, "ha", LandAboveHa(c.Number(t, "length"), c.Number(t, "spacing")))
	},
	// Water that stands behind a level bank lies in the section in which it runs behind a
	// graded one.
	"bund_depth_re": func(t *testing.T, c modeltest.Case) {
		vi := c.Number(t, "VI")
		h, _ := storing(t, 0, 3, c.Number(t, "excess_cm")/100*apart(t, vi, 3).HorizontalM.Value)
		c.Check(t, "h", h)
	},
	"bund_depth_slope": func(t *testing.T, c modeltest.Case) {
		h, _ := storing(t, 0, c.Number(t, "slope_pct"), c.Number(t, "excess_cm")/100*c.Number(t, "spacing"))
		c.Check(t, "h", h)
	},
	"bund_depth_exact": func(t *testing.T, c modeltest.Case) {
		h, k := storing(t, c.Number(t, "z"), c.Number(t, "slope_pct"), c.Number(t, "runoff_m")*c.Number(t, "spacing"))
		c.Check(t, "k", k)
		c.Check(t, "h", h)
	},
	"freeboard_fraction": func(t *testing.T, c modeltest.Case) {
		h := c.Number(t, "h")
		c.Check(t, "H", Shape{FreeboardM: h * c.Number(t, "fraction")}.Heights(exactly(h)).SettledHeightM.Value)
	},
	"bund_widths": func(t *testing.T, c modeltest.Case) {
		z, height := c.Number(t, "z"), c.Number(t, "H")
		s := Shape{TopWidthM: modeltest.Want[float64](t, c, "top"), BankRunPerRise: z, OuterRunPerRise: z}
		c.Check(t, "base", s.BaseWidthM(height))
		c.Check(t, "base", (z+c.Number(t, "seepage"))*c.Number(t, "h"))
	},
	"trapezoid_area": func(t *testing.T, c modeltest.Case) {
		top, height := c.Number(t, "top"), c.Number(t, "height")
		lean := (c.Number(t, "base") - top) / height / 2
		c.Check(t, "area", Shape{TopWidthM: top, BankRunPerRise: lean, OuterRunPerRise: lean}.EarthM2(height))
	},
	"bank_section": func(t *testing.T, c modeltest.Case) {
		s := Shape{TopWidthM: c.Number(t, "top"), BankRunPerRise: c.Number(t, "z_up"), OuterRunPerRise: c.Number(t, "z_down")}
		c.Check(t, "area", s.EarthM2(c.Number(t, "height")))
	},
	"bank_volume": func(t *testing.T, c modeltest.Case) {
		// A bank of the area, half a metre high.
		l := sound()
		l.Shape = Shape{TopWidthM: c.Number(t, "area")/0.5 - 0.5, BankRunPerRise: 1, OuterRunPerRise: 1, FreeboardM: 0.25}
		l.DepthM, l.FlowM3S = new(exactly(0.25)), nil
		l.Line.Reaches = []Reach{{c.Number(t, "length"), 0.3}}
		c.Check(t, "m3", laid(t, l).EarthM3.Value)
	},
	"settle_build": func(t *testing.T, c modeltest.Case) {
		h := Shape{SettlePct: 100 * c.Number(t, "settlement")}.Heights(exactly(c.Number(t, "settled")))
		c.Check(t, "divide", h.BuiltHeightM.Value)
		if c.Tolerance.Allows("multiply", h.BuiltHeightM.Value, modeltest.Want[float64](t, c, "multiply")) {
			t.Errorf("%s: the height is multiplied", c.ID)
		}
	},
	"bank_advice": func(t *testing.T, c modeltest.Case) {
		a, ok := model.Find(BankAdvice, func(a Advice) bool {
			return string(a.Item) == c.Text(t, "item") && a.Of == c.Text(t, "of")
		})
		v := c.Number(t, "value")
		if inside := a.Inside(v, v); !ok || inside != modeltest.Want[bool](t, c, "ok") {
			t.Errorf("%s: %v is inside %+v: %t", c.ID, v, a, inside)
		}
		if c.Expects("m") {
			c.Check(t, "m", a.Low)
		}
	},
	"bank_fall": func(t *testing.T, c modeltest.Case) {
		c.Check(t, "fall", Line{Reaches: []Reach{{c.Number(t, "length"), 100 * c.Number(t, "grade")}}}.FallM())
	},
	"storm_drain_table": func(t *testing.T, c modeltest.Case) {
		s, ok := SizeFor(c.Number(t, "ha"))
		if !ok {
			t.Fatalf("%s: no size", c.ID)
		}
		c.Check(t, "width", s.WidthM)
		c.Check(t, "depth", s.DepthM)
	},
	"manning_trapezoid": func(t *testing.T, c modeltest.Case) {
		f := flowAt(t, trapezoidOf(t, c), c.Number(t, "y"), c.Number(t, "slope"))
		if c.Expects("Q") {
			c.Check(t, "Q", f.FlowM3S.Value)
		} else {
			c.Check(t, "v", f.VelocityMS)
		}
	},
	"manning_depth": func(t *testing.T, c modeltest.Case) {
		c.Check(t, "y", flowFor(t, trapezoidOf(t, c), c.Number(t, "Q"), c.Number(t, "slope")).DepthM.Value)
	},
	"manning_bottom": func(t *testing.T, c modeltest.Case) {
		c.Check(t, "b", halved(0, maxBedM, func(b float64) float64 {
			return flowAt(t, trapezoid(b, c.Number(t, "side"), c.Number(t, "n")), c.Number(t, "y"), c.Number(t, "slope")).FlowM3S.Value - c.Number(t, "Q")
		}))
	},
	"best_trapezoid_depth": func(t *testing.T, c modeltest.Case) {
		side := c.Number(t, "side")
		y := halved(leastDepth, MaxDepthM, func(y float64) float64 {
			best := trapezoid(2*y*(math.Hypot(1, side)-side), side, c.Number(t, "n"))
			return flowAt(t, best, y, c.Number(t, "slope")).FlowM3S.Value - c.Number(t, "Q")
		})
		c.Check(t, "y", y)
		slip(t, c, y)
	},
	"hillside_channel": func(t *testing.T, c modeltest.Case) {
		f := flowAt(t, Channel{BankRunPerRise: c.Number(t, "bank_z"), UphillRunPerRise: Uphill(exactly(100 * c.Number(t, "land_slope"))), ManningN: exactly(c.Number(t, "n"))},
			c.Number(t, "y"), c.Number(t, "grade"))
		for name, got := range map[string]float64{"area": f.AreaM2, "top_width": f.WaterWidthM, "v": f.VelocityMS, "Q": f.FlowM3S.Value} {
			if c.Expects(name) {
				c.Check(t, name, got)
			}
		}
		slip(t, c, f.AreaM2)
	},
	"flow_area_on_the_ground": func(t *testing.T, c modeltest.Case) { // width times depth over 2
		y, width := c.Number(t, "depth"), c.Number(t, "width")
		f := flowAt(t, Channel{UphillRunPerRise: exactly(width / y), ManningN: exactly(0.04)}, y, 0.002)
		if f.WaterWidthM != width {
			t.Errorf("%s: %v m wide, want %v", c.ID, f.WaterWidthM, width)
		}
		c.Check(t, "area", f.AreaM2)
	},
	"manning_us": func(t *testing.T, c modeltest.Case) {
		ditch := trapezoid(c.Number(t, "bottom")*footM, c.Number(t, "side"), c.Number(t, "n"))
		f := flowFor(t, ditch, c.Number(t, "Q")*cubicFootM3, c.Number(t, "slope"))
		c.Check(t, "y", f.DepthM.Value/footM)
		c.Check(t, "v", f.VelocityMS/footM)
		c.Check(t, "area", f.AreaM2/footM/footM)
		if c.Has("printed_slope") {
			y := flowFor(t, ditch, c.Number(t, "Q")*cubicFootM3, c.Number(t, "printed_slope")).DepthM.Value / footM
			if c.Tolerance.Allows("y", y, modeltest.Want[float64](t, c, "y")) {
				t.Errorf("%s: the gradient that the page prints fits after all: %v ft", c.ID, y)
			}
		}
	},
	"veg_velocity": func(t *testing.T, c modeltest.Case) {
		b, err := Permissible(c.Text(t, "cover"), modeltest.Input[bool](t, c, "easily_eroded"), false, c.Number(t, "slope_pct"))
		if allowed := modeltest.Want[bool](t, c, "allowed"); (err == nil) != allowed {
			t.Errorf("%s: %v, %v, want it allowed: %t", c.ID, b, err, allowed)
		}
		if c.Expects("m_s") {
			c.Check(t, "m_s", b.VelocityMS)
		}
	},
	"bare_velocity": func(t *testing.T, c modeltest.Case) {
		b, err := Permissible(c.Text(t, "cover"), true, false, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "m_s", b.VelocityMS)
	},
	"staff_series": func(t *testing.T, c modeltest.Case) {
		apartM, first := c.Number(t, "peg_spacing"), c.Number(t, "first_reading")
		line, from, instrumentM := Line{OutletLevelM: 50}, Top, 0.0
		for _, g := range modeltest.Input[[]float64](t, c, "grades") {
			if g < 0 {
				from = Outfall
			}
			line.Reaches = append(line.Reaches, Reach{apartM, 100 * math.Abs(g)})
		}
		pegs, err := line.Pegs(apartM, from)
		if err == nil {
			instrumentM = pegs[0].LevelM + first
			err = SetReadings(pegs, instrumentM, 5)
		}
		if err != nil {
			t.Fatal(err)
		}
		c.CheckAll(t, "readings", model.Each(pegs, func(p Peg) float64 { return *p.ReadingM }))
	},
	"local_grade": func(t *testing.T, c modeltest.Case) {
		apartM, fall := c.Number(t, "peg_spacing"), c.Number(t, "design_fall")
		r := checked(t, Check{Pegs: []Found{{LevelM: 10 + fall}, {ChainageM: apartM, LevelM: 10 + c.Number(t, "error")}}, OutletAt: Top,
			Reaches: []Reach{{apartM, 100 * fall / apartM}}, Basis: model.Levelled})
		c.Check(t, "grade", r.Lengths[0].GradePct/100)
	},
}

func TestPublishedBanks(t *testing.T) {
	for _, topic := range slices.Sorted(maps.Keys(published)) {
		for _, c := range modeltest.Cases(t, "banks", topic) {
			published[topic](t, c)
		}
	}
}
