package pages

import (
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"math"
	"testing"

	"headcut/server"
	"headcut/sync/register"
)

// fields is a feature's fields as a test writes them.
type fields map[string]any

// feature is a folded feature, as the store yields it.
func feature(t *testing.T, id string, set fields) register.Folded {
	t.Helper()
	f := register.Folded{Feature: id, Fields: map[string]json.RawMessage{}}
	for name, value := range set {
		raw, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		f.Fields[name] = raw
	}
	return f
}

// landOf is land.json of a property with these features, made as the server makes it.
func landOf(t *testing.T, property string, all ...register.Folded) []byte {
	t.Helper()
	var features iter.Seq2[register.Folded, error] = func(yield func(register.Folded, error) bool) {
		for _, f := range all {
			if !yield(f, nil) {
				return
			}
		}
	}
	land, err := server.LinkJSON(property, features)
	if err != nil {
		t.Fatal(err)
	}
	return land
}

type place [2]float64

// south and west of everything: tests place things in metres from here, near enough.
var origin = place{147.300, -22.600}

const metresPerDegree = 110700

// at is a place so many metres east and north of the origin, to a metre or so.
func at(eastM, northM float64) place {
	return place{origin[0] + eastM/(111320*math.Cos(22.6*math.Pi/180)), origin[1] + northM/metresPerDegree}
}

func point(p place) fields { return fields{"type": "Point", "coordinates": p} }

func line(ps ...place) fields { return fields{"type": "LineString", "coordinates": ps} }

func ring(ps ...place) fields {
	return fields{"type": "Polygon", "coordinates": [][]place{append(ps, ps[0])}}
}

// levelledDam is a dam as the level book has it.
type levelledDam struct {
	id, name, status string
	chainageM        float64
	toeM, crestM     float64 // 0: not levelled
}

// The dams of the test's gully: the first two leave a gap of 0.20 m, the second drowns the
// third by 0.15 m, the third is level with the fourth, and the fifth was never levelled.
var dams = []levelledDam{
	{"dam-1", "Dam 1", "built", 10, 100.20, 100.60},
	{"dam-2", "Dam 2", "built", 40, 100.80, 101.20},
	{"dam-3", "Dam 3", "built", 52, 101.05, 101.45},
	{"dam-4", "Dam 4", "built", 72, 101.45, 101.90},
	{"dam-5", "Dam 5", "proposed", 92, 0, 0},
}

// gully is a thalweg running north from the origin with a levelled bed falling 2 m in
// 100 m, and its dams. The run closes when misclosureM is 0.
func gully(t *testing.T, misclosureM float64) []register.Folded {
	t.Helper()
	rows := []fields{{"point": "BM", "bs": 3.0, "knownLevelM": 100.0}}
	book := func(name string, levelM float64, more fields) {
		row := fields{"point": name, "is": math.Round((103-levelM)*1000) / 1000}
		maps.Copy(row, more)
		rows = append(rows, row)
	}
	for c := 0.0; c <= 120; c += 10 {
		book("bed", 100+c*0.02, fields{"feature": "gully", "spot": "bed", "chainageM": c})
	}
	var all []register.Folded
	for _, d := range dams {
		if d.toeM != 0 {
			book(d.name+" toe", d.toeM, fields{"feature": d.id, "spot": "toe"})
			book(d.name+" crest", d.crestM, fields{"feature": d.id, "spot": "crest"})
		}
		all = append(all, feature(t, d.id, fields{
			"kind": "check-dam", "name": d.name, "status": d.status, "builtOn": "2026-05-12", "thalweg": "gully",
			"chainageM": d.chainageM, "crestHeightM": 0.4, "material": "loose rock", "geometry": point(at(0, d.chainageM)),
		}))
	}
	rows = append(rows, fields{"point": "BM", "fs": 3.0 + misclosureM, "knownLevelM": 100.0})
	return append(all,
		feature(t, "gully", fields{"kind": "thalweg", "name": "Stony Gully", "geometry": line(at(0, 0), at(0, 60), at(0, 120))}),
		feature(t, "run", fields{"kind": "level-run", "name": "Book 1", "rows": rows}),
	)
}

// property is one feature of most sorts around a gully.
func property(t *testing.T) []register.Folded {
	t.Helper()
	all := append(gully(t, 0),
		feature(t, "bank", fields{"kind": "whoa-boy", "name": "Bank at the gate", "status": "pegged", "peggedOn": "2026-08-01", "geometry": line(at(-90, 40), at(-70, 60))}),
		feature(t, "sown", fields{"kind": "revegetation", "name": "Sown flat", "status": "built", "builtOn": "2026-06-02", "seedMix": "grass and herbs",
			"accuracyM": 3, "geometry": ring(at(60, 0), at(160, 0), at(160, 80), at(60, 80))}),
		feature(t, "row", fields{"kind": "windrow", "status": "failed", "failedOn": "2026-09-01", "geometry": line(at(60, 110), at(150, 118))}),
		feature(t, "track", fields{"kind": "track", "name": "River track", "geometry": line(at(-120, 0), at(-60, 110))}),
		feature(t, "fence", fields{"kind": "fence", "geometry": line(at(-120, -30), at(170, -30))}),
		feature(t, "bluff", fields{"kind": "hazard", "name": "Bluff", "danger": "undercut bank, keep back", "geometry": point(at(-100, 110))}),
	)
	for i := range 5 {
		north := float64(-60 - 8*i)
		all = append(all, feature(t, fmt.Sprintf("rip-%d", i), fields{
			"kind": "rip-line", "name": fmt.Sprintf("Rip %d", i+1), "status": "built", "builtOn": "2026-06-01",
			"accuracyM": 3, "geometry": line(at(40, north), at(150, north+2)),
		}))
	}
	return all
}
