package works

import (
	"math"
	"sort"

	"headcut/model"
)

// view is what one segment sees square to itself: to either side the nearest of the other
// lines, all along. It keeps its memory from one segment to the next.
type view struct {
	*sweep
	from  stretch
	sides [2]ripSide // left and right
}

// ripSide is one side of a view: parts that follow each other from end to end of the segment.
type ripSide struct {
	sign         float64 // of d: 1 for the left
	parts        []ripPart
	spare, after []ripPart // while one is taken in
}

// slitM is wider than rounding a position moves it, and too narrow to measure through.
const slitM = 1e-6

// ripPart is a part of a segment along which the same other segment is the nearest; nil:
// none within NeighbourM.
type ripPart struct {
	start, end ripBreak
	x          *across
}

func (v *view) begin(from stretch, w *sweep) {
	v.sweep, v.from = w, from
	for k, sign := range [2]float64{1, -1} {
		side := &v.sides[k]
		side.sign = sign
		side.parts = append(side.parts[:0], ripPart{ripBreak{0, from.a, 0}, ripBreak{from.lengthM, from.b, 0}, nil})
	}
	w.tree.visit(v)
}

// meet takes another segment into the view.
func (v *view) meet(k int) {
	from, other := v.from, v.segments[k]
	a, u := v.points[from.a], from.u
	p, q := v.points[other.a], v.points[other.b]
	x := across{stretch: other, s0: (p[0]-a[0])*u[0] + (p[1]-a[1])*u[1], s1: (q[0]-a[0])*u[0] + (q[1]-a[1])*u[1],
		d0: (p[1]-a[1])*u[0] - (p[0]-a[0])*u[1], d1: (q[1]-a[1])*u[0] - (q[0]-a[0])*u[1]}
	if x.meets(from.lengthM) {
		v.lastMet = pairOf(from.line, x.line)
		v.met[v.lastMet] = true
	}
	if x.s0 == x.s1 || max(x.s0, x.s1) <= 0 || min(x.s0, x.s1) >= from.lengthM {
		return
	}
	// Moved by v, the other line is met v·n' / n·n' farther off, n' being square to it.
	run, rise := x.s1-x.s0, x.d1-x.d0
	x.pull = [2]float64{-u[1] - u[0]*rise/run, u[0] - u[1]*rise/run}
	if x.s1 < x.s0 {
		x.s0, x.s1, x.d0, x.d1, x.back = x.s1, x.s0, x.d1, x.d0, true
	}
	for k := range v.sides {
		side := &v.sides[k]
		if start, end, ok := x.within(from, side.sign); ok {
			side.insert(&x, start, end, v.work)
		}
	}
}

// meets tells whether x meets the segment of this length from which it is seen.
func (x *across) meets(lengthM float64) bool {
	switch s := x.where(0); {
	case x.d0*x.d1 > 0:
		return false
	case x.d0 == x.d1:
		return max(x.s0, x.s1) >= 0 && min(x.s0, x.s1) <= lengthM
	default:
		return s >= 0 && s <= lengthM
	}
}

// within is the part of x that lies to one side of from, no farther off than NeighbourM. A
// line on from itself lies to its left.
func (x *across) within(from stretch, sign float64) (start, end ripBreak, ok bool) {
	start, end = ripBreak{x.s0, x.a, x.d0}, ripBreak{x.s1, x.b, x.d1}
	if x.back {
		start.point, end.point = x.b, x.a
	}
	near, far := min(sign*x.d0, sign*x.d1), max(sign*x.d0, sign*x.d1)
	if far < 0 || far == 0 && (near < 0 || sign < 0) || near > NeighbourM {
		return start, end, false
	}
	for _, at := range []*ripBreak{&start, &end} {
		if d := sign * at.d; d < 0 {
			*at = ripBreak{x.where(0), -1, 0}
		} else if d > NeighbourM {
			*at = ripBreak{x.where(sign * NeighbourM), -1, sign * NeighbourM}
		}
	}
	if start.s < 0 {
		start = ripBreak{0, from.a, 0}
	}
	if end.s > from.lengthM {
		end = ripBreak{from.lengthM, from.b, 0}
	}
	return start, end, start.s < end.s
}

// insert lets x be seen from start to end, wherever nothing nearer is.
func (v *ripSide) insert(x *across, start, end ripBreak, work *model.Work) {
	i := max(0, v.at(start.s)-1) // with the parts before and after, in case x goes on from there
	j := i
	v.spare = v.spare[:0]
	for ; j < len(v.parts) && (v.parts[j].start.s <= end.s || j == i); j++ {
		p := v.parts[j]
		from, to := p.start, p.end
		if start.s > from.s {
			from = start
		}
		if end.s < to.s {
			to = end
		}
		switch {
		case from.s >= to.s:
			v.put(p.start, p.end, p.x)
			continue
		case p.x == nil:
			v.put(p.start, from, nil)
			v.put(from, to, x)
		default:
			v.put(p.start, from, p.x)
			n0, n1 := v.sign*(p.x.at(from.s)-x.at(from.s)), v.sign*(p.x.at(to.s)-x.at(to.s)) // how much nearer x is
			first, then := x, p.x
			if n0 < 0 || n0 == 0 && n1 < 0 {
				first, then = p.x, x
			}
			crossing := to
			if n0*n1 < 0 {
				s := from.s + (to.s-from.s)*n0/(n0-n1)
				crossing = ripBreak{s, -1, x.at(s)}
			}
			v.put(from, crossing, first)
			v.put(crossing, to, then)
		}
		v.put(to, p.end, p.x)
	}
	work.Do(j - i)
	after := append(v.after[:0], v.parts[j:]...)
	v.parts, v.after = append(append(v.parts[:i], v.spare...), after...), after
}

// at is the part that a place along the segment is in; of two that meet there, the later one.
func (v *ripSide) at(s float64) int {
	return sort.Search(len(v.parts), func(k int) bool { return v.parts[k].end.s > s })
}

// hides tells whether nothing can be seen that lies this far off between two places, but for
// slits left by rounding where lines end side by side.
func (v *ripSide) hides(from, to, m float64, work *model.Work) bool {
	for k := v.at(from); k < len(v.parts) && v.parts[k].start.s <= to && work.Do(1); k++ {
		if p := v.parts[k]; p.end.s-p.start.s > slitM && (p.x == nil || max(math.Abs(p.x.at(p.start.s)), math.Abs(p.x.at(p.end.s))) >= m) {
			return false
		}
	}
	return true
}

// put adds a part to spare, or lengthens the last one there.
func (v *ripSide) put(start, end ripBreak, x *across) {
	if start.s >= end.s {
		return
	}
	if n := len(v.spare); n > 0 && v.spare[n-1].x == x {
		v.spare[n-1].end = end
		return
	}
	v.spare = append(v.spare, ripPart{start, end, x})
}

// parts visits the parts along which the same is seen to both sides.
func (v *view) parts(visit func(start, end ripBreak, left, right *across)) {
	left, right := v.sides[0].parts, v.sides[1].parts
	for start := left[0].start; len(left) > 0 && len(right) > 0; {
		end := left[0].end
		if right[0].end.s < end.s {
			end = right[0].end
		}
		visit(start, end, left[0].x, right[0].x)
		if left[0].end.s == end.s {
			left = left[1:]
		}
		if right[0].end.s == end.s {
			right = right[1:]
		}
		start = end
	}
}
