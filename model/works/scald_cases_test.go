package works

import (
	"math"
	"testing"

	"headcut/model/modeltest"
)

// Water behind a bank is half of its greatest depth on the whole pond: 200 m3 on 0.4 ha, and not the 400 m3 of a pool
// that is as deep all over (RV15).
func TestPondsOfTheCases(t *testing.T) {
	pond := func(depthM, slopePct float64) Pond {
		p, err := Lip{HeightM: depthM, GroundSlopePct: slopePct}.Hold(math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	held := func(c modeltest.Case, depth string) float64 {
		p := pond(c.Number(t, depth), 0.4)
		return p.M3PerM / p.BackwaterM * c.Number(t, "ha") * 10_000
	}
	for _, c := range modeltest.Cases(t, "banks", "pond_storage") {
		c.Check(t, "m3", held(c, "max_depth"))
	}
	flat := modeltest.Named(t, "grazing", "RV15")
	if got := held(flat, "depth_m"); math.Abs(2*got-modeltest.Want[float64](t, flat, "m3")) > 1e-6 {
		t.Errorf("%s: the wedge holds %v m3, want half of the flat pool", flat.ID, got)
	}
	// Banks stand where the pond below ends; with bare land left between, as the cases have it, fewer are laid.
	for _, c := range modeltest.Cases(t, "banks", "pond_spacing") {
		slope := 100 * c.Number(t, "slope")
		c.Check(t, "pond_width", pond(c.Number(t, "depth"), slope).BackwaterM)
		p := ponds(slope)
		p.PondDepthM, p.Ground[1].ChainageM, p.Ground[1].LevelM = c.Number(t, "depth"), 600, 50+6*slope
		banks := laidPonds(t, p).Banks
		apart := (banks[1].ChainageM - banks[0].ChainageM) * (1 + c.Number(t, "runoff_ratio"))
		c.Check(t, "spacing", apart)
		c.Check(t, "VI", apart*slope/100)
	}
}

// A slope that the source allows is laid, and one past its limit refused.
func TestSlopesOfTheCases(t *testing.T) {
	steep := modeltest.Named(t, "banks", "BP15")
	for _, c := range []struct {
		modeltest.Case
		slopePct float64
	}{{steep, modeltest.Input[map[string]float64](t, steep, "value")["slope_pct"]}, {modeltest.Named(t, "banks", "BP16"), modeltest.Named(t, "banks", "BP16").Number(t, "value")}} {
		if _, err := ponds(c.slopePct).Lay(); (err == nil) != modeltest.Want[bool](t, c.Case, "ok") {
			t.Errorf("%s: banks on %v %%: %v", c.ID, c.slopePct, err)
		}
	}
	for id, rule := range map[string]string{"PT05": "grazing land, under 30 %", "PT06": "dry rangeland, under 15 %"} {
		c := modeltest.Named(t, "banks", id)
		slope, most := modeltest.Input[map[string]float64](t, c, "value")["slope_pct"], modeltest.Input[map[string]float64](t, c, "max")["slope_pct"]
		_, err := RipSite{SlopePct: slope, Rule: rule, Subsoil: NotDispersive, Contour: ContourOK}.Check()
		if (err == nil) != modeltest.Want[bool](t, c, "ok") {
			t.Errorf("%s: ground of %v %% under %v %%: %v", id, slope, most, err)
		}
	}
}

// The page of PT04 prints about 10,000 pits a hectare for steps of 0.7 to 0.8 m, which is what steps of 1 m give.
func TestPitsOfTheCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "banks", "pits_per_ha") {
		n, _, _, _, err := Pits{LengthM: 0.25, WidthM: 0.25, DepthM: 0.15, ApartM: c.Number(t, "along"), RowsApartM: c.Number(t, "row")}.On(10_000, 0)
		if err != nil {
			t.Fatal(err)
		}
		c.Check(t, "n", n)
	}
}

func TestSeedAndFertiliserOfTheCases(t *testing.T) {
	kg := func(s Sowing) float64 {
		t.Helper()
		s.Item, s.AreaPlusMinusM2 = "as sown", -1
		q, err := s.Quantity()
		if err != nil {
			t.Fatal(err)
		}
		return q.Amount
	}
	const hectareM2 = 10_000
	for _, c := range modeltest.Cases(t, "grazing", "seed_for_area") {
		c.Check(t, "kg", kg(Sowing{AreaM2: c.Number(t, "ha") * hectareM2, Rate: c.Number(t, "kg_ha")}))
	}
	for _, c := range modeltest.Cases(t, "grazing", "coated_seed") { // what is not seed is not pure
		c.Check(t, "kg_ha", kg(Sowing{AreaM2: hectareM2, Rate: c.Number(t, "bare_kg_ha"), PurityPct: pct(100 * c.Number(t, "seed_fraction"))}))
	}
	for _, c := range modeltest.Cases(t, "grazing", "lb_acre_rate") {
		share := 1.0 // of the nutrient in what is spread
		if c.Has("factor") {
			share = c.Number(t, "factor")
		}
		c.Check(t, "kg_ha", share*kg(Sowing{AreaM2: hectareM2, Rate: c.Number(t, "lb_ac"), RateUnit: "lb/ac"}))
	}
	for _, c := range modeltest.Cases(t, "grazing", "short_ton_ac_to_t_ha") {
		c.Check(t, "t_ha", kg(Sowing{AreaM2: hectareM2, Rate: c.Number(t, "tons_ac"), RateUnit: "short ton/ac"})/1000)
	}
	for _, c := range modeltest.Cases(t, "grazing", "broadcast_double") {
		c.Check(t, "rate", kg(Sowing{AreaM2: hectareM2, Rate: c.Number(t, "drilled"), Method: Broadcast}))
	}
	for _, c := range modeltest.Cases(t, "grazing", "amendments") {
		on := func(rate float64, unit string) float64 {
			return kg(Sowing{AreaM2: c.Number(t, "ha") * hectareM2, Rate: rate, RateUnit: unit})
		}
		c.Check(t, "gypsum_t", on(10, "t/ha")/1000)
		c.Check(t, "lime_t", on(2, "t/ha")/1000)
		c.Check(t, "seed_kg", on(10, "kg/ha"))
	}
}
