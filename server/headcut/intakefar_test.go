package main

import (
	"os"
	"strings"
	"testing"
)

func (r *roundTrip) write(name, text string) {
	r.t.Helper()
	if err := os.WriteFile(r.path(name), []byte(text), 0o600); err != nil {
		r.t.Fatal(err)
	}
}

// TestFarPlaceIsLeftOut: a forgotten minus is found before it is in the register, of a new
// point and of a move, and no other row suffers; --far takes it.
func TestFarPlaceIsLeftOut(t *testing.T) {
	r := newRoundTrip(t)
	r.write("far.csv", "latitude,longitude,name,kind\n16.1,133.2,Dam far,check dam\n-16.1001,133.2001,Dam near,check dam\n")
	for _, more := range [][]string{{"--dry-run"}, nil} {
		said := r.intake(1, "far.csv", more...)
		r.says(said, "1 new, 0 known already", "km from everything else on this property: is a minus missing? Left out (edit it, or give --far", "Dam far is 3 5")
	}
	r.says(r.intake(0, "far.csv", "--far"), "1 new, 1 known already")

	r = anotherRoundTrip(t)
	r.write("first.csv", "latitude,longitude,name,kind\n-16.1001,133.2001,A,peg\n-16.1002,133.2001,B,peg\n16.1003,133.2001,C,peg\n")
	r.says(r.headcut(1, "intake", "--property", "Another", r.path("first.csv")), "2 new, 0 known already", "C is 3 5")

	r.export("a.geojson")
	r.ogr("ogr2ogr", "-f", "GeoJSON", "-sql", `SELECT * FROM "Large" WHERE ST_GeometryType(geometry) = 'POINT' LIMIT 1`, "-dialect", "SQLite", r.path("one.geojson"), r.path("a.geojson"))
	raw, _ := os.ReadFile(r.path("one.geojson"))
	if !strings.Contains(string(raw), ", -1") {
		t.Fatalf("one.geojson has no place south of the equator: %.500s", raw)
	}
	at := strings.LastIndex(string(raw), ", -1")
	r.write("moved.geojson", string(raw[:at])+", 1"+string(raw[at+4:]))
	r.says(r.intake(1, "moved.geojson"), "0 new", "0 edited", "is a minus missing? Left out")
	r.says(r.intake(0, "moved.geojson", "--far"), "1 edited")
}

// TestExportInATable: our own export as CSV, whose lines and areas have no position there, and
// as a shapefile, which cuts the names of columns, changes nothing when it is taken in.
func TestExportInATable(t *testing.T) {
	r := newRoundTrip(t)
	r.export("a.geojson")
	r.ogr("ogr2ogr", "-f", "CSV", "-lco", "GEOMETRY=AS_XY", r.path("a.csv"), r.path("a.geojson"))
	r.says(r.intake(0, "a.csv"), "0 new, 200 known already, 0 edited, of 200 features (CSV points)")
	r.says(r.headcut(1, "intake", "--property", "Another", r.path("a.csv")), "is of no feature of this property")
	r.ogr("ogr2ogr", "-f", "ESRI Shapefile", "-where", "OGR_GEOMETRY='POINT'", r.path("s"), r.path("a.geojson"))
	r.ogr("ogr2ogr", "-f", "GeoJSON", r.path("s.geojson"), r.path("s"))
	r.says(r.intake(0, "s.geojson"), "0 new, ", " known already, 0 edited, of ")
}

// TestHighDamIsSaid: a crest above the limit is an engineer's matter at intake too.
func TestHighDamIsSaid(t *testing.T) {
	r := newRoundTrip(t)
	r.write("high.csv", "latitude,longitude,name,kind,crestHeightM\n-16.1,133.2,Dam high,check dam,1.5\n-16.1,133.21,Dam low,check dam,1\n")
	said := r.intake(0, "high.csv", "--dry-run")
	r.says(said, "at 1.50 m it is above the limit of 1 m for a porous dam: an engineer's structure")
	if strings.Contains(said, "at 1.00 m") {
		t.Errorf("a dam of 1 m is said to be above the limit:\n%s", said)
	}
}

// TestKindOfAFileTakenInAgain: a file read again with its kind edits what was unsorted.
func TestKindOfAFileTakenInAgain(t *testing.T) {
	r := newRoundTrip(t)
	r.write("p.csv", "latitude,longitude,name\n-16.1,133.2,thing\n")
	r.says(r.intake(0, "p.csv"), "1 new, 0 known already, 0 edited")
	r.says(r.intake(0, "p.csv", "--kind", "peg", "--dry-run"), "0 new, 0 known already, 1 edited", `Kind: "unsorted" -> "peg"`)
	r.says(r.intake(0, "p.csv", "--kind", "peg"), "0 new, 0 known already, 1 edited")
	r.says(r.intake(0, "p.csv", "--kind", "peg"), "0 new, 1 known already, 0 edited")
}

// TestIntakeNamesWhatIsMissing: a folder, and a uid without its property.
func TestIntakeNamesWhatIsMissing(t *testing.T) {
	r := newRoundTrip(t)
	r.says(r.headcut(1, "intake", "--property", "Large", r.dir), "is a folder", "name the files in it")
	r.says(r.headcut(2, "intake", "--restore", "x"), "--restore needs --property NAME")
}
