package planning

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/recorded"
)

// longGully is a gully of 10 km that rises 2 %, with a level each metre and a dam each 100 m, booked
// with a change point each 100 m.
func longGully() []recorded.Item {
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
	return items
}

// BenchmarkPlanOfALongGully plans 10,000 levels with three heights side by side; the goal is 20 ms. Once an entry
// about a dam has come the property is made again around figures of which few are new, as on a phone.
func BenchmarkPlanOfALongGully(b *testing.B) {
	items := longGully()
	heights := compared("g", Dams, "crestHeightM", "0.3", "0.4", "0.5")
	plan := func(b *testing.B, p *Property) {
		o, err := p.Plan(heights, "")
		if err != nil || len(o.Beside) != 3 || o.Beside[2].Laid == nil {
			b.Fatalf("%d beside each other, %v, %q", len(o.Beside), err, o.Refused)
		}
	}
	report := func(b *testing.B) {
		b.ReportMetric(float64(b.Elapsed().Microseconds())/1e3/float64(b.N), "ms/plan")
	}
	b.Run("warm", func(b *testing.B) {
		p := property(items...)
		for b.Loop() {
			plan(b, p)
		}
		report(b)
	})
	b.Run("after-an-entry", func(b *testing.B) {
		of := figures.NewCache()
		of.Change(func(yield func(model.Feature) bool) {
			for _, i := range items {
				if !yield(i.Feature) {
					return
				}
			}
		}, nil)
		dam := slices.Values([]model.Feature{items[len(items)/2].Feature})
		byID := recorded.ByID(slices.Values(items))
		for b.Loop() {
			of.Change(dam, nil)
			plan(b, Over("p", byID, of.PropertyFigures()))
		}
		report(b)
	})
}
