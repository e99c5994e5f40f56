package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"headcut/model/compute"
	"headcut/model/recorded"
)

var budget = Request{Of: "Bore paddock", Plans: Forage, Given: given(`{"detachmentPct": 15, "ratings": "ae-low"}`)}

// paddock is one of 16 ha.
func paddock(fields ...any) recorded.Item {
	all := append([]any{"name", "Bore paddock", "residualKgHa", 1200}, fields...)
	area := square("p", 400, -200, -200, append(all, "accuracyM", 5)...)
	area.Kind = "paddock"
	return area
}

func assessed(id, day string, fields ...any) recorded.Item {
	return item("pasture-assessment", id, north(0, 0), append([]any{"paddock", "p", "observedOn", day, "unpalatablePct", 10}, fields...)...)
}

func cuts(id, day string, grams ...float64) recorded.Item {
	return assessed(id, day, "frameM2", 0.25, "dryCutsG", grams)
}

func stocked(id string, head float64, fields ...any) recorded.Item {
	return item("stocking", id, nil, append([]any{"paddock", "p", "head", head, "stockInOn", "2026-05-01"}, fields...)...)
}

// The budget of what was recorded is that of the same figures typed, and the newest quadrats alone count:
// the worked scenario of MLA has 3000 kg/ha, which are 75 g on a quarter of a square metre.
func TestForageOfThePaddock(t *testing.T) {
	p := property(paddock(), cuts("old", "2025-05-01", 20, 30, 25), cuts("c", "2026-05-02", 70, 80, 75), cuts("d", "2026-05-02", 72, 78),
		stocked("s", 20, "class", "steers 1-2"), stocked("gone", 300, "stockOutOn", "2026-05-01"),
		item("cover-plot", "k", north(10, 10), "coverPct", 55, "observedOn", "2026-05-02"))
	d := drafted(t, p, budget)
	uses(t, d, "c", "d", "p", "s")
	leavesOut(t, d, "old", "is newer")
	says(t, "missing:", d.Missing, "the ground cover to keep in Bore paddock at the end of the dry is not set")
	answer, err := d.Compute()
	if err != nil {
		t.Fatal(err)
	}
	var out struct {
		FeedKgHa float64
		GrazedHa float64
		Eat      struct{ EatKgHa float64 }
		Herd     struct{ Units float64 }
	}
	if err := json.Unmarshal(answer, &out); err != nil || out.FeedKgHa != 3000 || math.Abs(out.GrazedHa-16) > 0.01 || out.Eat.EatKgHa != 1095 || out.Herd.Units != 15.6 {
		t.Errorf("answer %+v, %v", out, err)
	}
	var in struct{ LandTypes json.RawMessage }
	if err := json.Unmarshal(d.Input, &in); err != nil {
		t.Fatal(err)
	}
	hand, err := compute.Run("forage-budget", fmt.Appendf(nil, `{"landTypes": %s, "residualKgHa": 1200, "unpalatablePct": 10, "detachmentPct": 15, "ratings": "ae-low", "mobs": [{"class": "steers 1-2", "head": 20}]}`, in.LandTypes))
	if err != nil || string(hand) != string(answer) {
		t.Errorf("answer %s\nby hand %s, %v", answer, hand, err)
	}
}

func TestForageRefusesWhatNobodyKnows(t *testing.T) {
	open := paddock()
	open.Geometry = nil
	five := cuts("c", "2026-05-02", 70, 80, 75, 72, 78)
	bare := item("pasture-assessment", "c", north(0, 0), "observedOn", "2026-05-02", "photosKgHa", []float64{2900})
	unset := paddock()
	delete(unset.Fields, "residualKgHa")
	for _, c := range []struct {
		name  string
		given string
		items []recorded.Item
		part  string
	}{
		{"no-feed", "", []recorded.Item{paddock()}, "no feed has been cut in Bore paddock: cut and dry at least 5 quadrats"},
		{"no-weights", "", []recorded.Item{paddock(), assessed("c", "2026-05-02", "dryCutsG", []float64{70})}, "no feed has been cut in Bore paddock"},
		{"no-area", "", []recorded.Item{open, five}, "Bore paddock has no area"},
		{"no-residual", "", []recorded.Item{unset, five}, "the residual to leave on Bore paddock is not set"},
		{"no-unpalatable-share", "", []recorded.Item{paddock(), bare}, "what of the feed stock leave is not recorded"},
		{"fresh", "", []recorded.Item{paddock(), assessed("c", "2026-05-02", "frameM2", 0.25, "freshCutsG", []float64{70, 80})}, "were weighed fresh"},
		{"no-detachment", `{"ratings": "ae-low"}`, []recorded.Item{paddock(), five}, "what falls, blows away and is trampled is not known"},
		{"no-intake", `{"detachmentPct": 15}`, []recorded.Item{paddock(), five}, "what the stock eat is not known"},
		{"use-of-what", "", []recorded.Item{paddock("utilisationPct", 30), five}, "and not of what"},
		{"no-growth", "", []recorded.Item{paddock("utilisationPct", 30, "utilisationOf", "growth"), five}, "give yearGrowthKgHa"},
		{"no-head", "", []recorded.Item{paddock(), five, item("stocking", "s", nil, "paddock", "p")}, "has no head"},
		{"no-units", "", []recorded.Item{paddock(), five, stocked("s", 20, "class", "big ones")}, "what the stocking record s of 20 head counts for is not recorded"},
		{"units-of-another-table", `{"detachmentPct": 15, "ratings": "dse"}`, []recorded.Item{paddock(), five, stocked("s", 20, "adultEquivalents", 0.8)}, "counts for is not recorded"},
		{"rested-and-stocked", "", []recorded.Item{paddock(), five, stocked("r", 0), stocked("s", 20, "adultEquivalents", 0.8)}, "is rested since 1 May 2026, and stock are in it too"},
		{"clash", "", []recorded.Item{paddock(), clashed(five, "dryCutsG")}, "two people changed it differently"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := budget
			if c.given != "" {
				r.Given = given(c.given)
			}
			refuses(t, drafted(t, property(c.items...), r), c.part)
		})
	}
}

// What was weighed otherwise is no part of the sample, and few cuts are said to be few.
func TestForageOfOneWayOfCutting(t *testing.T) {
	fresh := assessed("b", "2026-05-02", "frameM2", 0.25, "freshCutsG", []float64{200, 210}, "dryMatterPct", 35)
	scald := square("bare", 20, 0, 0)
	scald.Kind = "scald"
	d := drafted(t, property(paddock(), fresh, cuts("c", "2026-05-02", 70, 80, 75), scald), budget)
	leavesOut(t, d, "b", "was assessed otherwise on that day, by 3 dried quadrats")
	leavesOut(t, d, "bare", "it lies in the paddock and is counted as grazed")
	says(t, "missing:", d.Missing, "3 quadrats were cut on 2 May 2026: cut at least 5 in each transect")
	says(t, "missing:", d.Missing, "no stock are recorded in Bore paddock now")
	if d = drafted(t, property(paddock(), fresh), budget); d.Input == nil {
		t.Errorf("fresh cuts with their dry matter are refused: %q", d.Refused)
	}
}

// Cover below its target is said; plots read long before the others tell of another state.
func TestForageHoldsCoverAgainstItsTarget(t *testing.T) {
	plot := func(id, day string, pct float64) recorded.Item {
		return item("cover-plot", id, north(10, 10), "coverPct", pct, "observedOn", day)
	}
	five := cuts("c", "2026-05-02", 70, 80, 75, 72, 78)
	visit := item("visit", "v", nil, "of", "k", "coverPct", 32, "observedOn", "2026-05-03")
	for _, c := range []struct {
		name  string
		items []recorded.Item
		part  string
		used  []string
	}{
		{"below", []recorded.Item{plot("k", "2025-09-01", 90), visit, plot("l", "2026-05-02", 30), plot("m", "2026-05-02", 31), plot("o", "2025-09-01", 90)}, "Ground cover is 31 %, and 60 % is the target: it is not met.", []string{"c", "l", "m", "p", "v"}},
		{"met", []recorded.Item{plot("k", "2026-05-02", 80), plot("l", "2026-05-02", 81), plot("m", "2026-05-02", 82)}, "it is met", []string{"c", "k", "l", "m", "p"}},
		{"one-plot", []recorded.Item{plot("k", "2026-05-02", 80)}, "the readings cannot tell", []string{"c", "k", "p"}},
		{"of-the-whole", []recorded.Item{item("visit", "w", nil, "of", "p", "coverPct", 70, "observedOn", "2026-05-03")}, "Ground cover is 70 %", []string{"c", "p", "w"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, err := property(append(c.items, paddock("coverTargetPct", 60), five)...).Plan(budget, "")
			if err != nil {
				t.Fatal(err)
			}
			says(t, "says", o.Says, c.part)
			uses(t, o.Draft, c.used...)
		})
	}
	says(t, "missing:", drafted(t, property(paddock("coverTargetPct", 60), five), budget).Missing, "read cover plots in it")
}

// A budget that is adopted writes the plan alone, and tells what was recorded since.
func TestForageIsAdoptedAsAPlan(t *testing.T) {
	items := []recorded.Item{paddock(), cuts("c", "2026-05-02", 70, 80, 75, 72, 78), stocked("s", 20, "adultEquivalents", 0.8)}
	o, err := property(items...).Plan(budget, "2026-05-03")
	if err != nil || len(o.Adoption.Changes) != 1 || o.Adoption.Changes[0].Name != "Forage budget of Bore paddock" {
		t.Fatalf("adopted %+v, %v", o.Adoption, err)
	}
	plan := item("plan", o.Adoption.Plan, nil)
	plan.Fields = o.Adoption.Changes[0].Fields
	if changed := property(append(items, plan)...).Changed(&plan); len(changed) != 0 {
		t.Errorf("at once its base has changed: %+v", changed)
	}
	changed := property(append(items, plan, cuts("new", "2026-07-01", 40), stocked("more", 5, "adultEquivalents", 1))...).Changed(&plan)
	if len(changed) != 2 || changed[0].Feature != "new" || changed[1].Feature != "more" {
		t.Errorf("changed %+v, want the new cuts and the new mob", changed)
	}
}
