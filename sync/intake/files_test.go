package intake

import (
	"fmt"
	"strings"
	"testing"
)

// TestFilesThatAreNone says of a file as a whole why it is not read.
func TestFilesThatAreNone(t *testing.T) {
	for _, test := range []struct{ name, text, want string }{
		{"no-type", `{"features":[]}`, "type: is missing"},
		{"no-features", `{"type":"FeatureCollection"}`, "features: is missing"},
		{"features-twice", `{"type":"FeatureCollection","features":[],"features":[]}`, "is there twice"},
		{"features-of-a-feature", `{"type":"Feature","features":[]}`, `is in a "Feature"`},
		{"a-text-after", `{"type":"FeatureCollection","features":[]}{}`, "something follows"},
		{"cut-short", `{"type":"FeatureCollection","features":[`, "ends in the middle"},
		{"no-object-within", `{"type":"FeatureCollection","features":[3]}`, "feature 1: is no object"},
		{"no-feature-within", `{"type":"FeatureCollection","features":[{"type":"Dam","properties":null,"geometry":null}]}`, `is "Dam", not "Feature"`},
		{"properties-of-nothing", `{"type":"Feature","properties":3,"geometry":null}`, "properties: is no object"},
		{"geometry-of-nothing", `{"type":"Feature","properties":{},"geometry":3}`, "is not a GeoJSON geometry"},
		{"another-root", `<gpz version="1.1"></gpz>`, `its root element is "gpz"`},
		{"another-namespace", `<gpx version="1.1" xmlns="urn:x"></gpx>`, `the namespace is "urn:x"`},
		{"second-root", gpxHead + "</gpx><gpx/>", "has a second root element"},
		{"text-after-the-root", gpxHead + "</gpx>x", "has text outside the gpx element"},
		{"attribute-twice", gpxHead + `<wpt lat="1" lat="2" lon="3"/></gpx>`, "the attribute is there twice"},
	} {
		t.Run(test.name, func(t *testing.T) {
			file, err := Read("case", strings.NewReader(test.text))
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("read with %v and %v, want a refusal that says %q", err, file.Report, test.want)
			}
		})
	}
}

// TestReadWithDoubts: what is read not quite as it stands is told, and nothing else is.
func TestReadWithDoubts(t *testing.T) {
	place := func(geometry string) string { return `{"type":"Feature","properties":{},"geometry":` + geometry + `}` }
	for _, test := range []struct{ name, text, want string }{
		{"empty-part", place(`{"type":"GeometryCollection","geometries":[{"type":"MultiPoint","coordinates":[]},{"type":"Point","coordinates":[1,2]}]}`), "has parts without positions"},
		{"empty", place(`{"type":"MultiPoint","coordinates":[]}`), "has no positions: kept without a place"},
		{"nested", place(`{"type":"GeometryCollection","geometries":[{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]}]}]}`), "collections nest"},
		{"fourth-number", place(`{"type":"Point","coordinates":[1,2,3,4]}`), "more than three numbers"},
		{"wrapped", place(`{"type":"Point","coordinates":[181,2]}`), "has 1 longitudes beyond 180"},
		{"height-of-no-place", place(`{"type":"Point","coordinates":[1,2,900000]}`), "has 1 heights that are none on the earth"},
		{"heights-of-some", place(`{"type":"LineString","coordinates":[[1,2,3],[1,3]]}`), "with and without a height"},
		{"height-of-one-place", place(`{"type":"LineString","coordinates":[[1,2,3],[1,3,900000]]}`), "has 1 heights that are none on the earth"},
		{"plain", place(`{"type":"LineString","coordinates":[[1,2,3],[1,3,4]]}`), ""},
		{"gpx-1.0", `<gpx version="1.0"><wpt lat="1" lon="2"/></gpx>`, "is GPX 1.0"},
		{"gpx-of-no-namespace", `<gpx version="1.1"><wpt lat="1" lon="2"/></gpx>`, "has no GPX namespace"},
		{"gpx-1.2", `<gpx version="1.2" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="1" lon="2"/></gpx>`, `is "1.2": read as GPX 1.1`},
		{"gpx", gpxHead + `<wpt lat="1" lon="2"/></gpx>`, ""},
		{"route-of-one", gpxHead + `<rte><rtept lat="1" lon="2"/></rte></gpx>`, "has fewer than two points"},
		{"track-of-one", gpxHead + `<trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk></gpx>`, "has no segment of two points"},
	} {
		t.Run(test.name, func(t *testing.T) {
			report := mustRead(t, test.text).Report
			if said := fmt.Sprint(report); len(report) > 1 && !strings.Contains(said, "nothing to take in") || test.want == "" && len(report) > 0 || !strings.Contains(said, test.want) {
				t.Errorf("the report is %s, want one line with %q", said, test.want)
			}
		})
	}
}

// TestTimesInFiles are read as RFC 3339 writes them and as GDAL does.
func TestTimesInFiles(t *testing.T) {
	for text, want := range map[string]string{
		"2026-05-13T09:30:00+09:30": "2026-05-13T00:00:00Z", "2026-05-13T09:30:00.5Z": "2026-05-13T09:30:00.5Z",
		"2026/05/13 09:30:00+00": "2026-05-13T09:30:00Z", "2026/05/13 09:30:00+0930": "2026-05-13T00:00:00Z",
		"2026/05/13 09:30:00": "2026-05-13T09:30:00Z", "2026-05-13T09:30:00": "2026-05-13T09:30:00Z",
		"13/05/2026": "", "": "",
	} {
		at, ok := anyInstant(text)
		if got := at.UTC().Format("2006-01-02T15:04:05.999Z07:00"); ok != (want != "") || ok && got != want {
			t.Errorf("%q is read as %s (%t), want %q", text, got, ok, want)
		}
	}
}
