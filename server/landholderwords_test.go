package server

import (
	"slices"
	"strings"
	"testing"

	"headcut/model"
)

func TestStatusSentence(t *testing.T) {
	for _, c := range []struct {
		name string
		set  fields
		want string
	}{
		{"proposed", fields{"status": "proposed"}, "Proposed. Nothing is on the ground yet."},
		{"proposed-dated", fields{"status": "proposed", "proposedOn": "2026-02-03"}, "Proposed on 3 February 2026. Nothing is on the ground yet."},
		{"pegged", fields{"status": "pegged", "peggedOn": "2026-02-28"}, "Pegged out on 28 February 2026. It is not built yet."},
		{"built", fields{"status": "built", "builtOn": "2026-12-31"}, "Built on 31 December 2026."},
		{"built-undated", fields{"status": "built"}, "Built. The day was not written down."},
		{"built-bad-date", fields{"status": "built", "builtOn": "last winter"}, "Built. The day was not written down."},
		{"failed", fields{"status": "failed", "failedOn": "2026-03-01", "builtOn": "2025-03-01"}, "Failed on 1 March 2026: it no longer does its job. It was built on 1 March 2025."},
		{"removed", fields{"status": "removed"}, "Taken away."},
		{"none", fields{}, "How far it has come was not written down."},
		{"unknown", fields{"status": "dreamt of"}, "How far it has come was not written down."},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := statusSentence(folded(t, "x", c.set).Model()); got != c.want {
				t.Errorf("statusSentence(%v): got %q, want %q", c.set, got, c.want)
			}
		})
	}
	for _, s := range model.Statuses {
		if got := statusSentence(folded(t, "x", fields{"status": s}).Model()); strings.HasPrefix(got, "How far") {
			t.Errorf("statusSentence of the known status %q: got %q", s, got)
		}
	}
}

func TestFacts(t *testing.T) {
	for _, c := range []struct {
		name, kind string
		set        fields
		figured    map[string]bool
		want       []landFact
	}{
		{"in-the-order-of-the-row", "check-dam", fields{"sedimentDepthM": 0.1, "material": "hay bales", "crestLengthM": 6}, nil,
			[]landFact{{"Built from", "hay bales"}, {"Crest length", "6\u00a0m"}, {"Sediment caught", "0.1\u00a0m"}}},
		{"figures-not-twice", "check-dam", fields{"crestHeightM": 0.4, "material": "timber"}, map[string]bool{"crestHeightM": true},
			[]landFact{{"Built from", "timber"}}},
		{"wrong-values-stay", "check-dam", fields{"material": "gold", "crestHeightM": "high", "crestLengthM": -3}, nil, []landFact{}},
		{"nulls-stay", "check-dam", fields{"material": nil}, nil, []landFact{}},
		{"surveyors-fields-stay", "rip-line", fields{"toleranceM": 0.05, "depthM": 0.4, "betweenBanks": true}, nil,
			[]landFact{{"Depth of rip", "0.4\u00a0m"}, {"Between contour banks", "yes"}}},
		{"units", "revegetation", fields{"seedMix": "stylo", "seedKgHa": 4, "coverPct": 35}, nil,
			[]landFact{{"Seed mix", "stylo"}, {"Seed rate", "4\u00a0kg/ha"}, {"Ground cover", "35\u00a0%"}}},
		{"references-stay", "whoa-boy", fields{"track": "some-id", "outletSide": "left"}, nil, []landFact{{"Outlet side", "left"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			kind, _ := model.KindNamed(c.kind)
			if got := factsOf(kind, folded(t, "x", c.set).Model(), c.figured); !slices.Equal(got, c.want) {
				t.Errorf("factsOf(%s, %v): got %q, want %q", c.kind, c.set, got, c.want)
			}
		})
	}
}

// A field added to a row of the kinds' table must not leave because of that, when it is
// free text.
func TestFreeTextOfANewFieldStays(t *testing.T) {
	kind := &model.Kind{Name: "swale", Fields: []model.Field{{Name: "diary", Label: "Diary", Type: model.Text}, {Name: "seedMix", Label: "Seed mix", Type: model.Text}}}
	got := factsOf(kind, folded(t, "x", fields{"diary": "quarrel at the gate", "seedMix": "stylo"}).Model(), nil)
	if want := []landFact{{"Seed mix", "stylo"}}; !slices.Equal(got, want) {
		t.Errorf("factsOf a kind with a diary: got %q, want %q", got, want)
	}
}

func TestNamesCountLikePeople(t *testing.T) {
	want := []string{"", "Dam", "Dam 1", "Dam 2", "Dam 02b", "Dam 10", "Dam 10 left", "Weir 1"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, compareNames)
	if !slices.Equal(got, want) {
		t.Errorf("sorted by compareNames: got %q, want %q", got, want)
	}
}
