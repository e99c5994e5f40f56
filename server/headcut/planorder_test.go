package main

import (
	"bytes"
	"os"
	"slices"
	"testing"

	"headcut/model/monitor"
	"headcut/model/planning"
	"headcut/model/recorded"
	"headcut/server"
)

// What an officer and a program read of a small made-up register, whole: testdata/planorder.golden and planorder.csv.
func TestOrderAsItIsPrinted(t *testing.T) {
	today, err := monitor.ParseDay("2026-09-15")
	if err != nil {
		t.Fatal(err)
	}
	order, err := planning.Survey("p", slices.Values([]recorded.Item{
		item(t, "h", `{"kind":"gully-head","name":"Main head","headDepthM":0.8,"headDepthBasis":"taped","active":true,"dispersive":false,"cause":"track","geometry":{"type":"Point","coordinates":[148,-19.999]}}`),
		item(t, "v1", `{"kind":"visit","of":"h","observedOn":"2024-05-20","headOffsetM":12.4}`),
		item(t, "v2", `{"kind":"visit","of":"h","observedOn":"2026-05-20","headOffsetM":11.56}`),
		item(t, "g", `{"kind":"thalweg","name":"Fig Gully","chainageZero":"start of the line","geometry":{"type":"LineString","coordinates":[[148,-20],[148,-19.999]]}}`),
		item(t, "d1", `{"kind":"check-dam","name":"D1","thalweg":"g","status":"proposed","takes":"1.20 m³ of rock, 1 post"}`),
		item(t, "d3", `{"kind":"check-dam","name":"D3","status":"built","builtOn":"2026-06-02","spentHours":5}`),
		item(t, "d2", `{"kind":"check-dam","name":"D2","thalweg":"g","status":"proposed"}`),
		item(t, "t", `{"kind":"track","name":"Ridge track","geometry":{"type":"LineString","coordinates":[[147.999,-19.9987],[148.001,-19.9987]]}}`),
		item(t, "s", `{"kind":"scald","name":"=Flat scald","cause":"grazing","coverPct":4,"observedOn":"2026-04-02","geometry":{"type":"Polygon","coordinates":[[[148.01,-20],[148.0102,-20],[148.0102,-19.9998],[148.01,-19.9998],[148.01,-20]]]}}`),
		item(t, "r", `{"kind":"rip-line","name":"Rip 1","status":"proposed","accuracyM":3,"geometry":{"type":"LineString","coordinates":[[148.01005,-19.9999],[148.01015,-19.9999]]}}`),
		item(t, "u", `{"kind":"unsorted","name":"pad"}`),
		item(t, "settings-p", `{"kind":"settings","currency":"XTS","rates":[{"item":"rock","unit":"m3","costPerUnit":80,"hoursPerUnit":0.5},{"item":"post","unit":"each","costPerUnit":6}]}`),
	})).Order(today)
	if err != nil {
		t.Fatal(err)
	}
	known := server.Ordered{Property: server.Property{Name: "Saltbush Flat"}, Order: order}
	var text, table bytes.Buffer
	printOrder(&text, known)
	if err := writeOrderCSV(&table, known); err != nil {
		t.Fatal(err)
	}
	for golden, got := range map[string]string{"testdata/planorder.golden": text.String(), "testdata/planorder.csv": table.String()} {
		want, err := os.ReadFile(golden)
		if err != nil || got != string(want) {
			t.Errorf("%v\n%s\nwant, as in %s:\n%s", err, got, golden, want)
		}
	}
}
