package intake

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// TestProperties: values that fit a field of the kind become it, others stay as they are.
func TestProperties(t *testing.T) {
	tests := []struct {
		name, properties string
		want             map[string]string // "" for none
		reports          int
	}{
		{"kind-by-name", `"kind":"check-dam","status":"built","crestHeightM":0.45`, map[string]string{"kind": `"check-dam"`, "status": `"built"`, "crestHeightM": "0.45"}, 0},
		{"kind-by-label", `"kind":"Gully head"`, map[string]string{"kind": `"gully-head"`, "x-kind": ""}, 0},
		{"kind-unknown", `"kind":"dragon"`, map[string]string{"kind": `"unsorted"`, "x-kind": `"dragon"`}, 1},
		{"kind-of-another-shape", `"kind":"scald"`, map[string]string{"kind": `"unsorted"`, "x-kind": `"scald"`}, 1},
		{"kind-null", `"kind":null`, map[string]string{"kind": `"unsorted"`, "x-kind": ""}, 0},
		{"field-of-another-kind", `"kind":"peg","crestHeightM":0.45`, map[string]string{"crestHeightM": "", "x-crestHeightM": "0.45"}, 1},
		{"number-out-of-range", `"kind":"check-dam","crestHeightM":45`, map[string]string{"crestHeightM": "", "x-crestHeightM": "45"}, 1},
		{"choice-unknown", `"kind":"check-dam","status":"done"`, map[string]string{"status": "", "x-status": `"done"`}, 1},
		{"name-is-number", `"name":7`, map[string]string{"name": "", "x-name": "7"}, 1},
		{"geometry-is-no-property", `"geometry":{"type":"Point","coordinates":[1,2]}`, map[string]string{"x-geometry": `"{\"type\":\"Point\",\"coordinates\":[1,2]}"`}, 0},
		{"whole-number-of-a-double", `"n":9007199254740991`, map[string]string{"x-n": "9007199254740991"}, 0},
		{"negative-big-integer", `"n":-90071992547409930`, map[string]string{"x-n": `"-90071992547409930"`}, 0},
		{"number-beyond-doubles", `"n":1e400`, map[string]string{"x-n": `"1e400"`}, 0},
		{"unwritable", `"n":"x\u0000y"`, map[string]string{"x-n": `"xy"`}, 1},
		{"unwritable-within", `"n":{ "a b" : ["x\u0000y", "\ud83d"] }`, map[string]string{"x-n": `"{\"a b\":[\"xy\",\"` + "\ufffd" + `\"]}"`}, 1},
		{"yes", `"wet":true`, map[string]string{"x-wet": "true"}, 0},
		{"null", `"wet":null`, map[string]string{"x-wet": ""}, 0},
		{"case-counts", `"Name":"n","NAME":"m"`, map[string]string{"name": "", "x-Name": `"n"`, "x-NAME": `"m"`}, 0},
		{"odd-names", `"a/b":1,"a_b":2,"":3`, map[string]string{"x-a_b-c14cddc0": "1", "x-a_b": "2", "x--e3b0c442": "3"}, 2},
		{"escaped-name", `"n\u0061me":"n"`, map[string]string{"name": `"n"`}, 0},
		{"name-twice", `"name":"k","name":"k2","name":"k2"`, map[string]string{"name": `"k2"`}, 1},
		{"name-twice-the-same", `"name":"k","name":"k"`, map[string]string{"name": `"k"`}, 0},
		{"time-of-gdal", `"time":"2024/05/01 09:30:00+0930"`, map[string]string{"x-time": `"2024/05/01 09:30:00+0930"`, "observedOn": ""}, 0},
		{"time-of-gdal-in-utc", `"time":"2024/05/01 00:00:00+00"`, map[string]string{"observedOn": `"2024-05-01"`}, 0},
		{"day-given", `"observedOn":"2024-04-30","time":"2024-05-01T00:00:00Z"`, map[string]string{"observedOn": `"2024-04-30"`}, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			file := mustRead(t, `{"type":"Feature","properties":{`+test.properties+`},"geometry":{"type":"Point","coordinates":[133.2,-16.1]}}`)
			checkEntries(t, file)
			for name, want := range test.want {
				if got := string(file.Records[0].Fields[name]); got != want {
					t.Errorf("%s is %s, want %s\nfields: %s", name, got, want, file.Records[0].Fields)
				}
			}
			if len(file.Report) != test.reports {
				t.Errorf("the report is %v, want %d lines", file.Report, test.reports)
			}
		})
	}
}

// TestRowsInGeoJSON: a level book as a property is one, unless a register would refuse it.
func TestRowsInGeoJSON(t *testing.T) {
	for rows, want := range map[string]string{
		`[{"point":"A","bs":1.5}]`:    "rows",
		`[{"point":"A","point":"B"}]`: "x-rows", // no entry may name a member twice
		`[{"point":"A","bs":"1.5"}]`:  "x-rows",
		`[]`:                          "rows",
		strings.Repeat("[", 40) + `0` + strings.Repeat("]", 40): "x-rows",
	} {
		file := mustRead(t, `{"type":"Feature","properties":{"kind":"level-run","rows":`+rows+`},"geometry":null}`)
		checkEntries(t, file)
		if _, ok := file.Records[0].Fields[want]; !ok {
			t.Errorf("rows %.60s are not kept as %s: %s", rows, want, file.Records[0].Fields)
		}
	}
}

// TestGeometries: places that are taken, and those that refuse the file, beyond the
// manifest's.
func TestGeometries(t *testing.T) {
	nest := func(depth int) string {
		return strings.Repeat(`{"type":"GeometryCollection","geometries":[`, depth) + `{"type":"Point","coordinates":[1,2]}` + strings.Repeat("]}", depth)
	}
	tests := []struct {
		name, geometry, want string // want is the place as kept, or what the refusal says
		refused              bool
	}{
		{"null-for-number", `{"type":"Point","coordinates":[null,2]}`, "not a number", true},
		{"true-for-number", `{"type":"Point","coordinates":[1,true]}`, "not a number", true},
		{"one-number", `{"type":"Point","coordinates":[1]}`, "needs a longitude and a latitude", true},
		{"too-deep-for-type", `{"type":"Point","coordinates":[[1,2]]}`, "is an array", true},
		{"too-flat-for-type", `{"type":"LineString","coordinates":[1,2]}`, "coordinates[0]: is not an array", true},
		{"coordinates-missing", `{"type":"Point"}`, "is not an array", true},
		{"type-member-in-capitals", `{"Type":"Point","coordinates":[1,2]}`, "not a GeoJSON geometry type", true},
		{"crs-in-geometry", `{"type":"Point","crs":{},"coordinates":[1,2]}`, "crs", true},
		{"longitude-beyond-360", `{"type":"Point","coordinates":[361,2]}`, "beyond 180", true},
		{"collection-too-deep", nest(9), "nest deeper than 8", true},
		{"collection-deep", nest(8), `{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]}]}`, false},
		{"minus-zero", `{"type":"Point","coordinates":[-0.0,-0]}`, `{"type":"Point","coordinates":[0,0]}`, false},
		{"hardly-anything", `{"type":"Point","coordinates":[1e-300,2E0]}`, `{"type":"Point","coordinates":[0,2]}`, false},
		{"spread-out", "{ \"type\" : \"Point\" ,\n \"coordinates\" : [ 1 ,\t2 ] }", `{"type":"Point","coordinates":[1,2]}`, false},
		{"west-of-180", `{"type":"Point","coordinates":[-180.5,2]}`, `{"type":"Point","coordinates":[179.5,2]}`, false},
		{"exactly-180", `{"type":"Point","coordinates":[180,2]}`, `{"type":"Point","coordinates":[180,2]}`, false},
		{"one-empty-of-two", `{"type":"GeometryCollection","geometries":[{"type":"MultiPoint","coordinates":[]},{"type":"Point","coordinates":[1,2]}]}`, `{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]}]}`, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			file, err := Read("case", strings.NewReader(`{"type":"Feature","properties":null,"geometry":`+test.geometry+`}`))
			if test.refused {
				if err == nil || !strings.Contains(err.Error(), test.want) {
					t.Fatalf("error %v, want one that says %q", err, test.want)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := string(file.Records[0].Fields["geometry"]); got != test.want {
				t.Errorf("the place is %s, want %s", got, test.want)
			}
		})
	}
}

// TestCRS: only the names of WGS84 are let through.
func TestCRS(t *testing.T) {
	const refused = -1
	for crs, lines := range map[string]int{ // of the report, where it is taken
		`{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC::CRS84"}}`:                  0,
		`{"type":"name","properties":{"name":"https://www.opengis.net/def/crs/EPSG/0/4326"}}`: 1,
		`{"type":"name","properties":{"name":"EPSG:4326"}}`:                                   1,
		`{"type":"name","properties":{"name":"EPSG:28353"}}`:                                  refused,
		`{"type":"link","properties":{"href":"x"}}`:                                           refused,
		`null`: refused,
		`7`:    refused,
	} {
		file, err := Read("case", strings.NewReader(`{"features":[{"type":"Feature","properties":null,"geometry":null}],"crs":`+crs+`,"type":"FeatureCollection"}`))
		if (err != nil) != (lines == refused) || err == nil && len(file.Report) != lines {
			t.Errorf("crs %s: error %v and report %v", crs, err, file.Report)
		}
	}
}

// TestHalfSurrogates: U+FFFD stands where encoding/json puts it, and nowhere unreported.
func TestHalfSurrogates(t *testing.T) {
	for text, want := range map[string]bool{
		`"a"`: false, `"\\ud83d"`: false, `"\ud83d\udca7"`: false, `"\u0041\ud83d\udca7\ud83d\udca7"`: false,
		`"\ud83d"`: true, `"\udca7"`: true, `"\ud83d\ud83d\udca7"`: true, `"\ud83dx\udca7"`: true, `"\udca7\ud83d"`: true, `"\ud83d\n"`: true,
		`"\uFFFD"`: false, `"\\ufffd"`: false, `"` + "\ufffd" + `"`: false, `"\ufffd\ud83d` + "\ufffd" + `"`: true,
	} {
		decoded, ok := textOf([]byte(text))
		if got := halfSurrogate([]byte(text), decoded); got != want || !ok {
			t.Errorf("halfSurrogate(%s), read as %q, is %v, want %v", text, decoded, got, want)
		}
	}
}

// TestHeights: the third numbers of positions are kept apart from the place.
func TestHeights(t *testing.T) {
	c := coordinates{}
	_, fault := c.parse("MultiLineString", json.RawMessage(`[[[1,2,3],[1,2]],[[1,2,-4.5,9],[1,2,200000]]]`))
	if fault != nil {
		t.Fatal(fault)
	}
	want := []float64{3, math.NaN(), -4.5, math.NaN()}
	for i, h := range c.heightsM {
		if h != want[i] && !(math.IsNaN(h) && math.IsNaN(want[i])) {
			t.Errorf("height %d is %v, want %v", i, h, want[i])
		}
	}
	if len(c.heightsM) != 4 || c.surplus != 1 || c.offEarth != 1 {
		t.Errorf("%d heights, %d surplus, %d off the earth, want 4, 1, 1", len(c.heightsM), c.surplus, c.offEarth)
	}
}
