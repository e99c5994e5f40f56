package demo

import (
	"encoding/json"
	"fmt"
	"time"

	"headcut/model"
	"headcut/model/planning"
)

// southArm is a gully from its first levels to dams that were checked: levelled, planned and the plan adopted,
// pegged from the plan, built from below as far as the rock went, and levelled again after the first rain. Of
// its dams the first is checked, the next built, one pegged and the uppermost proposed still.
func (d *days) southArm(arm []station) {
	const armID, planID, runID = "lantern-south-arm", "south-arm-plan", "run-south-arm"
	dam := func(i int) string { return fmt.Sprintf("south-arm-dam-%d", i+1) }
	d.on(2026, time.May, 19)
	d.thing(Officer, armID, "thalweg", "Lantern Gully, south arm", places(arm), map[string]any{"chainageZero": "start of the line"})
	b := &book{}
	b.from("BM1", benchmarkM, 98.760)
	for _, s := range arm {
		b.reach(fmt.Sprintf("CP at %.0f", s.chainageM), s.levelM)
		b.sight(fmt.Sprintf("bed %.0f", s.chainageM), armID, model.BedSpot, s.chainageM, s.levelM)
	}
	b.reach("CP back", benchmarkM)
	d.thing(Officer, runID, "level-run", "South arm, bed", nil, map[string]any{"rows": b.close("BM1", benchmarkM, 0.002), "instrument": "dumpy level", "perRootSetupMm": 5.0})

	d.on(2026, time.May, 20)
	d.adopt(Officer, planning.Request{Of: armID, Plans: planning.Dams, Given: map[string]json.RawMessage{"crestHeightM": json.RawMessage("0.4")}}, dam, planID)

	d.on(2026, time.May, 21)
	pegs := []float64{0, 12.6, 24.9} // as taped: where the level called for a toe, a hand's breadth off the plan
	b = &book{}
	b.from("BM1", benchmarkM, 98.840)
	for i, m := range pegs {
		b.reach(fmt.Sprintf("CP %d", i+1), along(arm, m).levelM)
		b.sight(fmt.Sprintf("dam %d toe", 9+i), dam(i), model.ToeSpot, m, along(arm, m).levelM)
	}
	b.reach("CP back", benchmarkM)
	d.thing(Officer, "run-south-pegs", "level-run", "South arm, pegs", nil, map[string]any{"rows": b.close("BM1", benchmarkM, -0.001), "instrument": "dumpy level", "perRootSetupMm": 5.0})
	for i, m := range pegs {
		d.capture(Officer, dam(i), map[string]any{"status": string(model.Pegged), "peggedOn": d.today(), "observedOn": d.today(),
			"toeLevelM": round(along(arm, m).levelM, 1000), "levelRun": "run-south-pegs", "chainageM": m, "chainageBasis": model.Taped})
	}

	d.on(2026, time.June, 11)
	for i := range 2 {
		d.capture(Hand, dam(i), map[string]any{"status": string(model.Built), "builtOn": d.today(), "spentHours": 5.5 + float64(i), "material": "loose rock",
			"crestHeightM": crestM, "crestHeightBasis": model.Taped, "crestLengthM": round(2.6+0.3*float64(i), 10), "crestLengthBasis": model.Taped})
	}

	d.on(2026, time.July, 22)
	b = &book{}
	b.from("BM1", benchmarkM, 98.790)
	for i, m := range pegs[:2] {
		toe := along(arm, m).levelM
		b.reach(fmt.Sprintf("CP %d", i+1), toe)
		b.sight(fmt.Sprintf("dam %d toe", 9+i), dam(i), model.ToeSpot, m, toe)
		b.sight(fmt.Sprintf("dam %d crest", 9+i), dam(i), model.CrestSpot, m, toe+crestM)
	}
	b.reach("CP back", benchmarkM)
	d.thing(Officer, "run-south-check", "level-run", "South arm, dams as built", nil, map[string]any{"rows": b.close("BM1", benchmarkM, 0.002), "instrument": "dumpy level", "perRootSetupMm": 5.0})
	d.capture(Officer, "south-arm-visit", map[string]any{"kind": "visit", "of": dam(0), "observedOn": d.today(), "condition": "sound", "sedimentDepthM": 0.06, "sedimentDepthBasis": model.Taped})
}
