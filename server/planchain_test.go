package server

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/geodesy"
	"headcut/model/planning"
	"headcut/model/section"
	"headcut/sync/device"
)

// ground is the position so many metres east and north of a corner of the property.
func ground(eastM, northM float64) orb.Point {
	return geodesy.Frame{Origin: orb.Point{148, -20}}.Position(eastM, northM)
}

// shape is a geometry through such positions.
func shape(kind string, eastNorthM ...[2]float64) json.RawMessage {
	at := model.Each(eastNorthM, func(m [2]float64) orb.Point { return ground(m[0], m[1]) })
	switch kind {
	case "Point":
		return model.AppendGeometry(nil, at[0])
	case "LineString":
		return model.AppendGeometry(nil, orb.LineString(at))
	}
	return model.AppendGeometry(nil, orb.Polygon{append(orb.Ring(at), at[0])})
}

// From a level book of a track to proposed whoa-boys on every phone; one that is built where it was pegged stays, and the
// next layout goes on from it.
func bookedTrackToWhoaBoys(c *crew) {
	t := c.t
	c.set(c.officer, "track", device.Fields{"kind": "track", "name": "Top track", "accuracyM": 2, "positionBasis": "GPS", "geometry": shape("LineString", [2]float64{0, 0}, [2]float64{0, 100})})
	c.set(c.hand, "head", device.Fields{"kind": "gully-head", "name": "Main head", "headDepthM": 1.5, "headDepthBasis": "taped", "accuracyM": 4, "positionBasis": "GPS", "geometry": shape("Point", [2]float64{25, 75})})
	var rows []model.LevelRow // falls by 3 in 100
	for i := range 5 {
		rows = append(rows, model.LevelRow{Point: "tread", IS: new(1 + 0.75*float64(i)), Feature: "track", ChainageM: new(25 * float64(i))})
	}
	c.set(c.officer, "run", book("Run 1", "2026-02-20", rows...))
	c.set(c.officer, model.SettingsID(c.p.ID), device.Fields{"kind": "settings", "whoaBoyTable": "local", "whoaBoySource": "Shire office, sheet 4",
		"whoaBoyRows": []model.SpacingRow{{UpToPct: 4, SpacingM: 30}, {UpToPct: 8, SpacingM: 18}}})
	c.sync()

	line := []orb.Point{ground(0, 0), ground(0, 100)}
	place, err := section.Snap(line, ground(25, 75))
	if err != nil || math.Abs(place.ChainageM-75) > 0.001 || math.Abs(place.OffsetM-25) > 0.001 {
		t.Fatalf("the head lies at %+v, %v; want 25 m off at chainage 75", place, err)
	}
	typed := func(standing string) string {
		return fmt.Sprintf(`{"track": [{"chainageM":0,"levelM":103},{"chainageM":25,"levelM":102.25},{"chainageM":50,"levelM":101.5},{"chainageM":75,"levelM":100.75},{"chainageM":100,"levelM":100}],
			"table": "local", "rows": [{"upToPct":4,"spacingM":30},{"upToPct":8,"spacingM":18}], "rowsSource": "Shire office, sheet 4",
			"gullyHeads": [{"name":"Main head","chainageM":%v,"offsetM":%v,"plusMinusM":4}]%s}`, place.ChainageM, place.OffsetM, standing)
	}
	first := c.adopt("Top track", planning.WhoaBoys, "start of the line", `{}`, typed(""))
	if len(first.Adoption.Changes) != 4 {
		t.Fatalf("adopted %+v; want 3 whoa-boys and the plan", first.Adoption.Changes)
	}
	var banks []string
	for i, change := range first.Adoption.Changes[:3] {
		f := c.hand.Feature(c.p.ID, change.Feature).Model()
		atM, _ := f.Number("chainageM")
		want := []float64{30, 58.416, 91.584}[i] // 30 m apart by the table, and out of the 30 m around the head
		fix, _ := f.Geometry.(orb.Point)
		if f.Kind != "whoa-boy" || f.Status() != model.Proposed || f.Text("track") != "track" || f.Basis("chainageM") != model.FromPlan || math.Abs(atM-want) > 0.001 || geodesy.Distance(fix, ground(0, want)) > 0.01 {
			t.Errorf("whoa-boy %d on the other phone is %+v; want it proposed at chainage %v", i+1, f, want)
		}
		banks = append(banks, change.Feature)
	}
	c.originOf("Whoa-boy 1", "chainageM", "30", followup.Planned)

	c.set(c.hand, "pegs", book("Run 2", "2026-03-02", model.LevelRow{Point: "whoa-boy 1", IS: new(1.91)}))
	c.set(c.hand, banks[0], device.Fields{"status": "pegged", "peggedOn": "2026-03-02", "chainageM": 30.4, "chainageBasis": "taped", "levelM": 102.09, "levelRun": "pegs"})
	c.sync()
	c.set(c.hand, banks[0], device.Fields{"status": "built", "builtOn": "2026-03-05", "heightM": 0.45, "heightBasis": "taped"})
	c.sync()
	c.originOf("Whoa-boy 1", "chainageM", "30.4", followup.Observed)

	last := c.adopt("Top track", planning.WhoaBoys, "start of the line", `{}`, typed(`, "standingM": [30.4]`))
	if len(last.Says) != 1 || !strings.HasPrefix(last.Says[0], "Whoa-boy 1 is built at chainage 30.4") {
		t.Errorf("planning again says %q", last.Says)
	}
	if slices.ContainsFunc(last.Adoption.Changes, func(change planning.Change) bool { return change.Feature == banks[0] }) {
		t.Errorf("the built whoa-boy is among the changes %+v", last.Adoption.Changes)
	}
	for _, d := range []*device.Device{c.officer, c.hand} {
		f := d.Feature(c.p.ID, banks[0])
		if atM, _ := f.Model().Number("chainageM"); f.Model().Status() != model.Built || atM != 30.4 || f.Model().Text("plan") != first.Adoption.Plan || len(f.Clashes) > 0 {
			t.Errorf("the built whoa-boy is %+v after planning again", f)
		}
	}

	c.set(c.officer, model.SettingsID(c.p.ID), device.Fields{"whoaBoyRows": []model.SpacingRow{{UpToPct: 4, SpacingM: 25}}})
	c.sync()
	if got := c.changed(planning.WhoaBoys); len(got) != 2 || !strings.Contains(got[0], "edited since") {
		t.Errorf("the plans say %q, want both that the settings were edited", got)
	}
}

// From a catchment that was walked and a head to a peak flow on every phone, which says so when the boundary is moved.
func walkedCatchmentToPeakFlow(c *crew) {
	t := c.t
	c.set(c.officer, "head", device.Fields{"kind": "gully-head", "name": "Main head", "headDepthM": 1.5, "headDepthBasis": "taped", "accuracyM": 4, "positionBasis": "GPS", "geometry": shape("Point", [2]float64{200, 50})})
	c.set(c.hand, "catchment", device.Fields{"kind": "catchment", "name": "Catchment 1", "accuracyM": 5, "positionBasis": "GPS",
		"geometry": shape("Polygon", [2]float64{0, 0}, [2]float64{400, 0}, [2]float64{400, 400}, [2]float64{0, 400})})
	c.sync()
	typed := func(mm int) string {
		area, plusMinus := c.area("Catchment 1")
		return fmt.Sprintf(`{"areaHa": %v, "areaPlusMinusHa": %v, "coefficient": 0.4, "intensityMmH": %d}`, area, plusMinus, mm)
	}
	// Q = C I A / 360, the rational formula of the handbooks that model/runoff names, with A in ha and I in mm/h.
	flow := func(planned Planned) float64 {
		var out struct{ FlowM3S float64 }
		if err := json.Unmarshal(planned.Answer, &out); err != nil {
			t.Fatal(err)
		}
		return out.FlowM3S
	}
	first := c.adopt("Main head", planning.PeakFlow, "", `{"coefficient": 0.4, "intensityMmH": 60}`, typed(60))
	if got := flow(first); math.Abs(got-0.4*60*16/360) > 0.002 {
		t.Errorf("flow %v m3/s, want 1.067", got)
	}
	if len(first.Adoption.Changes) != 1 {
		t.Errorf("adopted %+v; want the plan alone", first.Adoption.Changes)
	}
	if got := c.changed(planning.PeakFlow); len(got) != 0 {
		t.Errorf("at once its base has changed: %q", got)
	}

	// The upper half turns out to drain elsewhere.
	c.set(c.hand, "catchment", device.Fields{"geometry": shape("Polygon", [2]float64{0, 0}, [2]float64{400, 0}, [2]float64{400, 200}, [2]float64{0, 200})})
	c.sync()
	if got := c.changed(planning.PeakFlow); len(got) != 1 || !strings.HasPrefix(got[0], "Catchment 1 was edited since") {
		t.Errorf("the plan says %q, want that the catchment was edited", got)
	}
	last := c.adopt("Main head", planning.PeakFlow, "", `{"coefficient": 0.4, "intensityMmH": 60}`, typed(60))
	if got := flow(last); math.Abs(got-0.4*60*8/360) > 0.002 || last.Adoption.Plan == first.Adoption.Plan {
		t.Errorf("flow %v m3/s, want 0.533 by another plan", got)
	}
	if got := c.changed(planning.PeakFlow); len(got) != 1 {
		t.Errorf("the plans say %q, want the first alone that the catchment was edited", got)
	}
}

// From quadrats that two phones cut and the stock in a paddock to a forage budget on every phone; what is cut or put in
// since, the budget tells, and the next one goes by.
func quadratsToForageBudget(c *crew) {
	t := c.t
	c.set(c.officer, "paddock", device.Fields{"kind": "paddock", "name": "Bore paddock", "accuracyM": 5, "positionBasis": "GPS", "residualKgHa": 1200,
		"geometry": shape("Polygon", [2]float64{0, 0}, [2]float64{400, 0}, [2]float64{400, 400}, [2]float64{0, 400})})
	cut := func(d *device.Device, id, day string, grams ...float64) {
		c.set(d, id, device.Fields{"kind": "pasture-assessment", "name": "Transect " + id[len("cut-"):], "paddock": "paddock", "observedOn": day, "frameM2": 0.25, "dryCutsG": grams, "unpalatablePct": 10, "geometry": shape("Point", [2]float64{100, 100})})
	}
	cut(c.officer, "cut-1", "2026-02-20", 70, 80, 75, 72, 78)
	cut(c.hand, "cut-2", "2026-02-20", 74, 76)
	c.set(c.officer, "steers", device.Fields{"kind": "stocking", "name": "Steers", "paddock": "paddock", "head": 20, "class": "steers 1-2", "stockInOn": "2026-02-01"})
	c.sync()
	typed := func(cuts, mobs string) string {
		area, plusMinus := c.area("Bore paddock")
		return fmt.Sprintf(`{"landTypes": [{"areaHa": %v, "areaPlusMinusHa": %v, "quadrats": {"frameM2": 0.25, "cutsG": [%s], "dried": true}}], "residualKgHa": 1200, "unpalatablePct": 10, "detachmentPct": 15, "ratings": "ae-low", "mobs": [%s]}`, area, plusMinus, cuts, mobs)
	}
	const given = `{"detachmentPct": 15, "ratings": "ae-low"}`
	const steers = `{"name": "Steers", "head": 20, "class": "steers 1-2"}`
	first := c.adopt("Bore paddock", planning.Forage, "", given, typed("70, 80, 75, 72, 78, 74, 76", steers))
	var out struct{ FeedKgHa float64 }
	if err := json.Unmarshal(first.Answer, &out); err != nil || out.FeedKgHa != 3000 { // 525 g of 7 cuts on 0.25 m² each
		t.Errorf("feed %v kg/ha, %v; want 3000", out.FeedKgHa, err)
	}
	if len(first.Adoption.Changes) != 1 {
		t.Errorf("adopted %+v; want the plan alone", first.Adoption.Changes)
	}
	if got := c.changed(planning.Forage); len(got) != 0 {
		t.Errorf("at once its base has changed: %q", got)
	}

	c.set(c.hand, "heifers", device.Fields{"kind": "stocking", "name": "Heifers", "paddock": "paddock", "head": 5, "adultEquivalents": 0.8, "stockInOn": "2026-03-10"})
	cut(c.hand, "cut-3", "2026-03-10", 50, 52, 48, 51, 49)
	c.sync()
	if got := c.changed(planning.Forage); len(got) != 2 || !strings.HasPrefix(got[0], "Transect 3") || !strings.HasPrefix(got[1], "Heifers") {
		t.Errorf("the budget says %q, want the new cuts and the new mob", got)
	}
	last := c.adopt("Bore paddock", planning.Forage, "", given, typed("50, 52, 48, 51, 49", `{"name": "Heifers", "head": 5, "unitsPerHead": 0.8}, `+steers))
	if err := json.Unmarshal(last.Answer, &out); err != nil || out.FeedKgHa != 2000 {
		t.Errorf("feed %v kg/ha, %v; want 2000", out.FeedKgHa, err)
	}
	c.originOf("Steers", "head", "20", "")
}
