package intake

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// TestCrossingAgainstGEOS draws polygons whose corners come in any order, and asks GEOS,
// through GDAL, which of them are valid. Corners in general position make a ring invalid
// only by crossing.
func TestCrossingAgainstGEOS(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var all []orb.Geometry
	for range 300 {
		var ring orb.Ring
		for range 3 + rng.IntN(5) {
			ring = append(ring, orb.Point{133 + rng.Float64(), -16 + rng.Float64()})
		}
		all = append(all, orb.Polygon{append(ring, ring[0])})
	}
	path := filepath.Join(t.TempDir(), "rings.geojson")
	writeGeoJSON(t, path, all)
	valid := run(t, "ogrinfo", "-ro", "-q", "-dialect", "SQLite", "-sql", `SELECT name FROM rings WHERE ST_IsValid(geometry)`, path)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	file := mustRead(t, string(raw))
	crossed := make(map[int]bool) // by line, which is the record's number from 1
	for _, p := range file.Report {
		if strings.Contains(p.Reason, "edges cross") {
			crossed[p.Line] = true
		}
	}
	if len(crossed) < 50 || len(crossed) > 250 {
		t.Fatalf("%d of 300 rings cross: the test has too few of one sort", len(crossed))
	}
	for _, r := range file.Records {
		name, _ := textOf(r.Fields["name"])
		if got, want := !crossed[r.Line], strings.Contains(valid, "= "+name+"\n"); got != want {
			t.Errorf("%s is sound: %v, GEOS says %v: %s", name, got, want, r.Fields["geometry"])
		}
	}
}

// TestAreas: what is told of areas, and what is not.
func TestAreas(t *testing.T) {
	square := func(w, s, e, n float64) orb.Ring { return orb.Ring{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}} }
	turned := func(r orb.Ring) orb.Ring { r = r.Clone(); r.Reverse(); return r }
	tests := []struct {
		name                       string
		area                       orb.MultiPolygon
		misturned, shared, crosses bool
	}{
		{"square", orb.MultiPolygon{{square(0, 0, 1, 1)}}, false, false, false},
		{"hole", orb.MultiPolygon{{square(0, 0, 3, 3), turned(square(1, 1, 2, 2))}}, false, false, false},
		{"hole-turned-like-shell", orb.MultiPolygon{{square(0, 0, 3, 3), square(1, 1, 2, 2)}}, true, false, false},
		{"hole-across-shell", orb.MultiPolygon{{square(0, 0, 3, 3), turned(square(1, 1, 4, 2))}}, false, false, true},
		{"parts-apart", orb.MultiPolygon{{square(0, 0, 1, 1)}, {square(2, 0, 3, 1)}}, false, false, false},
		{"parts-overlap", orb.MultiPolygon{{square(0, 0, 2, 2)}, {square(1, 1, 3, 3)}}, false, false, true},
		{"parts-side-by-side", orb.MultiPolygon{{square(0, 0, 1, 1)}, {square(1, 0, 2, 1)}}, false, true, false},
		{"across-180", orb.MultiPolygon{{orb.Ring{{179, 0}, {-179, 0}, {-179, 1}, {179, 1}, {179, 0}}}}, false, false, false},
		{"across-180-turned", orb.MultiPolygon{{orb.Ring{{179, 0}, {179, 1}, {-179, 1}, {-179, 0}, {179, 0}}}}, true, false, false},
		{"spike", orb.MultiPolygon{{orb.Ring{{0, 0}, {2, 0}, {1, 0}, {1, 1}, {0, 0}}}}, false, false, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			edges := edgesOf(test.area)
			if got := misturned(test.area); got != test.misturned {
				t.Errorf("misturned is %v, want %v", got, test.misturned)
			}
			if got := sharedEdge(edges); got != test.shared {
				t.Errorf("sharedEdge is %v, want %v", got, test.shared)
			}
			if got, sure := crossing(edges); got != test.crosses || !sure {
				t.Errorf("crossing is %v (sure: %v), want %v", got, sure, test.crosses)
			}
		})
	}
}
