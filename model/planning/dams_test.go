package planning

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/recorded"
)

var dams = Request{Of: "Fig Gully", Plans: Dams}

// skips are the reaches of a draft without dams.
func skips(t testing.TB, d Draft) [][2]float64 {
	t.Helper()
	var in struct {
		Skip []struct{ FromM, ToM float64 }
	}
	if err := json.Unmarshal(d.Input, &in); err != nil {
		t.Fatalf("input %s: %v; refused: %q", d.Input, err, d.Refused)
	}
	return model.Each(in.Skip, func(s struct{ FromM, ToM float64 }) [2]float64 { return [2]float64{s.FromM, s.ToM} })
}

func chainages(t testing.TB, d Draft) (all []float64) {
	t.Helper()
	answer, err := d.Compute()
	if err != nil {
		t.Fatalf("%s: %v; refused: %q", d.Input, err, d.Refused)
	}
	var out struct{ Dams []struct{ ChainageM float64 } }
	if err := json.Unmarshal(answer, &out); err != nil {
		t.Fatal(err)
	}
	return model.Each(out.Dams, func(s struct{ ChainageM float64 }) float64 { return s.ChainageM })
}

// The answer to a draft is that of the same input typed by hand, byte for byte. On 5 % dams of 0.5 m
// stand 10 m apart.
func TestDraftIsTheBareComputation(t *testing.T) {
	p := property(drawn(30), run("1", "2026-05-13", 0, bed(30, 5)...), item("settings", "settings-p", nil, "damCrestHeightM", 0.5))
	d := drafted(t, p, dams)
	answer, err := d.Compute()
	if err != nil {
		t.Fatal(err)
	}
	hand, err := compute.Run("dam-layout", []byte(`{
		"crestHeightM": 0.50,
		"bed": [{"chainageM": 0, "levelM": 100}, {"levelM": 100.5, "chainageM": 10}, {"chainageM": 20.0, "levelM": 101}, {"chainageM": 30, "levelM": 101.5}]
	}`))
	if err != nil || string(hand) != string(answer) {
		t.Errorf("answer %s\nby hand %s, %v", answer, hand, err)
	}
	if got := chainages(t, d); !slices.Equal(got, []float64{0, 10, 20, 30}) {
		t.Errorf("dams at %v, want every 10 m", got)
	}
	uses(t, d, "1", "g", "settings-p")

	higher := dams
	higher.Given = given(`{"crestHeightM": 1, "depositSlopePct": 0}`)
	if got := chainages(t, drafted(t, p, higher)); !slices.Equal(got, []float64{0, 20}) {
		t.Errorf("dams at %v, want those of the height that was asked for", got)
	}
}

// Of several years the newest run that closes gives the bed, alone; what it goes without is offered.
func TestNewestProvenRunGivesTheBed(t *testing.T) {
	older, moved := run("1", "2024-05-13", 0, bed(30, 5)...), bed(30, 5)
	moved[2].levelM -= 0.3 // the bed has scoured at 20 m
	open := run("3", "2026-11-01", 0.5, bed(30, 5)...)
	p := property(drawn(30), older, run("2", "2025-06-01", 0, moved...), open)
	d := drafted(t, p, dams)
	uses(t, d, "2", "g")
	leavesOut(t, d, "1", "differs by 0.30 m from Run 2 of 1 June 2025 at chainage 20.0: the bed has moved since")
	leavesOut(t, d, "3", "Run 3, which is not closed: level it again")
	if len(d.Others) != 2 || d.Others[0].Feature != "1" || d.Others[0].On != "2024-05-13" || d.Others[0].Levels != 4 || d.Others[0].ToM != 30 {
		t.Errorf("offered %+v, want Run 1 and Run 3", d.Others)
	}

	other := dams
	other.Run = "run 1"
	uses(t, drafted(t, p, other), "1", "g")
	other.Run = "3" // a sketch, as it was asked for
	d = drafted(t, p, other)
	says(t, "missing:", d.Missing, "Run 3, which is not closed: level it again. Until then the layout is a sketch, and cannot be adopted.")
	var in struct{ Basis string }
	if err := json.Unmarshal(d.Input, &in); err != nil || in.Basis != "unproven" {
		t.Errorf("input %s, want an unproven basis", d.Input)
	}
	other.Run = "Run 9"
	refuses(t, drafted(t, p, other), "no level run called Run 9 has levels of Fig Gully")
	refuses(t, drafted(t, property(drawn(30), open), dams), "no level run along Fig Gully can be used")
	refuses(t, drafted(t, property(drawn(30)), dams), "no levels of Fig Gully are booked")
}

// An older run that was asked for is not called the newer one, in what is left out and what is missing.
func TestAnOlderRunIsUsedAsAsked(t *testing.T) {
	asked := dams
	asked.Run = "1"
	p := property(drawn(150), run("1", "2024-05-13", 0, bed(30, 5)...), run("2", "2026-05-13", 0, bed(100, 5)...))
	d := drafted(t, p, asked)
	uses(t, d, "1", "g")
	leavesOut(t, d, "2", "you chose Run 1 of 13 May 2024")
	says(t, "missing:", d.Missing, "Run 2 of 13 May 2026 levelled the bed from chainage 0.0 to 100.0, beyond the run used: name it")
	leavesOut(t, drafted(t, p, dams), "1", "Run 2 is the newer one")
}

// Of several runs of one name nobody can tell which was meant: an id says it.
func TestRunsOfOneName(t *testing.T) {
	p := property(drawn(30), run("1", "2024-05-13", 0, bed(30, 5)...), run("2", "2026-05-13", 0, append(bed(20, 5), staff{"g", model.BedSpot, 25, 101.25})...), item("level-run", "3", nil, "name", "run 1", "staffLengthM", 20, "rows", book(0, bed(30, 5)...)))
	asked := dams
	asked.Run = "Run 1"
	refuses(t, drafted(t, p, asked), "2 level runs of Fig Gully are called Run 1: give the id of one, 1 of 13 May 2024 or 3.")
	asked.Run = "1"
	uses(t, drafted(t, p, asked), "1", "g")
	asked.Run = " run 2 "
	uses(t, drafted(t, p, asked), "2", "g")
}

// Of one day a bed cannot have moved: nobody can tell which of two runs is right.
func TestRunsOfOneDayMustAgree(t *testing.T) {
	slip := bed(30, 5)
	slip[2].levelM += 0.4
	p := property(drawn(30), run("1", "2026-05-13", 0, bed(30, 5)...), run("2", "2026-05-13", 0, slip...))
	refuses(t, drafted(t, p, dams), "both of 13 May 2026, differ by 0.40 m at chainage 20.0")
	chosen := dams
	chosen.Run = "1"
	uses(t, drafted(t, p, chosen), "1", "g")

	near := bed(30, 5)
	near[2].levelM += 0.05 // a stone
	d := drafted(t, property(drawn(30), run("1", "2026-05-13", 0, bed(30, 5)...), run("2", "2026-05-13", 0, near...)), dams)
	uses(t, d, "2", "g")

	lifted := bed(30, 5)
	for i := range lifted {
		lifted[i].levelM += 1.5
	}
	d = drafted(t, property(drawn(30), run("1", "2025-05-13", 0, lifted...), run("2", "2026-05-13", 0, bed(30, 5)...)), dams)
	leavesOut(t, d, "1", "all its levels stand about 1.50 m from those of Run 2: is it on another datum?")
}

// A bed that was booked from the head down is turned; one booked from the other end is not mixed in.
func TestBedsBookedFromBothEnds(t *testing.T) {
	var down []staff
	for _, s := range bed(30, 5) {
		down = append(down, staff{"g", model.BedSpot, 30 - s.chainageM, s.levelM})
	}
	up := drafted(t, property(drawn(30), run("1", "2026-05-13", 0, bed(30, 5)...)), dams)
	turned := drafted(t, property(drawn(30, "chainageZero", "end of the line"), run("1", "2026-05-13", 0, down...)), dams)
	if a, b := chainages(t, up), chainages(t, turned); !slices.Equal(a, b) {
		t.Errorf("dams of the bed booked from the head at %v, want %v", b, a)
	}
	var in struct{ TurnedAtM float64 }
	if err := json.Unmarshal(turned.Input, &in); err != nil || in.TurnedAtM != 30 {
		t.Errorf("input %s, want that it was turned at 30 m", turned.Input)
	}
	d := drafted(t, property(drawn(30), run("1", "2025-05-13", 0, down...), run("2", "2026-05-13", 0, bed(30, 5)...)), dams)
	uses(t, d, "2", "g")
	leavesOut(t, d, "1", "booked from the other end")
}

// A reach that nobody levelled gets no dams, and what to book is said.
func TestReachesWithoutLevels(t *testing.T) {
	spots := slices.DeleteFunc(bed(150, 5), func(s staff) bool { return s.chainageM > 40 && s.chainageM < 95 || s.chainageM > 120 })
	d := drafted(t, property(drawn(170), run("1", "2026-05-13", 0, spots...)), dams)
	says(t, "missing:", d.Missing, "no levels between chainage 40.0 and 100.0: book the bed there.")
	says(t, "missing:", d.Missing, "no levels above chainage 120.0, where the line goes on for 50 m")
	if got := skips(t, d); len(got) != 1 || got[0] != [2]float64{40, 100} {
		t.Errorf("reaches without dams %v, want 40 to 100", got)
	}
	for _, m := range chainages(t, d) {
		if m > 40 && m < 100 {
			t.Errorf("a dam at %v, where nobody levelled the bed", m)
		}
	}
}

// standingDam is a dam of the gully with its toe at a chainage.
func standingDam(id string, chainageM float64, fields ...any) recorded.Item {
	return item("check-dam", id, nil, append([]any{"name", "Dam " + id, "thalweg", "g", "status", "built", "chainageM", chainageM, "crestHeightM", 0.5}, fields...)...)
}

// What stands keeps its reach, to where its silt ends: on 5 % a crest 0.5 m high reaches 10 m up. So does
// the bed below, from where a new crest, 0.4 m high, meets its toe: 8 m down. What failed, was removed or is
// only proposed keeps none.
func TestStandingDamsKeepTheirReach(t *testing.T) {
	with := func(more ...recorded.Item) Draft {
		return drafted(t, property(append(more, drawn(60), run("1", "2026-05-13", 0, bed(60, 5)...))...), dams)
	}
	for _, c := range []struct {
		name string
		dam  recorded.Item
		want [][2]float64
	}{
		{"built", standingDam("a", 20), [][2]float64{{12, 30}}},
		{"pegged-for-a-level", standingDam("a", 20, "status", "pegged", "targetCrestLevelM", 101.4), [][2]float64{{12, 28}}},
		{"of-no-known-height", standingDam("a", 20, "crestHeightM", nil), [][2]float64{{12, 22}}},
		{"failed", standingDam("a", 20, "status", "failed"), nil},
		{"proposed", standingDam("a", 20, "status", "proposed"), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := skips(t, with(c.dam))
			if !slices.EqualFunc(got, c.want, func(a, b [2]float64) bool { return math.Hypot(a[0]-b[0], a[1]-b[1]) < 1e-6 }) {
				t.Errorf("reaches without dams %v, want %v", got, c.want)
			}
		})
	}
	levelled := with(standingDam("a", 20), run("2", "2026-05-13", 0, staff{"a", model.ToeSpot, 20, 101}, staff{"a", model.CrestSpot, 20, 101.2}))
	if got := skips(t, levelled); len(got) != 1 || math.Abs(got[0][1]-24) > 1e-9 {
		t.Errorf("reaches without dams %v, want one to 24, where level silt from the levelled crest ends", got)
	}
	toe := with(standingDam("a", 20), run("2", "2026-05-13", 0, staff{"a", model.ToeSpot, 20, 101.05}))
	if got := skips(t, toe); len(got) != 1 || math.Abs(got[0][1]-31) > 1e-9 {
		t.Errorf("reaches without dams %v, want one to 31, by the height above the levelled toe", got)
	}
	uses(t, with(standingDam("a", 20)), "1", "a", "g")
	refuses(t, with(standingDam("a", 0, "chainageM", nil)), "nobody knows where along it: tape its chainage")
	refuses(t, with(clashed(standingDam("a", 20), "chainageM")), "Dam a: two people changed it differently")
	leavesOut(t, with(standingDam("a", 20, "status", "proposed")), "a", "nothing of it is on the ground")
	leavesOut(t, with(standingDam("a", 70)), "a", "where the bed of the run used was not levelled")

	joined := dams
	joined.Given = given(`{"skip": [{"fromM": 40, "toM": 45, "why": "rock"}]}`)
	if got := skips(t, drafted(t, property(drawn(60), run("1", "2026-05-13", 0, bed(60, 5)...), standingDam("a", 20)), joined)); len(got) != 2 || got[0][0] != 40 {
		t.Errorf("reaches without dams %v, want that of the request and that of the dam", got)
	}
}

// The ends of a reach without dams are places for one. Where the silt of what stands lies past the last level, and
// where a crest would stand over its toe down to the first one, the end of the bed is none.
func TestNoDamAtTheEndOfTheBedInAKeptReach(t *testing.T) {
	bedRun := run("1", "2026-05-13", 0, bed(60, 5)...)
	for _, c := range []struct {
		name  string
		stand []recorded.Item
		want  []float64
	}{
		{"silt-past-the-end", []recorded.Item{standingDam("a", 55)}, []float64{0, 8, 16, 24, 32, 40, 47}},
		{"silt-to-the-end", []recorded.Item{standingDam("a", 50)}, []float64{0, 8, 16, 24, 32, 40, 60}},
		{"two-at-the-end", []recorded.Item{standingDam("a", 60), standingDam("b", 60)}, []float64{0, 8, 16, 24, 32, 40, 48, 52}},
		{"at-the-start", []recorded.Item{standingDam("a", 0)}, []float64{10, 18, 26, 34, 42, 50, 58}},
		{"near-the-start", []recorded.Item{standingDam("a", 5)}, []float64{15, 23, 31, 39, 47, 55}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := chainages(t, drafted(t, property(append(c.stand, drawn(60), bedRun)...), dams))
			if !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }) {
				t.Errorf("dams at %v, want %v", got, c.want)
			}
		})
	}
	fromStart := dams
	fromStart.Given = given(`{"fromM": 0}`)
	if got := chainages(t, drafted(t, property(drawn(60), bedRun, standingDam("a", 8)), fromStart)); got[0] != 0 {
		t.Errorf("dams at %v, want the first at 0, where its crest meets the toe of Dam a", got)
	}
	if _, err := drafted(t, property(drawn(60), bedRun, standingDam("a", 5)), fromStart).Compute(); err == nil || err.(*model.Problem).Path != "fromM" {
		t.Errorf("a plan from below Dam a, whose toe its crest would stand over: %v, want a problem at fromM", err)
	}
}

// A dam that stands above the last level keeps its toe clear too: on 5 % a crest of 0.4 m below it reaches 8 m up.
func TestStandingDamsAboveTheLevels(t *testing.T) {
	with := func(text string, more ...recorded.Item) Draft {
		r := dams
		r.Given = given(text)
		return drafted(t, property(append(more, drawn(90), run("1", "2026-05-13", 0, bed(60, 5)...))...), r)
	}
	refuses(t, with(`{}`, standingDam("a", 67)), "Dam a stands at chainage 67.0 and the last level is at 60.0: a new crest below could stand over its toe. Level the bed on to Dam a")
	leavesOut(t, with(`{}`, standingDam("a", 69)), "a", "where the bed of the run used was not levelled")
	refuses(t, with(`{"crestHeightM": 0.5}`, standingDam("a", 69)), "Level the bed on to Dam a")
	refuses(t, with(`{"depositSlopePct": 1}`, standingDam("a", 69)), "Level the bed on to Dam a")
	refuses(t, with(`{}`, standingDam("a", 69), run("2", "2026-05-13", 0, staff{"a", model.ToeSpot, 69, 103.2})), "Level the bed on to Dam a")
	leavesOut(t, with(`{}`, standingDam("a", 67), run("2", "2026-05-13", 0, staff{"a", model.ToeSpot, 67, 103.6})), "a", "not levelled")
	leavesOut(t, with(`{"toM": 50}`, standingDam("a", 67)), "a", "not levelled")
	leavesOut(t, with(`{}`, standingDam("a", 67), standingDam("b", 55)), "a", "not levelled") // no dam is planned between the two
}

// A null is not given: the reaches are kept for the height that the layout has, the settings' own or else the
// usual one.
func TestNullIsNotGiven(t *testing.T) {
	null := dams
	null.Given = given(`{"crestHeightM": null, "depositRule": null, "heads": null}`)
	for _, settings := range []recorded.Item{item("settings", "settings-p", nil, "damCrestHeightM", 0.6, "damDepositSlopePct", 1), item("settings", "settings-p", nil)} {
		p := property(drawn(60), run("1", "2026-05-13", 0, bed(60, 5)...), standingDam("a", 30), settings, item("gully-head", "h", north(55, 0), "name", "Head h", "headDepthM", 1))
		if got, want := drafted(t, p, null).Input, drafted(t, p, dams).Input; string(got) != string(want) {
			t.Errorf("input with nulls %s, want %s", got, want)
		}
	}
}

// A head counts where its position and, better, its wall in the levels say. It belongs to the gully it
// is nearest to, also where two cross.
func TestHeadsOfTheGully(t *testing.T) {
	wall := append(bed(40, 5), staff{"g", model.BedSpot, 40.5, 103.5}, staff{"g", model.BedSpot, 60, 104})
	head := func(id string, at orb.Point, fields ...any) recorded.Item {
		return item("gully-head", id, at, append([]any{"name", "Head " + id}, fields...)...)
	}
	other := item("thalweg", "o", orb.LineString{north(10, -40), north(10, 40)}, "name", "Other Gully")
	p := property(drawn(60), other, run("1", "2026-05-13", 0, wall...), head("a", north(42, 2), "headDepthM", 1.5),
		head("b", north(10.5, 3), "headDepthM", 1), head("c", north(20, 300), "headDepthM", 1), head("d", north(80, 0), "headDepthM", 1))
	d := drafted(t, p, dams)
	var in struct {
		Heads []struct{ ChainageM, DepthM float64 }
	}
	if err := json.Unmarshal(d.Input, &in); err != nil || len(in.Heads) != 1 || in.Heads[0].ChainageM != 40 || in.Heads[0].DepthM != 1.5 {
		t.Errorf("heads %+v of %s, %v; want Head a alone, at the foot of its wall", in.Heads, d.Input, d.Refused)
	}
	uses(t, d, "1", "a", "g")
	leavesOut(t, d, "d", "above the bed as levelled")
	refuses(t, drafted(t, property(drawn(60), run("1", "2026-05-13", 0, wall...), head("a", north(42, 2))), dams), "the depth of Head a is not recorded: measure it")
}

// Where two gullies cross, a dam stands in the one that it names, else in the nearer one.
func TestDamsWhereTwoGulliesCross(t *testing.T) {
	other := item("thalweg", "o", orb.LineString{north(20, -40), north(20, 40)}, "name", "Other Gully", "chainageZero", "start of the line")
	at := func(id string, fields ...any) recorded.Item {
		return item("check-dam", id, north(22, 1), append([]any{"name", "Dam " + id, "status", "built", "crestHeightM", 0.5}, fields...)...)
	}
	draft := func(dam recorded.Item) Draft {
		return drafted(t, property(drawn(60), other, run("1", "2026-05-13", 0, bed(60, 5)...), dam), dams)
	}
	uses(t, draft(at("a", "thalweg", "o", "chainageM", 41)), "1", "g")
	uses(t, draft(at("a")), "1", "a", "g")
	if got := skips(t, draft(at("a"))); len(got) != 1 || math.Abs(got[0][1]-32) > 0.1 {
		t.Errorf("reaches without dams %v, want that of the dam at 22 m", got)
	}
}

func TestUnsettledClashesRefuse(t *testing.T) {
	bedRun := run("1", "2026-05-13", 0, bed(30, 5)...)
	refuses(t, drafted(t, property(clashed(drawn(30), "chainageZero"), bedRun), dams), "Fig Gully: two people changed it differently")
	d := drafted(t, property(drawn(30), clashed(bedRun, "rows")), dams)
	leavesOut(t, d, "1", "two people changed its book differently")
	refuses(t, d, "can be used as it is")
	uses(t, drafted(t, property(clashed(drawn(30), "notes"), clashed(bedRun, "photos")), dams), "1", "g")
	settings := clashed(item("settings", "settings-p", nil, "damCrestHeightM", 0.4), "damCrestHeightM")
	refuses(t, drafted(t, property(drawn(30), bedRun, settings), dams), "two people changed it differently")
}

func TestRequestsThatCannotBe(t *testing.T) {
	twin := item("thalweg", "twin", nil, "name", "Twin Gully")
	p := property(drawn(30), item("track", "t", nil, "name", "Top track"), twin, item("thalweg", "twin2", nil, "name", "twin gully"), recorded.Item{Feature: item("thalweg", "gone", nil).Feature, Struck: true})
	for _, c := range []struct {
		name string
		r    Request
		path string
	}{
		{"unknown", Request{Of: "Fog Gully", Plans: Dams}, "of"},
		{"struck-out", Request{Of: "gone", Plans: Dams}, "of"},
		{"two-of-the-name", Request{Of: "Twin Gully", Plans: Dams}, "of"},
		{"dams-on-a-track", Request{Of: "Top track", Plans: Dams}, "of"},
		{"a-bed-by-hand", Request{Of: "g", Plans: Dams, Given: given(`{"bed": []}`)}, "bed"},
		{"purpose", Request{Of: "g", Plans: "ponds"}, "plans"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := p.Draft(c.r); err == nil || err.(*model.Problem).Path != c.path {
				t.Errorf("draft: %v, want a problem at %q", err, c.path)
			}
		})
	}
}

// Every plan says where its dams do not meet those that stand, also one that nobody adopts: here a dam
// between would be buried by more than half of its height.
func TestPlansSayWhatDoesNotMeet(t *testing.T) {
	plan := func(text string) []string {
		r := dams
		r.Given = given(text)
		o, err := property(drawn(60), run("1", "2026-05-13", 0, bed(60, 5)...), standingDam("a", 18)).Plan(r, "")
		if err != nil {
			t.Fatal(err)
		}
		return o.Says
	}
	if got, want := plan(`{}`), []string{"the toe of Dam a stands 0.10 m above the crest of the planned dam at chainage 8.0, a gap: look at the ground there."}; !slices.Equal(got, want) {
		t.Errorf("the plan says %q, want %q", got, want)
	}
	if got := plan(`{"crestHeightM": 0.3, "depositSlopePct": 0.5}`); len(got) > 0 {
		t.Errorf("the plan says %q, and its dams meet the one that stands", got)
	}
}
