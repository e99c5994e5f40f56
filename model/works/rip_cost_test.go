package works

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"headcut/model"
)

// ripFamilies are lines of n positions that a stranger could send, and what comes of them.
var ripFamilies = []struct {
	name string
	draw func(n int) [][][2]float64
	says string // of the refusal; "" is answered
}{
	{"grid-of-crossing-lines", func(n int) (all [][][2]float64) {
		for i := range n / 4 {
			at := float64(i) * 400 / float64(n)
			all = append(all, [][2]float64{{at, 0}, {at, 100}}, [][2]float64{{0, at}, {100, at}})
		}
		return all
	}, "meet at more than"},
	{"spaghetti", func(n int) (all [][][2]float64) {
		r := rand.New(rand.NewPCG(1, uint64(n)))
		for range n / 2 {
			all = append(all, [][2]float64{{100 * r.Float64(), 100 * r.Float64()}, {100 * r.Float64(), 100 * r.Float64()}})
		}
		return all
	}, "meet at more than"},
	{"two-that-weave", func(n int) [][][2]float64 {
		var a, b [][2]float64
		for i := range n / 2 {
			a, b = append(a, [2]float64{float64(i), float64(i % 2)}), append(b, [2]float64{float64(i), float64((i + 1) % 2)})
		}
		return [][][2]float64{a, b}
	}, ""},
	{"a-fan-through-one-place", func(n int) (all [][][2]float64) {
		for i := range n / 2 {
			sin, cos := math.Sincos(math.Pi * float64(i) / float64(n/2))
			all = append(all, [][2]float64{{-50 * cos, -50 * sin}, {50 * cos, 50 * sin}})
		}
		return all
	}, "meet at more than"},
	{"one-line-again-and-again", func(n int) (all [][][2]float64) {
		for range n / 2 {
			all = append(all, [][2]float64{{0, 0}, {100, 0}})
		}
		return all
	}, "meet at more than"},
	{"parallel-lines-two-millimetres-apart", func(n int) (all [][][2]float64) {
		for i := range n / 2 {
			all = append(all, [][2]float64{{0, 0.002 * float64(i)}, {100, 0.002 * float64(i)}})
		}
		return all
	}, ""},
	{"parallel-lines-over-a-slope", func(n int) (all [][][2]float64) {
		for i := range n / 10 {
			all = append(all, level(0, 200, 2*float64(i), 10))
		}
		return all
	}, ""},
	{"parallel-lines-a-hair-apart", func(n int) (all [][][2]float64) {
		for i := range n / 2 {
			at := 90 * float64(i) / float64(n)
			all = append(all, [][2]float64{{0, at}, {200, at + 30}})
		}
		return all
	}, ""},
	{"a-track-that-turns-round-as-one-line", func(n int) [][][2]float64 {
		var track [][2]float64
		for i := range n - 2 {
			track = append(track, [2]float64{200 * float64(i/2%2^i%2), 100 * float64(i/2) / float64(n)})
		}
		return [][][2]float64{{{0, -5}, {200, -5}}, track}
	}, ""},
	{"a-line-beside-a-comb", func(n int) [][][2]float64 {
		var comb [][2]float64
		for i := range n - 2 {
			comb = append(comb, [2]float64{1000 * float64(i) / float64(n), 10 + 50*float64(i%2)})
		}
		return [][][2]float64{{{0, 0}, {1000, 0}}, comb}
	}, ""},
}

// TestRipAreaCost: as the lines grow, the work grows as n log n, crossing or not. Looking at
// each stretch of each line from each other took minutes for the grid of 2,500 lines, 50 KB.
func TestRipAreaCost(t *testing.T) {
	for _, f := range ripFamilies {
		t.Run(f.name, func(t *testing.T) {
			var steps [2]float64
			sizes := [2]int{625, 5000}
			for k, n := range sizes {
				work := &model.Work{Most: 1 << 40}
				_, err := RipArea(onGround(f.draw(n)...), 0.5, work)
				if f.says == "" && err != nil || f.says != "" && (err == nil || !strings.Contains(err.Error(), f.says)) {
					t.Fatalf("%d positions: %v, want %q", n, err, f.says)
				}
				steps[k] = float64(work.Steps()) / math.Log(float64(n))
			}
			if exponent := math.Log(steps[1]/steps[0]) / math.Log(8); exponent > 1.15 {
				t.Errorf("from %d to %d positions the work grows as n^%.2f log n, want n log n: %.0f and %.0f steps", sizes[0], sizes[1], exponent, steps[0], steps[1])
			} else {
				t.Logf("n^%.2f log n; %.0f steps a position", exponent, steps[1]*math.Log(5000)/5000)
			}
		})
	}
}
