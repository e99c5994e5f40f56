package intake

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
)

// nearDeg is how far a position may move on its way through other programs, which write
// seven decimals: half of the last one, or 6 mm on the ground. No receiver is so good.
const nearDeg = 6e-8

// samePlace reports whether two geometries are one place. Programs turn rings and begin them elsewhere, wrap single
// parts into Multi types and unwrap them, and round.
func samePlace(a, b orb.Geometry) bool {
	if overAntimeridian(a) {
		return true // exports cut it there: what comes back cannot be compared, and is not read
	}
	x, y := piecesIn(a), piecesIn(b)
	return slices.EqualFunc(x, y, func(x, y piece) bool {
		if x.closed != y.closed || len(x.positions) != len(y.positions) {
			return false
		}
		back := slices.Clone(y.positions)
		slices.Reverse(back)
		return slices.EqualFunc(x.positions, y.positions, near) || x.closed && (sameRing(x.positions, y.positions) || sameRing(x.positions, back))
	})
}

// mostBegins is how many corners are tried as the one that a ring begins with: a ring comes to few places
// twice, and one that was made to be slow does not hold up the file.
const mostBegins = 8

// sameRing reports whether closed rings of as many positions go through the same ones in the same order,
// wherever they begin.
func sameRing(a, b []orb.Point) bool {
	last := len(a) - 1
	if last < 0 || !near(a[0], a[last]) || !near(b[0], b[last]) {
		return false
	}
	a, b = a[:last], b[:last]
	begins := 0
	for i, p := range b {
		if !near(a[0], p) {
			continue
		}
		if slices.EqualFunc(a[:last-i], b[i:], near) && slices.EqualFunc(a[last-i:], b[:i], near) {
			return true
		}
		if begins++; begins == mostBegins {
			return false
		}
	}
	return false
}

func near(a, b orb.Point) bool {
	dlon := math.Abs(a[0] - b[0])
	return math.Abs(a[1]-b[1]) <= nearDeg && min(dlon, 360-dlon) <= nearDeg
}

// piece is a point, a line or a ring of a geometry.
type piece struct {
	closed    bool
	positions []orb.Point
}

// shape is that of the piece: a line has two positions at least.
func (p piece) shape() model.Shape {
	switch {
	case p.closed:
		return model.AreaShape
	case len(p.positions) == 1:
		return model.PointShape
	}
	return model.LineShape
}

func piecesIn(g orb.Geometry) (all []piece) {
	switch g := g.(type) {
	case orb.Point:
		all = append(all, piece{false, []orb.Point{g}})
	case orb.MultiPoint:
		for _, p := range g {
			all = append(all, piece{false, []orb.Point{p}})
		}
	case orb.LineString:
		all = append(all, piece{false, g})
	case orb.MultiLineString:
		for _, line := range g {
			all = append(all, piece{false, line})
		}
	case orb.Polygon:
		for _, ring := range g {
			all = append(all, piece{true, ring})
		}
	case orb.MultiPolygon:
		for _, polygon := range g {
			all = append(all, piecesIn(polygon)...)
		}
	case orb.Collection:
		for _, one := range g {
			all = append(all, piecesIn(one)...)
		}
	}
	return all
}

func overAntimeridian(g orb.Geometry) bool {
	for _, p := range piecesIn(g) {
		for i := 1; i < len(p.positions); i++ {
			if math.Abs(p.positions[i][0]-p.positions[i-1][0]) > 180 {
				return true
			}
		}
	}
	return false
}
