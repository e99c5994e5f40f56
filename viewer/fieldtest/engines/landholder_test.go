package engines

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// The landholder's page in each engine: the works are listed, and the map is drawn.
func TestLandholdersPage(t *testing.T) {
	for _, engine := range engines {
		t.Run(engine.name, func(t *testing.T) {
			office := phone.NewOffice(t)
			office.Invite(property, "R. Field") // makes the property
			plant(t, office,
				map[string]any{"kind": "check-dam", "name": "Third dam", "status": "built", "builtOn": "2024-08-01", "crestHeightM": 0.4,
					"geometry": map[string]any{"type": "Point", "coordinates": []float64{146.5, -20.25}}},
				map[string]any{"kind": "thalweg", "name": "Main gully",
					"geometry": map[string]any{"type": "LineString", "coordinates": [][]float64{{146.5, -20.2505}, {146.5, -20.2495}, {146.5004, -20.249}}}})
			d := newDevice(t, engine.name, engine.start)
			d.must(d.open(office.Share(property)))
			d.waitText(property)
			d.waitText("Third dam")
			d.waitFor(colours + " > 2") // ground, gully, dam
			d.shoot("landholder")
		})
	}
}

// colours counts the different colours on the canvases of the map.
const colours = `(() => { const seen = new Set();
	for (const c of document.querySelectorAll("canvas")) {
		if (!c.width || !c.height) continue;
		const p = new Uint32Array(c.getContext("2d").getImageData(0, 0, c.width, c.height).data.buffer);
		for (const one of p) seen.add(one);
	}
	return seen.size; })()`

// plant gives the office features of the property, as a desk would send them.
func plant(t *testing.T, office *phone.Office, features ...map[string]any) {
	t.Helper()
	id := office.Property(property).ID
	entries := make([]register.Entry, len(features))
	for i, fields := range features {
		set := map[string]json.RawMessage{}
		for name, value := range fields {
			raw, err := json.Marshal(value)
			if err != nil {
				t.Fatal(err)
			}
			set[name] = raw
		}
		at := time.Date(2026, 1, 1, 9, i, 0, 0, time.UTC)
		entries[i] = register.Entry{
			Version: register.Version, ID: register.ID(fmt.Sprintf("019abc00-0000-7000-8000-%012x", i+1)), Property: id, Feature: fmt.Sprint("feature-", i+1),
			Device: "desk", DeviceSeq: uint64(i + 1), Stamp: register.StampAt(at), SeenAt: at.Format(time.RFC3339), Author: "A. Desk", Set: set,
		}
	}
	office.Plant(property, entries...)
}
