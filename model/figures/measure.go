package figures

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// parts are the lines and areas of a geometry, whatever it is wrapped in.
type parts struct {
	lines []orb.LineString
	areas []orb.Polygon
}

func (p *parts) add(g orb.Geometry, depth int) {
	switch g := g.(type) {
	case orb.LineString:
		p.lines = append(p.lines, g)
	case orb.MultiLineString:
		p.lines = append(p.lines, g...)
	case orb.Ring:
		p.areas = append(p.areas, orb.Polygon{g})
	case orb.Polygon:
		p.areas = append(p.areas, g)
	case orb.MultiPolygon:
		p.areas = append(p.areas, g...)
	case orb.Bound:
		p.areas = append(p.areas, g.ToPolygon())
	case orb.Collection:
		for _, part := range g {
			if depth < model.GeometryDepth {
				p.add(part, depth+1)
			}
		}
	}
}

// accuracy is one standard deviation of the feature's positions, -1 when nobody gave it.
func accuracy(f model.Feature) float64 {
	if m, ok := f.Number("accuracyM"); ok && m > 0 {
		return m
	}
	return -1
}

// placeBasis is what lengths and areas of the feature rest on.
func placeBasis(f model.Feature) model.Basis { return f.Basis("geometry") }

// measure adds what the shape of a feature tells: length of its lines, area and way round
// of its areas.
func (s *Sheet) measure(f model.Feature) {
	if f.Geometry == nil {
		return
	}
	var p parts
	p.add(f.Geometry, 0)
	accuracyM := accuracy(f)
	if len(p.lines) > 0 {
		var m sum
		for _, line := range p.lines {
			m.add(geodesy.Length(line), geodesy.LengthPlusMinus(line, accuracyM))
		}
		s.measured(length, m, placeBasis(f))
	}
	if len(p.areas) == 0 {
		return
	}
	var around, inside sum
	for _, polygon := range p.areas {
		around.add(geodesy.Perimeter(polygon), geodesy.PerimeterPlusMinus(polygon, accuracyM))
		inside.add(geodesy.Area(polygon), geodesy.AreaPlusMinus(polygon, accuracyM))
	}
	if reason := unsound(p.areas, inside.value); reason != "" {
		s.caution(area.name(), reason)
	} else {
		s.measured(area, inside, placeBasis(f))
	}
	s.measured(perimeter, around, placeBasis(f))
}

func (s *Sheet) measured(d definition, m sum, basis model.Basis) {
	if math.IsNaN(m.value) || math.IsInf(m.value, 0) {
		s.caution(d.name(), "One of its positions is not on the earth: measure it again.")
		return
	}
	s.Figures = append(s.Figures, d.figure(m.value, m.plusMinus(), basis))
}

// unsound is why areas should not be shown, "" when they may.
func unsound(areas []orb.Polygon, areaM2 float64) string {
	for _, polygon := range areas {
		at, found, whole := geodesy.Crossing(polygon)
		switch {
		case found:
			return fmt.Sprintf("Its boundary crosses itself near %.5f, %.5f: fix it there to get an area.", at[0], at[1])
		case !whole:
			return "Its boundary is too intricate to be checked for crossings: simplify it to get an area."
		}
	}
	if areaM2 < 0 {
		return "Its holes are larger than itself: fix its boundary to get an area."
	}
	return ""
}

// sum adds measures that err apart from each other.
type sum struct {
	value, variance float64
	unknown         bool // the plus-minus of one of them
}

func (m *sum) add(value, plusMinus float64) {
	m.value += value
	m.variance += plusMinus * plusMinus
	m.unknown = m.unknown || plusMinus < 0
}

func (m sum) plusMinus() float64 {
	if m.unknown {
		return -1
	}
	return math.Sqrt(m.variance)
}
