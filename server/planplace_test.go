package server

import (
	"encoding/json"
	"strings"

	"headcut/model"
	"headcut/model/planning"
	"headcut/sync/device"
)

// From what two phones captured of a head, its brink, a scald and the property's rates to proposed works on every phone, to
// a built batter that the next plan leaves alone.
func capturedHeadAndScaldToWorks(c *crew) {
	t, s, p, officer, hand, set, sync := c.t, c.site, c.p, c.officer, c.hand, c.set, c.sync
	set(officer, "head", device.Fields{"kind": "gully-head", "name": "Main head", "headDepthM": 1.2, "headDepthBasis": "taped", "dispersive": true, "geometry": json.RawMessage(`{"type":"Point","coordinates":[148.03,-20]}`)})
	set(hand, "brink", device.Fields{"kind": "gully-edge", "name": "Brink", "accuracyM": 3, "positionBasis": "GPS", "geometry": json.RawMessage(`{"type":"LineString","coordinates":[[148.0299,-20],[148.0302,-20]]}`)})
	set(hand, "scald", device.Fields{"kind": "scald", "name": "Flat scald", "dispersive": true, "accuracyM": 3, "positionBasis": "GPS", "geometry": json.RawMessage(`{"type":"Polygon","coordinates":[[[148.04,-20],[148.041,-20],[148.041,-19.999],[148.04,-19.999],[148.04,-20]]]}`)})
	rows := []model.LevelRow{{Point: "BM", BS: new(2.0), KnownLevelM: new(100.0)}}
	for i, read := range []float64{1.5, 1.75, 2} {
		rows = append(rows, model.LevelRow{Point: "ground", IS: &read, Feature: "scald", ChainageM: new(float64(50 * i))})
	}
	rows = append(rows, model.LevelRow{Point: "BM", FS: new(2.0), KnownLevelM: new(100.0)})
	set(officer, "run", device.Fields{"kind": "level-run", "name": "Run 1", "observedOn": "2026-03-01", "rows": rows})
	set(officer, model.SettingsID(p.ID), device.Fields{"kind": "settings", "currency": "XTS", "rates": json.RawMessage(`[{"item":"batter cut","unit":"m3","costPerUnit":4,"hoursPerUnit":0.02},{"item":"gypsum","unit":"t","costPerUnit":80,"hoursPerUnit":0.25}]`)})
	sync(officer, hand)

	plan := func(of string, plans planning.Purpose, given map[string]string) Planned {
		t.Helper()
		r := PlanRequest{Property: "Stony Creek", Adopt: true, Author: "office", Request: planning.Request{Of: of, Plans: plans, Given: map[string]json.RawMessage{}}}
		for name, text := range given {
			r.Given[name] = json.RawMessage(text)
		}
		planned, err := s.Plan(t.Context(), r)
		if err != nil || planned.Adoption == nil {
			t.Fatalf("plan %+v, %v, refused %q", planned, err, planned.Refused)
		}
		return planned
	}
	batter := func(target string) Planned {
		return plan("Main head", planning.Batter, map[string]string{"presentRunPerRise": "0", "targetRunPerRise": target,
			"sowing": `[{"item":"couch","is":"seed","rate":6},{"item":"super","is":"fertiliser","rate":120}]`})
	}
	first := batter("3")
	scald := plan("Flat scald", planning.Scald, map[string]string{"ponding": `{"pondDepthM":0.1,"freeboardM":0.15,"faceRunPerRise":3}`,
		"gypsum": `{"dispersionClass":"moderate","source":"Shire office, sheet 7","table":[{"dispersionClass":"moderate","kgHa":5000}]}`})
	if len(first.Adoption.Changes) != 3 || first.Currency != "XTS" || len(scald.Adoption.Changes) != 7 {
		t.Fatalf("adopted %+v\nand %+v", first.Adoption, scald.Adoption)
	}
	c.back(first)
	c.back(scald)
	wall := first.Adoption.Changes[0].Feature
	if f := hand.Feature(p.ID, wall).Model(); f.Kind != "batter" || f.Status() != model.Proposed || f.Text("treats") != "head" || f.Basis("heightM") != model.FromPlan {
		t.Errorf("the batter on the other phone is %+v", f)
	}
	if f := officer.Feature(p.ID, scald.Adoption.Changes[0].Feature).Model(); f.Kind != "ponding-bank" || f.Fields["targetLevelM"] == nil || f.Geometry != nil {
		t.Errorf("the lowest bank on the phone is %+v", f)
	}
	order, err := s.Order(t.Context(), map[string][]string{"property": {"stony creek"}})
	if err != nil || order.Bill == nil || order.Bill.Works != 8 || order.Bill.Cost == nil || order.Bill.NoCost != 6 || order.Currency != "XTS" {
		t.Errorf("order with the bill %+v in %q, %v; want 8 works, of which the batter and the gypsum have a cost", order.Bill, order.Currency, err)
	}

	set(hand, wall, device.Fields{"status": "built", "builtOn": "2026-04-01", "runPerRise": 3.5})
	sync(hand, officer)
	again := batter("4")
	sync(officer)
	if f := officer.Feature(p.ID, wall); string(f.Model().Fields["runPerRise"]) != "3.5" || len(f.Clashes) > 0 {
		t.Errorf("the built batter is %+v after planning again", f)
	}
	if len(again.Adoption.Says) == 0 || !strings.Contains(again.Adoption.Says[0], "is built there: it stays as it is") {
		t.Errorf("planning again says %q", again.Adoption.Says)
	}
	set(hand, "brink", device.Fields{"notes": "fell in"})
	sync(hand)
	list, err := s.PlanRows(t.Context(), map[string][]string{"property": {"Stony Creek"}})
	changed := 0
	for _, row := range list {
		for _, c := range row.Changed {
			if strings.Contains(c.What, "Brink was edited since") {
				changed++
			}
		}
	}
	if err != nil || len(list) != 3 || changed != 2 {
		t.Errorf("plans %+v, %v; want both of the batter to say that the brink was edited", list, err)
	}
}
