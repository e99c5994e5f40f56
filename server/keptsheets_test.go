package server

import (
	"encoding/json"
	"testing"

	"headcut/model/figures"
	"headcut/sync/register"
)

// A view made from kept figures is the one made afresh, and an entry that arrives has only
// its own figures worked out again.
func TestKeptViewWorksOutOnlyWhatChanged(t *testing.T) {
	folded := func(id, kind string, n uint64, struck bool, set fields) register.Folded {
		f := register.Folded{Feature: id, N: n, Struck: struck, Fields: map[string]json.RawMessage{"kind": []byte(`"` + kind + `"`)}}
		for name, v := range set {
			raw, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			f.Fields[name] = raw
		}
		return f
	}
	rip := func(id string, n uint64, east float64, more fields) register.Folded {
		set := fields{"geometry": line([2]float64{147, -20}, [2]float64{147 + east, -20}), "status": "built"}
		for name, v := range more {
			set[name] = v
		}
		return folded(id, "rip-line", n, false, set)
	}
	gully := func(n uint64) register.Folded {
		return folded("t", "thalweg", n, false, fields{"geometry": line([2]float64{147, -20}, [2]float64{147, -19.998})})
	}
	dam := func(id string, n uint64, chainageM float64, struck bool) register.Folded {
		return folded(id, "check-dam", n, struck, fields{"status": "built", "thalweg": "t", "chainageM": chainageM, "crestHeightM": 0.4})
	}
	kept := newKeptSheets()
	rounds := []struct {
		name     string
		features []register.Folded
		sheets   int // worked out by this view
	}{
		{"first", []register.Folded{rip("a", 1, 0.001, nil), rip("b", 2, 0.002, nil), rip("c", 3, 0.003, nil)}, 3},
		{"again", []register.Folded{rip("a", 1, 0.001, nil), rip("b", 2, 0.002, nil), rip("c", 3, 0.003, nil)}, 0},
		{"one-longer", []register.Folded{rip("a", 1, 0.001, nil), rip("b", 4, 0.004, nil), rip("c", 3, 0.003, nil)}, 1},
		{"one-hidden", []register.Folded{rip("a", 1, 0.001, nil), rip("b", 5, 0.004, fields{"sensitive": true}), rip("c", 3, 0.003, nil)}, 0},
		{"one-struck-one-new", []register.Folded{folded("a", "rip-line", 6, true, nil), rip("b", 5, 0.004, fields{"sensitive": true}), rip("c", 3, 0.003, nil), rip("d", 7, 0.001, nil)}, 1},
		{"two-dams", []register.Folded{gully(8), dam("d1", 9, 10, false), dam("d2", 10, 30, false)}, 2},
		{"upper-dam-struck", []register.Folded{gully(8), dam("d1", 9, 10, false), dam("d2", 11, 30, true)}, 1},
	}
	var before figures.Work
	for _, round := range rounds {
		v, err := landViewOf("Ridge Block", kept, storeOf(round.features...))
		if err != nil {
			t.Fatal(err)
		}
		if got, want := jsonOf(t, v), jsonOf(t, viewOf(t, round.features...)); got != want {
			t.Errorf("%s: the kept view is\n%s\nafresh it is\n%s", round.name, got, want)
		}
		did := kept.sheets.Did()
		if got := did.Sheets - before.Sheets; got != round.sheets {
			t.Errorf("%s: %d sheets worked out, want %d", round.name, got, round.sheets)
		}
		before = did
	}
}

func TestKeptPropertiesForgetTheOldest(t *testing.T) {
	var k keptProperties
	first := k.of("p0")
	for i := range mostKept {
		if k.of("p0") != first {
			t.Fatalf("p0 was forgotten after %d others", i)
		}
		if i > 0 {
			k.of("q" + string(rune('0'+i)))
		}
	}
	for i := range mostKept {
		k.of("r" + string(rune('0'+i)))
	}
	if k.of("p0") == first || len(k.last) > mostKept {
		t.Errorf("p0 is kept after %d others; %d are kept", mostKept, len(k.last))
	}
}

// Of large properties fewer are kept: memory goes by features.
func TestKeptPropertiesAreBoundedByTheirFeatures(t *testing.T) {
	s := newSite(t)
	p, _, _, _ := photographed(t, s, 30)
	if _, err := s.landView(t.Context(), p); err != nil {
		t.Fatal(err)
	}
	if got := s.kept.of(p.ID).features.Load(); got != 30 {
		t.Errorf("the figures of 30 features count as %d", got)
	}
	var k keptProperties
	for _, id := range []string{"a", "b", "c"} {
		k.of(id).features.Store(mostKeptFeatures / 2)
	}
	k.bound()
	if len(k.last) != 2 || k.last[0].id != "c" || k.last[1].id != "b" {
		t.Errorf("of three of half the room each, %d are kept, want the last two", len(k.last))
	}
	k.of("huge").features.Store(2 * mostKeptFeatures)
	if k.bound(); len(k.last) != 1 || k.last[0].id != "huge" {
		t.Errorf("beside one larger than all room %d others are kept", len(k.last)-1)
	}
}
