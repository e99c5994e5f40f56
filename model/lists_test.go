package model

import (
	"cmp"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestSortStable holds the sorting by indices to the standard library's.
func TestSortStable(t *testing.T) {
	type item struct{ key, place int }
	byKey := func(a, b item) int { return cmp.Compare(a.key, b.key) }
	rapid.Check(t, func(t *rapid.T) {
		var items []item
		for place, key := range rapid.SliceOf(rapid.IntRange(0, 9)).Draw(t, "keys") {
			items = append(items, item{key, place})
		}
		want := slices.Clone(items)
		slices.SortStableFunc(want, byKey)
		if SortStable(items, byKey); !slices.Equal(items, want) {
			t.Fatalf("got %v, want %v", items, want)
		}
	})
}
