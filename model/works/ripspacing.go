package works

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// sweep goes along every segment of every line and looks square to both sides. Between the
// places where another line begins, ends, bends or crosses, the way across is linear, so
// that sums over these stretches are exact on the plane. Where two other lines cross each
// other, the one that is nearer half-way along the stretch stands for both.
//
// The plane is that of offsets from the first position, which within 2 km stretches lengths
// by less than 2 in 100 million.
type sweep struct {
	points   [][2]float64 // metres east and north; of all lines, one after the other
	segments []stretch

	seenM    float64 // length with a neighbour, each side apart
	sum      float64 // of the ways across over that length, m²
	min, max float64
	area     float64 // half-way to both sides, m²
	aloneM   float64 // length with no neighbour on either side
	met      map[[2]int]bool
	facingM  map[[2]int]float64 // over what length each of two lines is the first that the other sees
	counting bool               // the first round, in which only facingM is summed
	lineM    []float64          // length of each line on the plane

	// What moving each point a metre would add, along each axis: to sum, to area, and to
	// aloneM. Their length, times the accuracy, is the plus-minus to first order.
	sumPull, areaPulls, alonePull [][2]float64
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

func newSweep(lines []orb.LineString) (*sweep, error) {
	w := &sweep{min: math.Inf(1), met: map[[2]int]bool{}, facingM: map[[2]int]float64{}, lineM: make([]float64, len(lines))}
	frame := geodesy.Frame{Origin: lines[0][0]}
	for i, line := range lines {
		for j, p := range line {
			east, north := frame.Offset(p)
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
	w.sumPull, w.areaPulls, w.alonePull = make([][2]float64, n), make([][2]float64, n), make([][2]float64, n)
	return w, nil
}

// run goes along all lines twice: to see which are neighbours, then to measure.
func (w *sweep) run() {
	var seen []across
	for _, w.counting = range []bool{true, false} {
		for _, from := range w.segments {
			seen = w.look(from, seen[:0])
			w.along(from, seen)
		}
	}
}

// areNeighbours tells whether two lines face each other over enough of the shorter one.
func (w *sweep) areNeighbours(a, b int) bool {
	return w.facingM[pairOf(a, b)] >= FacingShare*min(w.lineM[a], w.lineM[b])
}

func pairOf(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

// look lists the segments of other lines that lie square to some part of from.
func (w *sweep) look(from stretch, seen []across) []across {
	a, u, length := w.points[from.a], from.u, from.lengthM
	for _, other := range w.segments {
		if other.line == from.line {
			continue
		}
		p, q := w.points[other.a], w.points[other.b]
		s0, s1 := (p[0]-a[0])*u[0]+(p[1]-a[1])*u[1], (q[0]-a[0])*u[0]+(q[1]-a[1])*u[1]
		if s0 == s1 || max(s0, s1) <= 0 || min(s0, s1) >= length {
			continue
		}
		x := across{stretch: other, s0: s0, s1: s1,
			d0: (p[1]-a[1])*u[0] - (p[0]-a[0])*u[1], d1: (q[1]-a[1])*u[0] - (q[0]-a[0])*u[1]}
		if min(math.Abs(x.d0), math.Abs(x.d1)) > NeighbourM && x.d0*x.d1 > 0 {
			continue
		}
		// Moved by v, the other line is met v·n' / n·n' farther off, n' being square to it.
		run, rise := x.s1-x.s0, x.d1-x.d0
		x.pull = [2]float64{-u[1] - u[0]*rise/run, u[0] - u[1]*rise/run}
		if s1 < s0 {
			x.s0, x.s1, x.d0, x.d1, x.back = x.s1, x.s0, x.d1, x.d0, true
		}
		seen = append(seen, x)
	}
	return seen
}

// along sums the ways across from one segment to what lies square to it.
func (w *sweep) along(from stretch, seen []across) {
	length := from.lengthM
	slices.SortFunc(seen, func(x, y across) int { return cmp.Compare(x.s0, y.s0) })
	breaks := []float64{0, length}
	for _, x := range seen {
		for _, s := range []float64{x.s0, x.s1} {
			if s > 0 && s < length {
				breaks = append(breaks, s)
			}
		}
		for _, far := range []float64{-NeighbourM, NeighbourM} { // where it comes near enough
			if (x.d0-far)*(x.d1-far) < 0 {
				if s := x.where(far); s > 0 && s < length {
					breaks = append(breaks, s)
				}
			}
		}
		if x.d0*x.d1 <= 0 { // it meets the line that from is on
			if s := x.where(0); s >= 0 && s <= length {
				w.met[pairOf(from.line, x.line)] = true
				breaks = append(breaks, s)
			}
		}
	}
	slices.Sort(breaks)
	breaks = slices.Compact(breaks)
	open := make([]*across, 0, 64)
	next := 0
	for i, start := range breaks[:len(breaks)-1] {
		end := breaks[i+1]
		for ; next < len(seen) && seen[next].s0 <= start; next++ {
			open = append(open, &seen[next])
		}
		open = slices.DeleteFunc(open, func(x *across) bool { return x.s1 <= start })
		left, right := neighbours(open, (start+end)/2)
		w.add(from, start, end, left, right)
	}
}

// neighbours are the first lines met to the left and to the right at s.
func neighbours(open []*across, s float64) (left, right *across) {
	dl, dr := NeighbourM, -NeighbourM
	for _, x := range open {
		switch d := x.at(s); {
		case d >= 0 && d <= dl:
			left, dl = x, d
		case d < 0 && d >= dr:
			right, dr = x, d
		}
	}
	return left, right
}

// add adds the part of from between start and end, along which the same lines lie to the
// left and right.
func (w *sweep) add(from stretch, start, end float64, left, right *across) {
	part := end - start
	for _, x := range []**across{&left, &right} {
		switch {
		case *x == nil:
		case w.counting:
			w.facingM[pairOf(from.line, (*x).line)] += part
		case !w.areNeighbours(from.line, (*x).line):
			*x = nil
		}
	}
	if w.counting {
		return
	}
	if left == nil && right == nil {
		w.aloneM += part
		w.lengthen(from, start, end, w.alonePull, 1, 1)
		return
	}
	half := 0.5
	if left == nil || right == nil {
		half = 1 // as wide on the side that has no neighbour
	}
	middle, widthStart, widthEnd := (start+end)/2, 0.0, 0.0
	for _, side := range []struct {
		x    *across
		sign float64
	}{{left, 1}, {right, -1}} {
		x := side.x
		if x == nil {
			continue
		}
		d0, d1 := max(0, side.sign*x.at(start)), max(0, side.sign*x.at(end))
		w.seenM += part
		w.sum += part * (d0 + d1) / 2
		w.area += half * part * (d0 + d1) / 2
		w.min, w.max = min(w.min, d0, d1), max(w.max, d0, d1)
		widthStart, widthEnd = widthStart+half*d0, widthEnd+half*d1
		there := (middle - x.s0) / (x.s1 - x.s0)
		if x.back {
			there = 1 - there
		}
		here := middle / from.lengthM
		for k := range 2 {
			for _, pulled := range []struct {
				point int
				pull  float64
			}{{x.a, (1 - there) * x.pull[k]}, {x.b, there * x.pull[k]}, {from.a, -(1 - here) * x.pull[k]}, {from.b, -here * x.pull[k]}} {
				w.sumPull[pulled.point][k] += side.sign * part * pulled.pull
				w.areaPulls[pulled.point][k] += side.sign * half * part * pulled.pull
			}
		}
	}
	w.lengthen(from, start, end, w.areaPulls, widthStart, widthEnd)
}

// lengthen notes what moving the ends of a segment along it adds, if its part from start to
// end reaches them.
func (w *sweep) lengthen(from stretch, start, end float64, pulls [][2]float64, atStart, atEnd float64) {
	for k, u := range from.u {
		if start == 0 {
			pulls[from.a][k] -= u * atStart
		}
		if end == from.lengthM {
			pulls[from.b][k] += u * atEnd
		}
	}
}

// meanPull is how far the mean spacing moves for positions scattered by a metre.
func (w *sweep) meanPull() float64 {
	total := 0.0
	for _, g := range w.sumPull {
		total += g[0]*g[0] + g[1]*g[1]
	}
	return math.Sqrt(total) / w.seenM
}

// areaPull is how far the area moves for positions scattered by a metre.
func (w *sweep) areaPull(meanM float64) float64 {
	total := 0.0
	for i := range w.points {
		for k := range 2 {
			g := w.areaPulls[i][k] + meanM*w.alonePull[i][k] + w.aloneM/w.seenM*w.sumPull[i][k]
			total += g * g
		}
	}
	return math.Sqrt(total)
}

// meetings are the pairs of lines that meet, in order.
func (w *sweep) meetings() [][2]int {
	return slices.SortedFunc(maps.Keys(w.met), func(p, q [2]int) int { return slices.Compare(p[:], q[:]) })
}
