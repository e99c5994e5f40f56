package works

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
	"pgregory.net/rapid"
)

func TestPublishedPonds(t *testing.T) {
	worst := 0.0
	cases := modeltest.Cases(t, "runoff", "ponding_behind_contour_bank")
	for _, c := range cases {
		lip := Lip{HeightM: c.Number(t, "h_m"), GroundSlopePct: 100 * c.Number(t, "ground_slope"), FaceRunPerRise: c.Number(t, "face_z")}
		p, err := lip.Hold(math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "m3_per_m", p.M3PerM)
		c.Check(t, "backwater_m", p.BackwaterM)
		worst = max(worst, math.Abs(p.M3PerM-modeltest.Want[float64](t, c, "m3_per_m")))
	}
	slots := modeltest.Cases(t, "runoff", "rip_slot_storage")
	for _, c := range slots {
		slot := Slot{TopWidthM: c.Number(t, "top_width_m"), DepthM: c.Number(t, "depth_m"), Shape: SlotShape(modeltest.Input[string](t, c, "shape"))}
		m3PerM, _, err := slot.Hold()
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "m3_per_m", m3PerM)
		c.Check(t, "m3_per_ha", m3PerM*10_000/c.Number(t, "spacing_m"))
		worst = max(worst, math.Abs(m3PerM-modeltest.Want[float64](t, c, "m3_per_m")))
	}
	if len(cases) != 2 || len(slots) != 1 {
		t.Errorf("%d ponds and %d slots, want 2 and 1", len(cases), len(slots))
	}
	t.Logf("%d cases, worst difference %.2g m3 a metre", len(cases)+len(slots), worst)
}

// TestPondBySlices adds the water up slice by slice up the slope, to the next line at most.
func TestPondBySlices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lip := Lip{HeightM: rapid.Float64Range(0.05, 1).Draw(t, "height"), GroundSlopePct: rapid.Float64Range(0.2, 30).Draw(t, "slope"), FaceRunPerRise: rapid.Float64Range(0, 4).Draw(t, "face")}
		reach := rapid.Float64Range(0.5, 200).Draw(t, "reach")
		p, err := lip.Hold(reach)
		if err != nil {
			t.Fatal(err)
		}
		const slices = 2_000
		width := min(reach, p.BackwaterM) / slices
		sum := 0.0
		for i := range slices {
			sum += width * max(0, lip.HeightM-lip.GroundSlopePct/100*(float64(i)+0.5)*width)
		}
		sum += lip.HeightM * lip.HeightM * lip.FaceRunPerRise / 2
		if math.Abs(p.M3PerM/sum-1) > 1e-6 {
			t.Fatalf("%+v up to %v m holds %v m3, by slices %v", lip, reach, p.M3PerM, sum)
		}
	})
}

func TestPondSpread(t *testing.T) {
	random := rand.New(rand.NewPCG(20261125, 61))
	for _, reach := range []float64{math.Inf(1), 6} {
		lip := Lip{HeightM: 0.3, HeightPlusMinusM: 0.01, FaceRunPerRise: 2, GroundSlopePct: 2, SlopePlusMinusPct: 0.05}
		base, err := lip.Hold(reach)
		if err != nil {
			t.Fatal(err)
		}
		var held, back spread
		for range 10_000 {
			l := lip
			l.HeightM += l.HeightPlusMinusM * random.NormFloat64()
			l.GroundSlopePct += l.SlopePlusMinusPct * random.NormFloat64()
			p, err := l.Hold(reach)
			if err != nil {
				t.Fatal(err)
			}
			held.add(p.M3PerM)
			back.add(p.BackwaterM)
		}
		held.check(t, fmt.Sprint("water up to ", reach), base.PlusMinusM3PerM)
		back.check(t, "backwater", base.BackwaterPlusMinM)
	}
	slot := Slot{TopWidthM: 0.3, WidthPlusMinusM: 0.01, DepthM: 0.4, DepthPlusMinusM: 0.02, Shape: Triangle}
	_, plusMinus, err := slot.Hold()
	if err != nil {
		t.Fatal(err)
	}
	var held spread
	for range 10_000 {
		s := slot
		s.TopWidthM += s.WidthPlusMinusM * random.NormFloat64()
		s.DepthM += s.DepthPlusMinusM * random.NormFloat64()
		v, _, err := s.Hold()
		if err != nil {
			t.Fatal(err)
		}
		held.add(v)
	}
	held.check(t, "slot", plusMinus)
}

func TestPondsThatAreRefused(t *testing.T) {
	good := Lip{HeightM: 0.3, GroundSlopePct: 2, FaceRunPerRise: 2}
	slot := Slot{TopWidthM: 0.3, DepthM: 0.4, Shape: Triangle}
	lip := func(change func(*Lip)) error { l := good; change(&l); _, err := l.Hold(10); return err }
	cut := func(change func(*Slot)) error { s := slot; change(&s); _, _, err := s.Hold(); return err }
	tests := []struct {
		name, path string
		err        error
	}{
		{"millimetres", "heightM", lip(func(l *Lip) { l.HeightM = 300 })},
		{"height-not-a-number", "heightM", lip(func(l *Lip) { l.HeightM = math.NaN() })},
		{"height-nought", "heightM", lip(func(l *Lip) { l.HeightM = 0 })},
		{"slope-as-a-ratio", "groundSlopePct", lip(func(l *Lip) { l.GroundSlopePct = 0.02 })},
		{"slope-negative", "groundSlopePct", lip(func(l *Lip) { l.GroundSlopePct = -2 })},
		{"face-negative", "faceRunPerRise", lip(func(l *Lip) { l.FaceRunPerRise = -1 })},
		{"plus-minus-negative", "heightPlusMinusM", lip(func(l *Lip) { l.HeightPlusMinusM = -1 })},
		{"slope-plus-minus", "slopePlusMinusPct", lip(func(l *Lip) { l.SlopePlusMinusPct = math.Inf(1) })},
		{"slot-in-millimetres", "depthM", cut(func(s *Slot) { s.DepthM = 400 })},
		{"slot-without-width", "topWidthM", cut(func(s *Slot) { s.TopWidthM = 0 })},
		{"shape-unheard-of", "shape", cut(func(s *Slot) { s.Shape = "round" })},
	}
	for _, test := range tests {
		if p, ok := errors.AsType[*model.Problem](test.err); !ok || p.Path != test.path {
			t.Errorf("%s: %v, want a problem at %s", test.name, test.err, test.path)
		}
	}
}
