package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/geodesy"
	"headcut/model/levelling"
	"headcut/model/recorded"
	"headcut/model/works"
)

var rips = Request{Of: "Ironbark scald", Plans: RipLines}

func bareScald() recorded.Item {
	return item("scald", "s", orb.Polygon{{north(20, -20), north(20, 140), north(-140, 140), north(-140, -20), north(20, -20)}}, "name", "Ironbark scald")
}

// onContour is a line of 100 m to the east, so far down a slope that falls south.
func onContour(kind, id string, downM float64, fields ...any) recorded.Item {
	name := map[string]string{"rip-line": "Rip line ", "windrow": "Timber windrow "}[kind] + id
	return item(kind, id, orb.LineString{north(-downM, 0), north(-downM, 100)}, append([]any{"name", name, "status", "pegged", "accuracyM", 2}, fields...)...)
}

// pegsAt are pegs of a line every 20 m at a level, each off by so much.
func pegsAt(id string, levelM float64, offM ...float64) (pegs []staff) {
	for i := range 6 {
		off := 0.0
		if i < len(offM) {
			off = offM[i]
		}
		pegs = append(pegs, staff{id, model.PegSpot, float64(20 * i), levelM + off})
	}
	return pegs
}

// twoRips are lines 30 m apart on a slope of 5 %.
func twoRips() []recorded.Item {
	return []recorded.Item{bareScald(), onContour("rip-line", "1", 0), onContour("rip-line", "2", 30),
		run("r", "2026-05-13", 0, append(pegsAt("1", 100), pegsAt("2", 98.5)...)...)}
}

// The answer to a draft is that of the same input typed by hand, byte for byte.
func TestRipLinesAreTheBareComputation(t *testing.T) {
	r := rips
	r.Given = given(`{"lip": {"heightM": 0.2}, "subsoil": "not dispersive"}`)
	d := drafted(t, property(twoRips()...), r)
	answer, err := d.Compute()
	if err != nil {
		t.Fatalf("%s: %v; refused: %q", d.Input, err, d.Refused)
	}
	place := func(downM, eastM float64) string {
		p := north(-downM, eastM)
		return fmt.Sprintf("[%s, %s]", number(p[0]), number(p[1]))
	}
	var slope struct{ GroundSlopePct, SlopePlusMinusPct float64 }
	if err := json.Unmarshal(d.Input, &slope); err != nil || math.Abs(slope.GroundSlopePct-5) > 0.01 || math.Abs(slope.SlopePlusMinusPct-5*2*math.Sqrt2/30) > 0.01 {
		t.Errorf("slope %+v, want 5 ± %v", slope, 5*2*math.Sqrt2/30)
	}
	hand, err := compute.Run("rip-area", fmt.Appendf(nil, `{"contour": "OK", "basis": "GPS", "accuracyM": 2, "lip": {"heightM": 0.20}, "subsoil": "not dispersive", "groundSlopePct": %v, "slopePlusMinusPct": %v,
		"lines": [[%s, %s], [%s, %s]]}`, number(slope.GroundSlopePct), number(slope.SlopePlusMinusPct), place(0, 0), place(0, 100), place(30, 0), place(30, 100)))
	if err != nil || string(hand) != string(answer) {
		t.Errorf("answer %s\nby hand %s, %v", answer, hand, err)
	}
	uses(t, d, "1", "2", "r", "s")
}

func number(v float64) string { raw, _ := json.Marshal(v); return string(raw) }

// A line that no closed run proves from end to end is none on the contour: it is left out, and what to
// measure is said.
func TestRipLinesNotProven(t *testing.T) {
	line := onContour("rip-line", "3", 60)
	for _, c := range []struct {
		name  string
		items []recorded.Item
		why   string
	}{
		{"not-pegged", []recorded.Item{line}, "not levelled: Its contour has not been levelled."},
		{"off", []recorded.Item{line, run("q", "2026-05-13", 0, pegsAt("3", 97, 0, 0, 0.2)...)}, "fails: Peg p2 is 0.167 m high: move it downhill."},
		{"open-run", []recorded.Item{line, run("q", "2026-05-13", 0.5, pegsAt("3", 97)...)}, "not levelled: "},
		{"half-of-it", []recorded.Item{line, run("q", "2026-05-13", 0, pegsAt("3", 97)[:3]...)}, "not levelled from 40.0 to 100.0 m along it: peg it there"},
		{"other-half", []recorded.Item{line, run("q", "2026-05-13", 0, pegsAt("3", 97)[3:]...)}, "not levelled from 0.0 to 60.0 m along it"},
		{"clash", []recorded.Item{line, clashed(run("q", "2026-05-13", 0, pegsAt("3", 97)...), "rows")}, "two people changed the book of Run q differently"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := drafted(t, property(append(twoRips(), c.items...)...), rips)
			leavesOut(t, d, "3", c.why)
			missing := "Rip line 3 is not yet checked by a closed level run: peg it with level and staff from end to end"
			if c.name == "off" {
				missing = "Rip line 3 does not keep to the contour by its own pegs: mend it or peg it again, and level it."
			}
			if says(t, "missing:", d.Missing, missing); len(d.Missing) > 2 {
				t.Errorf("missing: %q, want this said of it alone", d.Missing)
			}
			uses(t, d, "1", "2", "r", "s")
			refuses(t, drafted(t, property(append(c.items, bareScald())...), rips), "no rip line of Ironbark scald is checked to keep to the contour by a closed level run: peg one")
		})
	}
	untaped := run("q", "2026-05-13", 0, pegsAt("3", 97)...)
	rows := untaped.LevelRows("rows")
	for i := range rows {
		rows[i].ChainageM = nil
	}
	d := drafted(t, property(append(twoRips(), line, item("level-run", "q", nil, "name", "Run q", "observedOn", "2026-05-13", "staffLengthM", 20, "rows", rows))...), rips)
	leavesOut(t, d, "3", "its pegs have no taped chainages")
}

func TestRipLinesRefuse(t *testing.T) {
	proven := func(id string, downM, levelM float64) []recorded.Item {
		return []recorded.Item{onContour("rip-line", id, downM), run("run-"+id, "2026-05-13", 0, pegsAt(id, levelM)...)}
	}
	with := func(more ...recorded.Item) Draft { return drafted(t, property(append(twoRips(), more...)...), rips) }
	refuses(t, with(run("q", "2026-05-13", 0, pegsAt("2", 98.9)...)), "level Rip line 2 0.40 m apart: level it again and strike the wrong run out")
	refuses(t, with(proven("3", 60, 99.2)...), "Rip line 3 lies below Rip line 2 by their places, and stands 0.70 m higher by their levels")
	refuses(t, with(clashed(onContour("rip-line", "3", 60), "geometry")), "Rip line 3: two people changed it differently")
	named := rips
	named.Run = "Run r"
	refuses(t, drafted(t, property(twoRips()...), named), "no level run can be named")
	for _, text := range []string{`{"apartM": 0}`, `{"apartM": "x"}`, `{"apartM": 101}`} {
		asked := rips
		asked.Given = given(text)
		refuses(t, drafted(t, property(twoRips()...), asked), "apartM: ")
	}
	if _, err := property(twoRips()...).Draft(Request{Of: "s", Plans: RipLines, Given: given(`{"contour": "OK"}`)}); err == nil || err.(*model.Problem).Path != "contour" {
		t.Errorf("a contour by word: %v, want a problem at contour", err)
	}
}

// Between two proven lines 30 m apart go two more, each at the level that the ground has there if it falls evenly;
// they are proposed, and not levelled. Adopting twice changes nothing.
func TestAdoptedRipLines(t *testing.T) {
	l := land(twoRips())
	r := rips
	r.Given = given(`{"apartM": 10, "slot": {"topWidthM": 0.3, "depthM": 0.4}, "subsoil": "not dispersive"}`)
	o, err := property(l...).Plan(r, "")
	if err != nil {
		t.Fatal(err)
	}
	says(t, "says:", o.Says, "Peg one 10.0 m from Rip line 1 at 99.500 m.")
	says(t, "missing:", o.Missing, "2 lines are planned between those that a closed level run checks: each is not levelled until its own pegs are.")
	if !strings.Contains(string(o.Answer), `"contour":{"state":"not levelled","mayRip":false,"proven":false`) {
		t.Errorf("answer %s passes planned lines off as on the contour", o.Answer)
	}
	a := l.adopt(t, r)
	made := l.ofPlan("rip-line", a.Plan)
	if len(made) != 2 {
		t.Fatalf("%+v, want 2 lines", a)
	}
	for i, want := range []float64{99.5, 99} {
		line := made[i]
		m, _ := line.Number("targetLevelM")
		depthM, _ := line.Number("depthM")
		geometry, isLine := line.Geometry.(orb.LineString)
		if m != want || depthM != 0.4 || line.Basis("depthM") != model.FromPlan || line.Basis("geometry") != model.FromPlan || line.Status() != model.Proposed || !isLine {
			t.Fatalf("line %s at %v, want it proposed at %v m", line.Fields, line.Geometry, want)
		}
		if off := geodesy.Distance(geometry[0], north(-float64(10*(i+1)), 0)); off > 0.01 || math.Abs(geodesy.Length(geometry)-100) > 0.01 {
			t.Errorf("line %d begins %v m off, is %v m long", i, off, geodesy.Length(geometry))
		}
	}
	if made[0].Text("name") != "Rip line 3" {
		t.Errorf("it is called %s, want the next free name", made[0].Text("name"))
	}
	if again := l.adopt(t, r); len(again.Changes) > 0 || again.Known != 2 || again.Plan != a.Plan {
		t.Errorf("adopted again: %+v, want no change", again)
	}

	// One that is pegged and proven parts the ground anew; the plan's base has not changed by that.
	l.set(made[0].ID, "status", "pegged", "accuracyM", 2)
	l = append(l, run("q", "2026-06-01", 0, pegsAt(made[0].ID, 99.45)...))
	if changed := property(l...).Changed(property(l...).items[a.Plan]); len(changed) > 0 {
		t.Errorf("after pegging of the plan its base has changed: %+v", changed)
	}
	b := l.adopt(t, r)
	if b.Plan == a.Plan || len(b.Changes) != 2 || b.Changes[0].Feature != made[1].ID || b.Changes[0].New {
		t.Fatalf("after pegging: %+v, want the other line edited, and another plan", b)
	}
	if m, _ := property(l...).items[made[1].ID].Number("targetLevelM"); math.Abs(m-98.975) > 1e-9 {
		t.Errorf("the lower line is to be pegged at %v, want half-way between 99.45 and 98.5", m)
	}
}

// ofPlan are the works of a kind that a plan proposed, the highest first.
func (l land) ofPlan(kind, plan string) (all []recorded.Item) {
	for _, item := range l {
		if item.Kind == kind && item.Text("plan") == plan {
			all = append(all, item)
		}
	}
	return all
}

// Another spacing edits what is proposed near by, leaves what is pegged alone, and says what is not in the layout.
func TestRipLinesPlannedAgain(t *testing.T) {
	l := land(twoRips())
	r := rips
	r.Given = given(`{"apartM": 10}`)
	a := l.adopt(t, r)
	made := l.ofPlan("rip-line", a.Plan)
	l.set(made[1].ID, "status", "pegged")
	r.Given = given(`{"apartM": 12}`)
	b := l.adopt(t, r)
	if len(b.Changes) != 2 || b.Changes[0].Feature != made[0].ID || b.Changes[0].New {
		t.Fatalf("another spacing: %+v, want the one line edited", b)
	}
	o, err := property(l...).Plan(r, "")
	if err != nil {
		t.Fatal(err)
	}
	says(t, "says:", o.Says, made[1].Text("name")+" is pegged 20.0 m from Rip line 1 and no closed level run checks its contour: it stays as it is, and no line is planned there.")
	r.Given = given(`{"apartM": 40}`)
	c := l.adopt(t, r)
	says(t, "says:", c.Says, made[0].Text("name")+" 10.0 m from Rip line 1 is proposed and is not in this layout: strike it out")
}

// A line that stands off its contour keeps its place like one that nobody checked, and is not said to be unchecked.
func TestALineOffItsContourStays(t *testing.T) {
	r := rips
	r.Given = given(`{"apartM": 20}`)
	l := land(append(twoRips(), onContour("rip-line", "3", 20), run("q", "2026-05-13", 0, pegsAt("3", 97, 0, 0, 0.2)...)))
	o, err := property(l...).Plan(r, "")
	if err != nil {
		t.Fatal(err)
	}
	says(t, "says:", o.Says, "Rip line 3 is pegged 20.0 m from Rip line 1 and is not on the contour by its pegs: it stays as it is, and no line is planned there.")
}

func TestBaseOfAPlanOfLines(t *testing.T) {
	l := land(twoRips())
	a := l.adopt(t, rips)
	if len(a.Changes) != 1 {
		t.Fatalf("%+v, want the plan alone", a)
	}
	changed := func(more ...recorded.Item) []string {
		p := property(append(slices.Clone(l), more...)...)
		return model.Each(p.Changed(p.items[a.Plan]), func(c BaseChange) string { return c.What })
	}
	if got := changed(); len(got) > 0 {
		t.Errorf("changed at once: %q", got)
	}
	says(t, "changed:", changed(onContour("rip-line", "3", 60), run("q", "2026-06-01", 0, pegsAt("3", 97)...)), "Rip line 3 is checked to keep to the contour by a closed level run now, and the plan goes without it.")
	says(t, "changed:", changed(run("q", "2026-06-01", 0, pegsAt("2", 98.5)...)), "Rip line 2 was pegged again by Run q.")
}

// Whatever lines are proven, those that are adopted lie between two of them, no farther apart than asked for, at
// levels that fall down the slope; the levels at which they are to be pegged are on one contour each, and adopting
// twice changes nothing.
func TestLawsOfAdoptedRipLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := land{bareScald()}
		downM, levelM := 0.0, 100.0
		var downs, levels []float64
		for i := range rapid.IntRange(2, 4).Draw(t, "lines") {
			if i > 0 {
				stepM := rapid.Float64Range(9, 40).Draw(t, "down")
				downM += stepM
				levelM -= stepM * rapid.Float64Range(0.02, 0.06).Draw(t, "slope") // the staff of the book reaches 8 m down
			}
			id := fmt.Sprint(i)
			line := onContour("rip-line", id, downM)
			if rapid.Bool().Draw(t, "turned") {
				whole := line.Geometry.(orb.LineString)
				line.Geometry = orb.LineString{whole[1], whole[0]}
			}
			l = append(l, line, run("run-"+id, "2026-05-13", 0, pegsAt(id, levelM, rapid.Float64Range(-0.02, 0.02).Draw(t, "off"))...))
			downs, levels = append(downs, downM), append(levels, levelM)
		}
		apartM := rapid.Float64Range(2, 20).Draw(t, "apart")
		r := rips
		r.Given = map[string]json.RawMessage{}
		fields(r.Given).put("apartM", apartM)
		a := l.adopt(t, r)
		made := l.ofPlan("rip-line", a.Plan)
		least, most := 0, 0 // places are written to a tenth of a millimetre
		for i := 1; i < len(downs); i++ {
			least += int(math.Ceil((downs[i]-downs[i-1]-0.002)/apartM)) - 1
			most += int(math.Ceil((downs[i]-downs[i-1])/apartM)) - 1
		}
		if len(made) < least || len(made) > most {
			t.Fatalf("%d lines, want %d to %d: %v by %v", len(made), least, most, downs, apartM)
		}
		lastM := 0.0
		all := slices.Clone(downs)
		for _, line := range made {
			geometry := line.Geometry.(orb.LineString)
			m, _ := line.Number("targetLevelM")
			atM := min(geodesy.Distance(geometry[0], north(0, 0)), geodesy.Distance(geometry[0], north(0, 100))) // it begins in the west or the east
			k := slices.IndexFunc(downs, func(d float64) bool { return d > atM })
			if k < 1 || m >= levels[k-1]+0.01 || m <= levels[k]-0.01 || atM <= lastM {
				t.Fatalf("a line at %v m down, to be pegged at %v m: lines at %v, levels %v", atM, m, downs, levels)
			}
			lastM = atM
			all = append(all, atM)
			pegs := []levelling.Peg{{ChainageM: 0, LevelM: m}, {ChainageM: 100, LevelM: m}}
			if c, err := levelling.CheckContour(pegs, levelling.ContourOptions{ToleranceM: 0.001, Basis: model.Levelled}); err != nil || c.Verdict != model.OK {
				t.Fatalf("pegged at its level it is %v, %v", c.Verdict, err)
			}
		}
		slices.Sort(all)
		for i := 1; i < len(all); i++ {
			if all[i]-all[i-1] > apartM+0.01 {
				t.Fatalf("lines at %v, asked for %v m apart", all, apartM)
			}
		}
		var lines []orb.LineString
		for _, item := range l {
			if line, ok := item.Geometry.(orb.LineString); ok {
				lines = append(lines, line)
			}
		}
		if ripped, err := works.RipArea(lines, 2, nil); err != nil || len(ripped.Meeting) > 0 {
			t.Fatalf("lines meet: %v, %v", ripped.Meeting, err)
		}
		if again := l.adopt(t, r); len(again.Changes) > 0 {
			t.Fatalf("adopted again: %+v, want no change", again.Changes)
		}
	})
}
