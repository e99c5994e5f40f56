package model

// Each is what f gives for each of all, in their order.
func Each[A, B any](all []A, f func(A) B) []B {
	out := make([]B, len(all))
	for i, one := range all {
		out[i] = f(one)
	}
	return out
}

// Find is the first of all that is what is looked for, and whether there is one.
func Find[A any](all []A, is func(A) bool) (found A, ok bool) {
	for _, one := range all {
		if is(one) {
			return one, true
		}
	}
	return found, false
}
