package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/geodesy"
	"headcut/model/recorded"
)

// item makes a feature as a register has it; fields are name, value, name, value.
func item(kind, id string, g orb.Geometry, fields ...any) recorded.Item {
	f := model.Feature{ID: id, Kind: kind, Geometry: g, Fields: map[string]json.RawMessage{}}
	for i := 0; i < len(fields); i += 2 {
		raw, err := json.Marshal(fields[i+1])
		if err != nil {
			panic(err)
		}
		f.Fields[fields[i].(string)] = raw
	}
	return recorded.Item{Feature: f, Version: "v-" + id}
}

func clashed(of recorded.Item, fields ...string) recorded.Item {
	of.Clashes = fields
	return of
}

// north is a position so many metres north, and east, of a place at 20° S.
func north(northM, eastM float64) orb.Point {
	return geodesy.Frame{Origin: orb.Point{148, -20}}.Position(eastM, northM)
}

// gully is a thalweg drawn from its downstream end so many metres north.
func drawn(lengthM float64, fields ...any) recorded.Item {
	return item("thalweg", "g", orb.LineString{north(0, 0), north(lengthM, 0)}, append([]any{"name", "Fig Gully", "chainageZero", "start of the line"}, fields...)...)
}

// staff is a levelled spot: which feature, which part, where along it, how high.
type staff struct {
	feature   string
	place     model.Spot
	chainageM float64
	levelM    float64
}

// book writes levels down as an officer would: one set-up on a benchmark at 100 m, closing on it out
// by so many metres. The staff is long, so that one set-up sees all.
func book(outM float64, spots ...staff) []model.LevelRow {
	m := func(v float64) *float64 { v = math.Round(v*1e4) / 1e4; return &v }
	rows := []model.LevelRow{{Point: "BM", BS: m(12), KnownLevelM: m(100)}}
	for i, s := range spots {
		rows = append(rows, model.LevelRow{Point: fmt.Sprint("p", i), IS: m(112 - s.levelM), Feature: s.feature, Spot: s.place, ChainageM: m(s.chainageM)})
	}
	return append(rows, model.LevelRow{Point: "BM", FS: m(12 - outM), KnownLevelM: m(100)})
}

// bed are levels every 10 m up a gully that rises so many per cent.
func bed(lengthM, slopePct float64) (spots []staff) {
	for c := 0.0; c <= lengthM; c += 10 {
		spots = append(spots, staff{"g", model.BedSpot, c, 100 + c*slopePct/100})
	}
	return spots
}

func run(id, day string, outM float64, spots ...staff) recorded.Item {
	return item("level-run", id, nil, "name", "Run "+id, "observedOn", day, "staffLengthM", 20, "rows", book(outM, spots...))
}

func property(items ...recorded.Item) *Property { return Survey("p", slices.Values(items)) }

func drafted(t testing.TB, p *Property, r Request) Draft {
	t.Helper()
	d, err := p.Draft(r)
	if err != nil {
		t.Fatalf("draft of %+v: %v", r, err)
	}
	return d
}

func given(text string) map[string]json.RawMessage {
	var all map[string]json.RawMessage
	if err := json.Unmarshal([]byte(text), &all); err != nil {
		panic(err)
	}
	return all
}

// Compute is the bare computation of the draft's input, to which plans are held.
func (d Draft) Compute() (json.RawMessage, error) { return compute.Run(d.Computation, d.Input) }

// says checks that one of some sentences has this part.
func says(t testing.TB, what string, all []string, part string) {
	t.Helper()
	if !slices.ContainsFunc(all, func(text string) bool { return strings.Contains(text, part) }) {
		t.Errorf("%s %q, want one that says %q", what, all, part)
	}
}

func refuses(t testing.TB, d Draft, part string) {
	t.Helper()
	says(t, "refused:", d.Refused, part)
	if d.Input != nil {
		t.Errorf("a refused draft has the input %s", d.Input)
	}
}

func leavesOut(t testing.TB, d Draft, feature, part string) {
	t.Helper()
	if !slices.ContainsFunc(d.LeftOut, func(l LeftOut) bool { return l.Feature == feature && strings.Contains(l.Why, part) }) {
		t.Errorf("left out %+v, want %s because %q", d.LeftOut, feature, part)
	}
}

func uses(t testing.TB, d Draft, features ...string) {
	t.Helper()
	var have []string
	for _, u := range d.Used {
		if u.Version != "v-"+u.Feature {
			t.Errorf("%s is used in version %q, want that of the register", u.Feature, u.Version)
		}
		have = append(have, u.Feature)
	}
	slices.Sort(have)
	if !slices.Equal(have, features) {
		t.Errorf("used %q, want %q", have, features)
	}
}
