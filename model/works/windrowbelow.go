package works

import (
	"cmp"
	"math"
	"slices"

	"headcut/model"
)

// sighting is what was met straight down the fall from a gap: over what width, and where
// the way down is shortest.
type sighting struct {
	row, gap     int // gap -1: timber; row -1: no row at all
	widthM       float64
	downM        float64
	acrossM      float64 // of the shortest way
	upper, lower rowPiece
}

// under looks down the fall from all along gap g of row i, between the places where a segment
// begins, ends or crosses the gap's own line.
func (h *hillside) under(i, g int) []sighting {
	o := h.rows[i].gaps[g]
	var own, others []rowPiece
	breaks := []float64{o.fromM, o.toM}
	inside := func(across float64) {
		if across > o.fromM && across < o.toM {
			breaks = append(breaks, across)
		}
	}
	for _, p := range h.rows[i].pieces {
		if p.gap == g {
			own = append(own, p)
		}
	}
	others = h.below(i, o, own)
	for _, p := range slices.Concat(own, others) {
		inside(p.left)
		inside(p.right)
		h.work.Do(len(own))
		for _, q := range own {
			if left, right := max(p.left, q.left), min(p.right, q.right); left < right {
				dl, dr := p.downAt(left)-q.downAt(left), p.downAt(right)-q.downAt(right)
				if dl*dr < 0 {
					inside(left + (right-left)*dl/(dl-dr))
				}
			}
		}
	}
	model.Sort(breaks)
	breaks = slices.Compact(breaks)
	if len(breaks) == 1 { // the gap runs straight down the fall
		breaks = append(breaks, breaks[0])
	}
	var seen []sighting
	for k := range len(breaks) - 1 {
		if !h.work.Do(len(own) + len(others)) {
			break
		}
		h.look(own, others, breaks[k], breaks[k+1], &seen)
	}
	return seen
}

// below lists the pieces of other rows that may be met below an opening of row i: not those
// that lie all above it, nor those all beyond a row that lies below it from end to end.
func (h *hillside) below(i int, o opening, own []rowPiece) (all []rowPiece) {
	downs := func(p rowPiece) (least, most float64) {
		a, b := p.downAt(max(p.left, o.fromM)), p.downAt(min(p.right, o.toM))
		return min(a, b), max(a, b)
	}
	top, bottom := math.Inf(1), math.Inf(-1) // of the opening
	for _, p := range own {
		least, most := downs(p)
		top, bottom = min(top, least), max(bottom, most)
	}
	limit := math.Inf(1)
	for k, r := range h.rows {
		if h.work.Do(len(r.pieces)); k == i {
			continue
		}
		highest, lowest := math.Inf(1), math.Inf(-1)
		for _, p := range r.pieces {
			if p.right < o.fromM || p.left > o.toM {
				continue
			}
			least, most := downs(p)
			highest, lowest = min(highest, least), max(lowest, most)
			if most >= top {
				all = append(all, p)
			}
		}
		n := len(r.across) - 1
		if whole := min(r.across[0], r.across[n]) <= o.fromM && max(r.across[0], r.across[n]) >= o.toM; whole && highest > bottom {
			limit = min(limit, lowest)
		}
	}
	near := all[:0]
	for _, p := range all {
		if least, _ := downs(p); least <= limit {
			near = append(near, p)
		}
	}
	return near
}

// look adds what is met between two neighbouring breaks. No piece begins or ends between them, nor
// crosses the gap's own line, but pieces of two lower rows may cross each other there. What is first
// met of straight pieces bends upward nowhere: a piece that is first met on both sides is so all
// between. Of two, where they cross parts the ground, unless a third is met there before them.
func (h *hillside) look(own, others []rowPiece, left, right float64, seen *[]sighting) {
	middle := (left + right) / 2
	var from *rowPiece
	for k := range own {
		if p := &own[k]; p.left <= middle && middle <= p.right && (from == nil || p.downAt(middle) > from.downAt(middle)) {
			from = p
		}
	}
	if from == nil {
		return
	}
	var lie []*rowPiece // all along, and lower
	start := from.downAt(middle)
	for k := range others {
		if p := &others[k]; p.left <= middle && middle <= p.right && p.downAt(middle) > start {
			lie = append(lie, p)
		}
	}
	h.parted(from, lie, left, right, seen)
}

// parted adds what is met first of pieces that all lie below, from left to right.
func (h *hillside) parted(from *rowPiece, lie []*rowPiece, left, right float64, seen *[]sighting) {
	if !h.work.Do(len(lie)) {
		return
	}
	// One that is met first at an edge, and for longest of those that meet there.
	first := func(at, toward float64) (to *rowPiece) {
		for _, p := range lie {
			if to == nil || cmp.Or(cmp.Compare(p.downAt(at), to.downAt(at)), cmp.Compare(p.downAt(toward), to.downAt(toward))) < 0 {
				to = p
			}
		}
		return to
	}
	l, r := first(left, right), first(right, left)
	if l != r {
		dl, dr := r.downAt(left)-l.downAt(left), r.downAt(right)-l.downAt(right)
		if cross := left + (right-left)*dl/(dl-dr); dl > 0 && dr < 0 && left < cross && cross < right {
			h.parted(from, lie, left, cross, seen)
			h.parted(from, lie, cross, right, seen)
			return
		}
	}
	h.meet(from, first((left+right)/2, right), left, right, seen)
}

// meet adds that a piece is met first from left to right, or none.
func (h *hillside) meet(from, to *rowPiece, left, right float64, seen *[]sighting) {
	met := sighting{row: -1, gap: -1, widthM: right - left, upper: *from}
	if to != nil {
		met.row, met.gap, met.lower = to.row, to.gap, *to
		met.acrossM, met.downM = left, to.downAt(left)-from.downAt(left)
		if other := to.downAt(right) - from.downAt(right); other < met.downM {
			met.acrossM, met.downM = right, other
		}
		met.downM = max(0, met.downM)
	}
	for k := range *seen {
		if old := &(*seen)[k]; old.row == met.row && old.gap == met.gap {
			met.widthM += old.widthM
			if old.downM <= met.downM {
				old.widthM = met.widthM
			} else {
				*old = met
			}
			return
		}
	}
	*seen = append(*seen, met)
}

// pairs tells of gap g of row i and each thing below it.
func (h *hillside) pairs(i, g int) []GapPair {
	upper := &h.rows[i].gaps[g]
	seen := h.under(i, g)
	var all []GapPair
	var rows []int
	for _, met := range seen {
		if met.row >= 0 && !slices.Contains(rows, met.row) {
			rows = append(rows, met.row)
			all = append(all, h.above(i, g, met.row, seen)...)
		}
	}
	for _, met := range seen {
		if met.row < 0 {
			p := GapPair{Row: i, Gap: g, Below: -1, BelowGap: -1, Meets: MeetsOpen, OverlapM: met.widthM, OverlapPlusMinusM: -1, ShiftM: met.widthM, ShiftPlusMinusM: -1, DownM: -1, DownPlusMinusM: -1}
			if len(rows) == 1 {
				p.Below = rows[0]
			}
			switch known := h.accuracyM > 0; {
			case known && len(rows) == 0:
				p.OverlapPlusMinusM = math.Sqrt(upper.widthVar)
			case known && len(rows) == 1:
				p.OverlapPlusMinusM = h.pastEnd(upper, &h.rows[rows[0]])
			}
			p.ShiftPlusMinusM = p.OverlapPlusMinusM
			all = append(all, p)
		}
	}
	return all
}

// above pairs gap g of row i with the gaps of one row below it that it meets or nearly meets;
// with the nearest when there is none of these.
func (h *hillside) above(i, g, below int, seen []sighting) []GapPair {
	upper := &h.rows[i].gaps[g]
	var nearest sighting
	for _, met := range seen {
		if met.row == below && (nearest.upper == rowPiece{} || met.downM < nearest.downM) {
			nearest = met
		}
	}
	base := GapPair{Row: i, Gap: g, Below: below, BelowGap: -1, Meets: MeetsTimber, OverlapPlusMinusM: -1, ShiftPlusMinusM: -1,
		DownM: nearest.downM, DownPlusMinusM: h.downPlusMinus(nearest)}
	var met []GapPair
	best := base
	for k := range h.rows[below].gaps {
		lower := &h.rows[below].gaps[k]
		p := base
		p.BelowGap = k
		h.compare(upper, lower, &p)
		width := 0.0
		if !h.work.Do(len(seen)) {
			break
		}
		for _, s := range seen {
			if s.row == below && s.gap == k {
				width, p.DownM, p.DownPlusMinusM = s.widthM, s.downM, h.downPlusMinus(s)
			}
		}
		if width == 0 && p.ShiftM > 0 { // another row lies between, or the gap's path turns back there
			continue
		}
		switch near := max(0, p.ShiftPlusMinusM); {
		case p.ShiftM > near:
			p.Meets = MeetsGap
		case p.ShiftM > -near:
			p.Meets = TooClose
		default:
			if best.BelowGap < 0 || p.ShiftM > best.ShiftM {
				best = p
			}
			continue
		}
		met = append(met, p)
	}
	if len(met) == 0 {
		return []GapPair{best}
	}
	model.SortStable(met, func(a, b GapPair) int {
		return cmp.Compare(h.rows[below].gaps[a.BelowGap].fromM, h.rows[below].gaps[b.BelowGap].fromM)
	})
	return met
}

// compare fills in how two gaps stand to each other across the fall. A turn of the fall
// moves them apart by their distance down it.
func (h *hillside) compare(upper, lower *opening, p *GapPair) {
	known := h.accuracyM > 0
	apart := func(v1, v2, down float64) float64 {
		if !known {
			return -1
		}
		return math.Sqrt(v1 + v2 + down*down*h.turnRad*h.turnRad)
	}
	// The ends that bound the overlap: the rightmost start and the leftmost end.
	upperStarts, upperEnds := upper.fromM >= lower.fromM, upper.toM <= lower.toM
	p.OverlapM = min(upper.toM, lower.toM) - max(upper.fromM, lower.fromM)
	toRight, toLeft := upper.toM-lower.fromM, lower.toM-upper.fromM
	rightPM := apart(upper.toVar, lower.fromVar, lower.leftDownM-upper.rightDownM)
	leftPM := apart(upper.fromVar, lower.toVar, lower.rightDownM-upper.leftDownM)
	p.ShiftM, p.ShiftPlusMinusM = toRight, rightPM
	if toLeft < toRight {
		p.ShiftM, p.ShiftPlusMinusM = toLeft, leftPM
	}
	switch {
	case upperStarts && upperEnds:
		p.OverlapPlusMinusM = apart(upper.widthVar, 0, upper.rightDownM-upper.leftDownM)
	case !upperStarts && !upperEnds:
		p.OverlapPlusMinusM = apart(lower.widthVar, 0, lower.rightDownM-lower.leftDownM)
	case upperStarts:
		p.OverlapPlusMinusM = leftPM
	default:
		p.OverlapPlusMinusM = rightPM
	}
}

// pastEnd is the plus-minus of the width of a gap past the end of the row below it.
func (h *hillside) pastEnd(upper *opening, below *windrowLine) float64 {
	v, down := upper.toVar, upper.rightDownM
	left, right := 0, len(below.across)-1
	if below.across[right] < below.across[left] {
		left, right = right, left
	}
	end := right
	if upper.fromM < below.across[left] {
		if upper.toM > below.across[right] {
			return -1 // past both
		}
		v, down, end = upper.fromVar, upper.leftDownM, left
	}
	turned := (below.down[end] - down) * h.turnRad
	// A row's last position is where it is; a chainage has no part in it.
	return math.Sqrt(v + h.accuracyM*h.accuracyM + turned*turned)
}

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
