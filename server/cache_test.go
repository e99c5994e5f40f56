package server

import (
	"fmt"
	"testing"
)

// No more is kept than there is room for, what was asked for last stays, and of one that is larger than
// all room only that one.
func TestCacheStaysWithinItsWeight(t *testing.T) {
	c := cache[string, *int]{most: 8}
	first := c.of("first", func() *int { return new(int) })
	c.weigh("first", first, 2)
	for i := range 10 {
		id := fmt.Sprint("p", i)
		v := c.of(id, func() *int { return new(int) })
		c.weigh(id, v, 1)
		c.weigh(id, v, 2)
		if c.weight > 8 || c.of(id, nil) != v || c.of("first", nil) != first {
			t.Fatalf("after %s: weight %d of 8, or what was asked for last is not kept", id, c.weight)
		}
	}
	if len(c.by) != 4 || c.order.Len() != 4 || c.weight != 8 || c.of("p7", nil) == nil || c.of("p6", nil) != nil {
		t.Errorf("%d are kept, want the four last asked for", len(c.by))
	}
	c.weigh("first", new(int), 0) // of a former value
	c.weigh("p6", new(int), 9)    // dropped
	if c.weight != 8 {
		t.Errorf("weight %d after values were weighed that are not kept, want 8", c.weight)
	}
	huge := c.of("huge", func() *int { return new(int) })
	_ = c.of("first", nil) // asked for after it
	c.weigh("huge", huge, 16)
	if len(c.by) != 1 || c.of("huge", nil) != huge || c.weight != 16 {
		t.Errorf("beside one larger than all room %d others are kept, weight %d", len(c.by)-1, c.weight)
	}
}

// Memory of books goes by their features; an empty one counts too.
func TestBooksAreWeighedByTheirFeatures(t *testing.T) {
	for features, want := range map[int]int{30: leastBook, leastBook + 10: leastBook + 10} {
		s := newSite(t)
		p, _, _, _ := photographed(t, s, features)
		if _, err := s.packedView(t.Context(), p.ID); err != nil {
			t.Fatal(err)
		}
		if got := s.books.weight; got != want {
			t.Errorf("the book of %d features counts as %d, want %d", features, got, want)
		}
	}
}
