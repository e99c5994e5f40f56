package monitor

import "math"

// propagate is the plus-minus of f at values whose standard deviations are plusMinus, taken
// as independent. The effect of each is half the difference that moving it by its standard
// deviation either way makes (JCGM 100:2008, 5.1.3 note 2; from memory): the law of
// propagation to first order, without writing out derivatives. It is -1 when one of the
// plus-minuses is not known and its value matters.
func propagate(f func([]float64) float64, values, plusMinus []float64) float64 {
	at := append([]float64(nil), values...)
	moved := func(i int, by float64) float64 {
		at[i] = values[i] + by
		y := f(at)
		at[i] = values[i]
		return y
	}
	variance := 0.0
	for i, s := range plusMinus {
		if s < 0 {
			nudge := 1e-6 * max(1, math.Abs(values[i]))
			if moved(i, nudge) != moved(i, -nudge) {
				return -1
			}
			continue
		}
		half := (moved(i, s) - moved(i, -s)) / 2
		variance += half * half
	}
	if y := math.Sqrt(variance); y < math.MaxFloat64 { // false for NaN
		return y
	}
	return -1
}
