package works

import (
	"cmp"
	"math"
	"slices"
)

// boxTree finds the segments near a place: a binary tree of boxes, each node's segments split
// at the median of their middles. It is searched by branch and bound, the nearer half first.
// Sources: J. L. Bentley, Multidimensional binary search trees, 1975; A. Guttman, R-trees,
// 1984; N. Roussopoulos and others, Nearest neighbor queries, 1995 (from memory). The boxes
// lie along the lines' own main direction, so that those of long parallel lines are thin.
type boxTree struct {
	along [2]float64 // unit vector of the boxes' first axis
	order []int      // segments, those of each node side by side
	boxes []box      // of a node; its halves are at 2i+1 and 2i+2
}

type box struct {
	low, high [2]float64
	line      int // that all segments in it are of; -1: of several
}

func treeOf(points [][2]float64, segments []stretch) boxTree {
	// Twice the angle, so that both ways along a line are one direction.
	cos2, sin2 := 0.0, 0.0
	for _, s := range segments {
		cos2 += s.lengthM * (s.u[0]*s.u[0] - s.u[1]*s.u[1])
		sin2 += s.lengthM * 2 * s.u[0] * s.u[1]
	}
	t := boxTree{along: [2]float64{1, 0}}
	if r := math.Hypot(cos2, sin2); r > 0 {
		t.along[0] = math.Sqrt(max(0, (1+cos2/r)/2))
		t.along[1] = math.Copysign(math.Sqrt(max(0, (1-cos2/r)/2)), sin2)
	}
	ends := make([]box, len(segments))
	for i, s := range segments {
		p, q := t.turned(points[s.a]), t.turned(points[s.b])
		for k := range 2 {
			ends[i].low[k], ends[i].high[k] = min(p[k], q[k]), max(p[k], q[k])
		}
		ends[i].line = s.line
		t.order = append(t.order, i)
	}
	t.build(0, t.order, ends)
	return t
}

func (t *boxTree) turned(p [2]float64) [2]float64 {
	return [2]float64{p[0]*t.along[0] + p[1]*t.along[1], p[1]*t.along[0] - p[0]*t.along[1]}
}

func (t *boxTree) build(node int, order []int, ends []box) {
	for len(t.boxes) <= node {
		t.boxes = append(t.boxes, box{})
	}
	b := ends[order[0]]
	middle := func(i, k int) float64 { return ends[i].low[k] + ends[i].high[k] } // twice
	var least, most [2]float64
	for n, i := range order {
		for k := range 2 {
			b.low[k], b.high[k] = min(b.low[k], ends[i].low[k]), max(b.high[k], ends[i].high[k])
			if m := middle(i, k); n == 0 {
				least[k], most[k] = m, m
			} else {
				least[k], most[k] = min(least[k], m), max(most[k], m)
			}
		}
		if ends[i].line != b.line {
			b.line = -1
		}
	}
	t.boxes[node] = b
	if len(order) == 1 {
		return
	}
	axis := 0
	if most[1]-least[1] > most[0]-least[0] {
		axis = 1
	}
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(middle(i, axis), middle(j, axis)), i-j)
	})
	half := len(order) / 2
	t.build(2*node+1, order[:half], ends)
	t.build(2*node+2, order[half:], ends)
}

// visit gives a view every segment of another line that may lie square to some part of its
// own, nearer than what it sees there by then.
func (t *boxTree) visit(v *view) {
	a, u := t.turned(v.points[v.from.a]), t.turned(v.from.u)
	ux, uy := math.Abs(u[0]), math.Abs(u[1])
	// away is how far a node's box is from the line at least; endless where it need not be
	// looked into.
	away := func(node int) float64 {
		b := t.boxes[node]
		x, y := (b.low[0]+b.high[0])/2-a[0], (b.low[1]+b.high[1])/2-a[1]
		hx, hy := (b.high[0]-b.low[0])/2, (b.high[1]-b.low[1])/2
		s, hs := x*u[0]+y*u[1], hx*ux+hy*uy+slitM
		d, hd := y*u[0]-x*u[1], hx*uy+hy*ux+slitM
		m := max(0, math.Abs(d)-hd)
		side := &v.sides[0]
		if d < 0 {
			side = &v.sides[1]
		}
		if b.line == v.from.line || s+hs < 0 || s-hs > v.from.lengthM || m > NeighbourM || m > 0 && side.hides(s-hs, s+hs, m, v.work) {
			return math.Inf(1)
		}
		return m
	}
	var search func(node int, order []int)
	search = func(node int, order []int) {
		if len(order) == 1 {
			v.meet(order[0])
			return
		}
		half := len(order) / 2
		first, then := 2*node+1, 2*node+2
		near, far := order[:half], order[half:]
		m, n := away(first), away(then)
		if n < m {
			first, then, near, far, m = then, first, far, near, n
		}
		if math.IsInf(m, 1) || !v.work.Do(1) {
			return
		}
		search(first, near)
		if !math.IsInf(away(then), 1) { // which it may have come to be
			search(then, far)
		}
	}
	if len(t.order) > 1 {
		search(0, t.order)
	}
}
