package compute

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model/modeltest"
)

// TestPublishedCoordinates meets the UTM rows of testdata/reference/survey.csv through the
// computation, there and back.
func TestPublishedCoordinates(t *testing.T) {
	for _, c := range modeltest.Cases(t, "survey", "utm") {
		zone := ""
		if c.Has("forced_zone") {
			zone = fmt.Sprintf(`,"zone":%v`, c.Number(t, "forced_zone"))
		}
		var out mapGridOut
		run(t, "map-grid", fmt.Sprintf(`{"grid":"UTM","accuracyM":3%s,"positions":[[%v,%v]]}`, zone, c.Number(t, "lon"), c.Number(t, "lat")), &out)
		p := out.Points[0]
		c.Check(t, "easting_m", p.EastingM)
		c.Check(t, "northing_m", p.NorthingM)
		if p.PlusMinusM == nil || math.Abs(*p.PlusMinusM-3*p.Scale) > 1e-12 {
			t.Errorf("%s: plus-minus %v, want 3 m on the grid", c.ID, p.PlusMinusM)
		}
		var back mapGridOut
		run(t, "map-grid", fmt.Sprintf(`{"grid":"UTM","coordinates":[{"zone":%d,"hemisphere":"%s","eastingM":%v,"northingM":%v}]}`,
			p.Zone, p.Hemisphere, p.EastingM, p.NorthingM), &back)
		q := back.Points[0]
		if math.Abs(q.Longitude-c.Number(t, "lon")) > 1e-11 || math.Abs(q.Latitude-c.Number(t, "lat")) > 1e-11 {
			t.Errorf("%s: back at %v, %v", c.ID, q.Longitude, q.Latitude)
		}
		if math.Abs(q.Scale-p.Scale) > 1e-12 || math.Abs(q.ConvergenceDeg-p.ConvergenceDeg) > 1e-9 {
			t.Errorf("%s: scale and convergence there %v, %v, back %v, %v", c.ID, p.Scale, p.ConvergenceDeg, q.Scale, q.ConvergenceDeg)
		}
	}
}

func TestGridCautions(t *testing.T) {
	for _, test := range []struct{ name, in, want string }{
		{"two-zones", `{"grid":"UTM","positions":[[149.998,-23.45],[150.003,-23.452]]}`, "2 zones"},
		{"no-date", `{"grid":"MGA2020","positions":[[147,-20]]}`, "7 cm a year"},
		{"shift-told", `{"grid":"MGA94","seenOn":"2026-11-25","positions":[[147,-20]]}`, "never mix"},
		{"shift-without-date", `{"grid":"MGA94","positions":[[147,-20]]}`, "1.6 m"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var out mapGridOut
			run(t, "map-grid", test.in, &out)
			if text := fmt.Sprint(out.Cautions); !strings.Contains(text, test.want) {
				t.Errorf("cautions of %s are %s, want one with %q", test.in, text, test.want)
			}
		})
	}
}

func TestMapGridRefuses(t *testing.T) {
	for _, test := range []struct{ name, in, path string }{
		{"nothing", `{"grid":"UTM"}`, "positions"},
		{"no-grid", `{"positions":[[147,-20]]}`, "grid"},
		{"both", `{"grid":"UTM","positions":[[147,-20]],"coordinates":[{"zone":55,"hemisphere":"south","eastingM":500000,"northingM":7788518}]}`, "coordinates"},
		{"swapped-axes", `{"grid":"UTM","positions":[[-20,147]]}`, "positions[0]"},
		{"swapped-coordinate", `{"grid":"UTM","coordinates":[{"zone":55,"hemisphere":"south","eastingM":7788518,"northingM":500000}]}`, "coordinates[0].eastingM"},
		{"abroad", `{"grid":"MGA94","positions":[[37,-1]]}`, "positions[0]"},
		{"far-zone", `{"grid":"UTM","zone":50,"positions":[[147,-20]]}`, "positions[0]"},
		{"no-zone", `{"grid":"UTM","zone":0,"positions":[[147,-20]]}`, "zone"},
		{"bad-date", `{"grid":"MGA2020","seenOn":"25/11/2026","positions":[[147,-20]]}`, "seenOn"},
		{"millimetres", `{"grid":"UTM","accuracyM":30000,"positions":[[147,-20]]}`, "accuracyM"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Run("map-grid", []byte(test.in))
			if err == nil || problem(err).Path != test.path {
				t.Errorf("%s: %v, want a problem with %s", test.in, err, test.path)
			}
		})
	}
}
