package works

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// The stone stands on the step's face, not on the bed: a bed of 5 % under a face of 40 %
// once asked for less than half the stone.
func TestFaceStoneIsSizedOnTheFace(t *testing.T) {
	d := cased()
	d.BedSlopePct, d.DownstreamRunPerRise, d.Stone = 5, 2.5, "any, by county manuals"
	d.NotchLengthM = 1
	// CH03: 0.93 m3/s on each metre down 40 %, printed as 360 mm without a factor.
	want := StoneFactor * modeltest.Want[float64](t, modeltest.Named(t, "gully", "CH03"), "d50_mm") / 1000
	got, err := d.FlowStone(0.93)
	if err != nil || got.FaceM == nil || math.Abs(*got.FaceM/want-1) > 0.006 || got.FaceRule != ChuteRule {
		t.Fatalf("FlowStone(0.93) = %+v, %v; want a face of %.3f m by the rule for chutes", got, err, want)
	}
	if got.ApronM != *got.FaceM || got.ApronRule != ChuteRule {
		t.Errorf("the apron of a chute is %v m by %q, want the face's stone carried on", got.ApronM, got.ApronRule)
	}
	if !slices.ContainsFunc(got.Cautions, func(c model.Caution) bool { return strings.Contains(c.Text, "1 in 3") }) {
		t.Errorf("a face of 1 in 2.5 has no caution that chutes are kept to 1 in 3: %v", got.Cautions)
	}
	flat := d
	flat.BedSlopePct = 0
	if other, err := flat.FlowStone(0.93); err != nil || *other.FaceM != *got.FaceM {
		t.Errorf("another bed slope changed the face's stone: %+v, %v", other, err)
	}
}

// An upright face has no stone on a slope, and one steeper than 40 % no printed rule; the
// apron then takes the whole fall. Worked by hand: 0.1 m3/s on each metre has a head of
// 1.5 (0.01/9.80665)^(1/3) = 0.1510 m; with a fall of 0.5 m V2/2g = 0.6510 m, and
// 0.6510 / (0.86^2 * 1.65) * 1.2 = 0.6401 m.
func TestApronBelowASteepFaceTakesTheFall(t *testing.T) {
	for _, run := range []float64{0, 1.5, 2.49} {
		d := cased()
		d.CrestHeightM, d.NotchLengthM, d.DownstreamRunPerRise = 0.5, 1, run
		got, err := d.FlowStone(0.1)
		if err != nil || got.FaceM != nil || got.ApronRule != ImpactRule || math.Abs(got.ApronM-0.6401) > 0.0005 {
			t.Errorf("run %v: FlowStone = %+v, %v; want no face, an apron of 0.6401 m by the fall", run, got, err)
		}
		told := slices.ContainsFunc(got.Cautions, func(c model.Caution) bool { return c.About == "faceStoneMM" })
		if told != (run > 0) {
			t.Errorf("run %v: cautions %v; want one about the face only where there is stone on a slope", run, got.Cautions)
		}
	}
}

func TestFlowStoneRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		notch, flow float64
		path        string
	}{
		"no-notch":         {0, 0.5, "notchLengthM"},
		"no-notch-no-flow": {0, 0, "flowM3S"},
		"litres":           {1, 500, "flowM3S"},
		"not-a-number":     {1, math.NaN(), "flowM3S"},
	} {
		d := cased()
		d.NotchLengthM = c.notch
		_, err := d.FlowStone(c.flow)
		if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
			t.Errorf("%s: %v, want a problem at %q", name, err, c.path)
		}
	}
}

// An apron of stone 0.29 m across cannot be 0.3 m thick: two stones make the layer, and one
// that the officer gives thinner is cautioned.
func TestApronIsTwoStonesThick(t *testing.T) {
	d := cased()
	flow := 0.05
	d.CrestHeightM, d.NotchLengthM, d.NotchDepthM, d.DownstreamRunPerRise, d.FlowM3S = 0.2, 1, 0.3, 1.25, &flow
	q := quantities(t, d)
	if math.Abs(q.ApronThicknessM-2*0.2902) > 0.001 || math.Abs(q.ApronM3-q.ApronLengthM*q.ApronWidthM*q.ApronThicknessM) > 1e-9 {
		t.Errorf("an apron of stone of 0.290 m is %v m thick and takes %v m3", q.ApronThicknessM, q.ApronM3)
	}
	told := func(q DamQuantities, about string) bool {
		return slices.ContainsFunc(q.Cautions, func(c model.Caution) bool { return c.About == about })
	}
	if told(q, "apronThicknessM") {
		t.Errorf("the default is cautioned: %v", q.Cautions)
	}
	d.ApronThicknessM = 0.3
	if q := quantities(t, d); q.ApronThicknessM != 0.3 || !told(q, "apronThicknessM") {
		t.Errorf("a thin apron has no caution: %v", q.Cautions)
	}
	d.FlowM3S, d.ApronThicknessM = nil, 0
	if q := quantities(t, d); q.ApronThicknessM != LeastApronM {
		t.Errorf("without a flow the apron is %v m thick, want %v", q.ApronThicknessM, LeastApronM)
	}
}

// TestNoPitForAnApron: 6 ha at C 0.5 over a notch of 3 m asked, by default, for a pit 1.6 m
// deep at the toe. It is refused with the reason; laid back to 1 in 3, the dam is given.
func TestNoPitForAnApron(t *testing.T) {
	d, flow := cased(), 1.0
	d.BedWidthM, d.CrestHeightM, d.NotchLengthM, d.NotchDepthM, d.UpstreamRunPerRise, d.DownstreamRunPerRise, d.FlowM3S = 4, 0.4, 3, 0.5, 2, 2, &flow
	_, err := d.Quantities()
	if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != "apronThicknessM" || !strings.Contains(p.Reason, "an engineer's structure") || p.Fix == "" {
		t.Errorf("a pit of 1.5 m: %v", err)
	}
	back := d
	back.DownstreamRunPerRise = 3
	if q := quantities(t, back); q.ApronThicknessM > 1 {
		t.Errorf("laid back, the apron is %v m thick", q.ApronThicknessM)
	}
	buried := func(q DamQuantities) bool {
		return slices.ContainsFunc(q.Cautions, func(c model.Caution) bool { return strings.Contains(c.Text, "buries a person") })
	}
	for thickM, want := range map[float64]bool{0.3: false, 0.9: true} {
		d.ApronThicknessM = thickM
		if q := quantities(t, d); buried(q) != want {
			t.Errorf("a pit of %v m: %v", thickM, q.Cautions)
		}
	}
	d.ApronThicknessM, d.KeyDepthM = 0.3, 1.5
	if !buried(quantities(t, d)) {
		t.Error("a key of 1.5 m has no caution")
	}
}

// TestLooseRockSaysWhatIsMissing: a size left out is said to be missing, not to be 0, and half a
// key is not dropped.
func TestLooseRockSaysWhatIsMissing(t *testing.T) {
	for path, leave := range map[string]func(*DamBuild){
		"crestBreadthM":        func(d *DamBuild) { d.CrestBreadthM = 0 },
		"upstreamRunPerRise":   func(d *DamBuild) { d.UpstreamRunPerRise = 0 },
		"downstreamRunPerRise": func(d *DamBuild) { d.DownstreamRunPerRise = 0 },
		"keyWidthM":            func(d *DamBuild) { d.KeyDepthM, d.KeyWidthM, d.KeyIntoBankM = 0.5, 0, 0 },
		"keyDepthM":            func(d *DamBuild) { d.KeyDepthM, d.KeyWidthM, d.KeyIntoBankM = 0, 0.5, 0 },
	} {
		d := cased()
		leave(&d)
		_, err := d.Quantities()
		if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != path || p.Reason != "is missing" || p.Fix == "" {
			t.Errorf("%s: %v", path, err)
		}
	}
}
