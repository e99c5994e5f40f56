package runoff

import (
	"math"

	"headcut/model/elementary"
)

// critical is flow over a level crest between leaning sides. On the crest the flow is
// critical, Q² T = g A³, and the head is y + A/(2T), where y is the depth there, A the
// area of the water and T its width at the surface (textbooks of open channels; approach
// velocity and losses neglected). Between upright sides that is (2/3)√(2g/3) L H^1.5, so a
// weir's coefficient enters as its ratio to that ideal one, which keeps Q = C L H^1.5
// exact there and carries the same loss over to leaning sides (derived).
type critical struct {
	bottom, side float64 // m; run per rise
	scale        float64 // coefficient over the ideal one
}

func (n Notch) critical(bottomM float64) critical {
	return critical{bottomM, n.SideRunPerRise, n.weir().Coefficient.Value / IdealWeir(GravityMS2)}
}

// depth is the critical depth for a head: the root of 5z y² + (3b - 4Hz) y - 2Hb = 0,
// written so that nothing cancels.
func (c critical) depth(headM float64) float64 {
	p := 3*c.bottom - 4*headM*c.side
	root := math.Sqrt(p*p + 40*c.side*headM*c.bottom)
	if p >= 0 {
		return 4 * headM * c.bottom / (p + root)
	}
	return (root - p) / (10 * c.side)
}

// ideal is the flow without losses at a critical depth.
func (c critical) ideal(y float64) float64 {
	area, width := y*(c.bottom+c.side*y), c.bottom+2*c.side*y
	return math.Sqrt(GravityMS2 * area * area * area / width)
}

func (c critical) flow(headM float64) float64 { return c.scale * c.ideal(c.depth(headM)) }

// head is the inverse of flow. Leaning sides only lower it, so the head between upright
// ones bounds it.
func (c critical) head(flowM3S float64) float64 {
	upright := elementary.Pow(flowM3S/(c.scale*IdealWeir(GravityMS2)*c.bottom), 2.0/3)
	if c.side == 0 {
		return upright
	}
	return bisect(0, upright, func(h float64) bool { return c.flow(h) < flowM3S })
}

// bisect halves the interval until it is as narrow as numbers are: below tells on which
// side of the root a value lies.
func bisect(low, high float64, below func(float64) bool) float64 {
	for {
		mid := low + (high-low)/2
		if mid <= low || mid >= high {
			return mid
		}
		if below(mid) {
			low = mid
		} else {
			high = mid
		}
	}
}
