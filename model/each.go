package model

// Each is what f gives for each of all, in their order.
func Each[A, B any](all []A, f func(A) B) []B {
	out := make([]B, len(all))
	for i, one := range all {
		out[i] = f(one)
	}
	return out
}
