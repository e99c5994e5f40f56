package model

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// standardTexts are the geometries of the GeoJSON schema's own fixtures
// (testdata/schemas/geojson/fixtures, MIT).
func standardTexts(t testing.TB, verdict string) map[string][]byte {
	t.Helper()
	texts := map[string][]byte{}
	for _, kind := range []string{"point", "multipoint", "linestring", "multilinestring", "polygon", "multipolygon", "geometrycollection"} {
		paths, err := filepath.Glob(filepath.Join("..", "testdata", "schemas", "geojson", "fixtures", verdict, kind, "*.json"))
		if err != nil || len(paths) == 0 {
			t.Fatalf("no %s fixtures of %s: %v", verdict, kind, err)
		}
		for _, path := range paths {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			texts[kind+"/"+filepath.Base(path)] = text
		}
	}
	return texts
}

func TestParseStandardGeometries(t *testing.T) {
	for name, text := range standardTexts(t, "valid") {
		g, err := ParseGeometry(text)
		if err != nil || g == nil {
			t.Errorf("%s: ParseGeometry(%s) = %v, %v", name, text, g, err)
			continue
		}
		var members struct{ Type string }
		if err := json.Unmarshal(text, &members); err != nil || g.GeoJSONType() != members.Type {
			t.Errorf("%s: ParseGeometry gives a %s for %s", name, g.GeoJSONType(), text)
		}
	}
	for name, text := range standardTexts(t, "invalid") {
		if strings.HasSuffix(name, "bad-bbox.json") {
			continue // a bbox beside the coordinates says nothing new and is passed over
		}
		if g, err := ParseGeometry(text); err == nil {
			t.Errorf("%s: ParseGeometry(%s) = %v, want it refused", name, text, g)
		}
	}
}

func TestParseGeometryNamesTheFault(t *testing.T) {
	deep := strings.Repeat(`{"type":"GeometryCollection","geometries":[`, GeometryDepth+2) + strings.Repeat("]}", GeometryDepth+2)
	tests := []struct{ name, text, want string }{
		{"empty", ``, "is not a GeoJSON geometry"},
		{"no-object", `[1,2]`, "is not a GeoJSON geometry"},
		{"no-type", `{"coordinates":[1,2]}`, "type: is missing"},
		{"type-number", `{"type":5,"coordinates":[1,2]}`, "type: is missing or no text"},
		{"type-case", `{"type":"point","coordinates":[1,2]}`, `type: "point" is not a GeoJSON geometry type`},
		{"member-case", `{"TYPE":"Point","coordinates":[1,2]}`, "type: is missing"},
		{"feature", `{"type":"Feature","geometry":null}`, `type: "Feature" is not`},
		{"no-coordinates", `{"type":"Point"}`, "coordinates: is missing"},
		{"null-coordinates", `{"type":"Point","coordinates":null}`, "coordinates: has null"},
		{"null-number", `{"type":"Point","coordinates":[null,2]}`, "coordinates: has null"},
		{"one-number", `{"type":"Point","coordinates":[1]}`, "coordinates: a position needs"},
		{"text-number", `{"type":"Point","coordinates":["1","2"]}`, "coordinates: is not an array of numbers"},
		{"too-large", `{"type":"Point","coordinates":[1e400,2]}`, "coordinates: is not an array of numbers"},
		{"latitude", `{"type":"Point","coordinates":[-20,146]}`, "coordinates: latitude 146 is beyond 90 (longitude comes first"},
		{"grid-metres", `{"type":"Point","coordinates":[422629.6,7779494.3]}`, "coordinates: latitude 7.7794943e+06 is beyond 90 (positions are degrees"},
		{"longitude", `{"type":"LineString","coordinates":[[1,2],[181,2]]}`, "coordinates[1]: longitude 181 is beyond 180"},
		{"short-line", `{"type":"LineString","coordinates":[[1,2]]}`, "coordinates: a line needs 2 positions and has 1"},
		{"short-line-of-many", `{"type":"MultiLineString","coordinates":[[[1,2],[1,3]],[[1,2]]]}`, "coordinates[1]: a line needs 2"},
		{"short-ring", `{"type":"Polygon","coordinates":[[[0,0],[1,1],[0,0]]]}`, "coordinates[0]: a ring needs 4 positions and has 3"},
		{"open-ring", `{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,1]]]}`, "coordinates[0]: a ring's first and last position differ"},
		{"open-hole", `{"type":"MultiPolygon","coordinates":[[[[0,0],[9,0],[9,9],[0,0]],[[1,1],[2,1],[2,2],[1,2]]]]}`, "coordinates[0][1]: a ring's first"},
		{"wrong-depth", `{"type":"Polygon","coordinates":[[0,0],[1,0],[1,1],[0,0]]}`, "coordinates: is not an array"},
		{"no-geometries", `{"type":"GeometryCollection"}`, "geometries: is not a list"},
		{"null-geometries", `{"type":"GeometryCollection","geometries":null}`, "geometries: is not a list"},
		{"in-a-collection", `{"type":"GeometryCollection","geometries":[null,{"type":"Point","coordinates":[1,91]}]}`, "geometries[1].coordinates: latitude 91"},
		{"deep", deep, "geometries[0].geometries[0].geometries[0].geometries[0].geometries[0].geometries[0].geometries[0].geometries[0].geometries[0]: geometry collections nest too deeply"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			g, err := ParseGeometry([]byte(test.text))
			if err == nil {
				t.Fatalf("ParseGeometry(%s) = %v, want %s", test.text, g, test.want)
			}
			if _, ok := err.(*Problem); !ok || !strings.HasPrefix(err.Error(), test.want) {
				t.Errorf("ParseGeometry(%s) = %v, want %s", test.text, err, test.want)
			}
		})
	}
	for _, text := range []string{"null", " null\n"} {
		if g, err := ParseGeometry([]byte(text)); g != nil || err != nil {
			t.Errorf("ParseGeometry(%q) = %v, %v, want no geometry", text, g, err)
		}
	}
	if g, err := ParseGeometry([]byte(`{"type":"Point","coordinates":[133.2,-16.1,120.5,7]}`)); err != nil || g != (orb.Point{133.2, -16.1}) {
		t.Errorf("a position with a height reads as %v, %v", g, err)
	}
}

// geometries draws every sort of geometry that ParseGeometry may give.
func geometries(depth int) *rapid.Generator[orb.Geometry] {
	point := rapid.Custom(func(t *rapid.T) orb.Point {
		return orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-90, 90).Draw(t, "lat")}
	})
	points := func(least int) *rapid.Generator[[]orb.Point] { return rapid.SliceOfN(point, least, least+4) }
	line := rapid.Map(points(2), func(ps []orb.Point) orb.LineString { return ps })
	polygon := rapid.SliceOfN(rapid.Map(points(3), func(ps []orb.Point) orb.Ring { return append(ps, ps[0]) }), 1, 3)
	all := []*rapid.Generator[orb.Geometry]{
		rapid.Map(point, func(p orb.Point) orb.Geometry { return p }),
		rapid.Map(points(0), func(ps []orb.Point) orb.Geometry { return orb.MultiPoint(ps) }),
		rapid.Map(line, func(l orb.LineString) orb.Geometry { return l }),
		rapid.Map(rapid.SliceOfN(line, 0, 3), func(ls []orb.LineString) orb.Geometry { return orb.MultiLineString(ls) }),
		rapid.Map(polygon, func(rs []orb.Ring) orb.Geometry { return orb.Polygon(rs) }),
		rapid.Map(rapid.SliceOfN(rapid.Map(polygon, func(rs []orb.Ring) orb.Polygon { return rs }), 0, 2), func(ps []orb.Polygon) orb.Geometry { return orb.MultiPolygon(ps) }),
	}
	if depth > 0 {
		all = append(all, rapid.Map(rapid.SliceOfN(geometries(depth-1), 0, 3), func(gs []orb.Geometry) orb.Geometry { return orb.Collection(gs) }))
	}
	return rapid.OneOf(all...)
}

func TestGeometryRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := geometries(2).Draw(t, "geometry")
		text := AppendGeometry([]byte("before "), g)
		text, ok := bytes.CutPrefix(text, []byte("before "))
		if !ok || !json.Valid(text) {
			t.Fatalf("AppendGeometry(%v) = %s", g, text)
		}
		got, err := ParseGeometry(text)
		if err != nil || !orb.Equal(got, g) || reflect.TypeOf(got) != reflect.TypeOf(g) {
			t.Fatalf("ParseGeometry(AppendGeometry(%#v)) = %#v, %v, text %s", g, got, err, text)
		}
	})
}

func TestAppendGeometryOfOtherShapes(t *testing.T) {
	square := `{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,1],[0,0]]]}`
	tests := []struct {
		name string
		g    orb.Geometry
		want string
	}{
		{"none", nil, "null"},
		{"ring", orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}, square},
		{"bound", orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{1, 1}}, square},
		{"shortest-digits", orb.Point{0.1, -1e-7}, `{"type":"Point","coordinates":[0.1,-0.0000001]}`},
		{"empty-collection", orb.Collection{}, `{"type":"GeometryCollection","geometries":[]}`},
		{"collection-with-none", orb.Collection{nil, orb.Point{1, 2}}, `{"type":"GeometryCollection","geometries":[null,{"type":"Point","coordinates":[1,2]}]}`},
	}
	for _, test := range tests {
		if got := string(AppendGeometry(nil, test.g)); got != test.want {
			t.Errorf("%s: AppendGeometry(%v) = %s, want %s", test.name, test.g, got, test.want)
		}
	}
}

// FuzzParseGeometry: what is read is written again, and the writing is read as the same.
func FuzzParseGeometry(f *testing.F) {
	for _, verdict := range []string{"valid", "invalid"} {
		for _, text := range standardTexts(f, verdict) {
			f.Add(text)
		}
	}
	f.Add([]byte("null"))
	f.Add([]byte(`{"type":"GeometryCollection","geometries":[null]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		g, err := ParseGeometry(text)
		if err != nil {
			if p, ok := err.(*Problem); !ok || p.Reason == "" {
				t.Errorf("ParseGeometry(%q) = %#v, want a Problem with a reason", text, err)
			}
			return
		}
		again := AppendGeometry(nil, g)
		back, err := ParseGeometry(again)
		if err != nil || !orb.Equal(back, g) {
			t.Errorf("ParseGeometry(%q) = %v, written %s, read as %v, %v", text, g, again, back, err)
		}
		if third := AppendGeometry(nil, back); !bytes.Equal(third, again) {
			t.Errorf("written %s, then %s", again, third)
		}
	})
}

func BenchmarkParseGeometry(b *testing.B) {
	line := make(orb.LineString, 100)
	for i := range line {
		line[i] = orb.Point{146.26 + float64(i)*0.00012345, -20.08 - float64(i)*0.0000987}
	}
	text := AppendGeometry(nil, line)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := ParseGeometry(text); err != nil {
			b.Fatal(err)
		}
	}
}

// Which of the two numbers is wrong, and what to do: at each limit, and just past it.
func TestPositionLimits(t *testing.T) {
	const swapped, grid = "longitude comes first: are the axes swapped?", "positions are degrees of WGS84, not grid metres"
	for _, c := range []struct {
		lon, lat    float64
		reason, fix string
	}{
		{180, 90, "", ""}, {-180, -90, "", ""},
		{90, 180, "latitude 180 is beyond 90", swapped}, {-90, -91, "latitude -91 is beyond 90", swapped},
		{91, 180, "latitude 180 is beyond 90", grid}, {90, 181, "latitude 181 is beyond 90", grid},
		{181, 90, "longitude 181 is beyond 180", grid}, {-181, 0, "longitude -181 is beyond 180", grid},
		{math.MaxFloat64, 0, fmt.Sprintf("longitude %v is beyond 180", math.MaxFloat64), grid},
		{math.Inf(1), 0, "a position has a number that is not finite", ""}, {0, math.NaN(), "a position has a number that is not finite", ""},
	} {
		want := &Problem{Reason: c.reason, Fix: c.fix}
		if c.reason == "" {
			want = nil
		}
		if got := CheckPosition(orb.Point{c.lon, c.lat}); !reflect.DeepEqual(got, want) {
			t.Errorf("%v, %v: %+v, want %+v", c.lon, c.lat, got, want)
		}
	}
}
