package engines

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// The landholder's page in each engine: the works are listed, and the map is drawn.
func TestLandholdersPage(t *testing.T) {
	for _, engine := range engines {
		t.Run(engine.name, func(t *testing.T) {
			office := phone.NewOffice(t)
			office.Invite(property, "R. Field") // makes the property
			office.PlantFeatures(property,
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
