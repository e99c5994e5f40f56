package figures

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"headcut/model"
)

// change draws a small property's next change: a few gullies, dams, books and lines that
// come, move, are renamed and go.
func change(t *rapid.T) model.Feature {
	pick := func(n int, what string) int { return rapid.IntRange(0, n-1).Draw(t, what) }
	switch rapid.SampledFrom([]string{"thalweg", "dam", "run", "rip", "head", "catchment", "visit", "peg", "across"}).Draw(t, "kind") {
	case "thalweg":
		east := float64(20 * pick(4, "east"))
		return feature("thalweg", fmt.Sprint("t", pick(2, "thalweg")), orb.LineString{north(0, east), north(100, east), north(200, east+5)}, "name", fmt.Sprint("Gully ", east), "accuracyM", 2)
	case "dam":
		fields := []any{"name", fmt.Sprint("Dam ", pick(9, "name")), "status", rapid.SampledFrom([]string{"built", "failed"}).Draw(t, "status"), "accuracyM", 3}
		if n := pick(3, "named"); n < 2 {
			fields = append(fields, "thalweg", fmt.Sprint("t", n))
		}
		if pick(3, "taped from below") == 0 {
			fields = append(fields, "damBelow", fmt.Sprint("d", pick(5, "below")), "fromBelowM", 5+pick(9, "from below"))
		}
		if pick(2, "taped") == 0 {
			fields = append(fields, "chainageM", 10*pick(20, "chainage"))
		}
		return feature("check-dam", fmt.Sprint("d", pick(5, "dam")), north(float64(10*pick(20, "north")), float64(10*pick(8, "east"))), fields...)
	case "head":
		return feature("gully-head", fmt.Sprint("h", pick(2, "head")), north(float64(10*pick(9, "north")), 0), "headDepthM", 1, "catchmentHa", pick(4, "given"))
	case "across":
		return feature("cross-section", fmt.Sprint("x", pick(2, "across")), nil, "name", fmt.Sprint("Across ", pick(3, "name")), "thalweg", fmt.Sprint("t", pick(3, "in")), "chainageM", 10*pick(20, "chainage"))
	case "peg":
		return feature("peg", fmt.Sprint("p", pick(3, "peg")), nil, "levelM", 100+float64(pick(30, "level"))/10, "levelRun", fmt.Sprint("r", pick(3, "run")))
	case "visit":
		return feature("visit", fmt.Sprint("v", pick(4, "visit")), nil, "of", rapid.SampledFrom([]string{"d0", "d1", "h0", "l0"}).Draw(t, "of"),
			"observedOn", fmt.Sprintf("2026-0%d-01", 1+pick(9, "month")), "condition", rapid.SampledFrom([]string{"sound", "needs work", "failed", ""}).Draw(t, "condition"), "sedimentDepthM", float64(pick(5, "silt"))/10)
	case "catchment":
		across := float64(100 * (1 + pick(2, "across")))
		return feature("catchment", fmt.Sprint("c", pick(2, "catchment")), orb.Polygon{{north(0, 0), north(100, 0), north(100, across), north(0, across), north(0, 0)}}, "name", fmt.Sprint("Catchment ", across))
	case "run":
		var spots []staff
		for range pick(8, "rows") {
			spots = append(spots, staff{
				rapid.SampledFrom([]string{"t0", "t1", "d0", "d1", "d2", "d3", "d4", "l0", "l1", "x0", "x1"}).Draw(t, "of"),
				rapid.SampledFrom([]model.Spot{model.BedSpot, model.ToeSpot, model.CrestSpot, model.PegSpot, model.SectionSpot}).Draw(t, "spot"),
				float64(10 * pick(20, "chainage")), 100 + float64(pick(30, "level"))/10})
		}
		rows := book(float64(pick(2, "out")), spots...)
		for i := range rows {
			if rows[i].Spot == model.SectionSpot && pick(4, "no offset") > 0 {
				rows[i].OffsetM = new(float64(pick(9, "offset") - 4))
			}
		}
		return feature("level-run", fmt.Sprint("r", pick(3, "run")), nil, "rows", rows, "observedOn", fmt.Sprintf("2026-0%d-01", 1+pick(9, "month")))
	}
	at := float64(10 * pick(9, "at"))
	return feature("rip-line", fmt.Sprint("l", pick(2, "line")), orb.LineString{north(at, 0), north(at, 90)}, "accuracyM", 2)
}

// A Cache tells of every feature what one pass over them all does, whatever came before.
func TestCacheTellsWhatASurveyTells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := NewCache()
		now := map[string]model.Feature{}
		for range rapid.IntRange(1, 30).Draw(t, "changes") {
			var put []model.Feature
			var struck []string
			for range rapid.IntRange(1, 3).Draw(t, "at once") {
				if f := change(t); rapid.IntRange(0, 5).Draw(t, "strike") == 0 {
					struck = append(struck, f.ID)
				} else {
					put = append(put, f)
				}
			}
			before := map[string]string{}
			for id := range now {
				sheet, _ := k.Sheet(id)
				section, _ := k.PropertyFigures().LongSection(id)
				before[id] = asJSON(t, sheet) + asJSON(t, section)
			}
			touched := k.Change(slices.Values(put), struck)
			for _, f := range put {
				now[f.ID] = f
			}
			for _, id := range struck {
				delete(now, id)
			}
			fresh := Survey(maps.Values(now))
			for id, f := range now {
				got, ok := k.Sheet(id)
				if a, b := asJSON(t, got), asJSON(t, fresh.Of(f)); !ok || a != b {
					t.Fatalf("kept sheet of %s is\n%s\na survey gives\n%s", id, a, b)
				}
				section, _ := k.PropertyFigures().LongSection(id)
				if is := asJSON(t, got) + asJSON(t, section); is != before[id] && !slices.Contains(touched, id) {
					t.Fatalf("the sheet or section of %s has become\n%s\nit was\n%s\nand it is not among those touched, %v", id, is, before[id], touched)
				}
			}
			if a, b := asJSON(t, k.PropertyFigures().LongSections()), asJSON(t, fresh.LongSections()); a != b {
				t.Fatalf("kept long sections are\n%s\na survey gives\n%s", a, b)
			}
			if a, b := asJSON(t, k.PropertyFigures().CrossSections()), asJSON(t, fresh.CrossSections()); a != b {
				t.Fatalf("kept cross-sections are\n%s\na survey gives\n%s", a, b)
			}
			for _, id := range struck {
				if _, ok := k.Sheet(id); ok {
					t.Fatalf("%s was struck and has a sheet", id)
				}
			}
		}
	})
}

// TestCacheWorksOutOnlyWhatChanged counts the work that one entry makes on a property of
// 5,000 features, and on one of 50,000: one sheet, 3 for a level run, and for a thalweg with 30
// dams 31, however many features there are.
func TestCacheWorksOutOnlyWhatChanged(t *testing.T) {
	for _, n := range []int{5_000, 50_000} {
		t.Run(fmt.Sprint(n), func(t *testing.T) { worksOutOnlyWhatChanged(t, n) })
	}
}

func worksOutOnlyWhatChanged(t *testing.T, n int) {
	all := holding(n)
	k := NewCache()
	k.Change(slices.Values(all), nil)
	look := func() Work {
		before := k.Did()
		for _, f := range all {
			if _, ok := k.Sheet(f.ID); !ok {
				t.Fatalf("no sheet of %s", f.ID)
			}
		}
		d := k.Did()
		return less(d, before)
	}
	if first := look(); first.Sheets != len(all) {
		t.Fatalf("the first look worked out %d sheets of %d features", first.Sheets, len(all))
	}
	if again := look(); again != (Work{}) {
		t.Errorf("a second look worked out %+v, want nothing", again)
	}
	find := func(kind string) model.Feature {
		return all[slices.IndexFunc(all, func(f model.Feature) bool { return f.Kind == kind })]
	}
	for _, test := range []struct {
		kind string
		most Work
	}{
		{"scald", Work{Sheets: 1}},
		{"rip-line", Work{Sheets: 1}},
		{"photo-point", Work{Sheets: 1}},
		{"check-dam", Work{Stood: 60, Places: 1, Pairs: 2, Sheets: 2}},      // itself, and the dam below; there are 30 dams on each gully
		{"level-run", Work{Stood: 60, Runs: 1, Pairs: 4, Sheets: 4}},        // itself, its dam, and the dam below
		{"thalweg", Work{Stood: 100, Places: 100, Pairs: 100, Sheets: 100}}, // its dams
	} {
		t.Run(test.kind, func(t *testing.T) {
			before := k.Did()
			k.Change(slices.Values([]model.Feature{find(test.kind)}), nil)
			changed := k.Did()
			sheets := look().Sheets
			got := less(changed, before)
			got.Sheets = sheets
			t.Logf("one %s of %d features: %+v", test.kind, len(all), got)
			if got.Runs > test.most.Runs || got.Stood > test.most.Stood || got.Places > test.most.Places || got.Pairs > test.most.Pairs || got.Sheets > test.most.Sheets || got.Sheets == 0 {
				t.Errorf("one %s made it work out %+v, want at most %+v", test.kind, got, test.most)
			}
		})
	}
}

// less is the work done since.
func less(d, before Work) Work {
	return Work{d.Runs - before.Runs, d.Stood - before.Stood, d.Places - before.Places, d.Pairs - before.Pairs, d.Sheets - before.Sheets}
}
