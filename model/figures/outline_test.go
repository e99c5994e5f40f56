package figures

import (
	"encoding/json"
	"maps"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
)

// surveyInGroups surveys each group of an outline alone, and gives the sheet of every feature.
func surveyInGroups(now map[string]model.Feature, least int) map[string]Sheet {
	o := NewOutline()
	for _, f := range now {
		if slices.Contains(OutlineKinds, f.Kind) {
			o.Add(f)
		}
	}
	if o.Homeless() {
		for _, f := range now {
			if f.Kind == "thalweg" {
				o.Near(f)
			}
		}
	}
	sheets := map[string]Sheet{}
	for ids := range o.Groups(least) {
		var group []model.Feature
		for _, id := range ids {
			if f, ok := now[id]; ok {
				group = append(group, f)
			}
		}
		surveyed := o.Survey(slices.Values(group))
		for _, f := range group {
			sheets[f.ID] = surveyed.Of(f)
		}
	}
	alone := o.Survey(slices.Values([]model.Feature{}))
	for id, f := range now {
		if !o.Has(id) {
			sheets[id] = alone.Of(f)
		}
	}
	return sheets
}

// TestGroupsTellWhatASurveyTells: surveyed group by group, every feature has the sheet that
// a survey of the whole property gives it.
func TestGroupsTellWhatASurveyTells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		now := map[string]model.Feature{}
		for range rapid.IntRange(1, 40).Draw(t, "features") {
			f := change(t)
			now[f.ID] = f
		}
		whole := Survey(maps.Values(now))
		sheets := surveyInGroups(now, rapid.IntRange(1, 5).Draw(t, "least"))
		for id, f := range now {
			if a, b := asJSON(t, sheets[id]), asJSON(t, whole.Of(f)); a != b {
				t.Fatalf("surveyed in groups the sheet of %s is\n%s\na survey gives\n%s", id, a, b)
			}
		}
	})
}

// TestGroupsStayApart: gullies that share nothing are in groups of their own, in an order
// that the order of features does not change, and each feature comes once.
func TestGroupsStayApart(t *testing.T) {
	const uuid = "019abc00-0000-7000-8000-61000000000f" // between the ids that are none
	all := []model.Feature{
		feature("thalweg", uuid, nil),
		feature("thalweg", "t1", nil), feature("check-dam", "d1", nil, "thalweg", "t1"), feature("check-dam", "d2", nil, "thalweg", "t1"),
		feature("thalweg", "t2", nil), feature("check-dam", "d3", nil, "thalweg", "t2"),
		feature("level-run", "r1", nil, "rows", book(0, staff{"d3", model.ToeSpot, -1, 101}, staff{"l1", model.PegSpot, -1, 101})),
		feature("level-run", "r2", nil, "rows", json.RawMessage(`[{"point":"a","feat\u0075re" : "d1"}]`)),
	}
	want := [][]string{{uuid}, {"d1", "d2", "r2", "t1"}, {"d3", "l1", "r1", "t2"}}
	for range 2 {
		o := NewOutline()
		for _, f := range all {
			o.Add(f)
		}
		var got [][]string
		for ids := range o.Groups(1) {
			got = append(got, slices.Clone(ids))
		}
		if !slices.EqualFunc(got, want, slices.Equal) || !o.Has("l1") || o.Has("l2") {
			t.Errorf("the groups are %v, want %v", got, want)
		}
		slices.Reverse(all)
	}
}

// TestShortIDs: an id comes back from its short form, whatever it is.
func TestShortIDs(t *testing.T) {
	for _, id := range []string{"019abc00-0000-7000-8000-61000000000f", "dam-1", "019ABC00-0000-7000-8000-61000000000f", "019abc00-0000-7000-8000-6100000000zz", "0123456789abcdef0123456789abcdef0123"} {
		o := NewOutline()
		at := o.node(id)
		if back := o.idOf(at); back != id || !o.Has(id) {
			t.Errorf("%s comes back as %s", id, back)
		}
	}
}
