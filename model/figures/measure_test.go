package figures

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/modeltest"
)

func point(latLon [2]float64) orb.Point { return orb.Point{latLon[1], latLon[0]} }

func ring(latLons [][2]float64) (r orb.Ring) {
	for _, p := range latLons {
		r = append(r, point(p))
	}
	return append(r, r[0])
}

// GeodSolve's lines and Planimeter's rings come back as figures of features.
func TestPublishedLengthsAndAreas(t *testing.T) {
	for _, c := range modeltest.Cases(t, "survey", "geodesic_length") {
		if !c.Has("from") {
			continue // written in degrees and minutes; geodesy reads it
		}
		line := orb.LineString{point(modeltest.Input[[2]float64](t, c, "from")), point(modeltest.Input[[2]float64](t, c, "to"))}
		f, _ := survey().Of(feature("fence", "f", line)).Figure("lengthM")
		c.Check(t, "distance_m", f.Value)
	}
	for _, c := range modeltest.Cases(t, "survey", "polygon_area") {
		s := survey().Of(feature("scald", "s", orb.Polygon{ring(modeltest.Input[[][2]float64](t, c, "ring"))}))
		inside, _ := s.Figure("areaM2")
		around, _ := s.Figure("perimeterM")
		c.Check(t, "area_m2", inside.Value)
		if want := modeltest.Want[float64](t, c, "perimeter_m"); math.Abs(around.Value-want) > 0.001 {
			t.Errorf("%s: perimeter = %v, want %v (%s)", c.ID, around.Value, want, c.Source)
		}
	}
	c := modeltest.Cases(t, "survey", "polygon_area_hole")[0]
	polygon := orb.Polygon{ring(modeltest.Input[[][2]float64](t, c, "outer"))}
	for _, hole := range modeltest.Input[[][][2]float64](t, c, "holes") {
		polygon = append(polygon, ring(hole))
	}
	f, _ := survey().Of(feature("exclosure", "e", polygon)).Figure("areaM2")
	c.Check(t, "area_m2", f.Value)
}

func TestMeasureShapes(t *testing.T) {
	line := orb.LineString{north(0, 0), north(60, 0), north(120, 0)}
	square := func(n, e float64) orb.Polygon {
		return orb.Polygon{{north(n, e), north(n, e+10), north(n+10, e+10), north(n+10, e), north(n, e)}}
	}
	of := func(g orb.Geometry, fields ...any) Sheet { return survey().Of(feature("unsorted", "x", g, fields...)) }

	// A straight line of 3 m fixes is good to 3 √2 m, however many fixes it has.
	want(t, of(line, "accuracyM", 3), "lengthM", 120, 3*math.Sqrt2, 0.001, model.GPS)
	want(t, of(line), "lengthM", 120, -1, 0.001, model.NotRecorded)
	want(t, of(line, "accuracyM", "poor"), "lengthM", 120, -1, 0.001, model.NotRecorded)
	want(t, of(orb.MultiLineString{line, line}, "accuracyM", 3), "lengthM", 240, 6, 0.002, model.GPS)
	want(t, of(square(0, 0)), "areaM2", 100, -1, 0.01, model.NotRecorded)
	want(t, of(orb.MultiPolygon{square(0, 0), square(50, 50)}), "areaM2", 200, -1, 0.02, model.NotRecorded)
	want(t, of(square(0, 0)[0]), "areaM2", 100, -1, 0.01, model.NotRecorded)
	want(t, of(orb.Collection{line, orb.Collection{square(0, 0)}, orb.Point{}}), "areaM2", 100, -1, 0.01, model.NotRecorded)
	none(t, of(orb.Point{148, -20}), "lengthM")
	none(t, of(nil), "lengthM")
	nan := math.NaN()
	s := of(orb.LineString{{148, -20}, {nan, nan}})
	none(t, s, "lengthM")
	warns(t, s, "lengthM", "not on the earth")
	// A hole drawn round its shell crosses nothing and leaves less than nothing.
	inside := orb.Polygon{square(0, 0)[0], {north(-5, -5), north(-5, 15), north(15, 15), north(15, -5), north(-5, -5)}}
	none(t, of(inside), "areaM2")
	warns(t, of(inside), "areaM2", "holes are larger")
}

func TestSelfCrossingAreaIsNotShown(t *testing.T) {
	bowTie := orb.Polygon{{north(0, 0), north(100, 100), north(0, 100), north(100, 0), north(0, 0)}}
	s := survey().Of(feature("scald", "s", bowTie, "accuracyM", 3))
	none(t, s, "areaM2")
	warns(t, s, "areaM2", "crosses itself near 148.000")
	if _, ok := s.Figure("perimeterM"); !ok {
		t.Error("its perimeter is known anyway, want it")
	}
}

// A walk that was interrupted tells what its length leaves out; so does a boundary that was
// not closed. What the program knows stands with the figure, not among the officer's notes.
func TestLengthTellsWhatWasNotRecorded(t *testing.T) {
	two := orb.MultiLineString{{north(0, 0), north(30, 0)}, {north(80, 0), north(110, 0)}}
	three := append(orb.MultiLineString{}, append(two, orb.LineString{north(120, 0), north(150, 0)})...)
	walk := func(fields string) json.RawMessage { return json.RawMessage(fields) }
	for _, c := range []struct {
		name, kind string
		geometry   orb.Geometry
		receiver   json.RawMessage
		want       string
	}{
		{"gap", "track", two, walk(`{"gaps":[{"why":"closed"}]}`), "Its length leaves out a gap of 50 m that was not recorded."},
		{"two gaps", "track", three, walk(`{"gaps":[{"why":"hidden"},{"why":"paused"}]}`), "Its length leaves out 2 gaps, 60 m in all, that were not recorded."},
		{"a lone point", "track", two, walk(`{"gaps":[{"why":"hidden"},{"why":"hidden"}],"lone":[[146,-20]]}`), "Its length leaves out a gap of 50 m that was not recorded.1 point between gaps is not in the line."},
		{"built with gaps", "windrow", two, nil, ""},
		{"joined", "track", two[0], walk(`{"joins":[{"why":"hidden","lengthM":12.4}]}`), "12 m of its length were not recorded: they are joined straight across."},
		{"silent at rest", "track", two[0], walk(`{"joins":[{"why":"no-fix","lengthM":0.4}]}`), ""},
		{"twice silent", "track", two[0], walk(`{"joins":[{"lengthM":0.5},{"lengthM":1.5}]}`), "2 m of its length were not recorded: they are joined straight across."},
		{"open boundary", "scald", two[0], nil, "Its boundary is not closed: it has a length and no area."},
		{"edge", "gully-edge", two[0], nil, ""},
		{"of a file", "track", two, walk(`{"gaps":"none","joins":7}`), ""},
	} {
		f := feature(c.kind, "f", c.geometry)
		if c.receiver != nil {
			f.Fields["receiver"] = c.receiver
		}
		got := ""
		for _, caution := range survey().Of(f).Cautions {
			if caution.About == "lengthM" {
				got += caution.Text
			}
		}
		if got != c.want {
			t.Errorf("%s: cautions about the length are %q, want %q", c.name, got, c.want)
		}
	}
}
