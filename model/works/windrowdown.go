package works

import "math"

// downPlusMinus is that of the way down, -1 when not known. The way is shortest at an end
// of a piece of one row, where a gap ends or the row bends, and meets the other row between
// two of its positions. With m the slope of that other row, down against across, and u the
// direction of the first, the way is moved by what moves the two rows square to the other
// one, by the chainage of a gap's end, and by a turn of the fall:
//
//	d(down) = (e_down - m e_across)·(dother - dheld) - e_chainage (u_down - m u_across) - m down dθ
//
// Where a third row hides the ends from each other, the way depends on all three: not known.
func (h *hillside) downPlusMinus(s sighting) float64 {
	if !(h.accuracyM > 0) || s.row < 0 {
		return -1
	}
	held, other := s.upper, s.lower
	chainageM, ok := held.endAt(s.acrossM)
	if !ok {
		held, other = other, held
		chainageM, ok = held.endAt(s.acrossM)
	}
	if !ok || other.left == other.right {
		return -1
	}
	m := other.riseDown / (other.right - other.left)
	row, met := &h.rows[held.row], &h.rows[other.row]
	pulls, taped := row.pullOfEnd(held.segment, chainageM, -m, 1)
	from, to := met.across[other.segment], met.across[other.segment+1]
	t := (s.acrossM - from) / (to - from)
	v := h.accuracyM * h.accuracyM * (squared(pulls) + (1+m*m)*((1-t)*(1-t)+t*t))
	turned := m * s.downM * h.turnRad
	return math.Sqrt(v + h.chainageM2*taped*taped + turned*turned)
}

// endAt is the chainage of the end of a piece that stands at a place across the fall.
func (p rowPiece) endAt(across float64) (chainageM float64, ok bool) {
	switch {
	case p.left == p.right && p.riseDown > 0 || across == p.right && across != p.left:
		return p.chainR, across == p.right
	default:
		return p.chainL, across == p.left
	}
}

// pullOfEnd is what a metre of error in each position of the row adds along the axis (x, y)
// to the end of a piece of segment k, and taped what a metre of error in its chainage does:
// none where the row bends or ends, which is where its position is.
func (r *windrowLine) pullOfEnd(k int, chainageM, x, y float64) (pulls [][2]float64, taped float64) {
	for _, gap := range r.gaps {
		if chainageM == gap.leftChainageM || chainageM == gap.rightChainageM {
			length := r.chainageM[k+1] - r.chainageM[k]
			return r.pull(chainageM, x, y), ((r.across[k+1]-r.across[k])*x + (r.down[k+1]-r.down[k])*y) / length
		}
	}
	if chainageM != r.chainageM[k] {
		k++
	}
	pulls = make([][2]float64, len(r.across))
	pulls[k] = [2]float64{x, y}
	return pulls, 0
}
