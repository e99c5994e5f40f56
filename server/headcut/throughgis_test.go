package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// newDemoTrip is a round trip of the demo's property, which has features of nearly every kind.
func newDemoTrip(t *testing.T) *roundTrip {
	t.Helper()
	dir := t.TempDir()
	r := &roundTrip{t: t, dir: dir, data: filepath.Join(dir, "data"), property: "Sandalwood Run"}
	r.headcut(0, "demo", "--fill-only", "--listen", "127.0.0.1:0")
	r.export("a.geojson")
	r.headcut(0, "export", "--property", r.property, "--format", "kml", "--out", r.path("a.kml"))
	return r
}

// ways are what an office does with an export in a desktop GIS, as GDAL does it, before it is
// taken in again: files written one from the other, the first from our own.
var ways = []struct {
	name  string
	steps [][]string // the arguments of ogr2ogr, which writes the first file named from the second
	lacks bool       // leaves features out: a layer of one shape, or a driver that needs a place
	plain bool       // the file cannot be edited as text where the others can
}{
	{name: "geojson", steps: [][]string{{"-f", "GeoJSON", "z.geojson", "a.geojson"}}},
	{name: "geojson-rfc7946", steps: [][]string{{"-f", "GeoJSON", "-lco", "RFC7946=YES", "z.geojson", "a.geojson"}}},
	{name: "geopackage", steps: [][]string{{"-f", "GPKG", "b.gpkg", "a.geojson"}, {"-f", "GeoJSON", "z.geojson", "b.gpkg"}}},
	{name: "geopackage-csv", steps: [][]string{{"-f", "GPKG", "b.gpkg", "a.geojson"}, {"-f", "CSV", "-lco", "GEOMETRY=AS_XY", "z.csv", "b.gpkg"}}},
	{name: "geopackage-of-kml", steps: [][]string{{"-f", "GPKG", "b.gpkg", "a.kml", "Check dams"}, {"-f", "GeoJSON", "z.geojson", "b.gpkg"}}, lacks: true},
	{name: "shapefile-points", steps: [][]string{{"-f", "ESRI Shapefile", "-lco", "ENCODING=UTF-8", "-where", "OGR_GEOMETRY='POINT'", "b.shp", "a.geojson"}, {"-f", "GeoJSON", "z.geojson", "b.shp"}}, lacks: true},
	{name: "shapefile-points-csv", steps: [][]string{{"-f", "ESRI Shapefile", "-lco", "ENCODING=UTF-8", "-where", "OGR_GEOMETRY='POINT'", "b.shp", "a.geojson"}, {"-f", "CSV", "-lco", "GEOMETRY=AS_WKT", "z.csv", "b.shp"}}, lacks: true},
	{name: "shapefile-lines", steps: [][]string{{"-f", "ESRI Shapefile", "-lco", "ENCODING=UTF-8", "-where", "OGR_GEOMETRY='LINESTRING'", "b.shp", "a.geojson"}, {"-f", "GeoJSON", "z.geojson", "b.shp"}}, lacks: true, plain: true},
	{name: "shapefile-areas", steps: [][]string{{"-f", "ESRI Shapefile", "-lco", "ENCODING=UTF-8", "-where", "OGR_GEOMETRY='POLYGON'", "b.shp", "a.geojson"}, {"-f", "GeoJSON", "z.geojson", "b.shp"}}, lacks: true, plain: true},
	{name: "map-grid", steps: [][]string{{"-f", "GPKG", "-t_srs", "EPSG:7855", "b.gpkg", "a.geojson"}, {"-f", "GeoJSON", "-t_srs", "EPSG:4326", "z.geojson", "b.gpkg"}}},
	{name: "csv", steps: [][]string{{"-f", "CSV", "z.csv", "a.geojson"}}},
	{name: "csv-xy", steps: [][]string{{"-f", "CSV", "-lco", "GEOMETRY=AS_XY", "z.csv", "a.geojson"}}},
	{name: "csv-wkt", steps: [][]string{{"-f", "CSV", "-lco", "GEOMETRY=AS_WKT", "z.csv", "a.geojson"}}},
	{name: "csv-semicolon", steps: [][]string{{"-f", "CSV", "-lco", "GEOMETRY=AS_XY", "-lco", "SEPARATOR=SEMICOLON", "z.csv", "a.geojson"}}},
	{name: "csv-tab", steps: [][]string{{"-f", "CSV", "-lco", "GEOMETRY=AS_YX", "-lco", "SEPARATOR=TAB", "z.csv", "a.geojson"}}},
	{name: "visits-of-kml", steps: [][]string{{"-f", "GPKG", "b.gpkg", "a.kml", "Visits"}, {"-f", "GeoJSON", "z.geojson", "b.gpkg"}}, lacks: true, plain: true},
	{name: "csv-of-kml", steps: [][]string{{"-f", "CSV", "-lco", "GEOMETRY=AS_XY", "z.csv", "a.kml", "Check dams"}}, lacks: true},
	{name: "kml", steps: [][]string{{"-f", "LIBKML", "b.kml", "a.geojson"}, {"-f", "GeoJSON", "z.geojson", "b.kml"}}},
	{name: "kml-of-kml", steps: [][]string{{"-f", "KML", "b.kml", "a.kml", "Check dams"}, {"-f", "GeoJSON", "z.geojson", "b.kml"}}, lacks: true},
	{name: "gpx", steps: [][]string{{"-f", "GPX", "-dsco", "GPX_USE_EXTENSIONS=YES", "-nlt", "POINT", "-where", "OGR_GEOMETRY='POINT'", "z.gpx", "a.geojson"}}, lacks: true},
	{name: "gpx-lines", steps: [][]string{{"-f", "GPX", "-dsco", "GPX_USE_EXTENSIONS=YES", "-where", "OGR_GEOMETRY='LINESTRING'", "-nlt", "MULTILINESTRING", "z.gpx", "a.geojson"}}, lacks: true, plain: true},
	// GDAL reads at most 100 columns of a GPX file, which all kinds together have more of.
	{name: "gpx-geojson", steps: [][]string{{"-f", "GPX", "-dsco", "GPX_USE_EXTENSIONS=YES", "-nlt", "POINT", "-where", "OGR_GEOMETRY='POINT' AND kind='check-dam'", "b.gpx", "a.geojson"}, {"-f", "GeoJSON", "z.geojson", "b.gpx", "waypoints"}}, lacks: true},
	{name: "gml", steps: [][]string{{"-f", "GML", "b.gml", "a.geojson"}, {"-f", "GeoJSON", "z.geojson", "b.gml"}}},
	{name: "flatgeobuf", steps: [][]string{{"-f", "FlatGeobuf", "b.fgb", "a.geojson"}, {"-f", "GeoJSON", "z.geojson", "b.fgb"}}, lacks: true},
}

// TestEveryWayThroughAGIS: an export that went through the formats of a desktop GIS changes
// nothing and says nothing but that; one name edited on the way is one edit of one field.
func TestEveryWayThroughAGIS(t *testing.T) {
	r := newDemoTrip(t)
	summary := regexp.MustCompile(`: 0 new, (\d+) known already, 0 edited, of (\d+) features? \(`)
	dam := regexp.MustCompile(`("[Nn]ame": "|<name>|[,;\t])Dam 4("|<|[,;\t])`)
	for _, way := range ways {
		t.Run(way.name, func(t *testing.T) {
			r := &roundTrip{t: t, dir: t.TempDir(), data: r.data, property: r.property}
			for _, name := range []string{"a.geojson", "a.kml"} {
				if err := os.Link(filepath.Join(filepath.Dir(r.data), name), r.path(name)); err != nil {
					t.Fatal(err)
				}
			}
			last := ""
			for _, step := range way.steps {
				args := append([]string{}, step...)
				for i, arg := range args {
					if regexp.MustCompile(`^[abz]\.[a-z]+$`).MatchString(arg) {
						args[i] = r.path(arg)
						if strings.HasPrefix(arg, "z.") {
							last = arg
						}
					}
				}
				// GDAL may end with 1 when a driver cannot hold a feature without a place.
				if out, err := exec.Command("ogr2ogr", append([]string{"-skipfailures"}, args...)...).CombinedOutput(); err != nil && !way.lacks {
					t.Fatalf("ogr2ogr %v: %v\n%s", args, err, out)
				}
			}
			said := r.intake(0, last, "--dry-run")
			counts := summary.FindStringSubmatch(said)
			if counts == nil || counts[1] != counts[2] || counts[1] == "0" || !way.lacks && counts[1] != "80" {
				t.Fatalf("nothing was edited, and intake said\n%.3000s", said)
			}
			for line := range strings.Lines(said[strings.Index(said, "\n")+1:]) {
				if !strings.Contains(line, "not in the file, and stay") && !strings.Contains(line, "has no positions") {
					t.Errorf("nothing was edited, and intake said %s", line)
				}
			}
			if way.plain {
				return
			}
			raw, err := os.ReadFile(r.path(last))
			if err != nil {
				t.Fatal(err)
			}
			edited := dam.ReplaceAll(raw, []byte("${1}Fig tree dam$2"))
			if bytes.Equal(raw, edited) {
				t.Fatal("the file has no Dam 4")
			}
			if err := os.WriteFile(r.path("edited"), edited, 0o600); err != nil {
				t.Fatal(err)
			}
			said = r.intake(0, "edited", "--dry-run")
			r.says(said, ": 0 new, ", " 1 edited, ", "  Check dam Dam 4:\n    Name: \"Dam 4\" -> \"Fig tree dam\"\n")
			if n := strings.Count(said, " -> "); n != 1 {
				t.Errorf("one name was edited, and intake said\n%.3000s", said)
			}
		})
	}
	if got := run(context.Background(), []string{"intake", "--data", r.data, "--list"}, nil, &bytes.Buffer{}, &bytes.Buffer{}); got != 0 {
		t.Errorf("intake --list ended with %d", got)
	}
}
