package server

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/planning"
	"headcut/sync/device"
)

// slopeRows is a book that levels two rip lines and two windrows, 30 m apart each, and the slope itself.
func slopeRows() []model.LevelRow {
	rows := []model.LevelRow{{Point: "BM", BS: new(4.0), KnownLevelM: new(100.0)}}
	for _, line := range []struct {
		id    string
		readM float64
	}{{"rip-a", 1}, {"rip-b", 2.5}, {"row-a", 1.2}, {"row-b", 2.7}} {
		for i := range 5 {
			rows = append(rows, model.LevelRow{Point: fmt.Sprint(line.id, " peg ", i+1), IS: new(line.readM), Feature: line.id, Spot: model.PegSpot, ChainageM: new(float64(25 * i))})
		}
	}
	for i := range 6 {
		rows = append(rows, model.LevelRow{Point: "slope", IS: new(0.5 + 0.8*float64(i)), Feature: "scald", Spot: model.PegSpot, ChainageM: new(float64(20 * i))})
	}
	return append(rows, model.LevelRow{Point: "BM", FS: new(4.0), KnownLevelM: new(100.0)})
}

// From pegs that a phone booked on a slope to proposed lines and banks on every phone; what is pegged there the next
// plan leaves alone, and goes by.
func pegsOnASlopeToLinesAndBanks(c *crew) {
	outer := c.t
	t, s, p, officer, hand, set, sync := c.t, c.site, c.p, c.officer, c.hand, c.set, c.sync
	line := func(lat float64, pieces ...string) json.RawMessage {
		for i := range pieces {
			pieces[i] = strings.ReplaceAll(pieces[i], "LAT", fmt.Sprint(lat))
		}
		if len(pieces) == 1 {
			return json.RawMessage(`{"type":"LineString","coordinates":` + pieces[0] + `}`)
		}
		return json.RawMessage(`{"type":"MultiLineString","coordinates":[` + strings.Join(pieces, ",") + `]}`)
	}
	const whole = "[[148,LAT],[148.00095,LAT]]"
	set(officer, "scald", device.Fields{"kind": "scald", "name": "Ironbark scald", "geometry": json.RawMessage(`{"type":"Polygon","coordinates":[[[147.999,-20.002],[148.002,-20.002],[148.002,-19.999],[147.999,-19.999],[147.999,-20.002]]]}`)})
	set(officer, "rip-a", device.Fields{"kind": "rip-line", "name": "Rip line 1", "status": "pegged", "accuracyM": 2, "geometry": line(-20, whole)})
	set(officer, "rip-b", device.Fields{"kind": "rip-line", "name": "Rip line 2", "status": "pegged", "accuracyM": 2, "geometry": line(-20.00027, whole)})
	set(officer, "row-a", device.Fields{"kind": "windrow", "name": "Timber windrow 1", "status": "pegged", "accuracyM": 2, "geometry": line(-20.0005, "[[148,LAT],[148.0003,LAT]]", "[[148.00036,LAT],[148.00095,LAT]]")})
	set(officer, "row-b", device.Fields{"kind": "windrow", "name": "Timber windrow 2", "status": "pegged", "accuracyM": 2, "geometry": line(-20.00077, "[[148,LAT],[148.0006,LAT]]", "[[148.00066,LAT],[148.00095,LAT]]")})
	set(officer, "run", device.Fields{"kind": "level-run", "name": "Run 1", "observedOn": "2026-03-01", "rows": slopeRows()})
	for i := range 6 { // pegs where the slope was levelled, and down a second line beside it
		peg := func(id string, eastM, southM float64, more device.Fields) {
			at := model.AppendGeometry(nil, geodesy.Frame{Origin: orb.Point{148, -20}}.Position(eastM, -southM))
			more["kind"], more["name"], more["geometry"], more["positionBasis"], more["accuracyM"], more["levelRun"] = "peg", id, json.RawMessage(at), "GPS", 0.5, "run"
			set(hand, id, more)
		}
		downM := float64(20 * i)
		peg(fmt.Sprint("line-", i), 0, downM, device.Fields{"levelM": 103.5 - 0.04*downM, "chainageM": downM, "chainageBasis": "taped"})
		peg(fmt.Sprint("beside-", i), 98, downM, device.Fields{"levelM": 103.5 - 0.04*downM})
	}
	sync(officer, hand)

	given := func(text string) (all map[string]json.RawMessage) {
		if err := json.Unmarshal([]byte(text), &all); err != nil {
			t.Fatal(err)
		}
		return all
	}
	for _, works := range []struct {
		plans   planning.Purpose
		given   string
		kind    string
		count   int
		levels  []string // fields of the level to peg
		levelsM []float64
		pegs    []model.LevelRow // with which the first work is pegged and proven, without its id
	}{
		{planning.RipLines, `{"apartM": 12, "subsoil": "not dispersive"}`, "rip-line", 2, []string{"targetLevelM"}, []float64{102.5}, []model.LevelRow{{IS: new(1.51), ChainageM: new(0.0)}, {IS: new(1.5), ChainageM: new(25.0)}, {IS: new(1.5), ChainageM: new(50.0)}, {IS: new(1.49), ChainageM: new(75.0)}, {IS: new(1.5), ChainageM: new(99.0)}}},
		{planning.Windrows, `{"apartM": 16, "gapM": 5, "gapsApartM": 30, "fallBearingDeg": 180}`, "windrow", 1, []string{"targetLevelM"}, []float64{102.05}, nil},
		{planning.Banks, `{"outlet": {"kind": "grassed area", "stable": true, "toGullyHead": false}, "reaches": [{"lengthM": 100, "gradePct": 0.3}], "bankRunPerRise": 3, "topWidthM": 2,
			"freeboardM": 0.15, "settlementPct": 10, "lining": "high grass", "cover": "couch", "flowM3S": 0.3, "slopeFactor": 0.1, "constant": 0.4}`, "contour-bank", 4, []string{"targetOutletLevelM", "targetTopLevelM"}, []float64{102.699, 102.999}, nil},
	} {
		t.Run(string(works.plans), func(inner *testing.T) {
			t, c.t = inner, inner
			defer func() { t, c.t = outer, outer }()
			request := PlanRequest{Property: "Stony Creek", Adopt: true, Author: "office", Request: planning.Request{Of: "Ironbark scald", Plans: works.plans, Given: given(works.given)}}
			planned, err := s.Plan(t.Context(), request)
			if err != nil || planned.Adoption == nil || len(planned.Adoption.Changes) != works.count+1 {
				t.Fatalf("plan refused %q, %v, changes %+v; want %d works and the plan", planned.Refused, err, planned.Adoption, works.count)
			}
			c.back(planned)
			first := planned.Adoption.Changes[0].Feature
			f := hand.Feature(p.ID, first).Model()
			if f.Kind != works.kind || f.Status() != model.Proposed || f.Text("plan") != planned.Adoption.Plan {
				t.Fatalf("the first work on the other phone is %+v", f)
			}
			for i, field := range works.levels {
				if m, _ := f.Number(field); m < works.levelsM[i]-0.002 || m > works.levelsM[i]+0.002 {
					t.Errorf("%s is %v, want %v", field, m, works.levelsM[i])
				}
			}
			if line, isLine := f.Geometry.(orb.LineString); f.Basis("geometry") != model.FromPlan || works.plans == planning.Banks && (!isLine || len(line) != 2 || geodesy.Distance(line[0], line[1]) > 100 || geodesy.Distance(line[0], line[1]) < 97.9) {
				t.Errorf("the first work lies at %v, %s; want a line by the plan", f.Geometry, f.Basis("geometry"))
			}
			again, err := s.Plan(t.Context(), request)
			if err != nil || len(again.Adoption.Changes) != 0 || again.Adoption.Known != works.count || again.Intake != 0 {
				t.Fatalf("adopted twice: %+v, %v; want no change", again.Adoption, err)
			}

			set(hand, first, device.Fields{"status": "pegged", "peggedOn": "2026-03-02"})
			if works.pegs != nil {
				rows := []model.LevelRow{{Point: "BM", BS: new(4.0), KnownLevelM: new(100.0)}}
				for i, peg := range works.pegs {
					peg.Point, peg.Feature, peg.Spot = fmt.Sprint("peg ", i+1), first, model.PegSpot
					rows = append(rows, peg)
				}
				set(hand, "run-"+works.kind, device.Fields{"kind": "level-run", "name": "Run 2", "observedOn": "2026-03-02", "rows": append(rows, model.LevelRow{Point: "BM", FS: new(4.0), KnownLevelM: new(100.0)})})
			}
			sync(hand, officer)
			last, err := s.Plan(t.Context(), request)
			if err != nil || last.Adoption == nil {
				t.Fatal(last.Refused, err)
			}
			if slices.ContainsFunc(last.Adoption.Changes, func(change planning.Change) bool { return change.Feature == first }) {
				t.Errorf("the pegged work is among the changes %+v", last.Adoption.Changes)
			}
			goesBy := slices.ContainsFunc(last.Used, func(u planning.Used) bool { return u.Feature == first })
			if want := works.pegs != nil || works.plans == planning.Banks; goesBy != want { // a line by its pegs alone, banks by their taped places
				t.Errorf("it goes by the pegged work: %v, want %v; left out %+v", goesBy, want, last.LeftOut)
			}
			sync(hand)
			if f := hand.Feature(p.ID, first); f.Model().Status() != model.Pegged || f.Model().Text("plan") != planned.Adoption.Plan || len(f.Clashes) > 0 {
				t.Errorf("the pegged work is %+v after planning again", f)
			}
		})
	}

	// Pegging its own lines changes no plan's base, nor does a note in the book; moving a line does.
	changed := func() (all []string) {
		rows, err := s.PlanRows(t.Context(), map[string][]string{"property": {"Stony Creek"}})
		if err != nil || len(rows) < 3 {
			t.Fatalf("plans %+v, %v", rows, err)
		}
		for _, row := range rows {
			if row.Plans == planning.RipLines {
				for _, what := range row.Changed {
					all = append(all, what.What)
				}
				return all
			}
		}
		return nil
	}
	if got := changed(); len(got) > 0 {
		t.Errorf("the plan says %q, and only its own line was pegged", got)
	}
	set(officer, "run", device.Fields{"notes": "read again"})
	sync(officer)
	if got := changed(); len(got) > 0 {
		t.Errorf("the plan says %q, and its levels are as they were", got)
	}
	set(officer, "rip-b", device.Fields{"geometry": line(-20.00028, whole)})
	sync(officer)
	if got := changed(); len(got) != 1 || got[0] != "Rip line 2 was edited since, or struck out and restored." {
		t.Errorf("the plan says %q, want that a line was moved", got)
	}
}
