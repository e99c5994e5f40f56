package export

import (
	"encoding/json"
	"io"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
)

// crossing25 is a whoa-boy marked by a point.
func crossing25(i int) model.Feature {
	number := func(v float64) json.RawMessage { return strconv.AppendFloat(nil, v, 'f', 2, 64) }
	return model.Feature{
		ID: "bank-" + strconv.Itoa(i), Kind: "whoa-boy",
		Geometry: orb.Point{133.2 + float64(i)*1.23457e-5, -16.1},
		Fields: map[string]json.RawMessage{
			"kind": json.RawMessage(`"whoa-boy"`), "status": json.RawMessage(`"built"`), "builtOn": json.RawMessage(`"2026-05-01"`),
			"proposedOn": json.RawMessage(`"2026-03-01"`), "observedOn": json.RawMessage(`"2026-05-02"`),
			"name":      strconv.AppendQuote(nil, "Bank "+strconv.Itoa(i)),
			"notes":     json.RawMessage(`"Outlet clear, grass coming on the batter & the spoil side."`),
			"accuracyM": number(3 + float64(i%50)/10), "gpsHeightM": number(210 + float64(i%300)/10),
			"sensitive": json.RawMessage(`false`), "heightM": number(0.4 + float64(i%10)/20), "outletSide": json.RawMessage(`"left"`),
			"track": json.RawMessage(`"track-1"`), "chainageM": number(float64(i) / 4),
		},
	}
}

// rip100 is a rip line of 100 positions.
func rip100(i int) model.Feature {
	line := make(orb.LineString, 100)
	for k := range line {
		line[k] = orb.Point{133.2 + float64(k)*9.13579e-5, -16.1 - float64(i)*3.12345e-5 + float64(k%7)*1.2345e-6}
	}
	f := crossing25(i)
	return model.Feature{ID: "rip-" + strconv.Itoa(i), Kind: "rip-line", Geometry: line, Fields: map[string]json.RawMessage{
		"name": f.Fields["name"], "status": f.Fields["status"], "accuracyM": f.Fields["accuracyM"], "depthM": json.RawMessage("0.45")}}
}

// BenchmarkWrite is the writers alone, one feature an operation.
func BenchmarkWrite(b *testing.B) {
	for _, format := range Formats {
		for name, make := range map[string]func(int) model.Feature{"point-of-25-columns": crossing25, "line-of-100-positions": rip100} {
			b.Run(format.Name+"-"+name, func(b *testing.B) {
				var held []model.Feature
				for i := range 1000 {
					held = append(held, make(i))
				}
				b.ReportAllocs()
				n := 0
				err := format.Write(io.Discard, Source{Features: func(yield func(model.Feature, error) bool) {
					for b.Loop() {
						if !yield(held[n%len(held)], nil) {
							return
						}
						n++
					}
				}})
				if err != nil {
					b.Fatal(err)
				}
			})
		}
	}
}
