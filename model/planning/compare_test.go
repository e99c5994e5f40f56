package planning

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"headcut/model"
)

// compared asks for each of some values of one field.
func compared(of string, plans Purpose, field string, values ...string) Request {
	return Request{Of: of, Plans: plans, Compare: map[string][]json.RawMessage{field: model.Each(values, func(v string) json.RawMessage { return json.RawMessage(v) })}}
}

// Each height keeps free what it would drown itself: side by side stand the plans that each value gives
// alone, and a value that cannot be planned hides none of the others. Here a crest of 0.5 m would stand over
// the toe at 20 m from 10 m on, and one of 0.3 m from 14 m on.
func TestEachHeightIsPlannedByItself(t *testing.T) {
	p := property(drawn(60), run("1", "2026-05-13", 0, bed(60, 5)...), standingDam("a", 20),
		item("level-run", "2", nil, "observedOn", "2026-05-14", "rows", []model.LevelRow{{Feature: "g", Spot: model.BedSpot, IS: new(1.0)}}))
	heights := []string{"9", "0.3", "0.5", "1"}
	o, err := p.Plan(compared("g", Dams, "crestHeightM", heights...), "")
	if err != nil || len(o.Beside) != len(heights) {
		t.Fatalf("plan %+v, %v; want %d beside each other", o, err, len(heights))
	}
	if one := o.Beside[0]; one.Laid != nil || len(one.Refused) != 1 || !strings.Contains(one.Refused[0], "too high") {
		t.Errorf("9 m comes to %+v, want a refusal", one)
	}
	beside := o.Beside
	for i, text := range heights[1:] {
		got, alone := beside[i+1], dams
		alone.Given = given(`{"crestHeightM": ` + text + `}`)
		want, err := p.Plan(alone, "")
		if err != nil {
			t.Fatal(err)
		}
		at := chainages(t, want.Draft)
		if got.Laid == nil || got.Count != len(at) || *got.LowestM != at[0] || *got.HighestM != at[len(at)-1] || *got.HeightM != want.height(t) || !slices.Equal(got.Says, want.Says) || len(got.Refused) > 0 {
			t.Errorf("%s m comes to %+v, alone to dams at %v that say %q", text, got, at, want.Says)
		}
		if i > 0 {
			continue
		}
		if o.Beside = nil; !reflect.DeepEqual(o, want) || len(o.LeftOut) == 0 {
			t.Errorf("the outcome is %+v, want that of %s m, the first that can be planned, and the run that cannot be reduced left out: %+v", o, text, want)
		}
	}
	if low, high := beside[1], beside[2]; low.Count <= high.Count {
		t.Errorf("%d dams of 0.3 m and %d of 0.5 m: lower ones stand nearer to each other", low.Count, high.Count)
	}
	if _, err := p.Plan(compared("g", Dams, "crestHeightM", "9", "8"), ""); err == nil || !strings.Contains(err.Error(), "9 m") {
		t.Errorf("two heights that cannot be: %v, want the problem of the first", err)
	}
}

func (o Outcome) height(t *testing.T) float64 {
	t.Helper()
	var out layout
	if err := json.Unmarshal(o.Answer, &out); err != nil {
		t.Fatal(err)
	}
	return out.CrestHeightM
}

// What lays out no works has its answer beside the others.
func TestPeakFlowsSideBySide(t *testing.T) {
	p := property(item("gully-head", "h", nil))
	r := compared("h", PeakFlow, "intensityMmH", "50", "80")
	r.Given = given(`{"areaHa": 12, "coefficient": 0.4}`)
	o, err := p.Plan(r, "")
	if err != nil || len(o.Beside) != 2 {
		t.Fatalf("plan %+v, %v", o, err)
	}
	flow := func(b Beside) (m3s float64) {
		var out struct{ FlowM3S float64 }
		if err := json.Unmarshal(b.Answer, &out); err != nil || b.Laid != nil {
			t.Fatalf("beside %+v, %v", b, err)
		}
		return out.FlowM3S
	}
	if low, high := flow(o.Beside[0]), flow(o.Beside[1]); low <= 0 || high <= low {
		t.Errorf("flows %v and %v", low, high)
	}
}

func TestComparisonsThatCannotBe(t *testing.T) {
	p := property(drawn(60), run("1", "2026-05-13", 0, bed(60, 5)...))
	both, two := compared("g", Dams, "crestHeightM", "0.3"), compared("g", Dams, "crestHeightM", "0.3")
	both.Given = given(`{"crestHeightM": 0.4}`)
	two.Compare["depositSlopePct"] = nil
	laidOut := dams
	laidOut.Given = given(`{"heightsM": []}`)
	for _, c := range []struct {
		name, path, day string
		r               Request
	}{
		{"given-too", "crestHeightM", "", both},
		{"two-fields", "compare", "", two},
		{"no-values", "compare.crestHeightM", "", compared("g", Dams, "crestHeightM")},
		{"too-many", "compare.crestHeightM", "", compared("g", Dams, "crestHeightM", "0.1", "0.2", "0.3", "0.4", "0.5", "0.6", "0.7", "0.8", "0.9")},
		{"recorded", "bed", "", compared("g", Dams, "bed", "[]")},
		{"adopted", "compare", "2026-12-01", compared("g", Dams, "crestHeightM", "0.3", "0.4")},
		{"laid-out-by-the-computation", "heightsM", "", laidOut},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, err := p.Plan(c.r, c.day)
			if err == nil || err.(*model.Problem).Path != c.path {
				t.Errorf("plan %+v, %v; want a problem at %q", o.Beside, err, c.path)
			}
		})
	}
	if o, err := p.Plan(compared("g", Dams, "crestHeightM", "0.1", "0.2", "0.3", "0.4", "0.5", "0.6", "0.7", "0.8"), ""); err != nil || len(o.Beside) != 8 {
		t.Errorf("eight heights: %d beside each other, %v", len(o.Beside), err)
	}
}
