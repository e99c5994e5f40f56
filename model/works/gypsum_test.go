package works

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

func soil() SodiumTest {
	return SodiumTest{SodiumPct: 15, SodiumPlusMinus: 1, CationsCmolKg: 20, CationsPlusMinus: 1.5, TargetPct: 5, DepthM: 0.15, DensityTM3: 1.2, Factor: 1.2, PurityPct: 80}
}

func gypsumTHa(t *testing.T, s SodiumTest) float64 {
	t.Helper()
	kgHa, _, err := s.KgHa()
	if err != nil {
		t.Fatal(err)
	}
	return kgHa / 1000
}

// GY02 asks for part of the sodium, and the answer that goes about takes out all of it. GY08's divides by the equivalent
// mass of lime, 50 for 86, and is left with 15.36 %.
func TestGypsumOfTheCases(t *testing.T) {
	cases := append(modeltest.Cases(t, "banks", "gypsum_esp"), modeltest.Cases(t, "grazing", "gypsum_oster", "gypsum_mass_balance")...)
	for _, c := range cases {
		now, target, cations := "ESP", "ESP_target", "CEC"
		if c.Has("cec") {
			now, target, cations = "esp_now", "esp_target", "cec"
		}
		got := gypsumTHa(t, SodiumTest{SodiumPct: c.Number(t, now), TargetPct: c.Number(t, target), CationsCmolKg: c.Number(t, cations),
			DepthM: c.Number(t, "depth_m"), DensityTM3: c.Number(t, "bulk_density"), Factor: c.Number(t, "F"), PurityPct: c.Number(t, "purity_pct")})
		c.Check(t, "t_ha", got)
	}
	for _, c := range modeltest.Cases(t, "banks", "gypsum_esp_after") {
		s := SodiumTest{SodiumPct: c.Number(t, "ESP"), TargetPct: modeltest.Want[float64](t, c, "ESP"), CationsCmolKg: c.Number(t, "CEC"), DepthM: 0.2, DensityTM3: 1, Factor: 1, PurityPct: 100}
		spread := c.Number(t, "gypsum_mass") / c.Number(t, "soil_mass") * 2000 // on a hectare, 0.2 m deep
		if got := gypsumTHa(t, s); math.Abs(got/spread-1) > 0.002 {
			t.Errorf("%s: %v t/ha, want %v", c.ID, got, spread)
		}
		s.TargetPct = 15.36
		if got := gypsumTHa(t, s); got > spread/2 {
			t.Errorf("%s: the slip's %v t/ha", c.ID, got)
		}
	}
}

// The ± is that of 10,000 draws.
func TestGypsumSpread(t *testing.T) {
	s, draws := soil(), rand.New(rand.NewPCG(7, 1))
	mean, stated, err := s.KgHa()
	if err != nil {
		t.Fatal(err)
	}
	const n = 10_000
	squares := 0.0
	for range n {
		one := s
		one.SodiumPct += draws.NormFloat64() * s.SodiumPlusMinus
		one.CationsCmolKg += draws.NormFloat64() * s.CationsPlusMinus
		got, _, err := one.KgHa()
		if err != nil {
			t.Fatal(err)
		}
		squares += (got - mean) * (got - mean)
	}
	if drawn := math.Sqrt(squares / n); math.Abs(drawn/stated-1) > 0.05 {
		t.Errorf("± %v, drawn %v", stated, drawn)
	}
	s.SodiumPlusMinus = -1
	if _, plusMinus, err := s.KgHa(); err != nil || plusMinus != -1 {
		t.Errorf("± %v (%v) of a test without one, want -1", plusMinus, err)
	}
}

func TestGypsumRefuses(t *testing.T) {
	for path, edit := range map[string]func(*SodiumTest){
		"sodiumPct":              func(s *SodiumTest) { s.SodiumPct = math.NaN() },
		"targetPct":              func(s *SodiumTest) { s.TargetPct = 15 },
		"sodiumPlusMinusPct":     func(s *SodiumTest) { s.SodiumPlusMinus = 16 },
		"cationsCmolKg":          func(s *SodiumTest) { s.CationsCmolKg = 200 },
		"cationsPlusMinusCmolKg": func(s *SodiumTest) { s.CationsPlusMinus = 21 },
		"depthM":                 func(s *SodiumTest) { s.DepthM = 15 },
		"densityTM3":             func(s *SodiumTest) { s.DensityTM3 = 1200 },
		"factor":                 func(s *SodiumTest) { s.Factor = 2 },
		"purityPct":              func(s *SodiumTest) { s.PurityPct = 0.8 },
	} {
		s := soil()
		edit(&s)
		_, _, err := s.KgHa()
		if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != path {
			t.Errorf("%s: %v", path, err)
		}
	}
	s := soil()
	s.SodiumPct, s.CationsCmolKg, s.DepthM = 80, 80, 0.5
	if _, _, err := s.KgHa(); err == nil {
		t.Error("more than 50 t/ha is not refused")
	}
}
