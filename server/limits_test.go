package server

import (
	"fmt"
	"testing"
	"time"
)

// TestTriesAMinute: so many of each in a minute, of many at once too, and nobody counts the unnamed.
func TestTriesAMinute(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 30, 0, time.UTC)
	tries := tries{perMinute: 3}
	for n := 1; n <= 5; n++ {
		if got := tries.spend("a", at); got != (n > 3) {
			t.Errorf("try %d of a minute is too many: %t", n, got)
		}
		if tries.spend("", at) {
			t.Error("who has no name is counted")
		}
	}
	if tries.spend("b", at) || tries.spend("a", at.Add(30*time.Second)) {
		t.Error("another, or the next minute, is held to it")
	}
	at = at.Add(time.Hour)
	for i := range 2 * mostClients {
		tries.spend(fmt.Sprint(i), at)
	}
	if len(tries.spent) != mostClients+1 {
		t.Errorf("%d are remembered, want %d and one that stands for all others", len(tries.spent), mostClients)
	}
	if tries.spend("0", at) || !tries.spend("a stranger", at) {
		t.Error("a known one has used up its tries, or a stranger has more than what all others used up")
	}
}
