package export

import "math"

// RFC 7946 section 3.1.9 wants lines and areas that cross the antimeridian cut in two, so
// that no reader draws them the long way round. A step of more than half a turn in
// longitude is such a crossing: nobody surveys a line over half the earth. Cuts are
// straight in longitude and latitude, as the readers draw. An area round a pole is left
// as it was recorded.

func leapsOver(ring []position) bool {
	for i := 1; i < len(ring); i++ {
		if d := ring[i].lon - ring[i-1].lon; d > halfTurn || d < -halfTurn {
			return true
		}
	}
	return false
}

// cutLine cuts a line wherever it leaps. Both pieces have the latitude of the crossing,
// one at 180 and the other at -180 degrees.
func cutLine(line []position) [][]position {
	var pieces [][]position
	piece := []position{line[0]}
	for _, next := range line[1:] {
		last := piece[len(piece)-1]
		if next.lon-last.lon == nearWay(next.lon-last.lon) {
			piece = append(piece, next)
			continue
		}
		edge := int64(halfTurn) // going east
		if next.lon > last.lon {
			edge = -edge
		}
		cut := position{edge, crossing(last, position{last.lon + nearWay(next.lon-last.lon), next.lat}, edge)}
		if cut != last {
			piece = append(piece, cut)
		}
		if len(piece) > 1 {
			pieces = append(pieces, piece)
		}
		piece = []position{{-edge, cut.lat}}
		if next != piece[0] {
			piece = append(piece, next)
		}
	}
	if len(piece) > 1 {
		pieces = append(pieces, piece)
	}
	return pieces
}

// crossing is the latitude at which the way from a to b meets the meridian lon; a's own
// when the way runs along it.
func crossing(a, b position, lon int64) int64 {
	if a.lon == b.lon {
		return a.lat
	}
	share := float64(lon-a.lon) / float64(b.lon-a.lon)
	return a.lat + int64(math.RoundToEven(share*float64(b.lat-a.lat)))
}
