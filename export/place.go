package export

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
)

// Positions are rounded once, to whole hundred-millionths of a degree, before anything
// else is done with them. Rings then close, and cuts meet, digit for digit.
const (
	positionPlaces = 8
	perDegree      = 1e8
	halfTurn       = 180 * perDegree
)

type position struct{ lon, lat int64 }

// outline is one simple or multi geometry. Parts hold rings: the shell and the holes of an
// area; a point or a line has one ring, and a point's ring one position.
type outline struct {
	shape model.Shape
	multi bool
	parts [][][]position
}

// place is the geometry of a feature as every format writes it: rounded, wound, cut at the
// antimeridian, collections flattened. Its memory is used again for the next feature.
type place struct {
	outlines   []outline
	collection bool
	arena      []position
	rings      [][]position
	parts      [][][]position
}

// set takes over g; false, and no outlines, when g holds a position that is not on the
// earth, a line of one position or a ring of fewer than four. Nil and empty geometries
// are in order and have no outlines.
func (p *place) set(g orb.Geometry) bool {
	p.outlines, p.arena, p.rings, p.parts = p.outlines[:0], p.arena[:0], p.rings[:0], p.parts[:0]
	_, p.collection = g.(orb.Collection)
	if !p.add(g) {
		p.outlines = p.outlines[:0]
		return false
	}
	return true
}

func (p *place) add(g orb.Geometry) bool {
	first := len(p.parts)
	ok := true
	shape, multi := model.PointShape, false
	switch g := g.(type) {
	case nil:
		return true
	case orb.Point:
		ok = p.point(g)
	case orb.MultiPoint:
		multi = true
		for _, one := range g {
			ok = ok && p.point(one)
		}
	case orb.LineString:
		shape = model.LineShape
		ok = p.line(g)
	case orb.MultiLineString:
		shape, multi = model.LineShape, true
		for _, one := range g {
			ok = ok && p.line(one)
		}
	case orb.Ring:
		return p.add(orb.Polygon{g})
	case orb.Bound:
		return p.add(g.ToPolygon())
	case orb.Polygon:
		shape = model.AreaShape
		ok = p.area(g)
	case orb.MultiPolygon:
		shape, multi = model.AreaShape, true
		for _, one := range g {
			ok = ok && p.area(one)
		}
	case orb.Collection:
		for _, one := range g {
			ok = ok && p.add(one)
		}
		return ok
	default:
		return false
	}
	parts := p.parts[first:len(p.parts):len(p.parts)]
	if ok && len(parts) > 0 {
		p.outlines = append(p.outlines, outline{shape, multi || len(parts) > 1, parts})
	}
	return ok
}

func (p *place) point(at orb.Point) bool {
	ring, ok := p.round([]orb.Point{at})
	if ok {
		p.part(ring)
	}
	return ok
}

func (p *place) line(ps []orb.Point) bool {
	if len(ps) == 0 {
		return true
	}
	ring, ok := p.round(ps)
	if !ok || len(ring) < 2 {
		return false
	}
	if !leapsOver(ring) {
		p.part(ring)
		return true
	}
	for _, piece := range cutLine(ring) {
		p.part(piece)
	}
	return true
}

func (p *place) area(rings orb.Polygon) bool {
	if len(rings) == 0 || len(rings) == 1 && len(rings[0]) == 0 {
		return true
	}
	first := len(p.rings)
	leaps := false
	for i, one := range rings {
		ring, ok := p.round(one)
		if !ok || len(ring) == 0 {
			return false
		}
		if ring[0] != ring[len(ring)-1] {
			ring = append(ring, ring[0])
		}
		if len(ring) < 4 {
			return false
		}
		leaps = leaps || leapsOver(ring)
		wind(ring, i == 0)
		p.rings = append(p.rings, ring)
	}
	whole := p.rings[first:len(p.rings):len(p.rings)]
	if leaps {
		if pieces, ok := cutArea(whole); ok {
			p.parts = append(p.parts, pieces...)
			return true
		}
	}
	p.parts = append(p.parts, whole)
	return true
}

// part adds a part of one ring.
func (p *place) part(ring []position) {
	p.rings = append(p.rings, ring)
	end := len(p.rings)
	p.parts = append(p.parts, p.rings[end-1:end:end])
}

// round brings positions into the arena; false when one is not on the earth.
func (p *place) round(ps []orb.Point) ([]position, bool) {
	start := len(p.arena)
	for _, at := range ps {
		lon, lat := at[0], at[1]
		// Written so that NaN, which compares as false, is refused too.
		if !(lon >= -180 && lon <= 180 && lat >= -90 && lat <= 90) {
			return nil, false
		}
		p.arena = append(p.arena, position{int64(math.RoundToEven(lon * perDegree)), int64(math.RoundToEven(lat * perDegree))})
	}
	return p.arena[start:len(p.arena):len(p.arena)], true
}

// wind turns a ring the way RFC 7946 section 3.1.6 wants: shells anticlockwise, holes
// clockwise. The ring keeps its first position. A ring without area stays as it is.
func wind(ring []position, shell bool) {
	if area := twiceArea(ring); area != 0 && (area > 0) != shell {
		slices.Reverse(ring)
	}
}

// twiceArea is twice the signed area of a closed ring in square units of the plate carrée,
// positive when anticlockwise. A ring that leaps over the antimeridian is followed across.
func twiceArea(ring []position) float64 {
	var sum float64
	var lon, lat int64 // from the first position, which keeps the products small
	for i := 1; i < len(ring); i++ {
		dlon, dlat := nearWay(ring[i].lon-ring[i-1].lon), ring[i].lat-ring[i-1].lat
		sum += float64(lon)*float64(lat+dlat) - float64(lon+dlon)*float64(lat)
		lon, lat = lon+dlon, lat+dlat
	}
	return sum
}

// nearWay is a difference of longitudes taken the shorter way round the earth.
func nearWay(dlon int64) int64 {
	switch {
	case dlon > halfTurn:
		return dlon - 2*halfTurn
	case dlon < -halfTurn:
		return dlon + 2*halfTurn
	}
	return dlon
}
