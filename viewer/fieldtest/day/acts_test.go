package day

import (
	"testing"

	"headcut/model"
	"headcut/viewer/fieldtest/phone"
)

// What can be done with an item stands on its page whatever is known of it: here of each kind
// an item of which only the place is.
func TestEveryItemCanBeShownAndStruckOut(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	code := office.Invite("Stony Block", "R. Field")
	var items []map[string]any
	for _, kind := range model.Kinds {
		var geometry map[string]any
		switch kind.Shapes[0] {
		case model.PointShape:
			geometry = map[string]any{"type": "Point", "coordinates": []float64{146.52, -20.25}}
		case model.LineShape:
			geometry = map[string]any{"type": "LineString", "coordinates": [][]float64{{146.52, -20.25}, {146.521, -20.25}}}
		case model.AreaShape:
			geometry = map[string]any{"type": "Polygon", "coordinates": [][][]float64{{{146.52, -20.25}, {146.521, -20.25}, {146.521, -20.251}, {146.52, -20.25}}}}
		default:
			continue
		}
		items = append(items, map[string]any{"id": "planted-" + kind.Name, "kind": kind.Name, "geometry": geometry})
	}
	office.PlantFeatures("Stony Block", items...)
	p := phone.New(t, office)
	p.Enrol("Stony Block", code, here)
	for _, item := range items {
		p.Go("#/thing/" + item["id"].(string))
		p.WaitText("Show on the map")
		p.WaitText("Strike out")
	}
}
