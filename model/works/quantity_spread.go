package works

import "math"

// taped is a size that was measured, and one standard deviation of it.
type taped struct {
	size      *float64
	plusMinus float64
}

// given are the sizes above nought, each with the same plus-minus.
func given(plusMinus float64, sizes ...*float64) (all []taped) {
	for _, size := range sizes {
		if *size > 0 {
			all = append(all, taped{size, plusMinus})
		}
	}
	return all
}

// spreadBy is one standard deviation of each figure for independent errors of the sizes it
// is worked out from, to first order (law of propagation, JCGM 100:2008, 5.1.2; from
// memory). Slopes are differences over a hundredth of a millimetre: the figures are smooth
// enough for that to be off by less than a thousandth, and nobody reads a plus-minus closer.
func spreadBy(figures func() []float64, sizes []taped) []float64 {
	const stepM = 1e-5
	at := figures()
	stated := make([]float64, len(at))
	for _, one := range sizes {
		was := *one.size
		*one.size = was + stepM
		above := figures()
		*one.size = was
		for i := range stated {
			stated[i] = math.Hypot(stated[i], one.plusMinus*(above[i]-at[i])/stepM)
		}
	}
	return stated
}
