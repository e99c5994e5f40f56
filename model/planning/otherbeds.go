package planning

import (
	"github.com/paulmach/orb"

	"headcut/model/geodesy"
)

// junctionM is how near to an end of a line another bed may cross it and count as one that joins it: as far as
// a line that was walked by GPS may go past where two gullies meet. Common practice, no source.
const junctionM = 20

// otherBeds says which other thalwegs lie across this one, as no two beds do.
func (g *gully) otherBeds() {
	for other := range g.p.of("thalweg") {
		line, _ := joined(other.Geometry)
		if other == g.item || len(line) < 2 || g.frame.line == nil {
			continue
		}
		if at, ok := crossing(g.frame.line, line); ok {
			g.miss("the lines of %s and %s cross %.0f m along this one, as no two beds do: one of them is drawn wrongly, and dams near there may belong to the other.", g.item.Called(), other.Called(), at)
		}
	}
}

// crossing is where along the first line the second crosses it, away from the ends of both. Positions are taken for
// places on a plane, which is near enough to tell whether two lines of one property cross.
func crossing(a, b orb.LineString) (alongM float64, ok bool) {
	near := a.Bound()
	if !near.Intersects(b.Bound()) {
		return 0, false
	}
	lengthA, lengthB := geodesy.Length(a), geodesy.Length(b)
	for i := range len(b) - 1 {
		p, q := b[i], b[i+1]
		if !near.Intersects(orb.MultiPoint{p, q}.Bound()) {
			continue
		}
		for k := range len(a) - 1 {
			share, cross := meet(a[k], a[k+1], p, q)
			if !cross {
				continue
			}
			at := orb.Point{a[k][0] + share*(a[k+1][0]-a[k][0]), a[k][1] + share*(a[k+1][1]-a[k][1])}
			m := geodesy.Length(a[:k+1]) + geodesy.Distance(a[k], at)
			n := geodesy.Length(b[:i+1]) + geodesy.Distance(p, at)
			if min(m, lengthA-m) > junctionM && min(n, lengthB-n) > junctionM {
				return m, true
			}
		}
	}
	return 0, false
}

// meet is the share of the way from a to b at which the straight line to b crosses that from p to q.
func meet(a, b, p, q orb.Point) (share float64, ok bool) {
	side := func(from, to, of orb.Point) float64 {
		return (to[0]-from[0])*(of[1]-from[1]) - (to[1]-from[1])*(of[0]-from[0])
	}
	s, t := side(p, q, a), side(p, q, b)
	if s*t >= 0 || side(a, b, p)*side(a, b, q) >= 0 {
		return 0, false
	}
	return s / (s - t), true
}
