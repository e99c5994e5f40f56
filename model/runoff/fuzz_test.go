package runoff

import (
	"errors"
	"math"
	"testing"

	"headcut/model"
)

// sound fails for an error that is no problem with a place, and for figures that are no
// finite numbers.
func sound(t *testing.T, err error, figures ...Quantity) {
	t.Helper()
	if err != nil {
		if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
			t.Fatalf("refused with %v, want a problem that names its place", err)
		}
		return
	}
	for _, q := range figures {
		if math.IsNaN(q.Value+q.PlusMinus) || math.IsInf(q.Value+q.PlusMinus, 0) || q.Value < 0 {
			t.Fatalf("answered %v", figures)
		}
	}
}

func FuzzNotch(f *testing.F) {
	f.Add(1.5, 0.02, 0.5, 0.1, 0.2, 0.01, 0.0, 1.65, 0.15)
	f.Add(1.0, -1.0, 0.60308, -1.0, 0.421875, -1.0, 1.0, 1.7049, 0.2)
	f.Add(1500.0, 0.0, math.NaN(), 0.0, math.Inf(1), 0.0, 45.0, 3.0, -1.0)
	f.Add(0.1, 0.0, 1e-4, 1e-4, 0.001, 0.001, 5.0, 1.2, 0.0)
	f.Fuzz(func(t *testing.T, length, lengthPM, flow, flowPM, head, headPM, side, weir, freeboard float64) {
		n := Notch{CrestLengthM: Quantity{length, lengthPM}, SideRunPerRise: side, Weir: weirOf(weir), FreeboardM: freeboard}
		all := func(o Overflow, err error) {
			sound(t, err, o.HeadM, o.FlowM3S, o.CrestLengthM, o.AbutmentHeightM, exactly(o.CriticalDepthM), exactly(o.VelocityMS), exactly(o.FlowPerMetreM2S), exactly(o.NotchWidthM))
		}
		all(n.Head(Quantity{flow, flowPM}))
		all(n.Flow(Quantity{head, headPM}))
		all(n.Length(Quantity{flow, flowPM}, Quantity{head, headPM}))
	})
}

func FuzzTimes(f *testing.F) {
	f.Add(300.0, 10.0, 3.0, 0.2, 5.0, 0.045, 0.25, 5.0, 160.0, 120.0, 30.0)
	f.Add(60.0, -1.0, 0.5, -1.0, 1.0, 0.06, 0.8, 6.0, 125.0, 60.0, 48.0)
	f.Add(1.2, 0.0, math.NaN(), 0.0, 1e300, -1.0, 0.0, 5.0, 13.0, 10.0, 21.0)
	f.Fuzz(func(t *testing.T, length, lengthPM, slope, slopePM, area, horton, manning, first, hard, last, soft float64) {
		g := Ground{LengthM: &Quantity{length, lengthPM}, SlopePct: &Quantity{slope, slopePM}, AreaHa: &Quantity{area, 0}, HortonN: &Quantity{horton, 0},
			ManningN: &Quantity{manning, 0}, Rain: Rainfall{{first, hard}, {last, soft}}}
		for _, m := range Methods {
			for _, g.Between = range Betweens {
				c, err := g.Concentration(m)
				sound(t, err, c.Minutes, exactly(c.IntensityMmH))
			}
		}
	})
}

func FuzzPeak(f *testing.F) {
	f.Add(5.0, 0.2, 0.36, 0.08, 6.078, 0.5, 10.0, 5.0, 160.0, 10.0, 125.0)
	f.Add(50.0, -1.0, 1.0, -1.0, 40.974, -1.0, -1.0, 30.0, 74.0, 60.0, 48.0)
	f.Add(math.Inf(1), 0.0, 36.0, math.NaN(), 150.0, 0.0, 1e9, 5.0, 13.0, 10.0, 21.0)
	f.Fuzz(func(t *testing.T, area, areaPM, c, cPM, minutes, minutesPM, pct, first, hard, last, soft float64) {
		rain := Rainfall{{first, hard}, {last, soft}}
		for _, between := range Betweens {
			r, err := rain.At(Quantity{minutes, minutesPM}, between, pct)
			sound(t, err, r.IntensityMmH)
			if err != nil {
				continue
			}
			p, err := Catchment{{Quantity{area, areaPM}, Quantity{c, cPM}}}.Rational(r.IntensityMmH, widest)
			sound(t, err, p.FlowM3S, p.AreaHa, p.Coefficient)
		}
	})
}

// BenchmarkHead finds the head over a notch with leaning sides, the slowest of the three.
func BenchmarkHead(b *testing.B) {
	n := Notch{CrestLengthM: exactly(1.5), SideRunPerRise: 1}
	for b.Loop() {
		if _, err := n.Head(exactly(0.5)); err != nil {
			b.Fatal(err)
		}
	}
}
