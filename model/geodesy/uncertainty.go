package geodesy

import (
	"math"

	"github.com/paulmach/orb"
)

// The plus-minus of a figure from positions is one standard deviation, by the law of
// propagation of errors to first order (JCGM 100:2008, 5.1.2; from memory). accuracyM is
// the standard deviation σ of a position along any one direction, taken as alike for all
// positions, alike in every direction, and independent from fix to fix.
//
// Fixes of one receiver minutes apart are not independent: their common error moves a
// line without bending it. The figures below are then too wide for a length and may be
// either way for an area. Nothing here sees a fix that is simply wrong. All are -1 where
// they cannot be worked out: without an accuracy, or without a length.

// LengthPlusMinus is the plus-minus of Length in metres. Moving a position along the
// bisector of its two sides changes the length by the difference of their unit vectors u:
//
//	variance = σ² (2 + Σ |uᵢ - uᵢ₋₁|²), summed over the inner positions,
//
// so √2 σ for a straight line however many positions it has, and more with each bend.
// Repeated positions count as one. It is first order: sides shorter than σ, scattered to
// and fro, make the measured line too long by more than this says.
func LengthPlusMinus[L ~[]orb.Point](line L, accuracyM float64) float64 {
	_, plusMinusM := LengthAndPlusMinus(line, accuracyM)
	return plusMinusM
}

// LengthAndPlusMinus gives what Length and LengthPlusMinus give, for less than both.
func LengthAndPlusMinus[L ~[]orb.Point](line L, accuracyM float64) (lengthM, plusMinusM float64) {
	lengthM, bends, sides := bending(line)
	if sides == 0 || !(accuracyM > 0) {
		return lengthM, -1
	}
	return lengthM, accuracyM * math.Sqrt(2+bends)
}

// PerimeterPlusMinus is the plus-minus of Perimeter in metres: every position bends.
func PerimeterPlusMinus(p orb.Polygon, accuracyM float64) float64 {
	total, measured := 0.0, false
	for _, ring := range p {
		ring = unclosed(ring)
		if len(ring) < 2 {
			continue
		}
		round := append(append(make([]orb.Point, 0, len(ring)+2), ring...), ring[0])
		for _, p := range ring[1:] { // one side past the start, so that it bends there too
			if p != ring[0] {
				round = append(round, p)
				break
			}
		}
		_, bends, sides := bending(round)
		total, measured = total+bends, measured || sides > 0
	}
	if !measured || !(accuracyM > 0) {
		return -1
	}
	return accuracyM * math.Sqrt(total)
}

// AreaPlusMinus is the plus-minus of Area in square metres. Moving position i changes the
// area by half the diagonal d from its neighbour before to its neighbour after:
//
//	variance = σ²/4 Σ dᵢ² + σ⁴ n/2, summed over the positions of all rings.
//
// The second term is what two neighbours do together; with it the formula is exact for a
// plane polygon and normal errors, also for plots no larger than the fixes' scatter.
func AreaPlusMinus(p orb.Polygon, accuracyM float64) float64 {
	diagonals2, positions := 0.0, 0
	for _, ring := range p {
		ring = unclosed(ring)
		n := len(ring)
		if n < 3 {
			continue
		}
		before, at := vertexAt(ring[n-2]), vertexAt(ring[n-1])
		for _, p := range ring {
			after := vertexAt(p)
			d := before.chord(after)
			diagonals2 += d * d
			before, at = at, after
		}
		positions += n
	}
	if positions == 0 || !(accuracyM > 0) {
		return -1
	}
	s2 := accuracyM * accuracyM
	return math.Sqrt(s2/4*diagonals2 + s2*s2*float64(positions)/2)
}

// bending sums |uᵢ - uᵢ₋₁|² over the inner positions of a line, and counts its sides, of
// which it gives the length too.
func bending(line []orb.Point) (lengthM, bends float64, sides int) {
	if len(line) == 0 {
		return 0, 0, 0
	}
	var last [3]float64
	from := vertexAt(line[0])
	for i, p := range line[1:] {
		to := vertexAt(p)
		lengthM += side(line[i], p, from, to)
		u, moved := from.direction(to)
		if !moved {
			continue // and from is where to is
		}
		if sides > 0 {
			for k := range u {
				bends += (u[k] - last[k]) * (u[k] - last[k])
			}
		}
		last, from = u, to
		sides++
	}
	return lengthM, bends, sides
}
