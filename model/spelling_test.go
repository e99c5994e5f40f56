package model

import (
	"strings"
	"testing"
)

func TestNearestName(t *testing.T) {
	known := []string{"check-dam", "check-dim", "gully-head", "peg"}
	for name, want := range map[string]string{
		"check-dam": "check-dam", "Check-Dan": "check-dam", "chek-dam": "check-dam", "checkk-dam": "check-dam",
		"check-dem": "check-dam", // two are as near: the first
		"check-dix": "check-dim", "pe": "peg", "pgg": "peg", "pog": "peg", "pig-pen": "", "pegged": "peg", "dam": "", "": "",
		"cxxxx-dam": "check-dam", // four letters of nine
		"cxxxxxdam": "",          // and five
	} {
		if got := NearestName(name, known); got != want {
			t.Errorf("the nearest to %q is %q, want %q", name, got, want)
		}
	}
	long := strings.Repeat("x", 64)
	if got := NearestName(long, []string{long}); got != long {
		t.Errorf("64 letters are not found again: %q", got)
	}
	if got := NearestName(long+"x", []string{long + "x"}); got != "" {
		t.Errorf("65 letters are nearest to %q, want no search", got)
	}
}

// The first is Levenshtein's usual example.
func TestSpellingDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"", "abc", 3}, {"abc", "", 3}, {"abc", "abc", 0}, {"abcd", "bcd", 1}, {"ab", "ba", 2}} {
		if got := SpellingDistance(c.a, c.b); got != c.want {
			t.Errorf("from %q to %q are %d letters, want %d", c.a, c.b, got, c.want)
		}
	}
}
