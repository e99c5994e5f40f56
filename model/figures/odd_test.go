package figures

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"

	"pgregory.net/rapid"
)

// kindNames is every kind, and some that nobody knows.
func kindNames() []string {
	names := []string{"", "moon-base"}
	for _, k := range model.Kinds {
		names = append(names, k.Name)
	}
	return names
}

// shapes is every sort of geometry, empty and broken ones among them.
func shapes() []orb.Geometry {
	nan := math.NaN()
	line := orb.LineString{{148, -20}, {148.001, -20.001}}
	square := orb.Polygon{{{148, -20}, {148.001, -20}, {148.001, -20.001}, {148, -20}}}
	return []orb.Geometry{nil, orb.Point{148, -20}, orb.Point{nan, nan}, orb.Point{999, -999}, orb.MultiPoint{}, orb.MultiPoint{{148, -20}},
		line, orb.LineString{}, orb.LineString(nil), orb.LineString{{148, -20}}, orb.LineString{{nan, 0}, {0, math.Inf(1)}}, orb.LineString{{148, -20}, {148, -20}},
		orb.MultiLineString{}, orb.MultiLineString{nil, line}, square[0], orb.Ring(nil), square, orb.Polygon{}, orb.Polygon{nil}, orb.Polygon{{{nan, nan}, {1, 1}, {2, 2}}},
		orb.MultiPolygon{square, nil}, orb.Bound{Min: orb.Point{148, -20}, Max: orb.Point{149, -19}}, orb.Bound{}, orb.Collection{nil, line, orb.Collection{square}}, orb.Collection(nil)}
}

// Every kind with every shape: figures are among the kind's columns, each once and in
// their order, finite, with a basis and a rule; the answer is the same each time.
func TestEveryKindWithEveryShape(t *testing.T) {
	for _, kind := range kindNames() {
		for i, g := range shapes() {
			f := feature(kind, "x", g, "accuracyM", 4, "status", "built", "crestHeightM", 0.4, "chainageM", 12, "thalweg", "x", "heightM", 1)
			l := survey(f, gully(), feature("level-run", "r", nil, "rows", book(0, staff{"x", model.PegSpot, 0, 100}, staff{"x", model.PegSpot, 9, 100},
				staff{"x", model.ToeSpot, -1, 100}, staff{"x", model.CrestSpot, -1, 100.4}, staff{"x", model.BedSpot, 0, 100}, staff{"x", model.BedSpot, 9, 101})))
			s := l.Of(f)
			sound(t, fmt.Sprintf("%s %d %v", kind, i, g), kind, s)
			if again := l.Of(f); asJSON(t, s) != asJSON(t, again) {
				t.Errorf("%s %v: two answers, %+v and %+v", kind, g, s, again)
			}
			if text := asJSON(t, s); strings.Contains(text, "null") {
				t.Errorf("%s: sheet has nulls where a page expects lists: %s", kind, text)
			}
			asJSON(t, l.LongSections())
		}
	}
}

func sound(t testing.TB, what, kind string, s Sheet) {
	t.Helper()
	at := -1
	columns := Columns(kind)
	known, _ := model.KindNamed(kind)
	for _, f := range s.Figures {
		place := slices.IndexFunc(columns, func(c Column) bool { return c.Name == f.Name && c.Unit == f.Unit && c.Label == f.Label })
		// A shape that is not the kind's own is still measured and comes first.
		foreign := known != nil && place < 0 && (f.Name == "lengthM" || f.Name == "areaM2" || f.Name == "perimeterM")
		if !foreign && place <= at {
			t.Errorf("%s: figure %s is out of the order of %v", what, f.Name, columns)
		}
		if !foreign {
			at = place
		}
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) || f.PlusMinus != nil && !(*f.PlusMinus >= 0) || !slices.Contains(model.Bases, f.Basis) || f.Rule == "" {
			t.Errorf("%s: figure %+v", what, f)
		}
	}
	for _, c := range s.Checks {
		if c.Text == "" || !slices.Contains(model.Verdicts, c.Verdict) {
			t.Errorf("%s: check %+v", what, c)
		}
	}
}

func TestColumns(t *testing.T) {
	for _, kind := range kindNames() {
		seen := map[string]bool{}
		for _, c := range Columns(kind) {
			for _, name := range []string{c.Name, c.PlusMinusName, c.BasisName} {
				if name == "" || seen[name] {
					t.Errorf("%s: column name %q is empty or there twice", kind, name)
				}
				seen[name] = true
			}
			if c.Label == "" || c.Unit == "" {
				t.Errorf("%s: column %+v lacks a label or a unit", kind, c)
			}
		}
	}
	want := []Column{
		{"lengthM", "lengthPlusMinusM", "lengthBasis", "Length", "m"},
		{"areaM2", "areaPlusMinusM2", "areaBasis", "Area", "m2"},
		{"perimeterM", "perimeterPlusMinusM", "perimeterBasis", "Perimeter", "m"},
	}
	if got := Columns("moon-base"); !slices.Equal(got, want) {
		t.Errorf("columns of an unknown kind = %+v, want %+v", got, want)
	}
	if got := Columns("benchmark"); len(got) != 0 {
		t.Errorf("columns of a benchmark = %+v, want none", got)
	}
}

// The boundary of an area may be left open on the phone: it is a line then, and its length has
// a column in exports, as the area's own figures have.
func TestOpenBoundaryHasALength(t *testing.T) {
	for _, k := range model.Kinds {
		if slices.Contains(k.Shapes, model.AreaShape) && !slices.ContainsFunc(Columns(k.Name), func(c Column) bool { return c.Name == "lengthM" }) {
			t.Errorf("a %s whose boundary is open has a length and no column for it", k.Name)
		}
	}
}

// Fields of the wrong type read as absent.
func TestOddFields(t *testing.T) {
	odd := []json.RawMessage{json.RawMessage(`null`), json.RawMessage(`{}`), json.RawMessage(`[[1]]`), json.RawMessage(`"x"`), json.RawMessage(`-1`),
		json.RawMessage(`1e308`), json.RawMessage(`true`), json.RawMessage(``), json.RawMessage(`nonsense`), nil}
	names := []string{"accuracyM", "crestHeightM", "chainageM", "thalweg", "rows", "status", "name", "toleranceM", "perRootKmMm", "perRootSetupMm", "observedOn", "betweenBanks", "heightM", "builtOn"}
	rapid.Check(t, func(t *rapid.T) {
		var all []model.Feature
		for i := range rapid.IntRange(1, 6).Draw(t, "features") {
			f := model.Feature{ID: fmt.Sprint(i % 4), Kind: rapid.SampledFrom(kindNames()).Draw(t, "kind"), Geometry: rapid.SampledFrom(shapes()).Draw(t, "shape")}
			if rapid.Bool().Draw(t, "fields") {
				f.Fields = map[string]json.RawMessage{}
				for _, name := range names {
					f.Fields[name] = rapid.SampledFrom(odd).Draw(t, name)
				}
			}
			all = append(all, f)
		}
		l := survey(all...)
		for _, f := range all {
			s := l.Of(f)
			for _, figure := range s.Figures {
				if math.IsNaN(figure.Value) || math.IsInf(figure.Value, 0) {
					t.Fatalf("%+v: figure %+v", f, figure)
				}
			}
		}
		if _, err := json.Marshal(l.LongSections()); err != nil {
			t.Fatal(err)
		}
	})
}

func FuzzSheet(f *testing.F) {
	f.Add("check-dam", `{"type":"Point","coordinates":[148,-20]}`, `{"crestHeightM":0.4,"chainageM":12,"thalweg":"x"}`)
	f.Add("level-run", `null`, `{"rows":[{"bs":1,"knownLevelM":100},{"is":1.2,"feature":"x","spot":"bed","chainageM":3},{"fs":1,"knownLevelM":100}]}`)
	f.Add("scald", `{"type":"Polygon","coordinates":[[[0,0],[4,4],[4,0],[0,4],[0,0]]]}`, `{"accuracyM":5}`)
	f.Fuzz(func(t *testing.T, kind, geometry, fields string) {
		one := model.Feature{ID: "x", Kind: kind}
		one.Geometry, _ = model.ParseGeometry([]byte(geometry))
		_ = json.Unmarshal([]byte(fields), &one.Fields)
		l := survey(one, gully())
		s := l.Of(one)
		sound(t, kind, kind, s)
		asJSON(t, s)
		asJSON(t, l.LongSections())
	})
}

// Once made, PropertyFigures are only read.
func TestPropertyFiguresMayBeShared(t *testing.T) {
	all := threeDams(0)
	l := survey(all...)
	done := make(chan string)
	for range 4 {
		go func() {
			text := ""
			for _, f := range all {
				raw, _ := json.Marshal(l.Of(f))
				text += string(raw)
			}
			raw, _ := json.Marshal(l.LongSections())
			done <- text + string(raw)
		}()
	}
	first := <-done
	for range 3 {
		if text := <-done; text != first {
			t.Errorf("two answers:\n%s\n%s", first, text)
		}
	}
}
