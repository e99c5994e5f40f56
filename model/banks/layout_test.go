package banks

import (
	"errors"
	"math"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/runoff"
	"pgregory.net/rapid"
)

// sound is a bank on 4 % land that carries its peak at a gentle pace.
func sound() Layout {
	return Layout{
		Line:    Line{Reaches: []Reach{{100, 0.2}, {50, 0.3}}, OutletLevelM: 50},
		Outlet:  Outlet{Kind: Waterway, LevelM: 50, Stable: true},
		Channel: Channel{BankRunPerRise: 3, UphillRunPerRise: Uphill(exactly(4)), ManningN: exactly(0.04)},
		Shape:   Shape{TopWidthM: 3, BankRunPerRise: 3, OuterRunPerRise: 3, FreeboardM: 0.15, SettlePct: 10},
		FlowM3S: new(exactly(0.4)),
		Bearing: Bearing{VelocityMS: 0.8},
	}
}

func laid(t *testing.T, l Layout) Plan {
	t.Helper()
	p, err := l.Lay()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

// The three heights stay apart: BC10 says that 0.3 m of water carries 0.396 m³/s at 0.2 %.
func TestLay(t *testing.T) {
	l := sound()
	l.FlowM3S = new(exactly(0.396))
	p := laid(t, l)
	h := p.Heights
	if !near(h.FlowDepthM.Value, 0.3, 1e-3) || !near(h.SettledHeightM.Value, 0.45, 1e-3) || !near(h.BuiltHeightM.Value, 0.5, 1e-3) {
		t.Errorf("heights %+v, want 0.30, 0.45 and 0.50 m", h)
	}
	if !near(p.BaseWidthM, 6, 0.01) || !near(p.EarthPerM.Value, 2.25, 0.01) || !near(p.EarthM3.Value, 337.5, 1.5) {
		t.Errorf("base %v m, %v m3/m, %v m3, want 6, 2.25 and 337.5", p.BaseWidthM, p.EarthPerM.Value, p.EarthM3.Value)
	}
	if p.Flattest.GradePct != 0.2 || p.Steepest.GradePct != 0.3 || !(p.Steepest.VelocityMS > p.Flattest.VelocityMS) {
		t.Errorf("flattest %+v, steepest %+v", p.Flattest, p.Steepest)
	}
	if p.Verdict != model.OK || p.Reasons != nil {
		t.Errorf("%s: %q", p.Verdict, p.Reasons)
	}
}

func TestLayFails(t *testing.T) {
	for _, c := range []struct {
		name   string
		edit   func(*Layout)
		reason string
	}{
		{"too-fast", func(l *Layout) { l.Bearing.VelocityMS = 0.3 }, "and the channel bears 0.30"},
		{"too-shallow", func(l *Layout) { l.DepthM = new(exactly(0.25)) }, "of a peak of 0.400"},
		{"too-long", func(l *Layout) { l.LengthLimitM = 149.9 }, "over the limit of 149.9 m"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := sound()
			c.edit(&l)
			if p := laid(t, l); p.Verdict != model.Fails || len(p.Reasons) != 1 || !strings.Contains(p.Reasons[0], c.reason) {
				t.Errorf("%s: %q, want one reason: %s", p.Verdict, p.Reasons, c.reason)
			}
		})
	}
	l := sound()
	l.LengthLimitM, l.DepthM = 150, new(exactly(0.31))
	if p := laid(t, l); p.Verdict != model.OK {
		t.Errorf("at its limits: %q", p.Reasons)
	}
}

// At the grade that the plan names, the flow runs at what the channel bears.
func TestSteepestGrade(t *testing.T) {
	l := sound()
	l.Bearing.VelocityMS = 0.6
	p := laid(t, l)
	if f := flowFor(t, l.Channel, l.FlowM3S.Value, p.SteepestPct/100); !near(f.VelocityMS, l.Bearing.VelocityMS, 1e-9) {
		t.Errorf("at %v %% the water runs at %v m/s, want %v", p.SteepestPct, f.VelocityMS, l.Bearing.VelocityMS)
	}
	l.Bearing.VelocityMS = 3
	if p := laid(t, l); p.SteepestPct != MostGradePct {
		t.Errorf("over good grass: up to %v %%, want no more than a bank may have", p.SteepestPct)
	}
	l.Bearing = Bearing{}
	if p := laid(t, l); p.SteepestPct != 0 || p.Verdict != model.OK {
		t.Errorf("nothing known of the ground: up to %v %%, %s", p.SteepestPct, p.Verdict)
	}
}

func TestWithoutAPeak(t *testing.T) {
	l := sound()
	l.FlowM3S, l.DepthM = nil, new(runoff.Quantity{Value: 0.3, PlusMinus: 0.01})
	p := laid(t, l)
	if !near(p.CapacityM3S.Value, 0.396, 1e-3) || p.Steepest.DepthM.Value != 0.3 || p.Verdict != model.OK {
		t.Errorf("%+v", p)
	}
	l.DepthM = nil
	if _, err := l.Lay(); !refused(err, "flowM3S") {
		t.Errorf("neither peak nor depth: %v", err)
	}
}

func refused(err error, path string) bool {
	p, ok := errors.AsType[*model.Problem](err)
	return ok && p.Path == path && p.Reason != ""
}

// Each outlet that is not safe is refused with what to do.
func TestOutletIsSafe(t *testing.T) {
	for _, c := range []struct {
		name string
		edit func(*Outlet)
		path string
	}{
		{"none", func(o *Outlet) { o.Kind = NoOutlet }, "outlet.kind"},
		{"unknown", func(o *Outlet) { o.Kind = "creek" }, "outlet.kind"},
		{"bare", func(o *Outlet) { o.Stable = false }, "outlet.stable"},
		{"gully-head", func(o *Outlet) { o.ToGullyHead = true }, "outlet.toGullyHead"},
		{"neighbour", func(o *Outlet) { o.ToNeighbour = true }, "outlet.toNeighbour"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := sound()
			c.edit(&l.Outlet)
			_, err := l.Lay()
			if p, _ := errors.AsType[*model.Problem](err); !refused(err, c.path) || p.Fix == "" {
				t.Errorf("%+v: %v, want it refused at %s with a fix", l.Outlet, err, c.path)
			}
		})
	}
}

// For is the inverse of At in any channel.
func TestChannelLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Channel{BedWidthM: rapid.Float64Range(0, 4).Draw(t, "b"), BankRunPerRise: rapid.Float64Range(0, 8).Draw(t, "z"),
			UphillRunPerRise: exactly(rapid.Float64Range(0.5, 100).Draw(t, "u")), ManningN: exactly(rapid.Float64Range(0.02, 0.2).Draw(t, "n"))}
		y, grade := rapid.Float64Range(0.05, 1.5).Draw(t, "y"), exactly(rapid.Float64Range(LeastGradePct, MostGradePct).Draw(t, "grade"))
		at, err := c.At(exactly(y), grade)
		if err != nil {
			t.Fatal(err)
		}
		if q := at.FlowM3S.Value; q < leastFlow || q > mostFlow {
			return
		}
		back, err := c.For(at.FlowM3S, grade)
		if err != nil || !near(back.DepthM.Value, y, 1e-9) {
			t.Fatalf("%v m3/s runs %v m deep, want %v (%v)", at.FlowM3S.Value, back.DepthM.Value, y, err)
		}
		if pct := c.GradeForPct(at.FlowM3S.Value, at.VelocityMS); !near(pct, grade.Value, 1e-9) {
			t.Fatalf("it runs as fast at %v %%, want %v", pct, grade.Value)
		}
	})
}

func TestCautions(t *testing.T) {
	about := func(all []model.Caution) (names []string) {
		for _, c := range all {
			names = append(names, c.About)
		}
		return names
	}
	for _, c := range []struct {
		name string
		edit func(*Layout)
		want string
	}{
		{"sound", func(*Layout) {}, ""},
		{"fast", func(l *Layout) {
			l.FlowM3S, l.Line.Reaches, l.Bearing.VelocityMS = new(exactly(10)), []Reach{{100, 2}}, 3
		}, "velocityMS"},
		{"unknown-ground", func(l *Layout) { l.Bearing = Bearing{} }, "permissibleMS"},
		{"unknown-peak", func(l *Layout) { l.FlowM3S, l.DepthM = nil, new(exactly(0.3)) }, "flowM3S"},
		{"barely", func(l *Layout) { l.DepthM = new(runoff.Quantity{Value: 0.31, PlusMinus: 0.01}) }, "capacityM3S"},
		{"amply", func(l *Layout) { l.DepthM = new(runoff.Quantity{Value: 0.4, PlusMinus: 0.01}) }, ""},
		{"enough-freeboard", func(l *Layout) { l.Shape.FreeboardM = 0.1 }, ""},
		{"little-freeboard", func(l *Layout) { l.Shape.FreeboardM = 0.09 }, "freeboardM"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := sound()
			c.edit(&l)
			if got := strings.Join(about(l.Cautions(laid(t, l))), " "); got != c.want {
				t.Errorf("cautions about %q, want %q", got, c.want)
			}
		})
	}
	for _, c := range []struct {
		slope      float64
		ha         *float64
		dispersive bool
		want       string
	}{
		{10, new(4.05), false, ""}, {10.5, nil, false, "landSlopePct"}, {0, new(4.1), false, "areaHa"}, {3, nil, true, "dispersive"},
	} {
		got := SiteCautions(c.slope, c.ha, c.dispersive)[len(Cautions):]
		if names := strings.Join(about(got), " "); names != c.want {
			t.Errorf("cautions of %+v are about %q, want %q", c, names, c.want)
		}
	}
}
