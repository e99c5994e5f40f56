package storetest

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"

	"github.com/paulmach/orb"

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

// boxes compares boxes of the index with a plain look at every feature.
func boxes(t T, s store.Register) {
	r := rand.New(rand.NewPCG(20261125, 1))
	a := &Maker{Property: "p", Device: "a"}
	place := make(map[string][]orb.Bound) // by feature, boxes of its parts
	var raw []json.RawMessage
	for i := range 600 {
		id := fmt.Sprintf("f%d", i%500) // the last hundred move features
		lon, lat, size := r.Float64()*360-180, r.Float64()*180-90, []float64{0, 1e-5, 0.01, 1, 40}[r.IntN(5)]
		if i%3 == 0 {
			lon, lat = 147+r.Float64()/100, -20+r.Float64()/100
		}
		east, north := min(lon+size, 180), min(lat+size, 90)
		switch r.IntN(4) {
		case 0:
			raw = append(raw, a.Entry(id, nil, "geometry", Point(lon, lat)))
			place[id] = []orb.Bound{orb.Point{lon, lat}.Bound()}
		case 1:
			raw = append(raw, a.Entry(id, nil, "geometry", fmt.Sprintf(`{"type":"LineString","coordinates":[[%v,%v],[%v,%v]]}`, lon, north, east, lat)))
			place[id] = []orb.Bound{{Min: orb.Point{lon, lat}, Max: orb.Point{east, north}}}
		case 2:
			raw = append(raw, a.Entry(id, nil, "geometry", fmt.Sprintf(`{"type":"MultiPoint","coordinates":[[%v,%v],[%v,%v]]}`, lon, lat, east, north)))
			place[id] = []orb.Bound{orb.Point{lon, lat}.Bound(), orb.Point{east, north}.Bound()}
		case 3:
			raw = append(raw, a.Entry(id, nil, "geometry", "null"))
			place[id] = nil
		}
	}
	appendAll(t, s, "p", raw...)
	try := []orb.Bound{{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}, {Min: orb.Point{170, -90}, Max: orb.Point{-170, 90}}, {Min: orb.Point{147, -20}, Max: orb.Point{147, -20}}}
	for range 60 {
		lon, lat, size := r.Float64()*360-180, r.Float64()*180-90, []float64{0.001, 1, 60}[r.IntN(3)]
		if r.IntN(2) == 0 {
			lon, lat, size = 147+r.Float64()/100, -20+r.Float64()/100, 0.003
		}
		try = append(try, orb.Bound{Min: orb.Point{lon, lat}, Max: orb.Point{min(lon+size, 180), min(lat+size, 90)}})
	}
	for _, box := range try {
		var got, want []string
		for f, err := range s.Features(t.Context(), "p", &box) {
			if err != nil {
				t.Fatalf("Features within %v: %v", box, err)
			}
			got = append(got, f.Feature)
		}
		for id, parts := range place {
			if slices.ContainsFunc(parts, func(b orb.Bound) bool { return meets(b, box) }) {
				want = append(want, id)
			}
		}
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("within %v are %v, want %v", box, got, want)
		}
	}
}

// meets is written out so as not to lean on what the stores use.
func meets(b, box orb.Bound) bool {
	if b.Min[1] > box.Max[1] || b.Max[1] < box.Min[1] {
		return false
	}
	if box.Min[0] > box.Max[0] { // across the antimeridian
		return b.Max[0] >= box.Min[0] || b.Min[0] <= box.Max[0]
	}
	return b.Min[0] <= box.Max[0] && b.Max[0] >= box.Min[0]
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
	for f, err := range s.Features(t.Context(), "p", nil) {
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
	sequence := s.Features(t.Context(), "p", nil)
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
