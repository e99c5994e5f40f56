package main

import (
	"fmt"
	"os"
	"regexp"
	"testing"
)

// One number for one thing: what 'properties' counts is what 'verify' and an export count, and
// a merged property counts where it is shown. Names and rights are no property.
func TestCountsAgree(t *testing.T) {
	r := newRoundTrip(t)
	points := r.path("points.csv")
	if err := os.WriteFile(points, []byte("name,latitude,longitude\nGate 1,-20.25,146.5\nGate 2,-20.26,146.51\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	counted := func(pattern, said string) (numbers []int) {
		t.Helper()
		found := regexp.MustCompile(pattern).FindStringSubmatch(said)
		if found == nil {
			t.Fatalf("%q does not match %s", said, pattern)
		}
		for _, digits := range found[1:] {
			var n int
			if _, err := fmt.Sscan(digits, &n); err != nil {
				t.Fatal(err)
			}
			numbers = append(numbers, n)
		}
		return numbers
	}
	large := counted(`(?m)^\d+ +Large +(\d+)  `, r.headcut(0, "properties"))[0]
	sound := counted(`Sound: (\d+) entries, (\d+) features and 0 photos on (\d+) prop`, r.headcut(0, "verify"))
	if sound[0] != large || sound[1] != len(r.export("all.geojson")) || sound[2] != 1 {
		t.Errorf("verify counts %v; the property has %d entries and its export %d features", sound, large, len(r.export("all.geojson")))
	}
	r.headcut(0, "intake", "--property", "Hut", "--kind", "gate", points)
	r.headcut(0, "properties", "--merge", "Hut", "--into", "Large")
	said := r.headcut(0, "properties")
	both := counted(`(?m)^\d+ +Large +(\d+) and (\d+) of its parts `, said)
	hut := counted(`(?m)^\d+ +Hut +(\d+) .*part of Large`, said)[0]
	sound = counted(`Sound: (\d+) entries, (\d+) features and 0 photos on (\d+) prop`, r.headcut(0, "verify"))
	if both[0] != large || both[1] != hut || hut < 2 || sound[0] != large+hut || sound[1] != len(r.export("both.geojson")) || sound[2] != 2 {
		t.Errorf("with a part: properties %v and %d, verify %v, export %d features", both, hut, sound, len(r.export("both.geojson")))
	}
}
