package demo

import (
	"fmt"
	"time"

	"headcut/model"
	"headcut/model/geodesy"
)

// damToesM are the chainages of the toes of the seven dams. Six are pegged where the bed
// reaches the crest downstream; the last was built four metres too far up, so that its toe
// stands above the crest of the sixth and leaves a gap.
func damToesM(gully []station) []float64 {
	var toes []float64
	level := gully[0].levelM
	for i := 1; i < len(gully) && len(toes) < 7; i++ {
		a, b := gully[i-1], gully[i]
		for len(toes) < 7 && level <= b.levelM && b.levelM > a.levelM {
			toes = append(toes, round(a.chainageM+(level-a.levelM)/(b.levelM-a.levelM)*(b.chainageM-a.chainageM), 10))
			level += crestM
		}
	}
	toes[6] += 4
	return toes
}

// damsBuilt pegs and builds the dams, and levels the bed, the toes and the crests in a run
// that closes on the benchmark.
func (d *days) damsBuilt(gully []station) {
	d.on(2025, time.March, 18)
	toes := damToesM(gully)
	materials := []string{"loose rock", "loose rock", "netting and posts", "loose rock", "loose rock", "brushwood", "loose rock"}
	for i, chainage := range toes {
		place := geodesy.Destination(along(gully, chainage).position, 35, 0.8+0.3*float64(i%3))
		d.thing(Officer, damID(i), "check-dam", fmt.Sprintf("Dam %d", i+1), place, with(work(model.Built, "2024-11-25", "2025-03-04", d.today()), map[string]any{
			"material": materials[i], "crestHeightM": crestM, "crestHeightBasis": model.Taped,
			"crestLengthM": round(3.2+0.2*float64(i%4), 10), "crestLengthBasis": model.Taped, "thalweg": gullyID, "chainageM": chainage, "chainageBasis": model.Taped}))
	}
	d.photoPoint(Hand, "photo-dams", "Dams 1 to 3, looking upstream", geodesy.Destination(gully[0].position, upstreamDeg+180, 8), upstreamDeg, damView)
	b := &book{}
	b.from("BM1", benchmarkM, 98.655)
	dam := 0
	for _, s := range gully {
		for dam < len(toes) && toes[dam] <= s.chainageM {
			toe := along(gully, toes[dam])
			b.reach(fmt.Sprintf("CP %d", dam+1), toe.levelM)
			b.sight(fmt.Sprintf("dam %d toe", dam+1), damID(dam), model.ToeSpot, toe.chainageM, toe.levelM)
			b.sight(fmt.Sprintf("dam %d crest", dam+1), damID(dam), model.CrestSpot, toe.chainageM, toe.levelM+crestM)
			dam++
		}
		b.reach(fmt.Sprintf("CP at %.0f", s.chainageM), s.levelM)
		b.sight(fmt.Sprintf("bed %.0f", s.chainageM), gullyID, model.BedSpot, s.chainageM, s.levelM)
	}
	b.reach("CP back", benchmarkM)
	d.thing(Officer, "run-main-arm", "level-run", "Main arm, bed and dams", nil, map[string]any{
		"rows": b.close("BM1", benchmarkM, 0.004), "instrument": "dumpy level", "perRootSetupMm": 5.0})
}

func damID(i int) string { return fmt.Sprintf("dam-%d", i+1) }

// afterTheWet is the last round: sediment behind the dams, which both people measured at
// one of them, a second look from the photo point, and a run up the north arm with one
// staff reading a decimetre out.
func (d *days) afterTheWet(gully, arm []station) {
	d.on(2026, time.May, 13)
	for i, depth := range []float64{0.31, 0.28, 0.22, 0.19, 0.12, 0.16, 0.05} {
		condition := "sound"
		if i == 6 {
			condition = "needs work"
		}
		d.capture(Officer, damID(i), map[string]any{"sedimentDepthM": depth})
		d.capture(Officer, fmt.Sprintf("dam-visit-%d", i+1), map[string]any{
			"kind": "visit", "of": damID(i), "observedOn": d.today(), "condition": condition, "sedimentDepthM": depth, "sedimentDepthBasis": model.Taped})
	}
	d.capture(Hand, damID(2), map[string]any{"sedimentDepthM": 0.26})
	d.photographed(Hand, "dams-photo-2026", "photo-dams", damView, 2, "Silt to two thirds of the first crest.")
	d.photographed(Officer, "dam-7-photo", damID(6), damView, 1, "Water comes round the right end.")

	b := &book{}
	b.from("BM1", benchmarkM, 98.912)
	for _, s := range arm {
		b.reach(fmt.Sprintf("CP at %.0f", s.chainageM), s.levelM)
		b.sight(fmt.Sprintf("bed %.0f", s.chainageM), armID, model.BedSpot, s.chainageM, s.levelM)
	}
	b.reach("CP back", benchmarkM)
	d.thing(Hand, "run-north-arm", "level-run", "North arm, bed", nil, map[string]any{
		"rows": b.close("BM1", benchmarkM, 0.100), "instrument": "laser level", "perRootSetupMm": 5.0})

	rim := ring(at(-20, 20), at(60, 25), at(230, -60), at(230, -160), at(120, -120), at(-20, -30))
	d.thing(Officer, "exclosure-1", "exclosure", "Round Lantern Gully", rim, with(work(model.Built, "2024-11-25", "2025-02-11", "2025-02-20"), map[string]any{"coverPct": 46.0}))
	d.thing(Officer, "batter-1", "batter", "North arm banks", ring(at(112, -10), at(128, -4), at(134, -14), at(118, -21)), with(work(model.Built, "2025-03-18", "2025-04-01", "2025-04-09"), map[string]any{"heightM": 0.8, "heightBasis": model.Taped, "runPerRise": 3.0}))
	d.thing(Officer, "sown-1", "revegetation", "Battered walls and fans", ring(at(108, -6), at(132, 2), at(140, -16), at(114, -27)), with(work(model.Built, "2025-03-18", "2025-04-01", "2026-02-03"), map[string]any{"seedMix": "native couch, bluegrass", "seedKgHa": 6.0, "coverPct": 38.0}))
	d.thing(Officer, "dam-8", "check-dam", "Dam 8", along(gully, 150).position, with(work(model.Proposed, d.today()), map[string]any{"material": "loose rock", "crestHeightM": crestM, "crestHeightBasis": model.FromPlan, "thalweg": gullyID}))
}
