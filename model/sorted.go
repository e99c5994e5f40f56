package model

import (
	"cmp"
	"slices"
)

// SortStable sorts items in place as compare orders them (negative: a before b); equal ones
// keep their order. It sorts their indices, so that browsers load one sorting program and not
// one for each type: slices.SortFunc of a struct weighs 3 kB of the compressed program.
func SortStable[S ~[]T, T any](items S, compare func(a, b T) int) {
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
