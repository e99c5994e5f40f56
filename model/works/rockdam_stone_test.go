package works

import (
	"errors"
	"fmt"
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

// An upright face has no stone on a slope; its apron takes the fall. Worked by hand after Rand
// (1955; the coefficients from memory): 0.1 m3/s on each metre falling 0.5 m has the drop
// number 0.01 / (9.80665 * 0.125) = 0.0081577, leaves the foot 0.54 * 0.5 * 0.0081577^0.425 =
// 0.034977 m deep, and so at 2.8590 m/s; 2.8590^2 / (2 * 9.80665 * 0.86^2 * 1.65) * 1.2 =
// 0.40981 m.
func TestApronBelowAnUprightFaceTakesTheFall(t *testing.T) {
	d := cased()
	d.CrestHeightM, d.NotchLengthM, d.DownstreamRunPerRise = 0.5, 1, 0
	got, err := d.FlowStone(0.1)
	if err != nil || got.FaceM != nil || got.ApronRule != ImpactRule || math.Abs(got.ApronM-0.40981) > 0.0005 {
		t.Errorf("FlowStone = %+v, %v; want no face, an apron of 0.4098 m by the fall", got, err)
	}
	if slices.ContainsFunc(got.Cautions, func(c model.Caution) bool { return c.About == "faceStoneMM" }) {
		t.Errorf("an upright dam is cautioned about its face: %v", got.Cautions)
	}
}

// TestStoneGrowsSteadilyWithTheSlope: a face a hair steeper than 1 in 2.5 once asked for six
// times the stone. From the flattest face to 1 in 2 neither stone nor apron jumps, and no
// flatter face asks for more. At 1 in 2 it is 1.68 times the stone of 1 in 2.5, worked by hand:
// with tan 37° 0.75355, overtopping is 1.498 / 0.5946 at 50 %, and 0.7535 / 0.5030 at 40 %.
func TestStoneGrowsSteadilyWithTheSlope(t *testing.T) {
	d := cased()
	d.CrestHeightM, d.NotchLengthM = 0.5, 1
	at := func(run float64) FlowStone {
		d.DownstreamRunPerRise = run
		got, err := d.FlowStone(0.05)
		if err != nil || got.FaceM == nil || got.ApronM != *got.FaceM {
			t.Fatalf("1 in %v: %+v, %v; want a face, carried on over the apron", run, got, err)
		}
		return got
	}
	before := *at(2).FaceM
	for run := 2.005; run <= 6; run += 0.005 {
		now := *at(run).FaceM
		if now > before || now < 0.98*before {
			t.Fatalf("1 in %.3f asks for %.4f m, and 1 in %.3f for %.4f m", run, now, run-0.005, before)
		}
		before = now
	}
	if grown := at(2).ApronM / at(2.5).ApronM; math.Abs(grown-1.682) > 0.003 || at(2).FaceRule != SteepFaceRule || at(2.5).FaceRule != ChuteRule {
		t.Errorf("1 in 2 asks for %.4f times the stone of 1 in 2.5 by %q", grown, at(2).FaceRule)
	}
	if told := slices.ContainsFunc(at(2).Cautions, func(c model.Caution) bool { return strings.Contains(c.Text, "HEC-23") }); !told {
		t.Errorf("1 in 2: no caution says that the rule for chutes was left: %v", at(2).Cautions)
	}
}

// TestLowDamOfOneInTwo: 0.4 and 0.5 m of loose rock with the face that county manuals and our
// own advice ask for were refused at any flow.
func TestLowDamOfOneInTwo(t *testing.T) {
	for _, crestM := range []float64{0.4, 0.5} {
		for _, flow := range []float64{0.005, 0.05} {
			d := cased()
			d.CrestHeightM, d.NotchLengthM, d.NotchDepthM, d.UpstreamRunPerRise, d.DownstreamRunPerRise, d.FlowM3S = crestM, 1, 0.3, 2, 2, &flow
			if q := quantities(t, d); q.ApronThicknessM > 0.35 || 1000*q.Stone.ApronM > 200 {
				t.Errorf("%v m with %v m3/s: stone of %.3f m, apron %.2f m", crestM, flow, q.Stone.ApronM, q.ApronThicknessM)
			}
		}
	}
}

// TestSteepLooseRockIsRefusedUnderWater, and the way out it names is one.
func TestSteepLooseRockIsRefusedUnderWater(t *testing.T) {
	d, flow := cased(), 0.05
	d.CrestHeightM, d.NotchLengthM, d.NotchDepthM, d.DownstreamRunPerRise, d.FlowM3S = 0.4, 1, 0.3, 1.5, &flow
	_, err := d.Quantities()
	if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != "downstreamRunPerRise" || !strings.Contains(p.Fix, "1 in 2") || !strings.Contains(p.Fix, "netting") {
		t.Fatalf("a face of 1 in 1.5 under water: %v", err)
	}
	back, fenced, dry := d, d, d
	back.DownstreamRunPerRise, dry.FlowM3S = 2, nil
	fenced.Kind, fenced.UpstreamRunPerRise, fenced.DownstreamRunPerRise = Netting, 0, 0
	for name, way := range map[string]DamBuild{"laid back": back, "netting": fenced, "no flow": dry} {
		if _, err := way.Quantities(); err != nil {
			t.Errorf("%s, as advised: %v", name, err)
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

// An apron of large stone cannot be 0.3 m thick: two stones make the layer, and one that the
// officer gives thinner is cautioned.
func TestApronIsTwoStonesThick(t *testing.T) {
	d := cased()
	flow := 0.1
	d.CrestHeightM, d.NotchLengthM, d.NotchDepthM, d.DownstreamRunPerRise, d.FlowM3S = 0.2, 1, 0.3, 2, &flow
	q := quantities(t, d)
	if q.ApronThicknessM != 2*q.Stone.ApronM || q.ApronThicknessM <= 0.4 || math.Abs(q.ApronM3-q.ApronLengthM*q.ApronWidthM*q.ApronThicknessM) > 1e-9 {
		t.Errorf("an apron of stone of %v m is %v m thick and takes %v m3", q.Stone.ApronM, q.ApronThicknessM, q.ApronM3)
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

// TestNoPitForAnApron: a flow that asks by default for a pit deeper than a metre at the toe is
// refused with the reason, and each way out that the refusal names is one. What does not fit
// the kind of dam is not named.
func TestNoPitForAnApron(t *testing.T) {
	flow := 1.5
	loose := cased()
	loose.BedWidthM, loose.CrestHeightM, loose.NotchLengthM, loose.NotchDepthM, loose.UpstreamRunPerRise, loose.DownstreamRunPerRise, loose.FlowM3S = 4, 0.4, 3, 0.5, 2, 2, &flow
	netting := loose
	netting.Kind, netting.UpstreamRunPerRise, netting.DownstreamRunPerRise = Netting, 0, 0
	brush := netting
	small := 0.5
	brush.Kind, brush.BedWidthM, brush.LeftRunPerRise, brush.RightRunPerRise, brush.NotchLengthM, brush.FlowM3S = Brushwood, 1.5, 0, 0, 1, &small
	for name, c := range map[string]struct {
		dam  DamBuild
		says []string
		not  []string
	}{
		"loose rock": {loose, []string{"lengthen the notch to 3.3 m", "1 in 3"}, []string{"lower"}},
		"netting":    {netting, []string{"lower the dam to 0.2 m"}, []string{"face"}},
		"brushwood":  {brush, []string{"lower the dam to 0.2 m"}, []string{"face", "netting"}},
	} {
		_, err := c.dam.Quantities()
		p, ok := errors.AsType[*model.Problem](err)
		if !ok || p.Path != "apronThicknessM" || !strings.Contains(p.Reason, "an engineer's structure") {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, words := range c.says {
			if !strings.Contains(p.Fix, words) {
				t.Errorf("%s: %q does not say %q", name, p.Fix, words)
			}
		}
		for _, words := range c.not {
			if strings.Contains(p.Fix, words) {
				t.Errorf("%s: %q says %q", name, p.Fix, words)
			}
		}
		var m float64
		if _, after, found := strings.Cut(p.Fix, "lengthen the notch to "); found {
			fmt.Sscan(after, &m)
			longer := c.dam
			longer.NotchLengthM = m
			quantities(t, longer)
		}
		if _, after, found := strings.Cut(p.Fix, "lower the dam to "); found {
			fmt.Sscan(after, &m)
			lower := c.dam
			lower.CrestHeightM = m
			quantities(t, lower)
		}
		if strings.Contains(p.Fix, "1 in 3") {
			back := c.dam
			back.DownstreamRunPerRise = 3
			quantities(t, back)
		}
	}
	buried := func(q DamQuantities) bool {
		return slices.ContainsFunc(q.Cautions, func(c model.Caution) bool { return strings.Contains(c.Text, "buries a person") })
	}
	d := loose
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

// TestNotchUnderTheBed: on a bed of 20 % the ground comes up to the bottom of the notch before
// its upstream edge: 0.4 m of crest is 2 m of bed, and the notch ends at 0.4*2 + 0.5 + 0.3*4 =
// 2.5 m.
func TestNotchUnderTheBed(t *testing.T) {
	d := cased()
	d.CrestHeightM, d.CrestBreadthM, d.NotchDepthM, d.NotchLengthM, d.UpstreamRunPerRise, d.DownstreamRunPerRise = 0.4, 0.5, 0.3, 1, 2, 2
	for slopePct, want := range map[float64]bool{15.9: false, 16.1: true, 20: true} {
		d.BedSlopePct = slopePct
		told := slices.ContainsFunc(quantities(t, d).Cautions, func(c model.Caution) bool { return c.About == "bedSlopePct" })
		if told != want {
			t.Errorf("on %v %%: cautioned %v, want %v", slopePct, told, want)
		}
	}
}

// TestDamSaysWhatIsMissing: a size left out is said to be missing, not to be 0, and half a
// key is not dropped, of whatever the dam is built.
func TestDamSaysWhatIsMissing(t *testing.T) {
	for path, leave := range map[string]func(*DamBuild){
		"crestBreadthM":        func(d *DamBuild) { d.CrestBreadthM = 0 },
		"upstreamRunPerRise":   func(d *DamBuild) { d.UpstreamRunPerRise = 0 },
		"downstreamRunPerRise": func(d *DamBuild) { d.DownstreamRunPerRise = 0 },
	} {
		d := cased()
		leave(&d)
		refusedAsMissing(t, d, path)
	}
	for _, kind := range []DamKind{LooseRock, Netting, Brushwood} {
		for path, key := range map[string][3]float64{"keyWidthM": {0.5, 0, 0}, "keyDepthM": {0, 0.5, 0}} {
			d := cased()
			if d.Kind = kind; kind != LooseRock {
				upright(&d)
			}
			d.KeyDepthM, d.KeyWidthM, d.KeyIntoBankM = key[0], key[1], key[2]
			refusedAsMissing(t, d, path)
		}
	}
}

func refusedAsMissing(t *testing.T, d DamBuild, path string) {
	t.Helper()
	_, err := d.Quantities()
	if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != path || p.Reason != "is missing" || p.Fix == "" {
		t.Errorf("%s of %s: %v", path, d.Kind, err)
	}
}
