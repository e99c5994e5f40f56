package server

import (
	"encoding/json"
	"testing"

	"headcut/model"
	"headcut/sync/register"
)

// TestBookFollowsEachChange: after every step a book shows what one that is begun then shows.
func TestBookFollowsEachChange(t *testing.T) {
	struck := func(f register.Folded) register.Folded {
		f.Struck = true
		return f
	}
	with := func(f register.Folded, name string, value any) register.Folded {
		f.Fields = withField(f.Model(), name, asJSON(value)).Fields
		return f
	}
	visit := func(of string) register.Folded {
		return folded(t, "visit", fields{"kind": "visit", "of": of, "observedOn": "2026-06-01", "condition": "damaged", "photos": []string{shaA}})
	}
	g := gully(t)
	steps := map[string][][]register.Folded{
		"a gully": {g, {struck(g[0])}, {g[0]}, {struck(g[1])}, {g[1]}, {struck(g[3])}, {with(g[3], "chainageM", 45)}, {with(g[2], "thalweg", "gone")}, {with(g[0], "sensitive", true)}, {g[0]}, {with(g[0], "geometry", nil)}},
		"a dam":   {g[2:4], {visit("dam-1")}, {visit("dam-2")}, {with(visit("dam-2"), "condition", "sound")}, {with(visit("dam-1"), "sensitive", true)}, {visit("dam-1")}, {struck(g[2])}, {g[2]}, {struck(visit("dam-1"))}},
	}
	for i := range model.Kinds {
		kind := &model.Kinds[i]
		if !sharedKind(kind.Name) {
			continue
		}
		item := func(id string) register.Folded {
			return folded(t, id, fields{"kind": kind.Name, "name": "Item " + id, "geometry": point(147.3, -22.6)})
		}
		steps["a "+kind.Name] = [][]register.Folded{{item("a"), item("b")}, {visit("a")}, {visit("b")}, {visit("c")}, {visit("b")}, {with(item("b"), "name", "Another")}, {with(item("b"), "sensitive", true)}, {item("b")}, {struck(visit("b"))}, {struck(item("a"))}, {with(item("b"), "kind", "peg")}}
	}
	for name, all := range steps {
		b, now, order := newLinkBook(), map[string]register.Folded{}, []string{}
		for n, step := range all {
			if err := b.take(storeOf(step...)); err != nil {
				t.Fatal(err)
			}
			for _, f := range step {
				if _, there := now[f.Feature]; !there {
					order = append(order, f.Feature)
				}
				now[f.Feature] = f
			}
			var is []register.Folded
			for _, id := range order {
				is = append(is, now[id])
			}
			if got, want := viewIn(t, b).text, viewOf(t, is...).text; got != want {
				t.Errorf("%s, step %d:\n%s\nwant\n%s", name, n+1, got, want)
			}
			for _, sha := range []string{shaA, shaB} {
				if got, want := b.shows(sha), bookOf(t, is...).shows(sha); got != want {
					t.Errorf("%s, step %d: the photo is shown: %t", name, n+1, got)
				}
			}
		}
	}
}

// TestPhotoOfWhatWasAVisit is shown by what it is now, not by what it was a visit to.
func TestPhotoOfWhatWasAVisit(t *testing.T) {
	b := bookOf(t, gully(t)[2], folded(t, "x", fields{"kind": "visit", "of": "dam-1", "photos": []string{shaA}}))
	if err := b.take(storeOf(folded(t, "x", fields{"kind": "hazard", "photos": []string{shaA}}))); err != nil {
		t.Fatal(err)
	}
	gone := gully(t)[2]
	gone.Struck = true
	if err := b.take(storeOf(gone)); err != nil || !b.shows(shaA) || len(b.visitOf) > 0 || len(b.visits) > 0 {
		t.Errorf("shown %t, %v as visits, %v", b.shows(shaA), b.visitOf, err)
	}
}

// TestNothingIsSaidOfWhatIsNotThere: a field that is missing, cleared or wrong has no words.
func TestNothingIsSaidOfWhatIsNotThere(t *testing.T) {
	for i := range model.Kinds {
		for _, field := range model.Kinds[i].Fields {
			for _, raw := range []string{"", "null", `{"a":`} {
				f := model.Feature{ID: "f", Kind: model.Kinds[i].Name, Fields: map[string]json.RawMessage{field.Name: json.RawMessage(raw)}}
				if raw == "" {
					delete(f.Fields, field.Name)
				}
				if got := worded(f, field); got != "" {
					t.Errorf("%s %s of %q is worded %q", f.Kind, field.Name, raw, got)
				}
			}
		}
	}
}
