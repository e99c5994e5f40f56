package works

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// sweep goes along every segment of every line and looks square to both sides. Between the
// places where the line that is seen first changes, the way across is linear, so that sums
// over these stretches are exact on the plane.
//
// The plane is that of offsets from the first position, which within 2 km stretches lengths
// by less than 2 in 100 million.
type sweep struct {
	points   [][2]float64 // metres east and north; of all lines, one after the other
	segments []stretch
	tree     boxTree // of segments
	work     *model.Work

	seenM    float64 // length with a neighbour, each side apart
	sum      float64 // of the ways across over that length, m²
	area     float64 // half-way to both sides, m²
	aloneM   float64 // length with no neighbour on either side
	met      map[[2]int]bool
	lastMet  [2]int
	mostMet  int                // crossings, and pairs of lines that meet, that are taken
	facingM  map[[2]int]float64 // over what length each of two lines is the first that the other sees
	counting bool               // the first round, in which only facingM is summed
	lineM    []float64          // length of each line on the plane

	frame       geodesy.Frame
	least, most ripPlace
	pairs       map[[2]int]*ripPair
	start       []int // of each line's points in points

	// What moving each point a metre would add, along each axis: to sum, to seenM, to area and
	// to aloneM. Their length, times the accuracy, is the plus-minus to first order.
	sumPull, seenPull, areaPulls, alonePull [][2]float64
}

// sliverM is how short a part is too short to tell of a spacing.
const sliverM = 0.001

// ripPlace is a place on a line and how far square to it the next line lies there.
type ripPlace struct {
	line, other int
	at          [2]float64
	m, pull     float64 // pull: how far m moves for positions scattered by a metre
}

// ripPair sums up what two neighbours see of each other, from both.
type ripPair struct {
	lines       [2]int
	seenM, sum  float64
	facesM      [2]float64 // of the line with the lower number, and of the other
	least, most ripPlace
	// As in sweep, for the points of the two lines.
	sumPull, seenPull [2][][2]float64
}

// stretch is one segment: its line, its two points, and the unit vector from a to b.
type stretch struct {
	line, a, b int
	lengthM    float64
	u          [2]float64
}

// across is another segment as seen from one: s along it and d to the left at both ends, in
// order of s.
type across struct {
	stretch
	s0, s1, d0, d1 float64
	pull           [2]float64 // what moving it a metre each way adds to d
	back           bool       // its point b is at s0
}

func (x *across) at(s float64) float64 {
	if s == x.s1 {
		return x.d1
	}
	return x.d0 + (x.d1-x.d0)*(s-x.s0)/(x.s1-x.s0)
}

// where is the s at which d comes to be this, the start when it is so all along.
func (x *across) where(d float64) float64 {
	if x.d0 == x.d1 {
		return x.s0
	}
	return x.s0 + (d-x.d0)*(x.s1-x.s0)/(x.d1-x.d0)
}

func newSweep(lines []orb.LineString, work *model.Work) (*sweep, error) {
	w := &sweep{work: work, least: ripPlace{m: math.Inf(1)}, most: ripPlace{m: -1}, pairs: map[[2]int]*ripPair{}, met: map[[2]int]bool{}, facingM: map[[2]int]float64{}, lineM: make([]float64, len(lines))}
	w.frame = geodesy.Frame{Origin: lines[0][0]}
	for i, line := range lines {
		w.start = append(w.start, len(w.points))
		for j, p := range line {
			east, north := w.frame.Offset(p)
			if math.Hypot(east, north) > patchM {
				return nil, &model.Problem{Path: fmt.Sprintf("lines[%d][%d]", i, j),
					Reason: fmt.Sprintf("lies %.0f km from the first line", math.Hypot(east, north)/1000), Fix: "give the lines of one patch"}
			}
			w.points = append(w.points, [2]float64{east, north})
			if j == 0 {
				continue
			}
			b := len(w.points) - 1
			dx, dy := w.points[b][0]-w.points[b-1][0], w.points[b][1]-w.points[b-1][1]
			if length := math.Hypot(dx, dy); length > 0 {
				w.lineM[i] += length
				w.segments = append(w.segments, stretch{i, b - 1, b, length, [2]float64{dx / length, dy / length}})
			}
		}
	}
	n := len(w.points)
	w.start = append(w.start, n)
	w.mostMet = max(leastMostMet, n)
	for _, pulls := range []*[][2]float64{&w.sumPull, &w.seenPull, &w.areaPulls, &w.alonePull} {
		*pulls = make([][2]float64, n)
	}
	return w, nil
}

// run goes along all lines twice: to see which are neighbours, then to measure.
//
// Lines that lie on each other cross nowhere and yet meet: it ends when too many do.
func (w *sweep) run() error {
	w.tree = treeOf(w.points, w.segments)
	var v view
	for _, w.counting = range []bool{true, false} {
		for _, from := range w.segments {
			if v.begin(from, w); len(w.met) > w.mostMet {
				return w.meetTooOften(w.lastMet)
			}
			v.parts(func(start, end ripBreak, left, right *across) { w.add(from, start, end, left, right) })
		}
	}
	return nil
}

// areNeighbours tells whether two lines face each other over enough of the shorter one.
func (w *sweep) areNeighbours(a, b int) bool {
	return w.facingM[pairOf(a, b)] >= FacingShare*min(w.lineM[a], w.lineM[b])
}

func pairOf(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

// ripBreak is a place along a segment where what is seen from it changes, and the point at d
// to the left that makes it: an end of the segment itself, an end of another, or -1 for a
// place that no one point makes.
type ripBreak struct {
	s     float64
	point int
	d     float64
}

// add adds the part of from between start and end, along which the same lines lie to the
// left and right.
func (w *sweep) add(from stretch, start, end ripBreak, left, right *across) {
	part := end.s - start.s
	sides := 0.0 // that have a neighbour
	for _, x := range [2]**across{&left, &right} {
		switch {
		case *x == nil:
		case w.counting:
			w.facingM[pairOf(from.line, (*x).line)] += part
		case w.areNeighbours(from.line, (*x).line):
			sides++
		default:
			*x = nil
		}
	}
	switch {
	case w.counting:
		return
	case sides == 0:
		w.aloneM += part
		w.shift(from, start, -1, w.alonePull)
		w.shift(from, end, 1, w.alonePull)
	}
	if left != nil {
		w.side(from, start, end, left, 1, 1/sides) // as wide on a side that has no neighbour
	}
	if right != nil {
		w.side(from, start, end, right, -1, 1/sides)
	}
}

// side adds what lies on one side, sign 1 for the left: to the whole and to the pair.
func (w *sweep) side(from stretch, start, end ripBreak, x *across, sign, half float64) {
	part, middle := end.s-start.s, (start.s+end.s)/2
	d0, d1 := max(0, sign*x.at(start.s)), max(0, sign*x.at(end.s))
	w.seenM += part
	w.sum += part * (d0 + d1) / 2
	w.area += half * part * (d0 + d1) / 2
	pair := w.pair(from.line, x.line)
	pair.seenM += part
	pair.sum += part * (d0 + d1) / 2
	pair.facesM[slices.Index(pair.lines[:], from.line)] += part
	for _, end := range []struct {
		ripBreak
		m float64
	}{{start, d0}, {end, d1}} {
		// A sliver at the end of a line, left by rounding, would tell of the line behind.
		if part < min(sliverM, from.lengthM/1000) || end.m >= pair.least.m && end.m <= pair.most.m {
			continue
		}
		place := w.place(from, end.ripBreak, x, end.m)
		for _, least := range []*ripPlace{&pair.least, &w.least} {
			if place.m < least.m {
				*least = place
			}
		}
		for _, most := range []*ripPlace{&pair.most, &w.most} {
			if place.m > most.m {
				*most = place
			}
		}
	}
	w.eachPull(from, middle, x, func(point int, pull [2]float64) {
		for k := range pull {
			w.sumPull[point][k] += sign * part * pull[k]
			w.areaPulls[point][k] += sign * half * part * pull[k]
		}
		pair.add(w, &pair.sumPull, point, sign*part, pull)
	})
	for _, edge := range []struct {
		at      ripBreak
		m, sign float64
	}{{start, d0, -1}, {end, d1, 1}} {
		w.shift(from, edge.at, edge.sign*edge.m, w.sumPull)
		w.shift(from, edge.at, edge.sign, w.seenPull)
		w.shift(from, edge.at, edge.sign*half*edge.m, w.areaPulls)
		w.eachShift(from, edge.at, func(point int, pull [2]float64) {
			pair.add(w, &pair.sumPull, point, edge.sign*edge.m, pull)
			pair.add(w, &pair.seenPull, point, edge.sign, pull)
		})
	}
}

// inOrder are the pairs of lines that all holds something of, in order.
func inOrder[V any](all map[[2]int]V) [][2]int {
	pairs := slices.Collect(maps.Keys(all))
	model.SortStable(pairs, func(p, q [2]int) int { return slices.Compare(p[:], q[:]) })
	return pairs
}
