package planning

import (
	"encoding/json"
	"slices"
	"testing"

	"headcut/model/compute"
	"headcut/model/recorded"
)

const rockBuild = `"build": {"bedWidthM": 2, "crestBreadthM": 0.6, "upstreamRunPerRise": 1.5, "downstreamRunPerRise": 3}`

func ratesSet(more ...any) recorded.Item {
	return settings(append([]any{"damCrestHeightM", 0.5, "rates", json.RawMessage(`[{"item":"rock","unit":"m3","costPerUnit":80,"hoursPerUnit":0.5}]`)}, more...)...)
}

func built(t *testing.T, given string, items ...recorded.Item) (Outcome, error) {
	t.Helper()
	r := dams
	r.Given = nil
	if given != "" {
		r.Given = map[string]json.RawMessage{}
		if err := json.Unmarshal([]byte(given), &r.Given); err != nil {
			t.Fatal(err)
		}
	}
	return property(append(items, drawn(30), run("1", "2026-05-13", 0, bed(30, 5)...))...).Plan(r, "")
}

// A plan has its hours and cost by the property's rates, to the byte those of the bare computation with the
// same rates; without a rate they are not known, never nought.
func TestPlansByThePropertysRates(t *testing.T) {
	o, err := built(t, `{`+rockBuild+`}`, ratesSet("currency", "XTS"))
	if err != nil {
		t.Fatal(err)
	}
	hand, err := compute.Run("dam-layout", []byte(`{"crestHeightM": 0.5, "rates": [{"item":"rock","unit":"m3","costPerUnit":80,"hoursPerUnit":0.5}], `+rockBuild+`,
		"bed": [{"chainageM": 0, "levelM": 100}, {"chainageM": 10, "levelM": 100.5}, {"chainageM": 20, "levelM": 101}, {"chainageM": 30, "levelM": 101.5}]}`))
	if err != nil || string(hand) != string(o.Answer) {
		t.Errorf("answer %s\nby hand %s, %v", o.Answer, hand, err)
	}
	bill := billIn(o.Answer)
	if o.Currency != "XTS" || bill.Cost == nil || *bill.Cost <= 0 || bill.Hours == nil || len(o.Says) > 0 {
		t.Errorf("currency %q, bill %+v, says %q; want both known", o.Currency, bill, o.Says)
	}
	uses(t, o.Draft, "1", "g", "settings-p")

	for _, c := range []struct {
		name, given string
		settings    recorded.Item
		hours, cost bool
		missing     string // part of it
		says        []string
	}{
		{"no-rates", `{` + rockBuild + `}`, settings("damCrestHeightM", 0.5), false, false, "the property has no rates", nil},
		{"no-currency", `{` + rockBuild + `}`, ratesSet(), true, true, "", []string{currencyUnknown}},
		{"no-code", `{` + rockBuild + `}`, ratesSet("currency", "dollars"), true, true, "", []string{currencyUnknown}},
		{"given", `{"rates": [{"item":"rock","unit":"m3","hoursPerUnit":1}], ` + rockBuild + `}`, ratesSet(), true, false, "", nil},
		{"of-another-item", `{"rates": [{"item":"post","unit":"each","costPerUnit":5}], ` + rockBuild + `}`, ratesSet(), false, false, "", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, err := built(t, c.given, c.settings)
			if err != nil {
				t.Fatal(err)
			}
			bill := billIn(o.Answer)
			if (bill.Hours != nil) != c.hours || (bill.Cost != nil) != c.cost || !slices.Equal(o.Says, append([]string{}, c.says...)) {
				t.Errorf("bill %+v, says %q; want hours %v, cost %v, says %q", bill, o.Says, c.hours, c.cost, c.says)
			}
			if c.missing != "" {
				says(t, "missing:", o.Missing, c.missing)
			}
		})
	}
	if o, err := built(t, "", ratesSet()); err != nil || o.Used[len(o.Used)-1].What != "the height of crests" || len(o.Missing) > 0 {
		t.Errorf("without a build %+v, %v; want no rates in it", o.Draft, err)
	}
}

func TestRatesThatCannotBeUsed(t *testing.T) {
	o, err := built(t, `{`+rockBuild+`}`, settings("rates", json.RawMessage(`[{"item":"rock","unit":"load","costPerUnit":80}]`)))
	if err != nil {
		t.Fatal(err)
	}
	refuses(t, o.Draft, `the rates in the settings of the property cannot be used: rates[0].unit: "load"`)
	o, err = built(t, `{`+rockBuild+`}`, clashed(ratesSet(), "rates"))
	if err != nil {
		t.Fatal(err)
	}
	refuses(t, o.Draft, "two people changed it differently")
}

// Side by side stands what each height costs.
func TestCostsSideBySide(t *testing.T) {
	r := compared("g", Dams, "crestHeightM", "0.3", "0.5")
	r.Given = given(`{` + rockBuild + `}`)
	o, err := property(ratesSet(), drawn(30), run("1", "2026-05-13", 0, bed(30, 5)...)).Plan(r, "")
	if err != nil || len(o.Beside) != 2 {
		t.Fatal(o, err)
	}
	for _, b := range o.Beside {
		if b.Laid == nil || b.Cost == nil || b.Hours == nil {
			t.Errorf("at %s: %+v, want hours and cost", b.Value, b)
		}
	}
}
