package figures

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/jsonvalue"
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
			m.add(geodesy.LengthAndPlusMinus(line, accuracyM))
		}
		s.measured(length, m, placeBasis(f))
		s.unrecorded(f, p.lines)
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
		s.caution(area.name, reason)
	} else {
		s.measured(area, inside, placeBasis(f))
	}
	s.measured(perimeter, around, placeBasis(f))
}

// unrecorded tells what a line lacks: gaps in a walk, which its length leaves out, sides that
// were joined over a gap, and the side that would close the boundary of an area.
func (s *Sheet) unrecorded(f model.Feature, lines []orb.LineString) {
	if k, ok := model.KindNamed(f.Kind); ok && !slices.Contains(k.Shapes, model.LineShape) && slices.Contains(k.Shapes, model.AreaShape) {
		s.caution(length.name, "Its boundary is not closed: it has a length and no area.")
	}
	raw := f.Fields["receiver"]
	if !bytes.Contains(raw, []byte(`"gaps"`)) && !bytes.Contains(raw, []byte(`"joins"`)) {
		return // as nearly all are: the lists of a walk are long
	}
	var walk struct {
		Gaps  []json.RawMessage `json:"gaps"`
		Joins []struct {
			LengthM float64 `json:"lengthM"`
		} `json:"joins"`
		Lone []json.RawMessage `json:"lone"` // points with a gap on either side
	}
	_ = jsonvalue.Unmarshal(raw, &walk) // what a file has under this name reads as none
	if between := len(lines) - 1; len(walk.Gaps) > 0 && between > 0 {
		apartM := 0.0
		for i, line := range lines[1:] {
			if len(lines[i]) == 0 || len(line) == 0 {
				continue
			}
			apartM += geodesy.Length(orb.LineString{lines[i][len(lines[i])-1], line[0]})
		}
		if between == 1 {
			s.caution(length.name, fmt.Sprintf("Its length leaves out a gap of %.0f m that was not recorded.", apartM))
		} else {
			s.caution(length.name, fmt.Sprintf("Its length leaves out %d gaps, %.0f m in all, that were not recorded.", between, apartM))
		}
	}
	if n := len(walk.Lone); n == 1 {
		s.caution(length.name, "1 point between gaps is not in the line.")
	} else if n > 1 {
		s.caution(length.name, fmt.Sprintf("%d points between gaps are not in the line.", n))
	}
	joinedM := 0.0
	for _, j := range walk.Joins {
		joinedM += j.LengthM
	}
	if joinedM >= 2 { // less is a receiver that was silent at rest
		s.caution(length.name, fmt.Sprintf("%.0f m of its length were not recorded: they are joined straight across.", joinedM))
	}
}

func (s *Sheet) measured(d definition, m sum, basis model.Basis) {
	if math.IsNaN(m.value) || math.IsInf(m.value, 0) {
		s.caution(d.name, "One of its positions is not on the earth: measure it again.")
		return
	}
	s.Figures = append(s.Figures, d.figure(m.value, m.plusMinus(), basis))
}

// unsound is why areas should not be shown, "" when they may.
func unsound(areas []orb.Polygon, areaM2 float64) string {
	for _, polygon := range areas {
		at, found, whole := geodesy.Crossing(polygon, nil)
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
