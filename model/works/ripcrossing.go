package works

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"headcut/model"
)

// leastMostMet is how often lines may cross of however few positions; of more, once for each
// position.
const leastMostMet = 200

// crossings refuses lines that cross each other too often to be rip lines, before anything is
// measured: n lines that cross each other have n² ways across. It is the plane sweep of J. L.
// Bentley and T. A. Ottmann, Algorithms for reporting and counting geometric intersections,
// 1979 (from memory): segments are held in their order along a line that sweeps the plane, and
// only neighbours in that order can be the next to cross. For n segments and k crossings that
// are n+k events; it ends at the first crossing too many. Lines that only touch do not cross.
//
// Two segments change places once at most, whatever rounding does to the place: there is a
// crossing to come only where the one below ends up above.
func (w *sweep) crossings() error {
	c := crossSweep{slants: make([]slant, len(w.segments)), work: w.work}
	var ends []crossEvent
	for i, s := range w.segments {
		c.slants[i] = slantOf(w.points[s.a], w.points[s.b])
		ends = append(ends, crossEvent{c.slants[i].x0, i, beginning}, crossEvent{c.slants[i].x1, i, ending})
	}
	model.SortStable(ends, func(e, f crossEvent) int {
		return cmp.Or(cmp.Compare(e.x, f.x), cmp.Compare(e.other, f.other), cmp.Compare(e.segment, f.segment))
	})
	count := 0
	for len(ends) > 0 && w.work.Do(1) {
		e := ends[0]
		if n := len(c.coming); n > 0 && c.coming[n-1].x < e.x {
			e, c.coming = c.coming[n-1], c.coming[:n-1]
		} else {
			ends = ends[1:]
		}
		switch e.other {
		case beginning:
			s := c.slants[e.segment]
			at := sort.Search(len(c.now), func(k int) bool {
				here := c.slants[c.now[k]]
				return cmp.Or(cmp.Compare(here.at(e.x), s.at(e.x)), cmp.Compare(here.rise, s.rise)) >= 0
			})
			c.now = model.Insert(c.now, at, e.segment)
			c.look(at-1, e.x)
			c.look(at, e.x)
		case ending:
			at := slices.Index(c.now, e.segment)
			c.now = slices.Delete(c.now, at, at+1)
			c.look(at-1, e.x)
		default:
			at := slices.Index(c.now, e.segment)
			if at < 0 || at+1 == len(c.now) || c.now[at+1] != e.other {
				continue // something has come between: it is found again when that has gone
			}
			c.now[at], c.now[at+1] = e.other, e.segment
			if count++; count > w.mostMet {
				return w.meetTooOften(pairOf(w.segments[e.segment].line, w.segments[e.other].line))
			}
			c.look(at-1, e.x)
			c.look(at+1, e.x)
		}
	}
	return nil
}

func (w *sweep) meetTooOften(lines [2]int) error {
	return &model.Problem{Path: "lines", Reason: fmt.Sprintf("meet at more than %d places, lines %d and %d among them: lines on the contour never do", w.mostMet, lines[0]+1, lines[1]+1),
		Fix: "give each pass once, as a line of its own, cut where the track turns round"}
}

type crossSweep struct {
	slants []slant
	now    []int        // segments that the sweeping line crosses, from below
	coming []crossEvent // the next last
	work   *model.Work
}

// crossEvent is where a segment begins, ends, or crosses the one above it.
type crossEvent struct {
	x              float64
	segment, other int
}

const beginning, ending = -2, -1

// slant is a segment as the sweep sees it, which goes askew, so that no segment that anybody
// drew runs along it.
type slant struct{ x0, x1, y0, rise float64 }

func slantOf(p, q [2]float64) slant {
	const cos, sin = 0.5403023058681398, 0.8414709848078965 // of 1 rad
	turn := func(p [2]float64) (x, y float64) { return p[0]*cos - p[1]*sin, p[0]*sin + p[1]*cos }
	x0, y0 := turn(p)
	x1, y1 := turn(q)
	if x1 < x0 {
		x0, y0, x1, y1 = x1, y1, x0, y0
	}
	s := slant{x0, x1, y0, 0}
	if x1 > x0 {
		s.rise = (y1 - y0) / (x1 - x0)
	}
	return s
}

func (s slant) at(x float64) float64 { return s.y0 + s.rise*(x-s.x0) }

// look finds out whether the segment at a place of the order will cross the one above it.
func (c *crossSweep) look(at int, x float64) {
	if at < 0 || at+1 >= len(c.now) || !c.work.Do(1) {
		return
	}
	low, high := c.now[at], c.now[at+1]
	a, b := c.slants[low], c.slants[high]
	end := min(a.x1, b.x1)
	touchM := 1e-9 * (1 + math.Abs(b.at(end)))
	if !(a.at(end) > b.at(end)+touchM) {
		return
	}
	e := crossEvent{min(end, max(x, (b.y0-b.rise*b.x0-a.y0+a.rise*a.x0)/(a.rise-b.rise))), low, high}
	i := sort.Search(len(c.coming), func(k int) bool { return c.coming[k].x <= e.x })
	c.coming = model.Insert(c.coming, i, e)
}
