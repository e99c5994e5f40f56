package figures

import (
	"encoding/json"
	"os"
	"slices"
	"testing"

	"headcut/model"
)

// The cases are read by the field page's tests too: both must tell the same.
func TestVisitedTellsTheNewest(t *testing.T) {
	raw, err := os.ReadFile("../../viewer/src/survey/visit/newest.cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		Say     string
		Feature map[string]json.RawMessage
		Visits  []map[string]json.RawMessage
		Want    *Visited
	}
	if err := json.Unmarshal(raw, &cases); err != nil {
		t.Fatal(err)
	}
	for _, c := range cases {
		t.Run(c.Say, func(t *testing.T) {
			of := model.Feature{ID: "thing", Fields: c.Feature}
			of.Kind = of.Text("kind")
			all := []model.Feature{of}
			for _, fields := range c.Visits {
				v := model.Feature{Kind: "visit", Fields: model.Now("visit", fields)}
				v.ID = v.Text("id")
				if raw, ok := fields["geometry"]; ok {
					v.Geometry, _ = model.ParseGeometry(raw)
				}
				v.Fields["of"] = json.RawMessage(`"thing"`)
				all = append(all, v)
			}
			for range 2 {
				got := survey(all...).Of(of).Visited
				if got != nil {
					for i := range got.Measured { // label, unit and basis are the table's, not the cases'
						m := &got.Measured[i]
						if m.Label == "" || m.Unit == "" || m.Basis == "" {
							t.Errorf("%+v lacks a label, a unit or a basis", *m)
						}
						m.Label, m.Unit, m.Basis = "", "", ""
					}
				}
				if g, w := asJSON(t, got), asJSON(t, c.Want); g != w {
					t.Errorf("tells\n%s, want\n%s", g, w)
				}
				slices.Reverse(all)
			}
		})
	}
}

// Levels that meet do not make a dam sound which somebody saw broken: the caution goes
// wherever its figures go.
func TestVisitThatFoundHarmIsACaution(t *testing.T) {
	dam := feature("check-dam", "d", nil, "status", "built")
	for condition, says := range map[string]string{"needs work": "The visit on 13 May 2026 found that it needs work.", "failed": "has failed"} {
		warns(t, survey(dam, feature("visit", "v", nil, "of", "d", "observedOn", "2026-05-13", "condition", condition)).Of(dam), "condition", says)
	}
	quiet(t, survey(dam, feature("visit", "v", nil, "of", "d", "observedOn", "2026-05-13", "condition", "sound")).Of(dam), "condition")
	gone := feature("check-dam", "d", nil, "status", "removed")
	quiet(t, survey(gone, feature("visit", "v", nil, "of", "d", "observedOn", "2026-05-13", "condition", "failed")).Of(gone), "condition")
}
