package planning

import (
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/modeltest"
	"headcut/model/recorded"
)

// BenchmarkPlanOfALongGully plans 10,000 levels with three heights side by side; the goal is 20 ms. Once an entry
// about a dam has come the property is made again around figures of which few are new, as on a phone.
func BenchmarkPlanOfALongGully(b *testing.B) {
	features := modeltest.LongGully()
	items := model.Each(features, func(f model.Feature) recorded.Item { return recorded.Item{Feature: f, Version: "v-" + f.ID} })
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
		of.Change(slices.Values(features), nil)
		byID := recorded.ByID(slices.Values(items))
		dam := slices.Values(features[len(features)-1:])
		var kept Kept
		for b.Loop() {
			of.Change(dam, nil)
			plan(b, Over("p", byID, of.PropertyFigures(), &kept))
		}
		report(b)
	})
}
