package works

import "math"

// taped is a size that was measured, and one standard deviation of it.
type taped struct {
	size      *float64
	plusMinus float64
	floored   bool // cannot be less than nought
}

// spreadBy is one standard deviation of each figure for independent errors of the sizes it
// is worked out from, to first order (law of propagation, JCGM 100:2008, 5.1.2; from
// memory). Slopes are central differences over a tenth of a millimetre each way: the figures
// are polynomials of low degree, for which these are exact but for rounding.
func spreadBy(figures func() []float64, sizes []taped) []float64 {
	const stepM = 1e-4
	stated := make([]float64, len(figures()))
	for _, one := range sizes {
		was, back := *one.size, stepM
		if one.floored && was < stepM {
			back = 0
		}
		*one.size = was + stepM
		above := figures()
		*one.size = was - back
		below := figures()
		*one.size = was
		for i := range stated {
			stated[i] = math.Hypot(stated[i], one.plusMinus*(above[i]-below[i])/(stepM+back))
		}
	}
	return stated
}
