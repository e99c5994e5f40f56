package intake

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"

	"headcut/model"
)

// run calls a program of GDAL and returns what it printed. Anything on standard error
// fails the test, as GDAL's status is 0 for many a fault; but for what GEOS says of rings.
func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%s is not here: run make test, which installs gdal-bin", name)
	}
	cmd := exec.Command(path, args...)
	cmd.Env = append(os.Environ(), "CPL_DEBUG=OFF")
	var out, complaint bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaint
	err = cmd.Run()
	for line := range strings.Lines(complaint.String()) {
		if err != nil || !strings.HasPrefix(line, "GEOS warning: ") {
			t.Fatalf("%s %v: %v %s", name, args, err, line)
		}
	}
	if err != nil {
		t.Fatalf("%s %v: %v", name, args, err)
	}
	return out.String()
}

// drawnGeometries are shapes all over the earth, of every type, the same each time.
func drawnGeometries(types ...string) []orb.Geometry {
	rng := rand.New(rand.NewPCG(1, 2))
	at := func(lon, lat float64) orb.Point {
		round := func(v float64) float64 { return math.Round(v*1e7) / 1e7 }
		return orb.Point{round(lon), round(lat)}
	}
	line := func(lon, lat float64) orb.LineString {
		var ps orb.LineString
		for range 2 + rng.IntN(9) {
			ps = append(ps, at(lon+rng.Float64()/100, lat+rng.Float64()/100))
		}
		return ps
	}
	square := func(lon, lat, half float64, hole bool) orb.Ring {
		ring := orb.Ring{at(lon-half, lat-half), at(lon+half, lat-half), at(lon+half, lat+half), at(lon-half, lat+half), at(lon-half, lat-half)}
		if hole {
			ring.Reverse()
		}
		return ring
	}
	var all []orb.Geometry
	for i := range 60 {
		lon, lat := rng.Float64()*340-170, rng.Float64()*160-80
		switch types[i%len(types)] {
		case "Point":
			all = append(all, at(lon, lat))
		case "LineString":
			all = append(all, line(lon, lat))
		case "MultiLineString":
			all = append(all, orb.MultiLineString{line(lon, lat), line(lon+0.1, lat)})
		case "Polygon":
			all = append(all, orb.Polygon{square(lon, lat, 0.02, false), square(lon, lat, 0.01, true)})
		case "MultiPolygon":
			all = append(all, orb.MultiPolygon{{square(lon, lat, 0.02, false)}, {square(lon+1, lat, 0.02, false)}})
		}
	}
	return all
}

func writeGeoJSON(t *testing.T, path string, all []orb.Geometry) {
	t.Helper()
	var b bytes.Buffer
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	for i, g := range all {
		if i > 0 {
			b.WriteString(",\n")
		}
		fmt.Fprintf(&b, `{"type":"Feature","properties":{"name":"no %d"},"geometry":%s}`, i, model.AppendGeometry(nil, g))
	}
	b.WriteString("]}")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestFilesOfGDAL reads files that GDAL wrote, and holds counts, types and positions
// against what GDAL itself finds in them.
func TestFilesOfGDAL(t *testing.T) {
	tests := []struct {
		name, layer string
		types       []string
		args        []string
		unreported  bool // nothing is amiss with the file
	}{
		{"rfc7946.geojson", "", []string{"Point", "LineString", "MultiLineString", "Polygon", "MultiPolygon"}, []string{"-f", "GeoJSON", "-lco", "RFC7946=YES"}, true},
		{"plain.geojson", "", []string{"Point", "LineString", "MultiLineString", "Polygon", "MultiPolygon"}, []string{"-f", "GeoJSON"}, false},
		{"ids-and-boxes.geojson", "", []string{"Polygon"}, []string{"-f", "GeoJSON", "-lco", "WRITE_BBOX=YES", "-lco", "ID_GENERATE=YES"}, false},
		{"waypoints.gpx", "waypoints", []string{"Point"}, []string{"-f", "GPX"}, true},
		{"routes.gpx", "routes", []string{"LineString"}, []string{"-f", "GPX"}, true},
		{"tracks.gpx", "tracks", []string{"MultiLineString"}, []string{"-f", "GPX"}, true},
		{"extensions.gpx", "waypoints", []string{"Point"}, []string{"-f", "GPX", "-dsco", "GPX_USE_EXTENSIONS=YES"}, true},
	}
	for _, test := range tests {
		t.Run(strings.ReplaceAll(test.name, ".", "-"), func(t *testing.T) {
			dir := t.TempDir()
			source, path := filepath.Join(dir, "source.geojson"), filepath.Join(dir, test.name)
			drawn := drawnGeometries(test.types...)
			writeGeoJSON(t, source, drawn)
			run(t, "ogr2ogr", append(test.args, path, source)...)

			raw, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			file, err := Read(test.name, bytes.NewReader(raw))
			if err != nil {
				t.Fatal(err)
			}
			checkEntries(t, file)
			if test.unreported && len(file.Report) > 0 {
				t.Errorf("the report is %v, want none", file.Report)
			}
			layer := []string{path}
			if test.layer != "" {
				layer = append(layer, test.layer)
			}
			info := run(t, "ogrinfo", append([]string{"-ro", "-so"}, append(layer, layersUnlessNamed(test.layer)...)...)...)
			count := regexp.MustCompile(`Feature Count: (\d+)`).FindStringSubmatch(info)
			if count == nil || count[1] != strconv.Itoa(len(file.Records)) || len(file.Records) != len(drawn) {
				t.Fatalf("%d records of %d features; ogrinfo counts %v", len(file.Records), len(drawn), count)
			}
			table := csv.NewReader(strings.NewReader(run(t, "ogr2ogr", append([]string{"-f", "CSV", "-lco", "GEOMETRY=AS_WKT", "/vsistdout/"}, layer...)...)))
			rows, err := table.ReadAll()
			if err != nil || len(rows) != len(file.Records)+1 {
				t.Fatalf("GDAL lists %d rows for %d records: %v", len(rows)-1, len(file.Records), err)
			}
			for i, r := range file.Records {
				want, err := wkt.Unmarshal(rows[i+1][0])
				if err != nil {
					t.Fatal(err)
				}
				comparePlaces(t, i, geometryOf(t, r), want)
				if got := (model.Feature{Fields: r.Fields}).Text("name"); got != fmt.Sprint("no ", i) {
					t.Errorf("record %d is called %q, want %q", i, got, fmt.Sprint("no ", i))
				}
			}
		})
	}
}

func layersUnlessNamed(layer string) []string {
	if layer == "" {
		return []string{"-al"}
	}
	return nil
}

func comparePlaces(t *testing.T, i int, got, want orb.Geometry) {
	t.Helper()
	if got == nil || got.GeoJSONType() != want.GeoJSONType() {
		t.Fatalf("record %d is %v, want a %s", i, got, want.GeoJSONType())
	}
	ours, theirs := pointsOf(got), pointsOf(want)
	if len(ours) != len(theirs) {
		t.Fatalf("record %d has %d positions, want %d", i, len(ours), len(theirs))
	}
	for k := range ours {
		if math.Abs(ours[k][0]-theirs[k][0]) > 1e-9 || math.Abs(ours[k][1]-theirs[k][1]) > 1e-9 {
			t.Fatalf("record %d, position %d is %v, want %v", i, k, ours[k], theirs[k])
		}
	}
}
