package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/recorded"
)

// acrossRun is a closed run along the bed, and across it at 22 m: 2 m wide at its bottom, and as deep as is said.
func acrossRun(id string, deepM, outM float64) recorded.Item {
	rows := book(outM, bed(60, 5)...)
	across := func(offsetM, levelM float64) model.LevelRow {
		m := math.Round((112-levelM)*1e4) / 1e4
		return model.LevelRow{Point: "x", IS: &m, Feature: "g", Spot: model.SectionSpot, ChainageM: new(22.0), OffsetM: new(offsetM)}
	}
	all := []model.LevelRow{across(-1-deepM, 101.1+deepM), across(-1, 101.1), across(1, 101.1), across(1+deepM, 101.1+deepM)}
	return item("level-run", id, nil, "name", "Run "+id, "observedOn", "2026-05-13", "staffLengthM", 20, "rows", slices.Insert(rows, len(rows)-1, all...))
}

func topHead(catchmentHa float64) recorded.Item {
	return item("gully-head", "h", north(62, 0), "name", "Main head", "headDepthM", 1.0, "catchmentHa", catchmentHa)
}

const builtAs = `{"build": {"material": "netting and posts", "bedWidthM": 2, "crestBreadthM": 0.6, "keyDepthM": 0.4, "keyWidthM": 0.4, "keyIntoBankM": 0.8}}`

// From what the phones recorded, an adopted peak flow and a cross-section in a level run, the dams get their notches:
// the answer is that of the same input typed by hand, and what is adopted has the notch, also when it is adopted again.
func TestDamsGetTheNotchOfTheirPeakFlow(t *testing.T) {
	l := land{drawn(60), topHead(3), acrossRun("1", 2, 0)}
	plan := l.adopt(t, flow).Plan // 0.4 * 60 mm/h * 3 ha / 360 = 0.2 m³/s
	asked := dams
	asked.Given = given(builtAs)
	d := drafted(t, property(l...), asked)
	uses(t, d, "1", "1", plan, "g", "h")
	says(t, "missing:", d.Missing, "no catchment is mapped down to chainage 0.0")
	hand, err := compute.Run("dam-layout", []byte(`{"bed":`+inputOf(t, d, "bed")+`,"heads":`+inputOf(t, d, "heads")+`,"notch":{"flowM3S":0.2},
		"sections":[{"section":[[-3,103.1],[-1,101.1],[1,101.1],[3,103.1]],"chainageM":22}],`+strings.TrimPrefix(builtAs, "{")))
	answer, err2 := d.Compute()
	if err != nil || err2 != nil || string(hand) != string(answer) {
		t.Fatalf("answer %s, %v\nby hand %s, %v", answer, err2, hand, err)
	}
	a := l.adopt(t, asked)
	notched := 0
	for _, dam := range l.damsOf(a.Plan) {
		at, _ := dam.Number("chainageM")
		notch := strings.HasPrefix(dam.Text("takes"), "a notch 2.20 m long and 0.") && strings.Contains(dam.Text("takes"), "m of water and 0.15 m of freeboard, ") && strings.Contains(dam.Text("takes"), " m³ of rock, ") && strings.Contains(dam.Text("takes"), "an apron ")
		if off := math.Abs(at - 22); (off < 9.9 && !notch) || (off > 10.1 && notch) {
			t.Errorf("the dam at %v m takes %q, want a notch 2.20 m long within 10 m of 22", at, dam.Text("takes"))
		}
		if notch {
			notched++
		}
	}
	if notched == 0 {
		t.Error("no dam has a notch")
	}
	o, err := property(l...).Plan(asked, "")
	if err != nil {
		t.Fatal(err)
	}
	says(t, "says:", o.Says, "has no notch, as no cross-section is levelled near it")
	if again := l.adopt(t, asked); len(again.Changes) != 0 {
		t.Errorf("adopted again: %+v, want nothing", again.Changes)
	}

	l.set(plan, "notes", "read over")
	changed := property(l...).Changed(planItem(l, a.Plan))
	if !slices.ContainsFunc(changed, func(c BaseChange) bool { return c.Feature == plan }) {
		t.Errorf("changed %+v, want the plan of the peak flow", changed)
	}
}

// A run that is edited after a plan is another base where what it has across the gully is, and none where it is not.
func TestALevelAcrossIsABaseOfItsPlan(t *testing.T) {
	l := land{drawn(60), topHead(3), acrossRun("1", 2, 0)}
	l.adopt(t, flow)
	a := l.adopt(t, dams)
	for deepM, changes := range map[float64]bool{2: false, 2.5: true} {
		edited := slices.Clone(l)
		run := planItem(edited, "1")
		*run = acrossRun("1", deepM, 0)
		run.Version = "v-2"
		changed := property(edited...).Changed(planItem(edited, a.Plan))
		if (len(changed) == 1 && changed[0].What == "the cross-sections of Fig Gully are others since.") != changes || !changes && len(changed) > 0 {
			t.Errorf("%v m deep: changed %+v, want the cross-sections: %v", deepM, changed, changes)
		}
	}
	for deepM, changes := range map[float64]int{2: 0, 2.5: 1} {
		newer := append(slices.Clone(l), item("level-run", "2", nil, "name", "Run 2", "observedOn", "2026-11-13", "staffLengthM", 20, "rows", slices.DeleteFunc(acrossRun("2", deepM, 0).LevelRows("rows"), func(row model.LevelRow) bool { return row.Spot == model.BedSpot })))
		if changed := property(newer...).Changed(planItem(newer, a.Plan)); len(changed) != changes {
			t.Errorf("changed %+v by a newer run across alone, %v m deep; want %d", changed, deepM, changes)
		}
	}
}

func planItem(l land, id string) *recorded.Item {
	return &l[slices.IndexFunc(l, func(item recorded.Item) bool { return item.ID == id })]
}

// inputOf is a member of a draft's input.
func inputOf(t testing.TB, d Draft, name string) string {
	t.Helper()
	var in map[string]json.RawMessage
	if err := json.Unmarshal(d.Input, &in); err != nil {
		t.Fatalf("input %s: %v; refused: %q", d.Input, err, d.Refused)
	}
	return string(in[name])
}

// What is lacking is said, and what goes past the limits of a low dam is refused with its reason.
func TestNotchesThatCannotBe(t *testing.T) {
	without := property(drawn(60), topHead(3), acrossRun("1", 2, 0))
	d := drafted(t, without, dams)
	says(t, "missing:", d.Missing, "no peak flow to Main head is planned: plan it and adopt it, or give notch with flowM3S.")
	if in := inputOf(t, d, "notch") + inputOf(t, d, "sections"); in != "" {
		t.Errorf("input has %s, want neither notch nor cross-sections", in)
	}
	asked := dams
	asked.Given = given(`{"notch": {"crestLengthM": 1.2}}`)
	refuses(t, drafted(t, without, asked), "the peak flow that the notches are to pass is not known: plan it for the gully head and adopt it")
	asked.Given = given(`{"sections": []}`)
	if _, err := without.Draft(asked); err == nil || !strings.Contains(err.Error(), "comes from the register") {
		t.Errorf("sections given: %v, want it refused", err)
	}

	plain := land{drawn(60), topHead(3), run("1", "2026-05-13", 0, bed(60, 5)...)}
	planOf := plain.adopt(t, flow).Plan
	d = drafted(t, property(plain...), dams)
	says(t, "missing:", d.Missing, "no cross-section of Fig Gully is levelled, so that the dams get no notch: book one within 10 m of each dam, or give notch with crestLengthM.")
	uses(t, d, "1", "g", "h")
	asked.Given = given(`{"notch": {"crestLengthM": 1.2, "freeboardM": 0.2}}`)
	d = drafted(t, property(plain...), asked)
	uses(t, d, "1", planOf, "g", "h")
	if got := inputOf(t, d, "notch"); got != `{"crestLengthM":1.2,"flowM3S":0.2,"freeboardM":0.2}` {
		t.Errorf("notch %s, want the flow of the plan beside what was given", got)
	}

	larger := square("c", 400, -20, -50)
	says(t, "missing:", drafted(t, property(append(plain, larger)...), asked).Missing, "Catchment c, mapped around the lower dams, has 16.00 ha, and the peak flow is that of 3.00 ha: more water comes in there.")
	open := append(slices.Clone(plain), acrossRun("2", 2, 0.9))
	leavesOut(t, drafted(t, property(open...), asked), "2", "the cross-section: its levels are not checked by a closed level run")
	stale := slices.Clone(plain)
	planItem(stale, "h").Version = "v-2"
	d = drafted(t, property(stale...), asked)
	leavesOut(t, d, planOf, "was edited since")
	refuses(t, d, "the peak flow that the notches are to pass is not known")

	for name, c := range map[string]struct {
		ha, deepM float64
		says      string
	}{"too much water": {30, 3, "m of water would stand over this notch"}, "too shallow": {3, 0.6, "the water would leave the gully beside them"}} {
		l := land{drawn(60), topHead(c.ha), acrossRun("1", c.deepM, 0)}
		l.adopt(t, flow)
		if _, err := property(l...).Plan(dams, ""); err == nil || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), "at chainage") {
			t.Errorf("%s: %v, want %q and the dam", name, err, c.says)
		}
	}
}

// Whatever was booked across a gully, the draft is a draft: its input is taken, or refused with a reason, in whatever
// order the features come.
func TestAnyCrossSectionsMakeADraft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := book(0, bed(60, 5)...)
		for range rapid.IntRange(0, 12).Draw(t, "rows") {
			row := model.LevelRow{IS: new(float64(rapid.IntRange(60, 120).Draw(t, "is")) / 10), Spot: model.SectionSpot,
				Feature: rapid.SampledFrom([]string{"g", "x"}).Draw(t, "of"), ChainageM: new(10 * float64(rapid.IntRange(0, 3).Draw(t, "chainage")))}
			if rapid.Bool().Draw(t, "offset") {
				row.OffsetM = new(float64(rapid.IntRange(-40, 40).Draw(t, "across")) / 10)
			}
			rows = slices.Insert(rows, len(rows)-1, row)
		}
		l := land{drawn(60), topHead(float64(rapid.IntRange(1, 20).Draw(t, "ha"))), item("cross-section", "x", nil, "name", "Across 1", "thalweg", "g", "chainageM", 20),
			item("level-run", "1", nil, "name", "Run 1", "observedOn", "2026-05-13", "staffLengthM", 20, "rows", rows)}
		l.adopt(t, flow)
		o, err := property(l...).Plan(dams, adoptedOn)
		mixed, err2 := property(rapid.Permutation(l).Draw(t, "order")...).Plan(dams, adoptedOn)
		if fmt.Sprint(err) != fmt.Sprint(err2) || string(o.Answer) != string(mixed.Answer) {
			t.Fatalf("in another order %s, %v\nand not %s, %v", mixed.Answer, err2, o.Answer, err)
		}
		if p, ok := err.(*model.Problem); err != nil && (!ok || p.Reason == "" || p.Fix == "") {
			t.Fatalf("refused with %v, want a reason and what to do", err)
		}
		if err != nil || o.Answer == nil {
			return
		}
		var out layout
		if err := json.Unmarshal(o.Answer, &out); err != nil {
			t.Fatal(err)
		}
		for i, dam := range out.Dams {
			takes := model.TextOf(o.Adoption.Changes[i].Fields["takes"])
			if (dam.NotchLengthM != nil) != strings.HasPrefix(takes, "a notch ") {
				t.Fatalf("the dam at %v m with a notch %v takes %q", dam.ChainageM, dam.NotchLengthM, takes)
			}
		}
	})
}
