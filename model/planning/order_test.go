package planning

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

func ordered(t testing.TB, items ...recorded.Item) Order {
	t.Helper()
	today, err := monitor.ParseDay("2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	order, err := property(items...).Order(today)
	if err != nil {
		t.Fatal(err)
	}
	return order
}

func placeOf(t testing.TB, o Order, feature string) Place {
	t.Helper()
	place, ok := model.Find(o.Places, func(p Place) bool { return p.Feature == feature })
	if !ok {
		t.Fatalf("%s is not among the places %+v", feature, o.Places)
	}
	return place
}

func inOrder(o Order) []string {
	return model.Each(o.Places, func(p Place) string { return p.Feature })
}

func gullyHead(id string, northM, eastM float64, fields ...any) recorded.Item {
	return item("gully-head", id, north(northM, eastM), append([]any{"name", "Head " + id, "headDepthM", 0.8, "dispersive", false}, fields...)...)
}

// road is a track or fence that runs west to east.
func road(kind, id string, northM float64, fields ...any) recorded.Item {
	return item(kind, id, orb.LineString{north(northM, -100), north(northM, 100)}, append([]any{"name", "The " + id}, fields...)...)
}

func scald(id string, northM, eastM float64, fields ...any) recorded.Item {
	bare := square(id, 30, northM, eastM, append([]any{"name", "Scald " + id}, fields...)...)
	bare.Kind = "scald"
	return bare
}

// register is a small one that has each sort of place.
func register() []recorded.Item {
	rested := paddock("coverTargetPct", 60)
	return []recorded.Item{
		drawn(120), gullyHead("a", 121, 0, "active", true, "cause", "track"), gullyHead("b", 60, 150, "active", false), gullyHead("c", 100, 160, "cause", "grazing"),
		item("visit", "v1", nil, "of", "a", "observedOn", "2024-06-01", "headOffsetM", 9.5), item("visit", "v2", nil, "of", "a", "observedOn", "2026-06-01", "headOffsetM", 8),
		road("track", "ridge", 160), road("track", "far", 5000, "name", "Far track"), road("fence", "line", 170), rested, cuts("c1", "2026-05-02", 10, 11, 12, 10, 11),
		item("whoa-boy", "w1", nil, "name", "Bank 1", "track", "far", "status", "built", "builtOn", "2025-02-01"), item("visit", "v3", nil, "of", "w1", "observedOn", "2026-06-01", "condition", "needs work"),
		item("check-dam", "d1", north(20, 0), "name", "D1", "thalweg", "g", "status", "proposed", "takes", "1.20 m³ of rock, 1 post"),
		item("check-dam", "d2", north(40, 0), "name", "D2", "thalweg", "g", "status", "pegged", "takes", "0.80 m³ of rock, 2 posts"),
		item("check-dam", "d3", north(60, 0), "name", "D3", "thalweg", "g", "status", "proposed"),
		scald("s", 2000, 0, "coverPct", 5), stocked("st", 40, "adultEquivalents", 1),
	}
}

func TestOrderPutsTheCauseBeforeWhatItCaused(t *testing.T) {
	o := ordered(t, register()...)
	if got, want := inOrder(o), []string{"ridge", "p", "far", "a", "c", "b", "s", "g"}; !slices.Equal(got, want) {
		t.Fatalf("order %v, want %v", got, want)
	}
	ridge := placeOf(t, o, "ridge")
	says(t, "why", ridge.Why, "A track is recorded as the cause of Head a, and this one lies 39 m from Head a.")
	says(t, "first", ridge.First, "Let no water out towards Head a")
	grazed := placeOf(t, o, "p")
	says(t, "why", grazed.Why, "Head c lies in it, and its recorded cause is: grazing.")
	says(t, "why", grazed.Why, "Its feed on offer is 432 kg/ha, under the residual of 1200 kg/ha.")
	says(t, "why", grazed.Why, "40 head are in it since 1 May 2026.")
	says(t, "record", grazed.Record, "the ground cover of Bore paddock is not known")
	head := placeOf(t, o, "a")
	says(t, "why", head.Why, "It cut back 1.50 ± 0.07 m from 1 June 2024 to 1 June 2026, more than measurement error.")
	says(t, "first", head.First, "Turn the water off the track above it")
	says(t, "record", head.Record, "Its catchment is not mapped")
	floor := placeOf(t, o, "g")
	says(t, "first", floor.First, "Treat Head a first")
	says(t, "first", floor.First, "Build D1, D2, D3.")
	if want := []PlaceWorks{{"check-dam", model.Proposed, 2}, {"check-dam", model.Pegged, 1}}; !slices.Equal(floor.Works, want) {
		t.Errorf("works %+v, want %+v", floor.Works, want)
	}
	if want := []Proposed{{"check-dam", 2, 1, []model.Figure{}, []Taken{{"m³ of rock", 2}, {"posts", 3}}, 1, nil}}; !reflect.DeepEqual(o.Proposed, want) {
		t.Errorf("proposed %+v, want %+v", o.Proposed, want)
	}
	if o.Spent.Together.Cost != nil || o.Spent.Together.Hours != nil {
		t.Errorf("spent %+v, want nothing recorded", o.Spent)
	}
}

// The order in which features come changes nothing, nor do features that have nothing to do with it.
func TestOrderIsOfWhatIsRecordedAlone(t *testing.T) {
	items := register()
	want := ordered(t, items...)
	random := rand.New(rand.NewPCG(1, 2))
	for range 10 {
		random.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		if got := ordered(t, items...); !reflect.DeepEqual(got, want) {
			t.Fatalf("shuffled:\n%+v\nwant\n%+v", got, want)
		}
	}
	gone := gullyHead("z", 0, 0)
	gone.Struck = true
	if got := ordered(t, append(items, gone, item("peg", "peg", north(1, 1)), item("gate", "gate", north(2, 2)))...); !reflect.DeepEqual(got, want) {
		t.Errorf("with what is no place:\n%+v\nwant\n%+v", got, want)
	}
}

func TestOrderSaysWhatIsNotKnown(t *testing.T) {
	nowhere := gullyHead("n", 0, 0)
	nowhere.Geometry = nil
	odd := gullyHead("o", 0, 0, "headDepthM", 70)
	open := paddock("coverTargetPct", 60)
	open.Geometry = nil
	for _, c := range []struct {
		name  string
		items []recorded.Item
		of    string
		part  string
	}{
		{"no-cause", []recorded.Item{gullyHead("h", 0, 0)}, "h", "What started it: walk upslope after rain, look for stock"},
		{"no-cause-with-a-track-near", []recorded.Item{gullyHead("h", 0, 0), road("track", "ridge", 20)}, "h", "look first at The ridge"},
		{"cause-in-clash", []recorded.Item{clashed(gullyHead("h", 0, 0, "cause", "track"), "cause"), road("track", "ridge", 20)}, "h", "Of Head h two people recorded its cause differently"},
		{"active-in-clash", []recorded.Item{clashed(gullyHead("h", 0, 0, "active", true), "active")}, "h", "Of Head h two people recorded its still cutting back differently"},
		{"no-track-near", []recorded.Item{gullyHead("h", 0, 0, "cause", "track"), road("track", "ridge", 200)}, "h", "Which track: none is recorded in its catchment or within 100 m of it."},
		{"no-paddock", []recorded.Item{gullyHead("h", 0, 0, "cause", "grazing")}, "h", "Which paddock it lies in"},
		{"no-place", []recorded.Item{nowhere}, "n", "Where it lies"},
		{"no-visits", []recorded.Item{gullyHead("h", 0, 0)}, "h", "no two visits measured it"},
		{"not-a-depth", []recorded.Item{odd}, "o", "What fits: "},
		{"said-to-rest-and-moves", []recorded.Item{gullyHead("h", 0, 0, "active", false), item("visit", "1", nil, "of", "h", "observedOn", "2024-06-01", "headOffsetM", 9.5), item("visit", "2", nil, "of", "h", "observedOn", "2026-06-01", "headOffsetM", 8)}, "h", "correct the record"},
		{"no-levels-of-a-track", []recorded.Item{road("track", "ridge", 0)}, "ridge", "To plan whoa-boys: no levels of The ridge are booked"},
		{"no-levels-of-a-bed", []recorded.Item{drawn(100)}, "g", "To plan dams: "},
		{"no-head", []recorded.Item{drawn(100)}, "g", "Where its head stands"},
		{"no-cover", []recorded.Item{scald("s", 0, 0)}, "s", "Its ground cover: read it on plots or points."},
		{"no-stock", []recorded.Item{paddock(), cuts("c1", "2026-05-02", 10, 11, 12, 10, 11)}, "p", "What stock are in it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			says(t, "record", placeOf(t, ordered(t, c.items...), c.of).Record, c.part)
		})
	}
	out := ordered(t, open, road("fence", "line", 0), item("unsorted", "pad", north(0, 0)), item("scald", "s", nil), item("visit", "v", nil, "of", "s", "observedOn", "2026-06-01", "condition", "healed"))
	if len(out.Places) > 0 {
		t.Errorf("places %+v of what nobody knows to erode", out.Places)
	}
	for feature, part := range map[string]string{"p": "Its area: walk or draw its boundary", "line": "nothing tells whether water runs along it", "pad": "sort it", "s": "found it healed"} {
		leavesOut(t, Draft{LeftOut: out.LeftOut}, feature, part)
	}
}

// Feed and cover count as under what was set only where their limits say so.
func TestOrderOfPaddocksGoesByTheLimits(t *testing.T) {
	for _, c := range []struct {
		name  string
		items []recorded.Item
		under bool
	}{
		{"feed-above", []recorded.Item{paddock(), cuts("c", "2026-05-02", 70, 80, 75, 72, 78)}, false},
		{"feed-under", []recorded.Item{paddock(), cuts("c", "2026-05-02", 20, 21, 22, 20, 21)}, true},
		{"feed-scattered", []recorded.Item{paddock(), cuts("c", "2026-05-02", 5, 50)}, false},
		{"one-cut", []recorded.Item{paddock(), cuts("c", "2026-05-02", 20)}, false},
		{"cover-under", []recorded.Item{paddock("coverTargetPct", 60), item("cover-plot", "k", north(10, 10), "coverPct", 30, "observedOn", "2026-05-02"), item("cover-plot", "l", north(20, 10), "coverPct", 31, "observedOn", "2026-05-02"), item("cover-plot", "m", north(30, 10), "coverPct", 30, "observedOn", "2026-05-02")}, true},
		{"one-plot", []recorded.Item{paddock("coverTargetPct", 60), item("cover-plot", "k", north(10, 10), "coverPct", 30, "observedOn", "2026-05-02")}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := slices.Contains(inOrder(ordered(t, c.items...)), "p"); got != c.under {
				t.Errorf("among the places: %v, want %v", got, c.under)
			}
		})
	}
}

func TestOrderDoesNotTakeStockOutOfARestedPaddock(t *testing.T) {
	under := []recorded.Item{paddock(), cuts("c", "2026-05-02", 20, 21, 22, 20, 21)}
	for want, stock := range map[string]recorded.Item{"Let no stock in": stocked("s", 0), "Take the stock out": stocked("s", 30)} {
		says(t, "first", placeOf(t, ordered(t, append(under, stock)...), "p").First, want)
	}
}

func TestOrderMindsTheHazardsOfAPlace(t *testing.T) {
	hazard := item("hazard", "z", north(5, 0), "name", "Tunnel", "danger", "The rim is hollow.")
	if first := placeOf(t, ordered(t, gullyHead("h", 0, 0), hazard), "h").First; first[0] != "Mind Tunnel: The rim is hollow." {
		t.Errorf("first %q, want the tunnel minded", first)
	}
}

// A track whose banks stand is no place; one in a head's catchment is of it however far away.
func TestOrderOfTracks(t *testing.T) {
	bank := func(id, status string) recorded.Item {
		return item("whoa-boy", id, nil, "name", id, "track", "ridge", "status", status)
	}
	o := ordered(t, road("track", "ridge", 60), bank("B1", "built"), gullyHead("h", 0, 0, "cause", "track"))
	says(t, "first", placeOf(t, o, "h").First, "See after rain that the whoa-boys of The ridge still keep its water away.")
	leavesOut(t, Draft{LeftOut: o.LeftOut}, "ridge", "nobody found one failing")
	o = ordered(t, road("track", "ridge", 60), bank("B1", "built"), bank("B2", "proposed"))
	says(t, "first", placeOf(t, o, "ridge").First, "Build B2.")

	above := square("k", 600, 0, -300)
	above.Kind = "catchment"
	above.Fields["name"] = []byte(`"Above"`)
	o = ordered(t, road("fence", "line", 400), gullyHead("h", 0, 0, "cause", "fence"), above, scald("s", 500, 0))
	if got := strings.Join(inOrder(o), " "); got != "line s h" {
		t.Errorf("order %s, want the fence, the scald that sheds to the head, the head", got)
	}
	says(t, "why", placeOf(t, o, "line").Why, "this one runs through Above, the catchment of Head h")
	says(t, "why", placeOf(t, o, "s").Why, "It lies in Above, the catchment of Head h")
}

// Hours and costs of what is planned are summed where a rate tells them, and it is said of how many it does not.
func TestOrderSumsHoursAndCosts(t *testing.T) {
	dam := func(id, takes string, more ...any) recorded.Item {
		return item("check-dam", id, north(20, 0), append([]any{"name", id, "thalweg", "g", "status", "proposed", "takes", takes}, more...)...)
	}
	land := []recorded.Item{drawn(100), dam("d1", "2.00 m³ of rock, 3 posts"), dam("d2", "1.00 m³ of rock", "status", "pegged"), dam("d3", "a load of stones"), dam("d4", "9.00 m³ of rock", "status", "built"), dam("d5", "4 bales"),
		item("revegetation", "r1", nil, "name", "Sown", "status", "proposed", "takes", "12.50 kg of seed")}
	order := func(rates string, more ...any) Order {
		return ordered(t, append(slices.Clone(land), settings(append([]any{"rates", json.RawMessage(rates)}, more...)...))...)
	}
	o := order(`[{"item":"rock","unit":"m3","costPerUnit":80,"hoursPerUnit":0.5},{"item":"post","unit":"each","costPerUnit":6},{"item":"seed","unit":"t","costPerUnit":10000}]`, "currency", "XTS")
	if want := (Bill{Works: 5, Hours: new(1.5), Cost: new(3*80.0 + 18 + 125), NoHours: 4, NoCost: 2}); !reflect.DeepEqual(*o.Bill, want) || o.Currency != "XTS" {
		t.Errorf("together %+v in %q, want %+v", *o.Bill, o.Currency, want)
	}
	if want := (&Bill{Works: 4, Hours: new(1.5), Cost: new(258.0), NoHours: 3, NoCost: 2}); !reflect.DeepEqual(o.Proposed[0].Bill, want) {
		t.Errorf("dams %+v, want %+v", o.Proposed[0].Bill, want)
	}
	o = order(`[{"item":"rock","unit":"t","costPerUnit":80},{"item":"post","unit":"each","costPerUnit":6}]`)
	if want := (Bill{Works: 5, Cost: new(18.0), NoHours: 5, NoCost: 5}); !reflect.DeepEqual(*o.Bill, want) || o.Currency != "" {
		t.Errorf("rock by the tonne: %+v in %q, want the posts alone", *o.Bill, o.Currency)
	}
	if o = order(`[{"item":"rock","unit":"load","costPerUnit":80}]`); o.Bill != nil || !strings.Contains(o.NoRates, "rates[0].unit") {
		t.Errorf("of rates that cannot be used: %+v, %q", o.Bill, o.NoRates)
	}
	if o = ordered(t, land...); o.Bill != nil || o.Proposed[0].Bill != nil || o.NoRates != "The property has no rates: hours and costs are not known." {
		t.Errorf("without rates: %+v, %q; want that they are not known", o.Bill, o.NoRates)
	}
}
