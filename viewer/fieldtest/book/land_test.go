package book

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/register"
)

// The land of these tests: invented, and small enough to be read.
const (
	thalweg   = "0199a000-0000-7000-8000-000000000001"
	ripLine   = "0199a000-0000-7000-8000-000000000002"
	benchmark = "0199a000-0000-7000-8000-000000000003"
	track     = "0199a000-0000-7000-8000-000000000004"
)

// land is what the office holds of the property before the phone enrols, and more of it as
// pairs of a feature's id and its fields.
func land(t *testing.T, more ...any) []register.Entry {
	t.Helper()
	return planted(t, append([]any{
		thalweg, map[string]any{"kind": "thalweg", "name": "Main gully", "geometry": line([2]float64{146.5, -20.25}, [2]float64{146.5, -20.249}, [2]float64{146.5004, -20.248})},
		ripLine, map[string]any{"kind": "rip-line", "name": "Top line", "status": "proposed", "toleranceM": 0.03, "geometry": line([2]float64{146.501, -20.25}, [2]float64{146.502, -20.25})},
		benchmark, map[string]any{"kind": "benchmark", "name": "Gate post", "levelM": 100, "geometry": map[string]any{"type": "Point", "coordinates": [2]float64{146.5, -20.2502}}},
		track, map[string]any{"kind": "track", "name": "Ridge track", "geometry": line([2]float64{146.5, -20.252}, [2]float64{146.503, -20.252})},
	}, more...)...)
}

// line is a line's geometry.
func line(coords ...[2]float64) any {
	return map[string]any{"type": "LineString", "coordinates": coords}
}

// planted makes the entries of a desk computer: pairs of a feature's id and its fields.
func planted(t *testing.T, pairs ...any) []register.Entry {
	t.Helper()
	var all []register.Entry
	at := time.Date(2026, 11, 20, 9, 0, 0, 0, time.UTC)
	for i := 0; i < len(pairs); i += 2 {
		set := map[string]json.RawMessage{}
		for name, value := range pairs[i+1].(map[string]any) {
			raw, err := json.Marshal(value)
			if err != nil {
				t.Fatal(err)
			}
			set[name] = raw
		}
		id, err := uuid.NewV7()
		if err != nil {
			t.Fatal(err)
		}
		n := uint64(i/2 + 1)
		all = append(all, register.Entry{
			Version: register.Version, ID: register.ID(id.String()), Feature: pairs[i].(string), Device: "desk", DeviceSeq: n,
			Stamp: register.StampAt(at.Add(time.Duration(n) * time.Millisecond)), SeenAt: at.Format(time.RFC3339), Author: "A. Desk", Set: model.FieldValuesOf(set),
		})
	}
	return all
}
