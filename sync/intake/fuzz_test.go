package intake

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// fuzzFormat seeds with the manifest's files of a format, and holds any input to what
// Read promises: no panic, refusals with a reason, and entries a register takes.
func fuzzFormat(f *testing.F, format string, seeds ...string) {
	for _, row := range manifest(f) {
		if row.format != format {
			continue
		}
		raw, err := os.ReadFile(filepath.Join(casesDir, row.file))
		if err != nil {
			f.Fatal(err)
		}
		if len(raw) < 10_000 { // larger ones only slow the search down
			f.Add(raw)
		}
	}
	for _, seed := range seeds {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		file, err := Read("fuzzed", bytes.NewReader(raw))
		if err != nil {
			if p, ok := err.(*model.Problem); !ok || p.Reason == "" || p.File != "fuzzed" {
				t.Fatalf("the refusal is %#v, want a problem of the file with a reason", err)
			}
			return
		}
		checkEntries(t, file)
	})
}

func FuzzGPX(f *testing.F) {
	fuzzFormat(f, "gpx",
		gpxHead+`<wpt lat="1" lon="2"><type>Check dam</type><desc>d</desc><cmt>c</cmt><link href="u"><text>t</text></link><hdop>2</hdop></wpt></gpx>`,
		gpxHead+`<trk><type>thalweg</type><trkseg><trkpt lat="1" lon="2"><hdop>1</hdop></trkpt><trkpt lat="1" lon="180"/></trkseg></trk></gpx>`)
}

func FuzzGeoJSON(f *testing.F) {
	fuzzFormat(f, "geojson",
		`{"type":"Feature","properties":{"kind":"check-dam","status":"built","builtOn":"2026-01-02","crestHeightM":0.4,"sensitive":true},"geometry":{"type":"Point","coordinates":[1,2]}}`,
		`{"type":"Feature","properties":{"kind":"level-run","rows":[{"point":"A","bs":1.2},{"point":"B","fs":1}]},"geometry":null}`,
		`{"type":"Feature","id":"é","properties":{"a/b":1,"":2,"photos":["00"],"gpsHeightsM":[1,null]},"geometry":{"type":"MultiPoint","coordinates":[[1,2,3],[1,2]]}}`)
}

func FuzzLevelBook(f *testing.F) {
	fuzzFormat(f, "csv",
		"point\tBS\tIS\tFS\tknown level\tinverted\tstruck\tfeature\tspot\tchainage\nA\t1\t\t\t100\tyes\t\tf\tbed\t3\n",
		"point;bs;fs\nA;1,5;\nB;;2,5\n",
		"point,bs,is,fs,feature,spot,chainage,offset\nA,1,,,,,,\nB,,2,,g,section,40,-2.5\nC,,2,,g,section,40,3 R\nD,,,1,,,,x\n")
}

func pointsOf(g orb.Geometry) []orb.Point {
	switch g := g.(type) {
	case orb.Point:
		return []orb.Point{g}
	case orb.MultiPoint:
		return g
	case orb.LineString:
		return g
	case orb.MultiLineString:
		var all []orb.Point
		for _, line := range g {
			all = append(all, line...)
		}
		return all
	case orb.Polygon:
		var all []orb.Point
		for _, ring := range g {
			all = append(all, ring...)
		}
		return all
	case orb.MultiPolygon:
		var all []orb.Point
		for _, polygon := range g {
			all = append(all, pointsOf(polygon)...)
		}
		return all
	case orb.Collection:
		var all []orb.Point
		for _, part := range g {
			all = append(all, pointsOf(part)...)
		}
		return all
	}
	return nil
}
