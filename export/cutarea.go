package export

import (
	"cmp"
	"slices"
)

// cutArea cuts a wound polygon, whose shell or a hole leaps, into the parts west and east
// of the antimeridian. It is false for what has no clean cut: a ring round a pole, or
// rings that cross themselves at the cut.
func cutArea(rings [][]position) ([][][]position, bool) {
	var west, east half
	for i, ring := range rings {
		flat, ok := unroll(ring, i > 0)
		if !ok {
			return nil, false
		}
		split(flat, &west, &east)
	}
	parts, ok := west.close()
	others, ok2 := east.close()
	for _, part := range others {
		for _, ring := range part {
			for i := range ring {
				ring[i].lon -= 2 * halfTurn
			}
		}
	}
	parts = append(parts, others...)
	return parts, ok && ok2 && len(parts) > 0
}

// unroll gives a ring whose longitudes run on past 180 instead of leaping to -180, and
// lie from 0 upward when they leap or are a hole's on the western side of one that does.
func unroll(ring []position, hole bool) ([]position, bool) {
	flat := slices.Clone(ring)
	least := flat[0].lon
	for i := 1; i < len(flat); i++ {
		flat[i].lon = flat[i-1].lon + nearWay(ring[i].lon-ring[i-1].lon)
		least = min(least, flat[i].lon)
	}
	if flat[0] != flat[len(flat)-1] {
		return nil, false // went round a pole
	}
	if least <= -halfTurn || least < 0 && (hole || !leapsOver(ring)) {
		for i := range flat {
			flat[i].lon += 2 * halfTurn
		}
	}
	return flat, true
}

// half gathers what lies on one side of the cut: rings that do not meet it, and chains
// that begin and end on it.
type half struct {
	rings  [][]position
	chains [][]position
}

// split deals an unrolled ring out to both sides. A position on the cut counts as east.
func split(ring []position, west, east *half) {
	isEast := func(p position) bool { return p.lon >= halfTurn }
	side := func(p position) *half {
		if isEast(p) {
			return east
		}
		return west
	}
	open := ring[:len(ring)-1]
	start := -1
	for i := range open {
		if isEast(open[i]) != isEast(open[(i+1)%len(open)]) {
			start = i
			break
		}
	}
	if start < 0 {
		side(ring[0]).rings = append(side(ring[0]).rings, ring)
		return
	}
	var chain []position
	add := func(p position) {
		if len(chain) == 0 || chain[len(chain)-1] != p {
			chain = append(chain, p)
		}
	}
	// From one crossing all the way round to the same crossing.
	for k := range len(open) + 1 {
		a, b := open[(start+k)%len(open)], open[(start+k+1)%len(open)]
		if isEast(a) != isEast(b) {
			cut := position{halfTurn, crossing(a, b, halfTurn)}
			if k > 0 {
				add(cut)
				side(a).chains = append(side(a).chains, chain)
			}
			chain = []position{cut}
		}
		add(b)
	}
}

// end is where a chain meets the cut.
type end struct {
	lat    int64
	chain  int
	starts bool
}

// close joins the chains along the cut into shells and gives each whole ring its place: a
// shell of its own, or a hole in the shell around it.
func (h *half) close() ([][][]position, bool) {
	shells, ok := h.join()
	if !ok {
		return nil, false
	}
	var parts [][][]position
	for _, shell := range shells {
		parts = append(parts, [][]position{shell})
	}
	for _, ring := range h.rings {
		if twiceArea(ring) > 0 {
			parts = append(parts, [][]position{ring})
		}
	}
	for _, hole := range h.rings {
		if twiceArea(hole) > 0 {
			continue
		}
		for i, part := range parts {
			if surrounds(part[0], hole[0]) {
				parts[i] = append(part, hole)
				break
			}
		}
	}
	return parts, true
}

// join follows each chain to its end and goes on with the chain that starts at the other
// end of the stretch of cut inside the area. Sorted along the cut, ends lie in pairs.
func (h *half) join() ([][]position, bool) {
	var ends []end
	for i, chain := range h.chains {
		ends = append(ends, end{chain[0].lat, i, true}, end{chain[len(chain)-1].lat, i, false})
	}
	slices.SortStableFunc(ends, func(a, b end) int { return cmp.Compare(a.lat, b.lat) })
	follows := make([]int, len(h.chains))
	for i := 0; i+1 < len(ends); i += 2 {
		// Where a corner touches the cut, ends of one latitude may stand in either order.
		for k := i + 2; ends[i].starts == ends[i+1].starts && k < len(ends) && ends[k].lat == ends[i+1].lat; k++ {
			ends[i+1], ends[k] = ends[k], ends[i+1]
		}
		a, b := ends[i], ends[i+1]
		switch {
		case a.starts == b.starts:
			return nil, false
		case a.starts:
			follows[b.chain] = a.chain
		default:
			follows[a.chain] = b.chain
		}
	}
	var shells [][]position
	done := make([]bool, len(h.chains))
	for first := range h.chains {
		var shell []position
		for i := first; !done[i]; i = follows[i] {
			done[i] = true
			chain := h.chains[i]
			if len(shell) > 0 && shell[len(shell)-1] == chain[0] {
				chain = chain[1:]
			}
			shell = append(shell, chain...)
		}
		if len(shell) == 0 {
			continue
		}
		if shell[0] != shell[len(shell)-1] {
			shell = append(shell, shell[0])
		}
		if len(shell) >= 4 && twiceArea(shell) > 0 { // else a sliver along the cut itself
			shells = append(shells, shell)
		}
	}
	return shells, true
}

// surrounds tells whether a ring goes round a position, by counting crossings to its east.
func surrounds(ring []position, at position) bool {
	inside := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a.lat > at.lat) == (b.lat > at.lat) {
			continue
		}
		share := float64(at.lat-a.lat) / float64(b.lat-a.lat)
		if float64(at.lon) < float64(a.lon)+share*float64(b.lon-a.lon) {
			inside = !inside
		}
	}
	return inside
}
