package main

import (
	"bytes"
	"os"
	"slices"
	"testing"

	"headcut/model/followup"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/server"
)

// What an officer and a program read of a made-up property on one day, whole: testdata/followup.golden and followup.csv.
func TestFollowUpAsItIsPrinted(t *testing.T) {
	clash := item(t, "v7", `{"kind":"visit","of":"d2","observedOn":"2026-05-20","condition":"sound"}`)
	clash.Clashes = []string{"condition"}
	struck := item(t, "d9", `{"kind":"check-dam","name":"D9","status":"built"}`)
	struck.Struck = true
	today, err := monitor.ParseDay("2026-09-15")
	if err != nil {
		t.Fatal(err)
	}
	report, err := followup.Of("p", slices.Values([]recorded.Item{
		item(t, "settings-p", `{"kind":"settings","wetFirstMonth":11,"wetLastMonth":4,"stormThresholdMm":50,"currency":"XTS"}`),
		item(t, "d1", `{"kind":"check-dam","name":"D1","status":"built","builtOn":"2024-08-01","material":"loose rock","spentHours":6.5,"spentCost":420,"crestHeightM":0.5,"crestHeightBasis":"taped"}`),
		item(t, "v1", `{"kind":"visit","of":"d1","observedOn":"2025-05-18","condition":"sound","sedimentDepthM":0.12,"sedimentDepthBasis":"taped"}`),
		item(t, "v2", `{"kind":"visit","of":"d1","observedOn":"2026-05-20","condition":"sound","sedimentDepthM":0.46,"sedimentDepthBasis":"taped"}`),
		item(t, "d2", `{"kind":"check-dam","name":"D2","status":"built","builtOn":"2024-08-02","material":"loose rock"}`),
		item(t, "v3", `{"kind":"visit","of":"d2","observedOn":"2025-05-18","condition":"needs work"}`),
		item(t, "v4", `{"kind":"visit","of":"d2","observedOn":"2024-06-01","condition":"failed"}`), clash,
		item(t, "h", `{"kind":"gully-head","name":"Main head","observedOn":"2024-05-01"}`),
		item(t, "v5", `{"kind":"visit","of":"h","observedOn":"2024-05-20","headOffsetM":12.4}`),
		item(t, "v6", `{"kind":"visit","of":"h","observedOn":"2025-05-18","headOffsetM":11.62}`),
		item(t, "v8", `{"kind":"visit","of":"h","observedOn":"2026-05-20","headOffsetM":11.56}`),
		item(t, "e1", `{"kind":"gully-edge","name":"Head edge","observedOn":"2024-05-20","accuracyM":1,"geometry":{"type":"Polygon","coordinates":[[[148,-20],[148.0002,-20],[148.0002,-19.9998],[148,-19.9998],[148,-20]]]}}`),
		item(t, "e2", `{"kind":"gully-edge","name":"Head edge","observedOn":"2026-05-20","accuracyM":1,"geometry":{"type":"Polygon","coordinates":[[[148,-20],[148.0002,-20],[148.0002,-19.9996],[148,-19.9996],[148,-20]]]}}`),
		item(t, "s", `{"kind":"scald","name":"Ridge scald"}`),
		item(t, "v9", `{"kind":"visit","of":"s","observedOn":"2024-10-02","coverPct":20,"coverHits":20,"coverPoints":100}`),
		item(t, "va", `{"kind":"visit","of":"s","observedOn":"2025-10-10","coverPct":45,"coverHits":45,"coverPoints":100}`),
		struck, item(t, "vb", `{"kind":"visit","of":"d9","observedOn":"2026-05-20","condition":"sound"}`),
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
