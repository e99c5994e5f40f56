package storetest

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"

	"headcut/sync/store"
)

func clashAndStrike(t T, s store.Register) {
	a, b := &Maker{Property: "p", Device: "a"}, &Maker{Property: "p", Device: "b"}
	made := a.Entry("f", nil, "name", `"made"`)
	saw := map[string]uint64{"a": 1}
	edit := b.Entry("f", saw, "name", `"edited"`)
	other := a.Entry("f", nil, "name", `"also edited"`)
	strike := a.Strike("f", nil, true)
	appendAll(t, s, "p", made, strike, edit)
	appendAll(t, s, "p", other)
	all, _ := ReadAll(t, s, "p")
	f := features(t, s, "p")["f"]
	sameFold(t, f, all)
	if !f.Struck || len(f.Clashes) != 2 {
		t.Errorf("the feature is %+v, want struck, with a clash of name and one of strike", f)
	}
	appendAll(t, s, "p", b.Strike("f", map[string]uint64{"a": 3}, false), b.Entry("f", map[string]uint64{"a": 3}, "name", `"settled"`))
	f = features(t, s, "p")["f"]
	if f.Struck || len(f.Clashes) != 0 || string(f.Fields["name"]) != `"settled"` {
		t.Errorf("the feature is %+v, want it restored and settled", f)
	}
}

func manyFeatures(t T, s store.Register) {
	const n = 10_000
	a := &Maker{Property: "p", Device: "a"}
	var raw []json.RawMessage
	for i := range n {
		raw = append(raw, a.Entry(fmt.Sprintf("f%05d", i), nil, "kind", `"check-dam"`, "geometry", Point(147+float64(i)/1e5, -20)))
	}
	for chunk := range slices.Chunk(raw, 2500) {
		appendAll(t, s, "p", chunk...)
	}
	all := features(t, s, "p")
	if len(all) != n {
		t.Fatalf("%d features are read, want %d", len(all), n)
	}
	// Breaking off, and writing between two features, holds up nobody.
	seen := 0
	for f, err := range s.Features(t.Context(), "p") {
		if err != nil {
			t.Fatalf("Features: %v", err)
		}
		if seen++; seen%1000 == 0 {
			appendAll(t, s, "p", a.Entry(f.Feature, nil, "name", `"touched"`))
		}
		if seen == 5000 {
			break
		}
	}
	sequence := s.Features(t.Context(), "p")
	for range 2 {
		count := 0
		for range sequence {
			count++
		}
		if count != n {
			t.Errorf("the sequence run again gives %d features, want %d", count, n)
		}
	}
}

// someFeatures asks for features by kind and by id, and for the entries of one, and holds the
// answers to reading everything. A feature whose kind is contested has the kind it shows.
func someFeatures(t T, s store.Register) {
	a, b := &Maker{Property: "p", Device: "a"}, &Maker{Property: "p", Device: "b"}
	var raw []json.RawMessage
	for i := range 300 {
		id, kind := fmt.Sprintf("f%03d", i), []string{`"check-dam"`, `"thalweg"`, `"peg"`, `"hay \u0026 seed"`}[i%4]
		raw = append(raw, a.Entry(id, nil, "kind", kind, "name", fmt.Sprintf(`"n%d"`, i)))
		if i%5 == 0 {
			raw = append(raw, b.Entry(id, nil, "kind", `"thalweg"`))
		}
		if i%7 == 0 {
			raw = append(raw, a.Strike(id, nil, true))
		}
	}
	appendAll(t, s, "p", raw...)
	appendAll(t, s, "q", (&Maker{Property: "q", Device: "a"}).Entry("f000", nil, "kind", `"thalweg"`))
	all := features(t, s, "p")
	kinds := []string{"thalweg", "hay & seed"}
	want, got := 0, 0
	for _, f := range all {
		if slices.Contains(kinds, f.Model().Kind) {
			want++
		}
	}
	for f, err := range s.FeaturesOf(t.Context(), "p", kinds...) {
		if err != nil {
			t.Fatalf("FeaturesOf: %v", err)
		}
		if got++; !slices.Contains(kinds, f.Model().Kind) || !reflect.DeepEqual(f, all[f.Feature]) {
			t.Errorf("FeaturesOf %v yields %+v, want %+v", kinds, f, all[f.Feature])
		}
	}
	if got != want {
		t.Errorf("FeaturesOf yields %d features, want %d", got, want)
	}
	rest := map[string]bool{}
	odd := func(id string) bool { return (id[len(id)-1]-'0')%2 == 1 }
	for f, err := range s.FeaturesBut(t.Context(), "p", odd) {
		if err != nil {
			t.Fatalf("FeaturesBut: %v", err)
		}
		if rest[f.Feature] = true; odd(f.Feature) || !reflect.DeepEqual(f, all[f.Feature]) {
			t.Errorf("FeaturesBut yields %+v, want %+v", f, all[f.Feature])
		}
	}
	for id := range all {
		if !odd(id) && !rest[id] {
			t.Errorf("FeaturesBut does not yield %s", id)
		}
	}
	var named []string
	for f, err := range s.FeaturesNamed(t.Context(), "p", []string{"f007", "nobody", "f003", "f100"}) {
		if err != nil {
			t.Fatalf("FeaturesNamed: %v", err)
		}
		if named = append(named, f.Feature); !reflect.DeepEqual(f, all[f.Feature]) {
			t.Errorf("FeaturesNamed yields %+v, want %+v", f, all[f.Feature])
		}
	}
	if !slices.Equal(named, []string{"f007", "f003", "f100"}) {
		t.Errorf("FeaturesNamed yields %v, want those there in the order asked", named)
	}
	entries, err := s.EntriesOf(t.Context(), "p", "f035")
	if err != nil || len(entries) != 3 || entries[0].N >= entries[1].N || entries[1].N >= entries[2].N {
		t.Errorf("the entries of f035 are %v, %v, want its three by number", entries, err)
	}
	sameFold(t, all["f035"], entries)
	if none, err := s.EntriesOf(t.Context(), "p", "nobody"); err != nil || len(none) != 0 {
		t.Errorf("a feature that is not there has the entries %v, %v", none, err)
	}
}
