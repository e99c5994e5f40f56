package model

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"headcut/model/jsonvalue"
)

// Geometries in fields are GeoJSON (RFC 7946) texts with two numbers a position: heights
// of a GPS are fields of their own and never part of a place. This file reads and writes
// them without orb's own GeoJSON package, which pulls a database driver into the phone's
// build.

// GeometryDepth is how deep geometry collections may nest.
const GeometryDepth = 8

// ParseGeometry reads a GeoJSON geometry. JSON null gives a nil geometry. It refuses, with
// a Problem whose path leads to the fault, positions outside the earth, lines of one
// position, rings that are short or open, and members spelt otherwise than RFC 7946 spells
// them. Numbers after the second are passed over.
func ParseGeometry(raw []byte) (orb.Geometry, error) {
	if g, ok := plainGeometry(raw); ok {
		return g, nil
	}
	return parseGeometry(raw, 0)
}

func parseGeometry(raw []byte, depth int) (orb.Geometry, error) {
	if depth > GeometryDepth {
		return nil, &Problem{Reason: "geometry collections nest too deeply"}
	}
	raw = bytes.Trim(raw, jsonSpace)
	if string(raw) == "null" {
		return nil, nil
	}
	var members map[string]json.RawMessage // a struct would take "TYPE" for "type"; other readers do not
	if err := jsonvalue.Unmarshal(raw, &members); err != nil {
		return nil, &Problem{Reason: "is not a GeoJSON geometry", Fix: "give an object as RFC 7946 describes it"}
	}
	var kind *string
	if jsonvalue.Unmarshal(members["type"], &kind) != nil || kind == nil {
		return nil, &Problem{Path: "type", Reason: "is missing or no text", Fix: "name the geometry's type as RFC 7946 spells it"}
	}
	if *kind == "GeometryCollection" {
		return parseCollection(members["geometries"], depth)
	}
	if !slices.Contains(coordinateTypes, *kind) {
		return nil, &Problem{Path: "type", Reason: strconv.Quote(*kind) + " is not a GeoJSON geometry type",
			Fix: "types are spelt as in RFC 7946: Point, LineString, Polygon and their Multi forms"}
	}
	geometry, err := parseCoordinates(*kind, members["coordinates"])
	if err != nil {
		return nil, Within(err, "coordinates")
	}
	return geometry, nil
}

func parseCollection(raw json.RawMessage, depth int) (orb.Geometry, error) {
	var parts []json.RawMessage
	if jsonvalue.Unmarshal(raw, &parts) != nil || parts == nil {
		return nil, &Problem{Path: "geometries", Reason: "is not a list of geometries"}
	}
	all := make(orb.Collection, 0, len(parts))
	for i, one := range parts {
		part, err := parseGeometry(one, depth+1)
		if err != nil {
			return nil, Within(err, fmt.Sprintf("geometries[%d]", i))
		}
		if part != nil {
			all = append(all, part)
		}
	}
	return all, nil
}

// coordinateTypes are the types of geometry that have coordinates.
var coordinateTypes = []string{"Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon"}

// parseCoordinates reads the coordinates of one of coordinateTypes.
func parseCoordinates(kind string, raw json.RawMessage) (orb.Geometry, error) {
	switch kind {
	case "Point":
		return coordinates(raw, position.point)
	case "MultiPoint":
		return coordinates(raw, func(ps []position) (orb.MultiPoint, error) { return each(ps, position.point) })
	case "LineString":
		return coordinates(raw, line)
	case "MultiLineString":
		return coordinates(raw, func(lines [][]position) (orb.MultiLineString, error) { return each(lines, line) })
	case "Polygon":
		return coordinates(raw, polygon)
	default: // MultiPolygon
		return coordinates(raw, func(all [][][]position) (orb.MultiPolygon, error) { return each(all, polygon) })
	}
}

// coordinates reads arrays of numbers and builds a geometry of them.
func coordinates[T any, G orb.Geometry](raw json.RawMessage, build func(T) (G, error)) (orb.Geometry, error) {
	if len(raw) == 0 {
		return nil, &Problem{Reason: "is missing"}
	}
	if bytes.Contains(raw, []byte("null")) { // which encoding/json would take for 0
		return nil, &Problem{Reason: "has null where a number should be"}
	}
	var numbers T
	if err := jsonvalue.Unmarshal(raw, &numbers); err != nil {
		return nil, &Problem{Reason: "is not an array of numbers of the right depth", Fix: "give positions as RFC 7946 nests them for this type"}
	}
	return build(numbers)
}

// each builds one of each; the path of an error begins with its place.
func each[A, B any](all []A, build func(A) (B, error)) ([]B, error) {
	out := make([]B, len(all))
	for i, one := range all {
		built, err := build(one)
		if err != nil {
			return nil, Within(err, fmt.Sprintf("[%d]", i))
		}
		out[i] = built
	}
	return out, nil
}

type position []float64

func (p position) point() (orb.Point, error) {
	if len(p) < 2 {
		return orb.Point{}, &Problem{Reason: "a position needs a longitude and a latitude"}
	}
	at := orb.Point{p[0], p[1]}
	if p := CheckPosition(at); p != nil {
		return at, p
	}
	return at, nil
}

// CheckPosition tells why these are not degrees of longitude and latitude on the earth.
func CheckPosition(p orb.Point) *Problem {
	const grid = "positions are degrees of WGS84, not grid metres"
	switch lon, lat := math.Abs(p[0]), math.Abs(p[1]); {
	case !(max(lon, lat) <= math.MaxFloat64):
		return &Problem{Reason: "a position has a number that is not finite"}
	case lat > 90 && lon <= 90 && lat <= 180:
		return &Problem{Reason: fmt.Sprintf("latitude %v is beyond 90", p[1]), Fix: "longitude comes first: are the axes swapped?"}
	case lat > 90:
		return &Problem{Reason: fmt.Sprintf("latitude %v is beyond 90", p[1]), Fix: grid}
	case lon > 180:
		return &Problem{Reason: fmt.Sprintf("longitude %v is beyond 180", p[0]), Fix: grid}
	}
	return nil
}

func line(ps []position) (orb.LineString, error) {
	if len(ps) < 2 {
		return nil, &Problem{Reason: fmt.Sprintf("a line needs 2 positions and has %d", len(ps))}
	}
	return each(ps, position.point)
}

func polygon(rings [][]position) (orb.Polygon, error) {
	return each(rings, func(ps []position) (orb.Ring, error) {
		ring, err := each(ps, position.point)
		switch {
		case err != nil:
		case len(ring) < 4:
			err = &Problem{Reason: fmt.Sprintf("a ring needs 4 positions and has %d", len(ring))}
		case ring[0] != ring[len(ring)-1]:
			err = &Problem{Reason: "a ring's first and last position differ", Fix: "close the ring where it was measured"}
		}
		return ring, err
	})
}

// AppendGeometry writes g as a GeoJSON geometry with the shortest digits that give each
// number back; a nil geometry is null.
func AppendGeometry(dst []byte, g orb.Geometry) []byte {
	switch g := g.(type) {
	case orb.Point:
		return append(appendPosition(open(dst, "Point"), g), '}')
	case orb.MultiPoint:
		return append(appendPositions(open(dst, "MultiPoint"), g), '}')
	case orb.LineString:
		return append(appendPositions(open(dst, "LineString"), g), '}')
	case orb.MultiLineString:
		return append(appendAll(open(dst, "MultiLineString"), g, appendPositions[orb.LineString]), '}')
	case orb.Ring:
		return AppendGeometry(dst, orb.Polygon{g})
	case orb.Polygon:
		return append(appendRings(open(dst, "Polygon"), g), '}')
	case orb.MultiPolygon:
		return append(appendAll(open(dst, "MultiPolygon"), g, appendRings), '}')
	case orb.Bound:
		return AppendGeometry(dst, g.ToPolygon())
	case orb.Collection:
		dst = append(dst, `{"type":"GeometryCollection","geometries":`...)
		return append(appendAll(dst, g, AppendGeometry), '}')
	}
	return append(dst, "null"...)
}

func open(dst []byte, kind string) []byte {
	return append(append(append(dst, `{"type":"`...), kind...), `","coordinates":`...)
}

func appendAll[T any](dst []byte, all []T, one func([]byte, T) []byte) []byte {
	dst = append(dst, '[')
	for i, item := range all {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = one(dst, item)
	}
	return append(dst, ']')
}

func appendRings(dst []byte, p orb.Polygon) []byte {
	return appendAll(dst, p, appendPositions[orb.Ring])
}

func appendPositions[P ~[]orb.Point](dst []byte, ps P) []byte {
	return appendAll(dst, ps, appendPosition)
}

func appendPosition(dst []byte, p orb.Point) []byte {
	dst = strconv.AppendFloat(append(dst, '['), p[0], 'f', -1, 64)
	dst = strconv.AppendFloat(append(dst, ','), p[1], 'f', -1, 64)
	return append(dst, ']')
}
