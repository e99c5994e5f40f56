package planning

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/recorded"
	"headcut/model/works"
)

const adoptedOn = "2026-11-30"

// land is what a register holds of a property while plans are adopted.
type land []recorded.Item

// adopt drafts, calculates, adopts and writes down.
func (l *land) adopt(t rapid.TB, r Request) Adoption {
	t.Helper()
	p := property(*l...)
	d, err := p.Draft(r)
	if err != nil || len(d.Refused) > 0 {
		t.Fatalf("draft: %v, refused: %q", err, d.Refused)
	}
	answer, err := d.Compute()
	if err != nil {
		t.Fatalf("%s: %v", d.Input, err)
	}
	a, err := p.Adopt(d, answer, adoptedOn)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range a.Changes {
		l.write(t, c)
	}
	return a
}

// write does what the server does of a change, and no more.
func (l *land) write(t rapid.TB, c Change) {
	at := slices.IndexFunc(*l, func(item recorded.Item) bool { return item.ID == c.Feature })
	if (at < 0) != c.New {
		t.Fatalf("%+v is new: %v, and was there: %v", c.Named, c.New, at >= 0)
	}
	if at < 0 {
		*l = append(*l, recorded.Item{Feature: model.Feature{ID: c.Feature, Fields: map[string]json.RawMessage{}}, Version: "v-" + c.Feature})
		at = len(*l) - 1
	}
	item := &(*l)[at]
	item.Fields = maps.Clone(item.Fields)
	maps.Copy(item.Fields, c.Fields)
	item.Kind = item.Text("kind")
	if raw, ok := c.Fields["geometry"]; ok {
		g, err := model.ParseGeometry(raw)
		if err != nil {
			t.Fatal(err)
		}
		item.Geometry = g
	}
	if problems := model.CheckFields(item.Kind, model.FieldValuesOf(c.Fields)); len(problems) > 0 {
		t.Fatalf("%+v: %v", c.Named, problems[0])
	}
}

// set edits a feature, as a phone does.
func (l land) set(id string, more ...any) {
	for i := range l {
		if l[i].ID == id {
			edited := item(l[i].Kind, id, l[i].Geometry, more...)
			edited.Fields = func() map[string]json.RawMessage {
				all := maps.Clone(l[i].Fields)
				maps.Copy(all, edited.Fields)
				return all
			}()
			edited.Version = l[i].Version + "+"
			l[i] = edited
		}
	}
}

// damsOf are the dams of a plan, by their target crests; of "" those of all.
func (l land) damsOf(plan string) (all []recorded.Item) {
	for _, item := range l {
		if item.Kind == "check-dam" && (plan == "" || item.Text("plan") == plan) {
			all = append(all, item)
		}
	}
	return all
}

func onePlan() land {
	return land{drawn(30), run("1", "2026-05-13", 0, bed(30, 5)...), item("settings", "settings-p", nil, "damCrestHeightM", 0.5)}
}

// An answer becomes works that nobody has measured, and a plan; adopting it again changes nothing.
func TestAdoptedDams(t *testing.T) {
	l := onePlan()
	a := l.adopt(t, dams)
	all := l.damsOf(a.Plan)
	if len(all) != 4 || len(a.Says) != 0 || a.Known != 0 {
		t.Fatalf("%+v, want 4 dams", a)
	}
	second := all[1]
	for name, want := range map[string]any{"name": "Dam 2", "status": "proposed", "proposedOn": adoptedOn, "thalweg": "g", "chainageM": 10.0, "chainageBasis": "from plan", "crestHeightM": 0.5,
		"crestHeightBasis": "from plan", "targetToeLevelM": 100.5, "targetCrestLevelM": 101.0, "positionBasis": "from plan"} {
		var got any
		if err := json.Unmarshal(second.Fields[name], &got); err != nil || got != want {
			t.Errorf("%s is %s, want %v", name, second.Fields[name], want)
		}
	}
	if at, ok := second.Geometry.(orb.Point); !ok || math.Abs(at[1]-north(10, 0)[1]) > 1e-7 {
		t.Errorf("the dam at 10 m lies at %v, want 10 m up the line", second.Geometry)
	}
	plan := *property(l...).items[a.Plan]
	if plan.Kind != "plan" || plan.Text("of") != "g" || plan.Text("plans") != "dams" || plan.Text("name") != "Dams along Fig Gully" {
		t.Errorf("plan %+v", plan)
	}
	d := drafted(t, property(l...), dams)
	if plan.Text("input") != string(d.Input) {
		t.Errorf("the plan keeps the input %s, want %s", plan.Text("input"), d.Input)
	}
	if again := l.adopt(t, dams); len(again.Changes) > 0 || again.Plan != a.Plan || again.Known != 4 {
		t.Errorf("adopted again: %+v, want no change", again)
	}
}

// A changed layout moves what is proposed, leaves alone what is pegged, built or measured, strikes
// nothing out, and says what differs. A work is one feature all along.
func TestAChangedLayoutLeavesWhatStands(t *testing.T) {
	l := onePlan()
	a := l.adopt(t, dams)
	all := l.damsOf(a.Plan)
	l.set(all[0].ID, "status", "built", "builtOn", "2026-12-10")
	l.set(all[1].ID, "status", "pegged", "toeLevelM", 100.5)
	l.set(all[2].ID, "chainageM", 20.4, "chainageBasis", "taped", "material", "loose rock")

	lower := dams
	lower.Given = given(`{"crestHeightM": 0.4}`)
	b := l.adopt(t, lower)
	if b.Plan == a.Plan {
		t.Fatal("another layout has the id of the first plan")
	}
	says(t, "says:", b.Says, "Dam 4 at chainage 30.0 is proposed and is not in this layout")
	p := property(l...)
	for i, want := range []string{"built", "pegged", "proposed", "proposed"} {
		if item := p.items[all[i].ID]; item.Struck || item.Text("status") != want {
			t.Errorf("%s is %s, want %s", item.Called(), item.Text("status"), want)
		}
	}
	for _, id := range []string{all[0].ID, all[1].ID} {
		if m, _ := p.items[id].Number("targetCrestLevelM"); p.items[id].Text("plan") != a.Plan || m == 0 {
			t.Errorf("%s was touched: %s", p.items[id].Called(), p.items[id].Fields)
		}
	}
	third := p.items[all[2].ID] // proposed where the new layout has a dam too, at 20 m
	if m, _ := third.Number("chainageM"); m != 20.4 || third.Text("plan") != b.Plan || third.Text("material") != "loose rock" {
		t.Errorf("the third dam is %s, want it in the new plan at its taped chainage", third.Fields)
	}
	if m, _ := third.Number("targetCrestLevelM"); math.Abs(m-101.4) > 1e-9 {
		t.Errorf("its crest is to be built to %v, want 101.4", m)
	}
	if again := l.adopt(t, lower); len(again.Changes) > 0 {
		t.Errorf("adopted again: %+v, want no change", again.Changes)
	}
}

// What a layout takes to build comes with it, and chainages go back to those of the book.
func TestAdoptedAsBookedFromTheHead(t *testing.T) {
	var down []staff
	for _, s := range bed(30, 5) {
		down = append(down, staff{"g", model.BedSpot, 30 - s.chainageM, s.levelM})
	}
	l := land{drawn(30, "chainageZero", "end of the line"), run("1", "2026-05-13", 0, down...)}
	r := dams
	r.Given = given(`{"crestHeightM": 0.5, "build": {"bedWidthM": 2, "crestBreadthM": 0.6, "upstreamRunPerRise": 1.5, "downstreamRunPerRise": 3}}`)
	a := l.adopt(t, r)
	lowest := l.damsOf(a.Plan)[0]
	if m, _ := lowest.Number("chainageM"); m != 30 {
		t.Errorf("the lowest dam is booked at %v, want 30 m from the head", m)
	}
	if at, ok := lowest.Geometry.(orb.Point); !ok || math.Abs(at[1]-north(0, 0)[1]) > 1e-7 {
		t.Errorf("it lies at %v, want the downstream end of the line", lowest.Geometry)
	}
	says(t, "takes:", []string{lowest.Text("takes")}, "m³ of rock")
}

func TestWhatMayNotBeAdopted(t *testing.T) {
	open := property(drawn(30), run("1", "2026-05-13", 0.5, bed(30, 5)...))
	sketch := dams
	sketch.Run = "1"
	d := drafted(t, open, sketch)
	answer, err := d.Compute()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := open.Adopt(d, answer, adoptedOn); err == nil {
		t.Error("a sketch from an open run was adopted")
	}
	if _, err := open.Adopt(drafted(t, open, dams), answer, adoptedOn); err == nil {
		t.Error("a refused draft was adopted")
	}
}

// A plan that was undone can be adopted again: as another plan with other works, since what was
// struck out stays so. A work that was struck out alone is said, and is not made again.
func TestUndonePlanIsAdoptedAgain(t *testing.T) {
	l := onePlan()
	first := l.adopt(t, dams)
	for i := range l {
		l[i].Struck = l[i].Struck || slices.ContainsFunc(first.Changes, func(c Change) bool { return c.Feature == l[i].ID })
	}
	second := l.adopt(t, dams)
	if second.Plan == first.Plan || len(second.Changes) != len(first.Changes) {
		t.Errorf("after it was undone the plan %s has %d changes, and at first as %s %d", second.Plan, len(second.Changes), first.Plan, len(first.Changes))
	}
	if third := l.adopt(t, dams); third.Plan != second.Plan || len(third.Changes) > 0 || third.Known != len(second.Changes)-1 {
		t.Errorf("adopted once more it is %+v, want nothing changed", third)
	}
	struck := second.Changes[0]
	for i := range l {
		l[i].Struck = l[i].Struck || l[i].ID == struck.Feature
	}
	last := l.adopt(t, dams)
	if len(last.Changes) > 0 || last.Known != len(second.Changes)-2 || len(last.Says) != 1 || !strings.Contains(last.Says[0], struck.Name+" was struck out since") {
		t.Errorf("with %s struck out it is %+v", struck.Name, last)
	}
}

// The end at which a track's chainages begin makes another plan: its works move to their places.
func TestWrongEndIsCorrected(t *testing.T) {
	l := land{topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), local()}
	at := func(end string) Adoption {
		r := banks
		r.ZeroAt = end
		return l.adopt(t, r)
	}
	wrong := at("end of the line")
	right := at("start of the line")
	if right.Plan == wrong.Plan || len(right.Changes) != len(wrong.Changes) {
		t.Fatalf("from the other end the plan %s changes %d, want another than %s and %d", right.Plan, len(right.Changes), wrong.Plan, len(wrong.Changes))
	}
	for _, c := range right.Changes[:len(right.Changes)-1] {
		if c.New || c.Fields["geometry"] == nil {
			t.Errorf("%+v: want a bank that is there moved", c)
		}
	}
}

// Planned banks lie on the track from its upper end down; one that stands is left alone.
func TestAdoptedWhoaBoys(t *testing.T) {
	var up []staff // booked from the lower end
	for _, s := range trackBook(3) {
		up = append(up, staff{"t", "", 200 - s.chainageM, s.levelM})
	}
	l := land{topTrack(), run("1", "2026-05-13", 0, up...), local(), item("whoa-boy", "b", north(60, 0), "name", "Whoa-boy 7", "track", "t", "status", "built", "chainageM", 60)}
	r := banks
	r.ZeroAt, r.Given = "end of the line", given(`{"side": "left"}`)
	a := l.adopt(t, r)
	o, err := property(l...).Plan(r, "")
	if err != nil {
		t.Fatal(err)
	}
	says(t, "says:", o.Says, "Whoa-boy 7 is built at chainage 140.0: it stays as it is, and the layout goes on from it.")
	var made []recorded.Item
	for _, item := range l {
		if item.Text("plan") == a.Plan {
			made = append(made, item)
		}
	}
	if len(made) != 2 {
		t.Fatalf("%d banks, want those at 120 and 180 m: %+v", len(made), a)
	}
	for i, want := range []float64{180, 120} { // by growing chainage of the book
		bank := made[i]
		m, _ := bank.Number("chainageM")
		at, ok := bank.Geometry.(orb.Point)
		if m != want || bank.Text("outletSide") != "left" || bank.Text("track") != "t" || bank.Text("spacedBy") == "" || !ok || math.Abs(at[1]-north(want, 0)[1]) > 1e-7 {
			t.Errorf("bank %s at %v, want it %v m from the upper end and from the start of the line", bank.Fields, bank.Geometry, want)
		}
	}
	if made[0].Text("name") != "Whoa-boy 8" {
		t.Errorf("it is called %s, want the next free name", made[0].Text("name"))
	}
	if again := l.adopt(t, r); len(again.Changes) > 0 {
		t.Errorf("adopted again: %+v, want no change", again.Changes)
	}
}

// A peak flow builds nothing: the plan alone is kept, with the input that gave it.
func TestAnAdoptedPeakFlowIsAPlanAlone(t *testing.T) {
	l := land{mainHead("catchmentHa", 14)}
	a := l.adopt(t, flow)
	if len(a.Changes) != 1 || a.Changes[0].Feature != a.Plan || a.Changes[0].Kind != "plan" || model.TextOf(a.Changes[0].Fields["plans"]) != "peak-flow" {
		t.Errorf("%+v, want the plan alone", a)
	}
	l = append(l, run("1", "2026-12-13", 0, staff{"h", "", 0, 104}, staff{"h", "", 20, 103}))
	p := property(l...)
	if changed := p.Changed(p.items[a.Plan]); len(changed) > 0 {
		t.Errorf("it rests on no levels, and says %+v", changed)
	}
}

// A plan says what of its base has changed since.
func TestWhatOfAPlansBaseHasChanged(t *testing.T) {
	since := func(do func(l *land)) []string {
		l := onePlan()
		a := l.adopt(t, dams)
		do(&l)
		p := property(l...)
		if plans := p.Plans(); len(plans) != 1 || plans[0].ID != a.Plan {
			t.Fatalf("plans %+v, want the one adopted", plans)
		}
		return model.Each(p.Changed(p.items[a.Plan]), func(c BaseChange) string { return c.What })
	}
	for _, c := range []struct {
		name string
		do   func(l *land)
		want []string
	}{
		{"nothing", func(*land) {}, nil},
		{"edited", func(l *land) {
			l.set("1", "rows", book(0, append(bed(20, 5), staff{"g", model.BedSpot, 30, 101.502})...))
		}, []string{"Run 1 was edited since, or struck out and restored."}},
		{"a-level-taken-out", func(l *land) { l.set("1", "rows", book(0, bed(20, 5)...)) }, []string{"Run 1 was edited since, or struck out and restored."}},
		{"a-level-more", func(l *land) { l.set("1", "rows", book(0, bed(40, 5)...)) }, []string{"Run 1 was edited since, or struck out and restored."}},
		{"a-chainage-less", func(l *land) {
			l.set("1", "rows", book(0, append(bed(20, 5), staff{"g", model.BedSpot, 29.9, 101.5})...))
		}, []string{"Run 1 was edited since, or struck out and restored."}},
		{"open-now", func(l *land) { l.set("1", "rows", book(0.5, bed(30, 5)...)) }, []string{"Run 1 was edited since, or struck out and restored."}},
		{"clash-of-its-rows", func(l *land) { l.set("1", "notes", "x"); (*l)[1].Clashes = []string{"rows"} }, []string{"Run 1 was changed by two people differently since, and nobody has settled it."}},
		{"note-on-the-run", func(l *land) { l.set("1", "notes", "re-read") }, nil},
		{"dams-pegged-in-the-run", func(l *land) {
			toes := []staff{{l.damsOf("")[0].ID, model.ToeSpot, 0, 100}, {l.damsOf("")[1].ID, model.ToeSpot, 10, 100.5}}
			l.set("1", "rows", book(0, append(bed(30, 5), toes...)...))
		}, nil},
		{"dams-pegged-after-it-closed", func(l *land) {
			m := func(v float64) *float64 { return &v }
			rows := book(0, bed(30, 5)...)
			rows[len(rows)-1].BS = m(12) // the level was moved
			l.set("1", "rows", append(rows, model.LevelRow{Point: "Dam 1, toe", IS: m(12), Feature: l.damsOf("")[0].ID, Spot: model.ToeSpot, ChainageM: m(0)}))
		}, nil},
		{"struck-out", func(l *land) { (*l)[1].Struck = true }, []string{"Run 1 was struck out since."}},
		{"clash", func(l *land) { l.set("g", "notes", "x"); (*l)[0].Clashes = []string{"geometry"} }, []string{"Fig Gully was changed by two people differently since, and nobody has settled it."}},
		{"gone", func(l *land) {
			*l = slices.DeleteFunc(*l, func(item recorded.Item) bool { return item.ID == "settings-p" })
		}, []string{"feature settings-p is not on this property any more."}},
		{"newer-run", func(l *land) { *l = append(*l, run("2", "2027-05-13", 0, bed(30, 5)...)) }, []string{"Run 2 of 13 May 2027 closes, and is newer than the run used."}},
		{"open-run", func(l *land) { *l = append(*l, run("2", "2027-05-13", 0.5, bed(30, 5)...)) }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := since(c.do); !slices.Equal(got, c.want) {
				t.Errorf("changed: %q, want %q", got, c.want)
			}
		})
	}
}

// Whoa-boys are pegged in the run that levelled their track, or in another of the same day: a peg is a level
// of the track too, and is none of those that the plan went by.
func TestPegsChangeNoPlan(t *testing.T) {
	pegs := []staff{{"t", model.PegSpot, 60, 102.2}, {"t", model.PegSpot, 120, 100.4}}
	for _, c := range []struct {
		name string
		do   func(l *land)
		want int
	}{
		{"nothing", func(*land) {}, 0},
		{"pegged-in-the-run", func(l *land) { l.set("1", "rows", book(0, append(trackBook(3), pegs...)...)) }, 0},
		{"pegged-in-another", func(l *land) { *l = append(*l, run("2", "2026-05-14", 0, pegs...)) }, 0},
		{"levelled-in-another", func(l *land) { *l = append(*l, run("2", "2026-05-14", 0, append(pegs, trackBook(3)[0])...)) }, 1},
		{"levelled-more", func(l *land) { l.set("1", "rows", book(0, append(trackBook(3), staff{"t", "", 55, 104.5})...)) }, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := land{topTrack(), run("1", "2026-05-13", 0, trackBook(3)...), local()}
			a := l.adopt(t, banks)
			c.do(&l)
			p := property(l...)
			if got := p.Changed(p.items[a.Plan]); len(got) != c.want {
				t.Errorf("changed: %+v, want %d", got, c.want)
			}
			if d := drafted(t, p, banks); c.name == "pegged-in-another" {
				uses(t, d, "1", "settings-p", "t") // not the few levels of the pegs
			}
		})
	}
}

// dammed is a gully in which dams stand, and what is asked for there.
type dammed struct {
	land              land
	request           Request
	heightM, gradePct float64
}

func anyDammed(t *rapid.T) dammed {
	var spots []staff
	levelM := 100.0
	for c := 0.0; c <= 100; c += 10 {
		spots = append(spots, staff{"g", model.BedSpot, c, math.Round(levelM*1000) / 1000})
		levelM += rapid.Float64Range(-0.4, 0.8).Draw(t, "rise")
	}
	spots[10].levelM = max(spots[10].levelM, 100.05) // or it would run the other way
	l := land{drawn(100), run("1", "2026-05-13", 0, spots...)}
	for _, at := range rapid.SliceOfNDistinct(rapid.IntRange(1, 18), 0, 4, rapid.ID[int]).Draw(t, "dams at") {
		l = append(l, standingDam(fmt.Sprint("d", at), float64(5*at), "crestHeightM", rapid.Float64Range(0.2, 0.8).Draw(t, "crest")))
	}
	r := dams
	r.Given = map[string]json.RawMessage{}
	heightM := rapid.Float64Range(0.3, 0.6).Draw(t, "height")
	fields(r.Given).put("crestHeightM", heightM)
	gradePct := rapid.SampledFrom([]float64{0, 0, 0.5, 2}).Draw(t, "deposit")
	fields(r.Given).put("depositSlopePct", gradePct)
	return dammed{l, r, heightM, gradePct}
}

// hasRoom tells that some reach is left free for a dam.
func (d dammed) hasRoom() bool {
	_, err := property(d.land...).Plan(d.request, "")
	return err == nil || !strings.Contains(err.Error(), "no dams are wanted anywhere")
}

// Whatever stands in the gully, no adopted crest drowns the toe of the dam that stands next above it, and
// no adopted toe stands above the crest below it, by more than counts as level, where the bed between was
// levelled. Below a dam that stands less is left bare than a dam would guard, and it is said. Adopting
// twice changes nothing.
func TestAdoptedDamsMeetWhatStands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gully := rapid.Custom(anyDammed).Filter(dammed.hasRoom).Draw(t, "gully")
		l, r, heightM, gradePct := gully.land, gully.request, gully.heightM, gully.gradePct
		p := property(l...)
		d, err := p.Draft(r)
		if err != nil || len(d.Refused) > 0 {
			t.Fatalf("draft: %v, refused: %q", err, d.Refused)
		}
		o, err := p.Plan(r, "")
		if err != nil {
			t.Fatal(err)
		}
		a := l.adopt(t, r)
		type dam struct {
			atM, toeM, crestM float64
			stands            bool
		}
		var all []dam
		for _, item := range l.damsOf(a.Plan) {
			atM, _ := item.Number("chainageM")
			toeM, _ := item.Number("targetToeLevelM")
			crestM, _ := item.Number("targetCrestLevelM")
			all = append(all, dam{atM, toeM, crestM, false})
		}
		for _, e := range d.existing {
			all = append(all, dam{e.atM, e.toeM, e.crestM, true})
		}
		slices.SortFunc(all, func(x, y dam) int { return int(math.Copysign(1, x.atM-y.atM)) })
		highest := math.Inf(-1) // of the silt behind the crests below
		for i, one := range all {
			if i > 0 {
				lower := all[i-1]
				rise := gradePct / 100 * (one.atM - lower.atM)
				siltM := lower.crestM + rise
				highest += rise
				if !lower.stands && one.stands && siltM > one.toeM+works.DamToleranceM {
					t.Fatalf("the dam planned at %v drowns the one that stands at %v: %+v", lower.atM, one.atM, all)
				}
				most := works.DamToleranceM
				if one.stands && lower.stands {
					most = heightM
				} else if one.stands {
					most = works.BuriedShare*heightM + 0.001 // levels are written to the millimetre
				}
				if gap := one.toeM - highest; gap > most {
					t.Fatalf("the toe at %v stands %v m above every crest below it: %+v", one.atM, gap, all)
				} else if gap > works.DamToleranceM && !lower.stands && !slices.ContainsFunc(o.Says, func(text string) bool {
					return strings.Contains(text, "above the crest of the planned dam at chainage "+metres(lower.atM))
				}) {
					t.Fatalf("of the gap of %v m at %v the plan says nothing: %q", gap, one.atM, o.Says)
				}
			}
			highest = max(highest, one.crestM)
		}
		if again := l.adopt(t, r); len(again.Changes) > 0 {
			t.Fatalf("adopted again: %+v, want no change", again.Changes)
		}
	})
}
