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

// SortStable sorts items in place as compare orders them (negative: a before b); equal ones
// keep their order. It sorts the indices, so that browsers load one sorting
// program and not one for each type: slices.SortFunc of a struct weighs 3 kB of the compressed program.
func SortStable[S ~[]T, T any](items S, compare func(a, b T) int) {
	order := sorted(len(items), func(i, j int) int { return compare(items[i], items[j]) })
	if order == nil {
		return
	}
	now := make(S, len(order))
	for to, from := range order {
		now[to] = items[from]
	}
	copy(items, now)
}

// few is how many items are put in order one by one.
const few = 12

// sorted is the order of n items by their indices, nil where they are in order.
func sorted(n int, compare func(i, j int) int) []int {
	at := 1
	for at < n && compare(at-1, at) <= 0 {
		at++
	}
	if at >= n {
		return nil
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	if n > few {
		slices.SortFunc(order, func(i, j int) int { return cmp.Or(compare(i, j), cmp.Compare(i, j)) })
		return order
	}
	for ; at < n; at++ {
		for i := at; i > 0 && compare(order[i], order[i-1]) < 0; i-- {
			order[i], order[i-1] = order[i-1], order[i]
		}
	}
	return order
}
