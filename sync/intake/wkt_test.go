package intake

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/paulmach/orb/encoding/wkt"

	"headcut/model"
)

// TestWKT reads geometries as OGC 06-103r4 writes them; what is read is compared with another
// reader of the same text.
func TestWKT(t *testing.T) {
	for _, text := range []string{
		"POINT (133.2 -16.1)", "point(133.2 -16.1)", "LINESTRING (133.2 -16.1,133.21 -16.11, 133.22 -16.1)",
		"POLYGON ((133 -16,133.1 -16,133.1 -16.1,133 -16),(133.05 -16.01,133.08 -16.01,133.08 -16.03,133.05 -16.01))",
		"MULTIPOINT ((133 -16),(133.1 -16))", "MULTILINESTRING ((133 -16,133.1 -16),(133.2 -16,133.3 -16))",
		"MULTIPOLYGON (((133 -16,133.1 -16,133.1 -16.1,133 -16)),((134 -16,134.1 -16,134.1 -16.1,134 -16)))",
	} {
		want, err := wkt.Unmarshal(strings.Replace(text, "point(", "POINT(", 1))
		if err != nil {
			t.Fatal(err)
		}
		got, fault := parseWKT(text)
		if fault != nil || string(model.AppendGeometry(nil, got.geometry)) != string(model.AppendGeometry(nil, want)) {
			t.Errorf("%s is %v, %v, want %v", text, got.geometry, fault, want)
		}
	}
	if got, fault := parseWKT("POINT Z (133.2 -16.1 240.5)"); fault != nil || len(got.heightsM) != 1 || got.heightsM[0] != 240.5 {
		t.Errorf("a point with a height is %+v, %v", got, fault)
	}
	for _, text := range []string{"", "POINT", "POINT EMPTY", "POINT (1)", "POINT M (1 2 3)", "LINESTRING (1 2)", "POLYGON ((0 0,1 1,1 0))", "GEOMETRYCOLLECTION (POINT (1 2))",
		"POINT (1 2) x", "POINT (1 2", "POINT ((1 2))", "LINESTRING (1 2,a b)", "LINESTRING ((1 2,3 4)", "POINT (1,2)", "CURVE (1 2,3 4)", "POINT (1e999 2)", "SRID=28352;POINT (1 2)"} {
		if got, fault := parseWKT(text); fault == nil || fault.Reason == "" {
			t.Errorf("%q is read as %v", text, got.geometry)
		}
	}
}

// TestTableOfGeometries: a table with a column of WKT has a feature in each row, of any shape.
func TestTableOfGeometries(t *testing.T) {
	file := mustRead(t, "WKT,name,kind\n\"LINESTRING Z (133.2 -16.1 240,133.21 -16.11 241)\",pad,track\nPOINT (133.2 -16.1),Dam 5,check dam\n,nowhere,track\nPOINT (8218034 700000),metres,peg\n")
	checkEntries(t, file)
	if len(file.Records) != 2 || file.LeftOut != 2 {
		t.Fatalf("%d records, %d left out: %v", len(file.Records), file.LeftOut, file.Report)
	}
	want := map[string]string{"geometry": `{"type":"LineString","coordinates":[[133.2,-16.1],[133.21,-16.11]]}`, "gpsHeightsM": "[240,241]", "kind": `"track"`, "name": `"pad"`}
	for field, value := range want {
		if got := string(file.Records[0].Fields[field]); got != value {
			t.Errorf("%s is %s, want %s", field, got, value)
		}
	}
}

// TestTablesWithoutPositions: a table of an export without positions is known by uid and version;
// its rows that are of no export are left out with what to do.
func TestTablesWithoutPositions(t *testing.T) {
	file := mustRead(t, "uid,version,kind,name\nf,v0123456789abcdef,check-dam,Dam 1\n,,check-dam,Dam 2\n")
	if len(file.Records) != 1 || !file.Records[0].Ours.WithoutPlace || file.LeftOut != 1 || !strings.Contains(file.Report[1].Error(), "GEOMETRY=AS_XY") {
		t.Errorf("read %+v: %v", file.Records, file.Report)
	}
	grid := mustRead(t, "name,x,y\nPeg 1,2120353.2,7756637.7\n")
	if len(grid.Records) != 0 || grid.LeftOut != 1 || !strings.Contains(grid.Report[0].Reason, "on a map grid, in metres") {
		t.Errorf("a table on a map grid: %v", grid.Report)
	}
}

func FuzzWKT(f *testing.F) {
	for _, seed := range []string{"POINT (1 2)", "MULTIPOINT (1 2,3 4)", "POLYGON ((0 0,1 1,1 0,0 0))", "LINESTRING Z (1 2 3,4 5 6)", "SRID=4326;POINT(1 2)"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		at, fault := parseWKT(text)
		if fault == nil && (at.geometry == nil || !json.Valid(model.AppendGeometry(nil, at.geometry))) {
			t.Errorf("%q is read as %v", text, at.geometry)
		}
	})
}
