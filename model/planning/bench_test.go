package planning

import (
	"fmt"
	"math"
	"testing"

	"headcut/model"
	"headcut/model/recorded"
)

// longGully is a gully of 10 km that rises 2 %, with a level each metre and a dam each 100 m, booked
// with a change point each 100 m.
func longGully() *Property {
	const lengthM = 10_000
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
	end := model.LevelRow{Point: "BM", KnownLevelM: new(sightM - 1), FS: new(1.0)}
	items := []recorded.Item{drawn(lengthM), item("level-run", "1", nil, "observedOn", "2026-05-13", "rows", append(rows, end))}
	for i := range lengthM / 100 {
		items = append(items, standingDam(fmt.Sprint("d", i), float64(100*i)))
	}
	return property(items...)
}

// BenchmarkPlanOfALongGully drafts 10,000 levels and calculates the layout; the goal is 20 ms for both.
// Calculating costs most, two thirds of it for reading and writing JSON.
func BenchmarkPlanOfALongGully(b *testing.B) {
	p := longGully()
	b.Run("draft", func(b *testing.B) {
		for b.Loop() {
			drafted(b, p, dams)
		}
		b.ReportMetric(float64(b.Elapsed().Microseconds())/1e3/float64(b.N), "ms/plan")
	})
	b.Run("calculated", func(b *testing.B) {
		d := drafted(b, p, dams)
		for b.Loop() {
			if _, err := d.Compute(); err != nil {
				b.Fatal(err, d.Refused)
			}
		}
		b.ReportMetric(float64(b.Elapsed().Microseconds())/1e3/float64(b.N), "ms/plan")
	})
}
