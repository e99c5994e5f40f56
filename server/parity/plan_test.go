package parity

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"headcut/model/compute"
	"headcut/model/planning"
	"headcut/sync/phonecompute"
)

// plannable is a property with something of every kind for which anything is planned; the scald has been levelled.
const plannable = `[
	{"id":"scald","fields":{"kind":"scald","name":"Scald","accuracyM":3,"positionBasis":"GPS","dispersive":true,
		"geometry":{"type":"Polygon","coordinates":[[[147,-20],[147.0012,-20],[147.0012,-20.0012],[147,-20.0012],[147,-20]]]}}},
	{"id":"head","fields":{"kind":"gully-head","name":"Head","catchmentHa":2,"geometry":{"type":"Point","coordinates":[147.002,-20]}}},
	{"id":"catchment","fields":{"kind":"catchment","name":"Catchment"}},
	{"id":"batter","fields":{"kind":"batter","name":"Batter"}},
	{"id":"paddock","fields":{"kind":"paddock","name":"Paddock"}},
	{"id":"rip","fields":{"kind":"rip-line","name":"Rip"}},
	{"id":"windrow","fields":{"kind":"windrow","name":"Windrow"}},
	{"id":"gully","fields":{"kind":"thalweg","name":"Gully","geometry":{"type":"LineString","coordinates":[[147,-20],[147.001,-20]]}}},
	{"id":"track","fields":{"kind":"track","name":"Track","geometry":{"type":"LineString","coordinates":[[147,-20],[147.001,-20]]}}},
	{"id":"run","fields":{"kind":"level-run","date":"2026-05-13","rows":[{"point":"BM","bs":3,"knownLevelM":104},
		{"point":"1","is":3,"feature":"scald","chainageM":0},{"point":"2","is":3.2,"feature":"scald","chainageM":40},
		{"point":"3","is":3.5,"feature":"scald","chainageM":100},{"point":"BM","fs":3,"knownLevelM":104}]}}]`

// TestPhonePlansLikeTheOffice: every purpose, asked of everything on a property, is answered or
// refused in the page by the bytes of the server's code; so are the order of works and the follow-up.
func TestPhonePlansLikeTheOffice(t *testing.T) {
	p := loaded(t)
	put := `{"property":"p","put":` + plannable + `}`
	var office phonecompute.Sheets
	if _, err := office.Ask([]byte(put)); err != nil {
		t.Fatal(err)
	}
	eval[bool](p, `c.sheets(`+put+`).ok`)
	var items []struct{ ID string }
	if err := json.Unmarshal([]byte(plannable), &items); err != nil {
		t.Fatal(err)
	}
	for _, purpose := range planning.Purposes {
		outcomes := 0
		for _, of := range items {
			question := fmt.Sprintf(`{"property":"p","today":"2026-12-01","request":{"of":%q,"plans":%q}}`, of.ID, purpose)
			text, err := office.Plan([]byte(question))
			want := `{"ok":true,"output":` + string(text) + `}`
			if err != nil {
				want = `{"ok":false,"problem":` + string(compute.Refusal(err)) + `}`
			} else {
				outcomes++
			}
			if got := eval[[]string](p, `[JSON.stringify(c.plan(`+question+`)), JSON.stringify(`+want+`)]`); got[0] != got[1] {
				t.Errorf("%s of %s\n in the page %s\nin the office %s", purpose, of.ID, got[0], got[1])
			} else if strings.Contains(got[0], "cannot be planned") {
				t.Errorf("%s of %s is not known: %s", purpose, of.ID, got[0])
			}
		}
		if outcomes == 0 {
			t.Errorf("%s is refused of everything", purpose)
		}
	}
	for name, ask := range map[string]func([]byte) ([]byte, error){"order": office.Order, "followUp": office.FollowUp} {
		question := `{"property":"p","today":"2026-12-01","request":{"from":2025,"storms":[{"on":"2026-02-11","rainMm":85}]}}`
		want, err := ask([]byte(question))
		if err != nil {
			t.Fatal(err)
		}
		if got := eval[[]string](p, `[JSON.stringify(c.`+name+`(`+question+`).output), JSON.stringify(`+string(want)+`)]`); got[0] != got[1] || len(want) < 500 {
			t.Errorf("%s\n in the page %s\nin the office %s", name, got[0], got[1])
		}
	}
}
