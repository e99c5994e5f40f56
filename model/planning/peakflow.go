package planning

import (
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/recorded"
	"headcut/model/section"
)

// peakFlow drafts the peak flow to a gully head.
func (d *drafting) peakFlow() {
	d.refuseUnsettled(d.item, "geometry", "catchmentHa")
	if _, given := d.request.Given["areaHa"]; !given && d.request.Given["parts"] == nil {
		d.catchment()
	}
	has := func(names ...string) bool {
		for _, name := range names {
			if _, given := d.request.Given[name]; given {
				return true
			}
		}
		return false
	}
	if !has("coefficient", "table", "parts") {
		d.refuse("what of the rain runs off is not known: give coefficient, or table with cover and soil.")
	}
	if !has("intensityMmH", "durations") {
		d.rain(has("timeOfConcentrationMin"))
	}
}

// rain takes the property's own rainfall table.
func (d *drafting) rain(timed bool) {
	s := d.p.settings()
	switch {
	case s == nil || s.Fields["rainRows"] == nil:
		d.refuse("the design rain is not known: give intensityMmH over the time of concentration, or durations of the place's rainfall table with timeOfConcentrationMin; or record the table in the settings of the property.")
		return
	case d.refuseUnsettled(s, "rainRows", "rainEvent", "rainTableDate", "rainSource"):
		return
	case !timed:
		d.refuse("the time in which water comes from the far end of the catchment is not known, by which the property's rainfall table is read: give timeOfConcentrationMin, as the computation time-of-concentration gives it.")
		return
	}
	d.in = append(d.in, member{"durations", s.Fields["rainRows"]})
	for _, of := range [][2]string{{"rainEvent", "event"}, {"rainTableDate", "tableDate"}} {
		if text := s.Text(of[0]); text != "" && d.request.Given[of[1]] == nil {
			d.in.put(of[1], text)
		}
	}
	whose := ""
	if source := s.Text("rainSource"); source != "" {
		whose = " by " + source
	}
	d.useSettings(s, "the rainfall table"+whose)
}

// catchment is the area above the head: as mapped, else as it was given for the head. Where both are
// there and differ, somebody must say which is right.
func (d *drafting) catchment() {
	var mapped []*recorded.Item
	for c := range d.p.of("catchment") {
		if !holds(c.Geometry, d.item.Geometry) || d.refuseUnsettled(c, "geometry") {
			continue
		}
		mapped = append(mapped, c)
	}
	var areas []model.Figure
	var of []*recorded.Item
	for _, c := range mapped {
		if area, ok := d.p.figures.Of(c.Feature).Figure("areaM2"); ok {
			areas, of = append(areas, area), append(of, c)
		} else {
			d.leaveOut(c, "its boundary crosses itself or is not closed, so that it has no area")
		}
	}
	givenHa, given := d.item.Number("catchmentHa")
	given = given && givenHa > 0
	switch {
	case len(of) > 0:
		for i := range of[1:] {
			if differ(areas[0].Value, areas[i+1].Value) {
				d.refuse("%s has %s ha and %s has %s ha, and %s lies in both: find out which is its catchment and strike the other out, or give areaHa.", of[0].Called(), metres2(areas[0].Value/1e4), of[i+1].Called(), metres2(areas[i+1].Value/1e4), d.item.Called())
				return
			}
			d.leaveOut(of[i+1], "the head lies in %s too, which has the same area", of[0].Called())
		}
		if given && differ(areas[0].Value/1e4, givenHa) {
			d.refuse("%s ha were given as the catchment of %s, and %s, mapped to it, has %s ha: find out which is right, or give areaHa.", metres2(givenHa), d.item.Called(), of[0].Called(), metres2(areas[0].Value/1e4))
			return
		}
		d.in.put("areaHa", areas[0].Value/1e4)
		if areas[0].PlusMinus != nil {
			d.in.put("areaPlusMinusHa", *areas[0].PlusMinus/1e4)
		}
		d.use(of[0], "the catchment, %s ha by its boundary", metres2(areas[0].Value/1e4))
		d.use(d.item, "where the flow is wanted")
	case given:
		d.in.put("areaHa", givenHa)
		d.use(d.item, "its catchment, %s ha, as it was given", metres2(givenHa))
		d.miss("no catchment is mapped around %s: draw it on the map to get its area with a ±.", d.item.Called())
	default:
		d.refuse("the catchment of %s is not known: draw it on the map as a catchment, or record its hectares on the head.", d.item.Called())
	}
}

// catchmentDiffers is by how much of the one area another may differ, as model/figures has it.
const catchmentDiffers = 0.2

func differ(a, b float64) bool { return math.Abs(a-b) > catchmentDiffers*a }

// holds tells whether an area has a point within it, or on its edge as far as fixes can tell: an
// outlet stands on the edge of its catchment.
func holds(area, point orb.Geometry) bool {
	p, isPoint := point.(orb.Point)
	if !isPoint || area == nil {
		return false
	}
	const near = 0.001 // degrees, some 100 m
	if !area.Bound().Pad(near).Contains(p) {
		return false
	}
	var polygons orb.MultiPolygon
	switch g := area.(type) {
	case orb.Polygon:
		polygons = orb.MultiPolygon{g}
	case orb.MultiPolygon:
		polygons = g
	}
	for _, polygon := range polygons {
		within := false
		for _, ring := range polygon { // even-odd: a hole takes its inside out
			within = within != windsRound(ring, p)
		}
		if within {
			return true
		}
		for _, ring := range polygon {
			if at, err := section.Snap(ring, p); err == nil && at.OffsetM <= reachM {
				return true
			}
		}
	}
	return false
}

// windsRound tells whether a ring goes round a point: by the sides that a line to the north of it
// crosses. In degrees that is as right as on the ground, at the size of a catchment.
func windsRound(ring orb.Ring, p orb.Point) bool {
	within := false
	for i := range ring {
		a, b := ring[i], ring[(i+1)%len(ring)]
		if (a[0] > p[0]) != (b[0] > p[0]) && p[1] < a[1]+(b[1]-a[1])*(p[0]-a[0])/(b[0]-a[0]) {
			within = !within
		}
	}
	return within
}
