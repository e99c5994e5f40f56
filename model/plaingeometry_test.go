package model

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// FuzzPlainGeometry: what the quick reader takes, the thorough one takes as the same.
func FuzzPlainGeometry(f *testing.F) {
	for _, seed := range []string{
		`{"type":"Point","coordinates":[133.2,-16.1]}`, `{"type":"Point","coordinates":[-0,0.0]}`, `{"type":"Point","coordinates":[01,2]}`,
		`{"type":"Point","coordinates":[1.,2]}`, `{"type":"Point","coordinates":[.5,2]}`, `{"type":"Point","coordinates":[-,2]}`,
		`{"type":"Point","coordinates":[133.20000000000000001,2]}`, `{"type":"Point","coordinates":[1e2,2]}`, `{"type":"Point","coordinates":[181,2]}`,
		`{"type":"LineString","coordinates":[[1,2],[3,4]]}`, `{"type":"LineString","coordinates":[[1,2]]}`, `{"type":"LineString","coordinates":[]}`,
		`{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]}`, `{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,1]]]}`,
		`{"type":"MultiLineString","coordinates":[[[1,2],[3,4]],[[5,6],[7,8]]]}`, `{"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]]]]}`,
		`{"type":"MultiPolygon","coordinates":[[]]}`, `{"type":"Point","coordinates":[1,2]}}`, `{"type":"Point","coordinates":[1,2],"a":1}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		quick, ok := plainGeometry(raw)
		if !ok {
			return
		}
		thorough, err := parseGeometry(raw, 0)
		if err != nil || !reflect.DeepEqual(quick, thorough) {
			t.Errorf("%s: the quick reader gives %v, the thorough one %v, %v", raw, quick, thorough, err)
		}
	})
}

// TestPlainGeometryIsUsual: what AppendGeometry writes is read by the quick reader, with the
// same numbers to the last bit.
func TestPlainGeometryIsUsual(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		round := rapid.SampledFrom([]float64{1e5, 1e7, 1e9, 1e15}).Draw(rt, "digits")
		degrees := func(most float64, label string) float64 {
			return math.Round(rapid.Float64Range(-most, most).Draw(rt, label)*round) / round
		}
		n := rapid.IntRange(2, 9).Draw(rt, "positions")
		line := make(orb.LineString, n)
		for i := range line {
			line[i] = orb.Point{degrees(180, "lon"), degrees(90, "lat")}
		}
		ring := orb.Polygon{append(orb.Ring{line[0], line[0]}, append(orb.Ring(line), line[0])...)}
		for _, g := range []orb.Geometry{line[0], line, orb.MultiLineString{line, line}, ring, orb.MultiPolygon{ring, ring}} {
			raw := AppendGeometry(nil, g)
			back, ok := plainGeometry(raw)
			if !ok || !reflect.DeepEqual(back, g) {
				rt.Fatalf("%s is read as %v, %v", raw, back, ok)
			}
		}
	})
}

// FuzzPlainValue: what the quick readers of texts and numbers take, encoding/json takes as the
// same.
func FuzzPlainValue(f *testing.F) {
	for _, seed := range []string{`"a"`, `""`, `"`, `"a\"b"`, `"é"`, `12`, `-0`, `01`, `1.5`, `1.`, `.5`, `-`, `1e5`, `123456789012345678901234567890`, `null`, `0.1234567890123456789`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		var text string
		if quick, ok := plainString(raw); ok && (json.Unmarshal(raw, &text) != nil || text != quick) {
			t.Errorf("%s is read as %q, want %q", raw, quick, text)
		}
		var number float64
		if quick, ok := plainNumber(raw); ok && (json.Unmarshal(raw, &number) != nil || number != quick) {
			t.Errorf("%s is read as %v, want %v", raw, quick, number)
		}
	})
}
