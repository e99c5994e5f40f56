package intake

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// The shapes of areas, looked at as drawn: which way rings turn and whether their edges
// cross is the same on a plane of degrees as on the earth, for rings of a farm's size.
// Nothing here measures.

// misturned says whether a shell runs clockwise or a hole anticlockwise, against RFC 7946
// section 3.1.6.
func misturned(polygons orb.MultiPolygon) bool {
	for _, rings := range polygons {
		for i, ring := range rings {
			if turn := unrolled(ring).Orientation(); i == 0 && turn == orb.CW || i > 0 && turn == orb.CCW {
				return true
			}
		}
	}
	return false
}

// unrolled is the ring with its longitudes running on across 180 degrees.
func unrolled(ring orb.Ring) orb.Ring {
	out := slices.Clone(ring)
	for i := 1; i < len(out); i++ {
		for out[i][0]-out[i-1][0] > 180 {
			out[i][0] -= 360
		}
		for out[i][0]-out[i-1][0] < -180 {
			out[i][0] += 360
		}
	}
	return out
}

// cross is positive when a, b, c turn to the left.
func cross(a, b, c orb.Point) float64 {
	return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
}

type edge struct {
	from, to orb.Point
	part     int // which polygon
}

func edgesOf(polygons orb.MultiPolygon) []edge {
	var all []edge
	for part, rings := range polygons {
		for _, ring := range rings {
			ring = unrolled(ring)
			for i := 1; i < len(ring); i++ {
				all = append(all, edge{ring[i-1], ring[i], part})
			}
		}
	}
	return all
}

// crosses reports whether the edges cross away from their ends. Those that share an end do not,
// though what rounding leaves may say so.
func (e edge) crosses(f edge) bool {
	if e.from == f.from || e.from == f.to || e.to == f.from || e.to == f.to {
		return false
	}
	return cross(e.from, e.to, f.from)*cross(e.from, e.to, f.to) < 0 &&
		cross(f.from, f.to, e.from)*cross(f.from, f.to, e.to) < 0
}

func (e edge) west() float64 { return min(e.from[0], e.to[0]) }
func (e edge) east() float64 { return max(e.from[0], e.to[0]) }

// maxComparisons bounds the search for crossings: rings of a survey need far fewer, and a
// ring made to be slow does not hold up the file.
const maxComparisons = 4_000_000

// crossing looks for two edges that cross, going from west to east. sure is false when
// the rings are too tangled to tell within maxComparisons.
func crossing(edges []edge) (found, sure bool) {
	slices.SortFunc(edges, func(a, b edge) int { return cmp.Compare(a.west(), b.west()) })
	comparisons := 0
	var open []edge // those that reach east to the present edge
	for _, e := range edges {
		still := open[:0]
		for _, f := range open {
			if comparisons++; comparisons > maxComparisons {
				return false, false
			}
			if f.east() < e.west() {
				continue
			}
			still = append(still, f)
			if e.crosses(f) {
				return true, true
			}
		}
		open = append(still, e)
	}
	return false, true
}

// sharedEdge reports whether two parts have an edge in common.
func sharedEdge(edges []edge) bool {
	part := make(map[[2]orb.Point]int, len(edges))
	for _, e := range edges {
		ends := [2]orb.Point{e.from, e.to}
		if slices.Compare(e.from[:], e.to[:]) > 0 {
			ends = [2]orb.Point{e.to, e.from}
		}
		if other, ok := part[ends]; ok && other != e.part {
			return true
		}
		part[ends] = e.part
	}
	return false
}
