package compute

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"headcut/model/modeltest"
)

// positions is the JSON of places that a reference case writes latitude first.
func positions(latLons ...[2]float64) string {
	var lonLats [][2]float64
	for _, p := range latLons {
		lonLats = append(lonLats, [2]float64{p[1], p[0]})
	}
	text, _ := json.Marshal(lonLats)
	return string(text)
}

// TestPublishedLines meets the lines of testdata/reference/survey.csv through the computation.
func TestPublishedLines(t *testing.T) {
	for _, c := range modeltest.Cases(t, "survey", "geodesic_length") {
		if !c.Has("from") {
			continue // written in degrees, minutes and seconds; package geodesy meets it
		}
		var out lineOut
		run(t, "line", `{"positions":`+positions(modeltest.Input[[2]float64](t, c, "from"), modeltest.Input[[2]float64](t, c, "to"))+`, "accuracyM": 5}`, &out)
		c.Check(t, "distance_m", out.LengthM)
		if len(out.SegmentsM) != 1 || out.SegmentsM[0] != out.LengthM || out.Basis != "GPS" {
			t.Errorf("%s: %+v, want one segment of the whole length by GPS", c.ID, out)
		}
		if out.PlusMinusM == nil || math.Abs(*out.PlusMinusM-5*math.Sqrt2) > 1e-9 {
			t.Errorf("%s: plus-minus %v, want √2 times 5", c.ID, out.PlusMinusM)
		}
	}
}

func TestPublishedAreas(t *testing.T) {
	ring := func(latLons [][2]float64) string { return positions(append(latLons, latLons[0])...) }
	for _, c := range modeltest.Cases(t, "survey", "polygon_area") {
		var out areaOut
		run(t, "area", `{"rings":[`+ring(modeltest.Input[[][2]float64](t, c, "ring"))+`]}`, &out)
		c.Check(t, "area_m2", out.AreaM2)
		if want := modeltest.Want[float64](t, c, "perimeter_m"); math.Abs(out.PerimeterM-want) > 1e-3 {
			t.Errorf("%s: perimeter = %v, want %v", c.ID, out.PerimeterM, want)
		}
		if out.PlusMinusM2 != nil {
			t.Errorf("%s: plus-minus %v without an accuracy", c.ID, *out.PlusMinusM2)
		}
	}
	c := modeltest.Named(t, "survey", "PA10")
	rings := ring(modeltest.Input[[][2]float64](t, c, "outer"))
	for _, hole := range modeltest.Input[[][][2]float64](t, c, "holes") {
		rings += "," + ring(hole)
	}
	var out areaOut
	run(t, "area", `{"rings":[`+rings+`],"accuracyM":3}`, &out)
	c.Check(t, "area_m2", out.AreaM2)
	if out.PlusMinusM2 == nil || !(*out.PlusMinusM2 > 500 && *out.PlusMinusM2 < 5000) {
		t.Errorf("42 ha with 3 m fixes: plus-minus %v m2, want some 2000", out.PlusMinusM2)
	}
}

// TestRipAreaAnswers lays two lines of 100.0 m on the equator's parallel 2 m apart;
// a degree of longitude there is 111 319.49 m, one of latitude 110 574.39 m (WGS84).
func TestRipAreaAnswers(t *testing.T) {
	long, apart := 100/111319.49079, 2/110574.38856
	in := fmt.Sprintf(`{"lines":[[[0,0],[%.12f,0]],[[0,%.12f],[%.12f,%.12f]]],"accuracyM":3}`, long, apart, long, apart)
	var out ripAreaOut
	run(t, "rip-area", in, &out)
	if math.Abs(out.LengthM-200) > 1e-3 || out.AreaM2 == nil || math.Abs(*out.AreaM2-400) > 1e-2 {
		t.Errorf("rip-area = %v m, %v m2, want 200 and 400", out.LengthM, out.AreaM2)
	}
	if s := out.SpacingM; s == nil || math.Abs(s.MinM-2) > 1e-4 || math.Abs(s.MeanM-2) > 1e-4 || math.Abs(s.MaxM-2) > 1e-4 {
		t.Errorf("spacing = %+v, want 2", out.SpacingM)
	}
	if len(out.Cautions) != 2 || !strings.Contains(out.Cautions[0].Text, "tape it") {
		t.Errorf("cautions of 2 m between 3 m fixes = %v, want to be told to tape it", out.Cautions)
	}
	var alone map[string]any
	run(t, "rip-area", `{"lines":[[[0,0],[0.001,0]]]}`, &alone)
	for _, absent := range []string{"spacingM", "areaM2", "plusMinusM"} {
		if v, ok := alone[absent]; ok {
			t.Errorf("one line without an accuracy has %s = %v, want none", absent, v)
		}
	}
}

func TestMeasuringRefuses(t *testing.T) {
	tests := []struct{ name, computation, in, want string }{
		{"one-position", "line", `{"positions":[[146,-20]]}`, "positions: a line needs 2 positions and has 1"},
		{"swapped-axes", "line", `{"positions":[[146,-20],[-20,146]]}`, "positions[1]: latitude 146 is beyond 90"},
		{"three-numbers", "line", `{"positions":[[146,-20,5],[146,-21,5]]}`, "positions[0]: has more than 2 values"},
		{"no-accuracy", "line", `{"positions":[[146,-20],[146,-21]],"accuracyM":0}`, "accuracyM: 0 is not an accuracy"},
		{"no-rings", "area", `{"rings":[]}`, "rings: is empty"},
		{"open-ring", "area", `{"rings":[[[0,0],[1,0],[1,1],[0,1]]]}`, "rings[0]: a ring's first and last position differ"},
		{"short-ring", "area", `{"rings":[[[0,0],[1,0],[0,0]]]}`, "rings[0]: a ring needs 4 positions"},
		{"bow-tie", "area", `{"rings":[[[0,0],[1,1],[1,0],[0,1],[0,0]]]}`, "rings: the boundary crosses itself near [0.500000, 0.500000]"},
		{"hole-first", "area", `{"rings":[[[1,1],[2,1],[2,2],[1,1]],[[0,0],[3,0],[3,3],[0,3],[0,0]]]}`, "rings: the holes are larger"},
		{"no-lines", "rip-area", `{"lines":[]}`, "lines: is empty"},
		{"off-the-earth", "rip-area", `{"lines":[[[0,0],[0,1]],[[181,0],[0,0]]]}`, "lines[1][0]: longitude 181 is beyond 180"},
		{"no-length", "rip-area", `{"lines":[[[0,0],[0,0]]]}`, "lines[0]: has no length"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if out, err := Run(test.computation, []byte(test.in)); err == nil || !strings.HasPrefix(err.Error(), test.want) {
				t.Errorf("Run(%s, %s) = %s, %v, want %s", test.computation, test.in, out, err, test.want)
			}
		})
	}
}
