package figures

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model/section"
)

// reachM is how far from a thalweg a dam that names none may lie and still be taken to
// stand in it; one that names it may lie anywhere, and is told to be far off.
const reachM = 25

// grid finds the thalweg nearest to a fix without trying them all: it lists by cell of
// about 100 m the thalwegs that pass within reach.
type grid map[[2]int][]*thalweg

const cellDeg = 0.001

func cellOf(p orb.Point) [2]int {
	return [2]int{int(math.Floor(p[0] / cellDeg)), int(math.Floor(p[1] / cellDeg))}
}

// mostCells bounds what one absurdly long thalweg may fill.
const mostCells = 20_000

func (g grid) add(t *thalweg) {
	t.cells(func(at [2]int) {
		if here := g[at]; len(here) == 0 || here[len(here)-1] != t {
			g[at] = append(here, t)
		}
	})
}

func (g grid) drop(t *thalweg) {
	t.cells(func(at [2]int) {
		g[at] = slices.DeleteFunc(g[at], func(other *thalweg) bool { return other == t })
	})
}

// cells visits the cells along a thalweg, and those around them, some more than once.
func (t *thalweg) cells(visit func([2]int)) {
	for i := 1; i < len(t.line); i++ {
		along(t.line[i-1], t.line[i], visit)
	}
}

func along(a, b orb.Point, visit func([2]int)) {
	steps := max(math.Abs(b[0]-a[0]), math.Abs(b[1]-a[1]))/(cellDeg/2) + 1
	if !(steps < mostCells) {
		return
	}
	last := [2]int{math.MinInt, math.MinInt}
	for k := 0.0; k <= steps; k++ {
		f := min(k/steps, 1)
		c := cellOf(orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])})
		if c == last {
			continue
		}
		last = c
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				visit([2]int{c[0] + dx, c[1] + dy})
			}
		}
	}
}

// find returns the nearest thalweg within reach, the one with the lower id of equals, or
// nil.
func (g grid) find(p orb.Point) *thalweg {
	var nearest *thalweg
	least := float64(reachM)
	for _, t := range g[cellOf(p)] {
		if at, err := section.Snap(t.line, p); err == nil && (at.OffsetM < least || nearest != nil && at.OffsetM == least && t.id < nearest.id) {
			nearest, least = t, at.OffsetM
		}
	}
	return nearest
}
