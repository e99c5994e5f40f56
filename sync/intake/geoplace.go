package intake

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
)

// place is a geometry as a file gave it, and what may be wrong with it.
type place struct {
	geometry orb.Geometry
	coordinates
	nested bool // a collection within a collection
	empty  bool // coordinates without a position
}

// parsePlace reads the geometry member of a Feature.
func parsePlace(parts []member) (place, *model.Problem) {
	var p place
	raw, ok := named(parts, "geometry")
	if !ok || string(raw) == "null" {
		return p, nil
	}
	geometry, fault := p.read(raw, 0)
	if fault != nil {
		return p, fault.Within("geometry")
	}
	p.geometry = geometry
	return p, nil
}

func (p *place) read(raw json.RawMessage, depth int) (orb.Geometry, *model.Problem) {
	if depth > model.GeometryDepth {
		return nil, &model.Problem{Reason: fmt.Sprintf("geometry collections nest deeper than %d", model.GeometryDepth)}
	}
	parts, ok := members(raw)
	if !ok {
		return nil, &model.Problem{Reason: "is not a GeoJSON geometry"}
	}
	rawType, _ := named(parts, "type")
	kind, _ := textOf(rawType)
	if _, ok := named(parts, "crs"); ok {
		return nil, &model.Problem{Path: "crs", Reason: "is in a geometry", Fix: "export it as GeoJSON by RFC 7946, in WGS84"}
	}
	if kind == "GeometryCollection" {
		return p.collection(parts, depth)
	}
	coordinates, ok := named(parts, "coordinates")
	if !ok {
		coordinates = json.RawMessage("null") // what parse says of the type comes first
	}
	geometry, fault := p.parse(kind, coordinates)
	if fault != nil {
		return nil, fault.Within("coordinates")
	}
	p.empty = p.empty || geometry == nil
	return geometry, nil
}

// collection reads a GeometryCollection flat: RFC 7946 section 3.1.8 advises against
// nesting, and few readers follow it.
func (p *place) collection(parts []member, depth int) (orb.Geometry, *model.Problem) {
	raw, _ := named(parts, "geometries")
	var list []json.RawMessage
	if _ = json.Unmarshal(raw, &list); list == nil { // as what is no array leaves it
		return nil, &model.Problem{Path: "geometries", Reason: "is not an array"}
	}
	p.nested = p.nested || depth > 0
	var flat orb.Collection
	for i, one := range list {
		part, fault := p.read(one, depth+1)
		if fault != nil {
			return nil, fault.Within(fmt.Sprintf("geometries[%d]", i))
		}
		switch part := part.(type) {
		case nil:
		case orb.Collection:
			flat = append(flat, part...)
		default:
			flat = append(flat, part)
		}
	}
	if len(flat) == 0 {
		p.empty = true
		return nil, nil
	}
	return flat, nil
}

// doubts are the reasons why the place is not quite what the file says.
func (p *place) doubts() []string {
	var all []string
	add := func(yes bool, reason string) {
		if yes {
			all = append(all, reason)
		}
	}
	add(p.nested, "collections nest: their parts are kept in one")
	add(p.empty && p.geometry == nil, "has no positions: kept without a place")
	add(p.empty && p.geometry != nil, "has parts without positions: they are left out")
	add(p.surplus > 0, "has positions of more than three numbers: those after the third are left out")
	add(p.wrapped > 0, fmt.Sprintf("has %d longitudes beyond 180: they are written from the other side", p.wrapped))
	add(p.offEarth > 0, fmt.Sprintf("has %d heights that are none on the earth: left unknown", p.offEarth))
	known := slices.ContainsFunc(p.heightsM, isHeight)
	add(known && p.offEarth == 0 && slices.ContainsFunc(p.heightsM, math.IsNaN), "has positions with and without a height: missing ones stay unknown")

	polygons := polygonsOf(p.geometry)
	if len(polygons) == 0 {
		return all
	}
	edges := edgesOf(polygons)
	add(sharedEdge(edges), "parts of the area share an edge: it is counted as their sum")
	crosses, sure := crossing(edges)
	add(crosses, "the area's edges cross: it has no size until they are mended")
	add(!sure, "the area has too many edges side by side to tell whether they cross")
	return all
}

func (p *place) misturned() bool { return misturned(polygonsOf(p.geometry)) }

func polygonsOf(geometry orb.Geometry) orb.MultiPolygon {
	switch g := geometry.(type) {
	case orb.Polygon:
		return orb.MultiPolygon{g}
	case orb.MultiPolygon:
		return g
	case orb.Collection:
		var all orb.MultiPolygon
		for _, part := range g {
			all = append(all, polygonsOf(part)...)
		}
		return all
	}
	return nil
}
