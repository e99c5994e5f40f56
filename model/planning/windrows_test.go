package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/geodesy"
	"headcut/model/recorded"
	"headcut/model/works"
)

var rowsAsked = Request{Of: "Ironbark scald", Plans: Windrows}

// gapped is a windrow on the contour that leaves gaps of 6 m from these chainages on.
func gapped(id string, downM float64, gapsM ...float64) recorded.Item {
	row := onContour("windrow", id, downM)
	var all orb.MultiLineString
	fromM := 0.0
	for _, m := range append(gapsM, 100) {
		all = append(all, orb.LineString{north(-downM, fromM), north(-downM, m)})
		fromM = m + 6
	}
	row.Geometry = all
	return row
}

func twoRows() []recorded.Item {
	return []recorded.Item{bareScald(), gapped("1", 0, 30), gapped("2", 40, 60), run("r", "2026-05-13", 0, append(pegsAt("1", 100), pegsAt("2", 98)...)...)}
}

// The gaps are those of the rows' lines, and the answer is that of the same input typed by hand.
func TestWindrowsAreTheBareComputation(t *testing.T) {
	r := rowsAsked
	r.Given = given(`{"fallBearingDeg": 180, "chainagePlusMinusM": 0.2}`)
	d := drafted(t, property(twoRows()...), r)
	answer, err := d.Compute()
	if err != nil {
		t.Fatalf("%s: %v; refused: %q", d.Input, err, d.Refused)
	}
	line := func(downM float64, eastM ...float64) string {
		var all []orb.Point
		for _, m := range eastM {
			all = append(all, north(-downM, m))
		}
		raw, _ := json.Marshal(all)
		return string(raw)
	}
	var in struct {
		Rows []struct {
			Gaps []struct{ FromM, ToM float64 }
		}
	}
	if err := json.Unmarshal(d.Input, &in); err != nil || len(in.Rows) != 2 || len(in.Rows[1].Gaps) != 1 || math.Abs(in.Rows[1].Gaps[0].FromM-60) > 1e-3 || math.Abs(in.Rows[1].Gaps[0].ToM-66) > 1e-3 {
		t.Fatalf("input %s, want a gap from 60 to 66 m in the lower row", d.Input)
	}
	gap := func(i int) string {
		return number(in.Rows[i].Gaps[0].FromM) + `, "toM": ` + number(in.Rows[i].Gaps[0].ToM)
	}
	hand, err := compute.Run("windrow-gaps", fmt.Appendf(nil, `{"fallBearingDeg": 180.0, "accuracyM": 2, "chainagePlusMinusM": 0.20, "rows": [{"name": "Timber windrow 1", "line": %s, "gaps": [{"fromM": %s}]}, {"gaps": [{"fromM": %s}], "name": "Timber windrow 2", "line": %s}]}`,
		line(0, 0, 30, 36, 100), gap(0), gap(1), line(40, 0, 60, 66, 100)))
	if err != nil || string(hand) != string(answer) {
		t.Errorf("answer %s\nby hand %s, %v", answer, hand, err)
	}
	uses(t, d, "1", "2", "r", "s")
	refuses(t, drafted(t, property(bareScald(), gapped("1", 0, 30)), rowsAsked), "no timber windrow of Ironbark scald is checked")
}

// Planned rows leave their gaps open in their own line, at the height that was given, clear of those above and below.
func TestAdoptedWindrows(t *testing.T) {
	l := land(twoRows())
	r := rowsAsked
	r.Given = given(`{"apartM": 20, "gapM": 4, "gapsApartM": 40, "heightM": 0.6, "fallBearingDeg": 180}`)
	a := l.adopt(t, r)
	made := l.ofPlan("windrow", a.Plan)
	if len(made) != 1 {
		t.Fatalf("%+v, want 1 row", a)
	}
	row := made[0]
	m, _ := row.Number("targetLevelM")
	heightM, _ := row.Number("heightM")
	line, gaps := joined(row.Geometry)
	if m != 99 || heightM != 0.6 || row.Text("name") != "Timber windrow 3" || len(gaps) != 3 || math.Abs(geodesy.Length(line)-100) > 0.01 {
		t.Fatalf("row %s with gaps %v, want it at 99 m with three gaps", row.Fields, gaps)
	}
	for i, gap := range gaps {
		if math.Abs(gap.FromM-[]float64{8, 48, 88}[i]) > 0.01 || math.Abs(gap.ToM-gap.FromM-4) > 0.01 {
			t.Errorf("gaps %v, want one every 40 m from 8 m on, clear of 30 to 36 above and 60 to 66 below", gaps)
		}
	}
	if again := l.adopt(t, r); len(again.Changes) > 0 || again.Known != 1 {
		t.Errorf("adopted again: %+v, want no change", again)
	}
}

func TestWindrowsRefuse(t *testing.T) {
	for text, part := range map[string]string{
		`{"apartM": 20, "gapM": 4}`:                   "gaps: give gapM, how wide each is, and gapsApartM",
		`{"apartM": 20, "gapM": 4, "gapsApartM": 6}`:  "gaps: give gapM",
		`{"apartM": 20, "gapM": 99, "gapsApartM": 6}`: "gapM: 99 is not from 1 to 50 m.",
		`{"heightM": 9}`:                              "heightM: 9 is not from 0.1 to 5 m.",
	} {
		r := rowsAsked
		r.Given = given(text)
		refuses(t, drafted(t, property(twoRows()...), r), part)
	}
	wide := rowsAsked
	wide.Given = given(`{"apartM": 20, "gapM": 40, "gapsApartM": 80}`)
	says(t, "missing:", drafted(t, property(twoRows()...), wide).Missing, "nowhere in the row planned 20.0 m from Timber windrow 1 is a gap sure to be clear")
	if _, err := property(twoRows()...).Draft(Request{Of: "s", Plans: Windrows, Given: given(`{"rows": []}`)}); err == nil || err.(*model.Problem).Path != "rows" {
		t.Errorf("rows by word: %v, want a problem at rows", err)
	}
}

// No gap of an adopted row lies above or below another, whatever the rows between which it lies leave open; and
// adopting twice changes nothing.
func TestLawsOfAdoptedWindrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.Float64Range(4, 88)
		downM := rapid.Float64Range(20, 60).Draw(t, "down")
		l := land{bareScald(), gapped("1", 0, gap.Draw(t, "upper")), gapped("2", downM, gap.Draw(t, "lower")), run("r", "2026-05-13", 0, append(pegsAt("1", 100), pegsAt("2", 98)...)...)}
		r := rowsAsked
		r.Given = map[string]json.RawMessage{}
		widthM := rapid.Float64Range(2, 6).Draw(t, "gap")
		fields(r.Given).put("apartM", rapid.Float64Range(5, 30).Draw(t, "apart"))
		fields(r.Given).put("gapM", widthM)
		fields(r.Given).put("gapsApartM", rapid.Float64Range(4, 10).Draw(t, "times")*widthM)
		fields(r.Given).put("fallBearingDeg", 180)
		a := l.adopt(t, r)
		made := l.ofPlan("windrow", a.Plan)
		w := works.Windrows{FallBearingDeg: 180, AccuracyM: 2}
		add := func(item recorded.Item) {
			line, gaps := joined(item.Geometry)
			w.Rows = append(w.Rows, works.Windrow{Name: item.ID, Line: line, Gaps: gaps})
		}
		add(l[1])
		for _, row := range made {
			add(row)
		}
		add(l[2])
		s, err := w.Stagger(nil)
		if err != nil {
			t.Fatal(err)
		}
		planned := func(i int) bool { return i > 0 && i < len(w.Rows)-1 }
		for _, pair := range s.Pairs {
			if (planned(pair.Row) || pair.Below >= 0 && planned(pair.Below)) && pair.Meets == works.MeetsGap {
				t.Fatalf("gap %d of row %d lies above gap %d of row %d: %+v", pair.Gap, pair.Row, pair.BelowGap, pair.Below, w.Rows)
			}
		}
		if again := l.adopt(t, r); len(again.Changes) > 0 {
			t.Fatalf("adopted again: %+v, want no change", again.Changes)
		}
	})
}
