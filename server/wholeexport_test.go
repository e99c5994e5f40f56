package server

import (
	"encoding/json"
	"errors"
	"iter"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// putGully puts a gully with its run and dams into a property, a dam that names no gully and stands in
// it, one that was struck out, and a peg.
func putGully(t *testing.T, s *site, property string) *storetest.Maker {
	t.Helper()
	all := append(gully(t), folded(t, "dam-4", fields{"kind": "check-dam", "name": "Dam four", "status": "built", "crestHeightM": 0.4, "geometry": point(147.3, -22.6+80.0/110700)}),
		folded(t, "dam-5", fields{"kind": "check-dam", "name": "Dam five", "status": "built", "thalweg": "thal", "chainageM": 50, "crestHeightM": 0.4, "geometry": point(147.3, -22.6+50.0/110700)}),
		folded(t, "peg", fields{"kind": "peg", "name": "Peg one", "geometry": point(147.4, -22.6)}))
	maker := &storetest.Maker{Property: property, Device: plantedPhone}
	var raw []json.RawMessage
	for _, f := range all {
		var set []string
		for _, name := range slices.Sorted(maps.Keys(f.Fields)) {
			set = append(set, name, string(f.Fields[name]))
		}
		raw = append(raw, maker.Entry(f.Feature, nil, set...))
	}
	raw = append(raw, maker.Strike("dam-5", map[string]uint64{plantedPhone: maker.Seq}, true))
	if _, err := s.bolt.Append(t.Context(), property, raw); err != nil {
		t.Fatal(err)
	}
	return maker
}

// TestExportHasTheFiguresOfTheWhole: gully by gully, each feature has the figures that it has among all
// of the property, and what was struck out passes without being among them.
func TestExportHasTheFiguresOfTheWhole(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Flat")
	if err != nil {
		t.Fatal(err)
	}
	putGully(t, s, p.ID)
	var all []model.Feature
	for f, err := range s.folded(t.Context(), p.ID) {
		if err != nil {
			t.Fatal(err)
		}
		if !f.Struck {
			all = append(all, f.Model())
		}
	}
	whole := figures.Survey(slices.Values(all))
	stream, passed := s.featureStream(t.Context(), p.ID), []string{}
	for f, err := range stream.features() {
		if err != nil {
			t.Fatal(err)
		}
		passed = append(passed, f.ID)
		if got, want := stream.Of(f), whole.Of(f); f.ID != "dam-5" && !reflect.DeepEqual(got, want) {
			t.Errorf("%s has the figures %+v, want %+v", f.ID, got, want)
		}
		if stream.history(f.ID).Struck != (f.ID == "dam-5") {
			t.Errorf("%s is struck out: %t", f.ID, stream.history(f.ID).Struck)
		}
	}
	if slices.Sort(passed); !slices.Equal(passed, []string{"dam-1", "dam-2", "dam-3", "dam-4", "dam-5", "peg", "run", "thal"}) {
		t.Errorf("%q passed", passed)
	}
	if got := whole.Of(all[slices.IndexFunc(all, func(f model.Feature) bool { return f.ID == "dam-4" })]); !strings.Contains(got.Cautions[0].Text, "which end of its line is chainage 0") {
		t.Errorf("the dam that names no gully is told %+v, want what the gully's line lacks", got.Cautions)
	}
	for most := 1; most < len(passed); most++ {
		n := 0
		for range stream.features() {
			if n++; n == most {
				break
			}
		}
		if n != most {
			t.Errorf("after %d, %d passed", most, n)
		}
	}
	if err := s.bolt.Close(); err != nil {
		t.Fatal(err)
	}
	n := 0
	for f, err := range stream.features() {
		if n++; err == nil || f.ID != "" {
			t.Errorf("of a store that fails: %+v, %v", f, err)
		}
	}
	if n != 1 {
		t.Errorf("of a store that fails, %d passed", n)
	}
}

// TestVisitsAreCalledByTheirItems: an export names what a visit was to, by its kind where it has no name.
func TestVisitsAreCalledByTheirItems(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Flat")
	if err != nil {
		t.Fatal(err)
	}
	maker := &storetest.Maker{Property: p.ID, Device: plantedPhone}
	var raw []json.RawMessage
	for id, name := range map[string]string{"dam-1": `"Fig tree"`, "dam-2": `""`} {
		raw = append(raw, maker.Entry(id, nil, "kind", `"check-dam"`, "name", name, "status", `"built"`),
			maker.Entry("visit-"+id, nil, "kind", `"visit"`, "of", `"`+id+`"`, "visitedOn", `"2026-05-12"`, "condition", `"sound"`))
	}
	if _, err := s.bolt.Append(t.Context(), p.ID, raw); err != nil {
		t.Fatal(err)
	}
	_, text := ask(t, "GET", s.admin.URL+"/office/export?property=Flat&format=kml", "")
	for _, want := range []string{"Fig tree", "check dam"} {
		if !strings.Contains(text, want) {
			t.Errorf("the export lacks %q: %s", want, text)
		}
	}
}

// filesOf is what a link's files are written of, on a property with a gully.
func filesOf(t *testing.T) (*site, *linkFiles) {
	t.Helper()
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Flat")
	if err != nil {
		t.Fatal(err)
	}
	putGully(t, s, p.ID)
	return s, &linkFiles{s: s.Server, ctx: t.Context(), property: p.ID}
}

// TestFilesOfALinkEndAsAsked: when whoever reads has enough, and with the error of a store that fails.
func TestFilesOfALinkEndAsAsked(t *testing.T) {
	s, files := filesOf(t)
	shown := func(all iter.Seq2[register.Folded, error], most int) (ids []string, err error) {
		for f, bad := range files.features(all) {
			if err = bad; bad == nil {
				ids = append(ids, f.ID)
			}
			if len(ids) == most {
				break
			}
		}
		return ids, err
	}
	all := s.folded(t.Context(), files.property)
	whole, err := shown(all, -1)
	if err != nil || len(whole) != 5 || slices.Contains(whole, "dam-5") || slices.Contains(whole, "peg") || slices.Contains(whole, "run") {
		t.Fatalf("%q are shown, %v", whole, err)
	}
	for most := 1; most <= len(whole); most++ {
		if got, err := shown(all, most); err != nil || !slices.Equal(got, whole[:most]) {
			t.Errorf("of the first %d, %q are shown, %v", most, got, err)
		}
	}
	torn := errors.New("torn")
	for _, before := range []int{0, 1, itemsAtOnce, itemsAtOnce + 1} {
		got, err := shown(func(yield func(register.Folded, error) bool) {
			for range before {
				if !yield(gully(t)[2], nil) {
					return
				}
			}
			_ = yield(register.Folded{}, torn) && yield(gully(t)[3], nil)
		}, -1)
		if !errors.Is(err, torn) || len(got) != before/itemsAtOnce*itemsAtOnce {
			t.Errorf("torn after %d: %d are shown, %v", before, len(got), err)
		}
	}
	got, err := shown(func(yield func(register.Folded, error) bool) {
		for n := 0; n < 3*itemsAtOnce && yield(gully(t)[2], nil); n++ {
			if n >= itemsAtOnce {
				t.Fatal("it reads on when whoever reads has enough")
			}
		}
	}, 5)
	if err != nil || len(got) != 5 {
		t.Errorf("of many, %d are shown, %v", len(got), err)
	}
	if err := s.bolt.Close(); err != nil {
		t.Fatal(err)
	}
	if got, err := shown(func(yield func(register.Folded, error) bool) { yield(gully(t)[2], nil) }, -1); err == nil || len(got) > 0 {
		t.Errorf("with no book %q are shown, %v", got, err)
	}
}

// TestFieldsOfALinksFiles: those of a work that the page shows, with how each was measured, and what is
// dangerous at a hazard.
func TestFieldsOfALinksFiles(t *testing.T) {
	field := func(f model.Feature) []string { return slices.Sorted(maps.Keys(f.Fields)) }
	raw := func(set fields) map[string]json.RawMessage {
		out := map[string]json.RawMessage{}
		for name, value := range set {
			out[name] = asJSON(value)
		}
		return out
	}
	check, _ := model.KindNamed("check-dam")
	var based model.Field
	for _, f := range check.Fields {
		if f.Basis != "" && based.Name == "" && f.Type == model.Number {
			based = f
		}
	}
	facts := []linkFact{{Label: "Height", Text: "0.4"}}
	for name, c := range map[string]struct {
		kind string
		item linkItem
		set  fields
		want []string
	}{
		"hazard":        {"hazard", linkItem{}, fields{"kind": "hazard", "name": "Pit", "danger": "deep", "notes": "private", "geometry": point(147, -22)}, []string{"danger", "geometry", "kind", "name"}},
		"work":          {"check-dam", linkItem{}, fields{"kind": "check-dam", "danger": "deep", "status": "built", "builtOn": "2026-05-12", based.Name: 0.4, based.Basis: "taped", "notes": "private"}, []string{"builtOn", "kind", "status"}},
		"with facts":    {"check-dam", linkItem{Facts: facts}, fields{"kind": "check-dam", based.Name: 0.4, based.Basis: "taped", "notes": "private"}, []string{"kind", based.Name, based.Basis}},
		"with no value": {"check-dam", linkItem{Facts: facts}, fields{"kind": "check-dam", based.Name: nil, based.Basis: "taped"}, []string{"kind", based.Basis}},
		"failed":        {"check-dam", linkItem{Status: model.Failed}, fields{"kind": "check-dam"}, []string{"kind", "status"}},
	} {
		slices.Sort(c.want)
		if got := c.item.forLink(model.Feature{ID: "f", Kind: c.kind, Fields: raw(c.set)}); !slices.Equal(field(got), c.want) {
			t.Errorf("%s: the file has %q, want %q", name, field(got), c.want)
		}
	}
}

// TestWithField leaves the feature that it is given as it was.
func TestWithField(t *testing.T) {
	f := model.Feature{ID: "f", Fields: map[string]json.RawMessage{"name": json.RawMessage(`"Pit"`)}}
	if got := withField(f, "name", json.RawMessage(`"Hole"`)); string(got.Fields["name"]) != `"Hole"` || string(f.Fields["name"]) != `"Pit"` {
		t.Errorf("%s, and before it %s", got.Fields, f.Fields)
	}
	if got := nameless(f); len(got.Fields) != 0 || string(f.Fields["name"]) != `"Pit"` {
		t.Errorf("%s, and before it %s", got.Fields, f.Fields)
	}
}
