package model

import (
	"cmp"
	"slices"
	"strings"
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

func TestInsert(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items := rapid.SliceOf(rapid.Int()).Draw(t, "items")
		at, item := rapid.IntRange(0, len(items)).Draw(t, "at"), rapid.Int().Draw(t, "item")
		want := slices.Insert(slices.Clone(items), at, item)
		if got := Insert(items, at, item); !slices.Equal(got, want) {
			t.Fatalf("got %v, want %v", got, want)
		}
	})
}

func TestKeysAreInOrder(t *testing.T) {
	many := map[float64]bool{}
	for i := range 50 {
		many[float64(i*37%50)] = true
	}
	if keys := Keys(many); len(keys) != 50 || !slices.IsSorted(keys) {
		t.Errorf("Keys = %v", keys)
	}
}

func TestEach(t *testing.T) {
	if got := Each([]int{3, 1, 2}, func(n int) string { return strings.Repeat("x", n) }); !slices.Equal(got, []string{"xxx", "x", "xx"}) {
		t.Errorf("Each = %q", got)
	}
}

func TestFind(t *testing.T) {
	for from, want := range map[int]int{2: 4, 5: 6, 6: 0} {
		if got, ok := Find([]int{2, 4, 6}, func(n int) bool { return n > from }); got != want || ok != (want > 0) {
			t.Errorf("the first above %d is %d, %t; want %d", from, got, ok, want)
		}
	}
}
