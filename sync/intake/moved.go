package intake

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
)

// moved says in words how a place changed: how far, and from where to where. A line or an area
// with as many positions as before says how far the one moved most; any other says its size.
func moved(from, to orb.Geometry) string {
	if from == nil {
		return "given a place: " + whereIs(to)
	}
	x, y := Positions(from), Positions(to)
	if _, isPoint := to.(orb.Point); isPoint && len(x) == 1 {
		return fmt.Sprintf("moved %s, from %s to %s", metresInWords(geodesy.Distance(x[0], y[0])), degreesInWords(x[0]), degreesInWords(y[0]))
	}
	if len(x) != len(y) || fmt.Sprintf("%T", from) != fmt.Sprintf("%T", to) {
		return "drawn again: " + whereIs(from) + " -> " + whereIs(to)
	}
	count, most, at := 0, 0.0, 0
	for i := range x {
		if near(x[i], y[i]) {
			continue
		}
		count++
		if d := geodesy.Distance(x[i], y[i]); d > most {
			most, at = d, i
		}
	}
	return fmt.Sprintf("%d of %d positions moved, at most %s: from %s to %s", count, len(x), metresInWords(most), degreesInWords(x[at]), degreesInWords(y[at]))
}

// whereIs is a point's position, or how long a line or large an area is and where it begins.
func whereIs(g orb.Geometry) string {
	all := Positions(g)
	if len(all) == 0 {
		return "no place"
	}
	if len(all) == 1 {
		return degreesInWords(all[0])
	}
	var size []string
	if m := lengthM(g); m > 0 {
		size = append(size, metresInWords(m)+" long")
	}
	if m2 := areaM2(g); m2 > 0 {
		size = append(size, fmt.Sprintf("%.0f m²", m2))
	}
	size = append(size, fmt.Sprintf("%d positions from %s", len(all), degreesInWords(all[0])))
	return strings.Join(size, ", ")
}

// Positions are all positions of a geometry.
func Positions(g orb.Geometry) (all []orb.Point) {
	for _, piece := range piecesIn(g) {
		all = append(all, piece.positions...)
	}
	return all
}

func lengthM(g orb.Geometry) (m float64) {
	for _, piece := range piecesIn(g) {
		if !piece.closed {
			m += geodesy.Length(piece.positions)
		}
	}
	return m
}

func areaM2(g orb.Geometry) (m2 float64) {
	for _, polygon := range polygonsOf(g) {
		m2 += geodesy.Area(polygon)
	}
	return m2
}

// degreesInWords is a position to a centimetre, latitude first as receivers show it.
func degreesInWords(p orb.Point) string {
	ns, ew := "N", "E"
	if p[1] < 0 {
		ns = "S"
	}
	if p[0] < 0 {
		ew = "W"
	}
	return fmt.Sprintf("%.7f° %s %.7f° %s", max(p[1], -p[1]), ns, max(p[0], -p[0]), ew)
}

func metresInWords(m float64) string {
	switch {
	case m < 1:
		return fmt.Sprintf("%.2f m", m)
	case m < 1000:
		return fmt.Sprintf("%.1f m", m)
	}
	return fmt.Sprintf("%.2f km", m/1000)
}
