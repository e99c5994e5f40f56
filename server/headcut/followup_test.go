package main

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"testing"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/server"
)

// What an officer and a program read of a made-up property on one day, whole: testdata/followup.golden and followup.csv.
func TestFollowUpAsItIsPrinted(t *testing.T) {
	feature := func(id, fields string) recorded.Item {
		f := model.Feature{ID: id}
		if err := json.Unmarshal([]byte(fields), &f.Fields); err != nil {
			t.Fatal(err)
		}
		f.Kind = f.Text("kind")
		f.Geometry, _ = model.ParseGeometry(f.Fields["geometry"])
		return recorded.Item{Feature: f}
	}
	clash := feature("v7", `{"kind":"visit","of":"d2","observedOn":"2026-05-20","condition":"sound"}`)
	clash.Clashes = []string{"condition"}
	struck := feature("d9", `{"kind":"check-dam","name":"D9","status":"built"}`)
	struck.Struck = true
	today, err := monitor.ParseDay("2026-09-15")
	if err != nil {
		t.Fatal(err)
	}
	report, err := followup.Of("p", slices.Values([]recorded.Item{
		feature("settings-p", `{"kind":"settings","wetFirstMonth":11,"wetLastMonth":4,"stormThresholdMm":50}`),
		feature("d1", `{"kind":"check-dam","name":"D1","status":"built","builtOn":"2024-08-01","material":"loose rock","crestHeightM":0.5,"crestHeightBasis":"taped"}`),
		feature("v1", `{"kind":"visit","of":"d1","observedOn":"2025-05-18","condition":"sound","sedimentDepthM":0.12,"sedimentDepthBasis":"taped"}`),
		feature("v2", `{"kind":"visit","of":"d1","observedOn":"2026-05-20","condition":"sound","sedimentDepthM":0.46,"sedimentDepthBasis":"taped"}`),
		feature("d2", `{"kind":"check-dam","name":"D2","status":"built","builtOn":"2024-08-02","material":"loose rock"}`),
		feature("v3", `{"kind":"visit","of":"d2","observedOn":"2025-05-18","condition":"needs work"}`),
		feature("v4", `{"kind":"visit","of":"d2","observedOn":"2024-06-01","condition":"failed"}`), clash,
		feature("h", `{"kind":"gully-head","name":"Main head","observedOn":"2024-05-01"}`),
		feature("v5", `{"kind":"visit","of":"h","observedOn":"2024-05-20","headOffsetM":12.4}`),
		feature("v6", `{"kind":"visit","of":"h","observedOn":"2025-05-18","headOffsetM":11.62}`),
		feature("v8", `{"kind":"visit","of":"h","observedOn":"2026-05-20","headOffsetM":11.56}`),
		feature("e1", `{"kind":"gully-edge","name":"Head edge","observedOn":"2024-05-20","accuracyM":1,"geometry":{"type":"Polygon","coordinates":[[[148,-20],[148.0002,-20],[148.0002,-19.9998],[148,-19.9998],[148,-20]]]}}`),
		feature("e2", `{"kind":"gully-edge","name":"Head edge","observedOn":"2026-05-20","accuracyM":1,"geometry":{"type":"Polygon","coordinates":[[[148,-20],[148.0002,-20],[148.0002,-19.9996],[148,-19.9996],[148,-20]]]}}`),
		feature("s", `{"kind":"scald","name":"Ridge scald"}`),
		feature("v9", `{"kind":"visit","of":"s","observedOn":"2024-10-02","coverPct":20,"coverHits":20,"coverPoints":100}`),
		feature("va", `{"kind":"visit","of":"s","observedOn":"2025-10-10","coverPct":45,"coverHits":45,"coverPoints":100}`),
		struck, feature("vb", `{"kind":"visit","of":"d9","observedOn":"2026-05-20","condition":"sound"}`),
	}), followup.Request{Today: today, Storms: []followup.Storm{{On: today - 3, RainMm: 62}}})
	if err != nil {
		t.Fatal(err)
	}
	known := server.FollowedUp{Property: server.Property{Name: "Saltbush Flat"}, Report: report}
	var text, table bytes.Buffer
	printFollowUp(&text, known)
	if err := writeFollowUpCSV(&table, known); err != nil {
		t.Fatal(err)
	}
	for golden, got := range map[string]string{"testdata/followup.golden": text.String(), "testdata/followup.csv": table.String()} {
		want, err := os.ReadFile(golden)
		if err != nil || got != string(want) {
			t.Errorf("%v\n%s\nwant, as in %s:\n%s", err, got, golden, want)
		}
	}
}
