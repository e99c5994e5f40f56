package followup

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// drawn is a register of works and heads with visits of all sorts, good and bad.
func drawn(random *rand.Rand, works int) []recorded.Item {
	pick := func(of ...string) string { return of[random.IntN(len(of))] }
	day := func() string {
		return (on("2020-01-01") + monitor.Day(random.IntN(365*8))).String()
	}
	items := []recorded.Item{wet}
	for i := range works {
		id := "w" + string(rune('a'+i%26)) + string(rune('a'+i/26))
		one := item(pick("check-dam", "check-dam", "gully-head", "scald", "exclosure", "whoa-boy"), id, "name", pick("", "D1", "D10", "D2"), "status", pick("built", "built", "failed", "proposed"), "builtOn", day(), "material", pick("loose rock", "timber"))
		one.Struck = random.IntN(10) == 0
		if random.IntN(8) == 0 {
			one.Clashes = []string{pick("status", "name", "material", "strike")}
		}
		items = append(items, one)
		for range random.IntN(6) {
			v := visit(id, day(), "condition", pick(model.Conditions...), "sedimentDepthM", random.Float64(), "sedimentDepthBasis", "taped", "headOffsetM", 20*random.Float64(), "coverPct", 100*random.Float64())
			v.Struck = random.IntN(10) == 0
			items = append(items, v)
		}
	}
	return items
}

func TestTheOrderOfFeaturesMakesNoDifference(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 1))
	for range 20 {
		items := drawn(random, 20)
		// Of two visits with one id the later stands: give each its own.
		seen := map[string]bool{}
		items = slices.DeleteFunc(items, func(i recorded.Item) bool { was := seen[i.ID]; seen[i.ID] = true; return was })
		want := ask(t, Request{}, items...)
		random.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		if got := ask(t, Request{}, items...); !reflect.DeepEqual(got, want) {
			t.Fatalf("in another order\n%+v\nwant\n%+v", got, want)
		}
	}
}

// A further visit to one work changes what is said of that work, and of no other.
func TestAVisitChangesOnlyItsOwnWork(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 2))
	others := func(r Report, id string) []any {
		var all []any
		for _, d := range r.Due {
			if d.Feature != id {
				all = append(all, d)
			}
		}
		for _, h := range r.Heads {
			if h.Feature != id {
				all = append(all, h)
			}
		}
		for _, c := range slices.Concat(r.Silt, r.Cover) {
			if c.Feature != id {
				all = append(all, c)
			}
		}
		for _, l := range r.LeftOut {
			if l.Feature != id {
				all = append(all, l)
			}
		}
		return all
	}
	for range 20 {
		items := drawn(random, 15)
		before := ask(t, Request{}, items...)
		id := items[len(items)-1].ID
		if of := items[len(items)-1].Text("of"); of != "" {
			id = of
		}
		after := ask(t, Request{}, append(items, item("visit", "more", "of", id, "observedOn", "2026-08-09", "condition", "sound", "sedimentDepthM", 0.4, "headOffsetM", 3, "coverPct", 50))...)
		if got, want := others(after, id), others(before, id); !reflect.DeepEqual(got, want) {
			t.Fatalf("a visit to %s changes\n%+v\nfrom\n%+v", id, got, want)
		}
		works := func(r Report) (n int) {
			for _, h := range r.Held {
				n += h.Works()
			}
			return n
		}
		if more := works(after) - works(before); more < 0 || more > 1 {
			t.Fatalf("a visit makes %d works more judged", more)
		}
	}
}
