package model

import (
	"cmp"
	"slices"
)

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

// Insert puts an item before the one at an index, or behind all: slices.Insert of one item, at a
// quarter of its weight on a phone.
func Insert[S ~[]T, T any](items S, at int, item T) S {
	items = append(items, item)
	copy(items[at+1:], items[at:])
	items[at] = item
	return items
}

// Sort puts numbers or texts in order, as [SortStable] does.
func Sort[S ~[]T, T cmp.Ordered](items S) { SortStable(items, cmp.Compare[T]) }

// Keys are the keys of a map in order.
func Keys[K cmp.Ordered, V any](m map[K]V) []K {
	keys := make([]K, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	Sort(keys)
	return keys
}

// few is how many items are put in order one by one.
const few = 12

// SortStable sorts items in place as compare orders them (negative: a before b); equal ones
// keep their order. It sorts the indices of more than a few, so that browsers load one sorting
// program and not one for each type: slices.SortFunc of a struct weighs 3 kB of the compressed program.
func SortStable[S ~[]T, T any](items S, compare func(a, b T) int) {
	if len(items) <= few {
		for i := range items {
			for at := i; at > 0 && compare(items[at], items[at-1]) < 0; at-- {
				items[at], items[at-1] = items[at-1], items[at]
			}
		}
		return
	}
	order := make([]int, len(items))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Or(compare(items[i], items[j]), cmp.Compare(i, j)) })
	sorted := make(S, len(items))
	for to, from := range order {
		sorted[to] = items[from]
	}
	copy(items, sorted)
}
