package modeltest

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
)

// LongGully is a gully of 10 km that rises 2 %, with a level each metre, booked with a change point each 100 m, and
// a dam each 100 m; the last feature is a dam.
func LongGully() []model.Feature {
	const lengthM, metresOfLatitude = 10_000, 110_700
	var rows []model.LevelRow
	sightM := 0.0
	sight := func(levelM float64) *float64 { return new(math.Round(1e4*(sightM-levelM)) / 1e4) }
	for i := range lengthM {
		levelM := 100 + float64(i)/50 + float64(i%7)/100
		row := model.LevelRow{Feature: "g", Spot: model.BedSpot, ChainageM: new(float64(i))}
		switch {
		case i == 0:
			row.KnownLevelM = &levelM
		case i%100 == 0:
			row.FS = sight(levelM)
		default:
			row.IS = sight(levelM)
		}
		if i%100 == 0 {
			sightM = levelM + 3
			row.BS = sight(levelM)
		}
		rows = append(rows, row)
	}
	rows = append(rows, model.LevelRow{Point: "BM", KnownLevelM: new(sightM - 1), FS: new(1.0)})
	all := []model.Feature{
		{ID: "g", Kind: "thalweg", Geometry: orb.LineString{{148, -20}, {148, -20 + lengthM/float64(metresOfLatitude)}},
			Fields: fields("name", "Fig Gully", "chainageZero", "start of the line")},
		{ID: "1", Kind: "level-run", Fields: fields("observedOn", "2026-05-13", "rows", rows)},
	}
	for i := range lengthM / 100 {
		all = append(all, model.Feature{ID: fmt.Sprint("d", i), Kind: "check-dam",
			Fields: fields("name", fmt.Sprint("Dam ", i), "thalweg", "g", "status", "built", "chainageM", 100*i, "crestHeightM", 0.5)})
	}
	return all
}

// fields are name, value, name, value.
func fields(of ...any) map[string]json.RawMessage {
	all := map[string]json.RawMessage{}
	for i := 0; i < len(of); i += 2 {
		raw, err := json.Marshal(of[i+1])
		if err != nil {
			panic(err)
		}
		all[of[i].(string)] = raw
	}
	return all
}
