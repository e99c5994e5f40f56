package server

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/planning"
	"headcut/sync/device"
	"headcut/sync/phonecompute"
	"headcut/sync/register"
)

// From readings on a phone to proposed works on every phone, to a pegged dam that the next plan leaves
// alone: a work stays one feature all along.
func bookedBedToDams(c *crew) {
	t, s, p, officer, hand, set, sync := c.t, c.site, c.p, c.officer, c.hand, c.set, c.sync
	set(officer, "gully", device.Fields{"kind": "thalweg", "name": "Fig Gully", "chainageZero": "start of the line", "geometry": json.RawMessage(`{"type":"LineString","coordinates":[[148,-20],[148,-19.99972]]}`)})
	rows := []model.LevelRow{{Point: "BM", BS: new(2.0), KnownLevelM: new(100.0)}}
	for i, read := range []float64{2, 1.5, 1, 0.5} {
		rows = append(rows, model.LevelRow{Point: "bed", IS: &read, Feature: "gully", Spot: model.BedSpot, ChainageM: new(float64(10 * i))})
	}
	rows = append(rows, model.LevelRow{Point: "BM", FS: new(2.0), KnownLevelM: new(100.0)})
	set(officer, "run", device.Fields{"kind": "level-run", "name": "Run 1", "observedOn": "2026-03-01", "rows": rows})
	sync(officer)

	request := PlanRequest{Property: "Stony Creek", Adopt: true, Author: "office", Request: planning.Request{Of: "Fig Gully", Plans: planning.Dams, Given: map[string]json.RawMessage{"crestHeightM": json.RawMessage("0.5")}}}
	phonePlansAlike(t, s.Server, p, request)
	planned, err := s.Plan(t.Context(), request)
	if err != nil || planned.Adoption == nil || len(planned.Adoption.Changes) != 5 || planned.Intake != 1 {
		t.Fatalf("plan %+v, %v; want 4 dams and the plan", planned, err)
	}
	for _, u := range planned.Used {
		if f := officer.Feature(p.ID, u.Feature); u.Version != string(f.Seen.Append(nil)) {
			t.Errorf("%s is used in version %s, and the phone has %s", u.Feature, u.Version, f.Seen.Append(nil))
		}
	}
	c.back(planned)
	second := planned.Adoption.Changes[1].Feature
	if f := hand.Feature(p.ID, second).Model(); f.Kind != "check-dam" || f.Status() != model.Proposed || f.Basis("chainageM") != model.FromPlan || f.Text("plan") != planned.Adoption.Plan {
		t.Fatalf("the second dam on the other phone is %+v", f)
	}

	set(hand, second, device.Fields{"status": "pegged", "peggedOn": "2026-03-02", "toeLevelM": 100.5, "levelRun": "run", "chainageM": 10.1, "chainageBasis": "taped"})
	sync(hand, officer)
	phonePlansAlike(t, s.Server, p, request)
	again, err := s.Plan(t.Context(), request)
	if err != nil || again.Adoption == nil {
		t.Fatal(again, err)
	}
	if slices.ContainsFunc(again.Adoption.Changes, func(c planning.Change) bool { return c.Feature == second }) {
		t.Errorf("the pegged dam is among the changes %+v", again.Adoption.Changes)
	}
	sync(hand)
	f := hand.Feature(p.ID, second)
	if m := f.Model(); m.Status() != model.Pegged || m.Text("plan") != planned.Adoption.Plan || len(f.Clashes) > 0 {
		t.Errorf("the pegged dam is %+v after planning again", f)
	}

	order, err := s.Order(t.Context(), map[string][]string{"property": {"stony creek"}})
	if err != nil || len(order.Places) != 1 || order.Places[0].Feature != "gully" || !slices.Equal(order.Places[0].Works, []planning.PlaceWorks{{Kind: "check-dam", Status: model.Proposed, Count: 3}, {Kind: "check-dam", Status: model.Pegged, Count: 1}}) {
		t.Errorf("order %+v, %v; want the gully with its dams", order, err)
	}

	// The base has changed since, once the officer reads a place of the bed again; both plans are listed with it.
	reread := slices.Clone(rows)
	reread[2].IS = new(1.48)
	set(officer, "run", device.Fields{"rows": reread})
	sync(officer)
	list, err := s.PlanRows(t.Context(), map[string][]string{"property": {"Stony Creek"}})
	if err != nil || len(list) != 2 || list[0].By != "office" || len(list[0].Changed) != 1 || list[0].Changed[0].What != "Run 1 was edited since, or struck out and restored." {
		t.Errorf("plans %+v, %v; want two that say what changed", list, err)
	}
}

// phonePlansAlike puts what a phone has of the property through its own door: the outcome is the
// server's, to the byte.
func phonePlansAlike(t *testing.T, s *Server, p Property, r PlanRequest) {
	t.Helper()
	type put struct {
		ID     string                     `json:"id"`
		Fields map[string]json.RawMessage `json:"fields"`
		Struck bool                       `json:"struck"`
		Saw    map[string]uint64          `json:"saw"`

		Clashes []string `json:"clashes"`
	}
	var q struct {
		Property string           `json:"property"`
		Put      []put            `json:"put"`
		Request  planning.Request `json:"request"`
		Today    string           `json:"today"`
	}
	q.Property, q.Request, q.Today = p.ID, r.Request, s.now().Format(time.DateOnly)
	for f, err := range s.folded(t.Context(), p.ID) {
		if err != nil {
			t.Fatal(err)
		}
		_, entries, err := s.entriesOf(t.Context(), p, f.Feature)
		if err != nil {
			t.Fatal(err)
		}
		clashes := model.Each(f.Clashes, func(c register.Clash) string { return c.Field })
		q.Put = append(q.Put, put{f.Feature, f.Fields, f.Struck, register.Gather(f.Feature, entries).Saw(""), clashes})
	}
	asJSON := func(v any, err error) string {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		text, err := jsonvalue.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	var phone phonecompute.Sheets
	text, err := phone.Plan([]byte(asJSON(q, nil)))
	if err != nil {
		t.Fatal(err)
	}
	recorded, err := s.recorded(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	outcome, err := recorded.Plan(r.Request, q.Today)
	outcome.Input = nil // the page shows none
	if want := asJSON(outcome, err); string(text) != want {
		t.Errorf("the phone plans\n%s\nwant as the server\n%s", text, want)
	}
}

// A clash of two phones refuses the plan until somebody settles it.
func TestPlanRefusesAnUnsettledClash(t *testing.T) {
	folded := register.Folded{Feature: "run", Clashes: []register.Clash{{Field: "rows"}}, Fields: map[string]json.RawMessage{"kind": json.RawMessage(`"level-run"`)}}
	if item := recordedItem(folded); !slices.Equal(item.Clashes, []string{"rows"}) || item.Kind != "level-run" || !strings.HasPrefix(item.Version, "v") {
		t.Errorf("for planning the run is %+v", item)
	}
}
