package works

import (
	"math"
	"slices"

	"headcut/model"
	"headcut/model/geodesy"
)

// hillside is a field of windrows on a plane whose axes run across the fall, to the right of
// one who looks down it, and down the fall; both in metres from the first position. Within
// the 5 km that are let in, meridians converge by less than 0.05° below latitude 45, and the
// plane stretches lengths by less than one in ten million.
type hillside struct {
	rows       []windrowLine
	accuracyM  float64 // of a position along any axis; not above 0 when not known
	chainageM2 float64 // variance of a chainage
	turnRad    float64 // one standard deviation of the fall's bearing
	work       *model.Work
}

// windrowLine is one windrow on the plane.
type windrowLine struct {
	across, down []float64 // of each position
	chainageM    []float64 // of each position along the row, on the ellipsoid
	gaps         []opening
	pieces       []rowPiece // each the part of one segment in timber or in one gap
}

// opening is a gap as seen from uphill: from and to across the fall, from the left.
type opening struct {
	fromM, toM                    float64
	fromVar, toVar, widthVar      float64 // m², of the positions and the chainages; not of the bearing
	leftChainageM, rightChainageM float64
	leftDownM, rightDownM         float64
}

// rowPiece is a straight part of a row, left end first. gap is -1 for timber.
type rowPiece struct {
	row, gap, segment  int
	left, right        float64 // across
	leftDown, riseDown float64 // down at the left end, and what it gains to the right end
	chainL, chainR     float64
}

func (p rowPiece) downAt(across float64) float64 {
	if p.right == p.left {
		return p.leftDown + max(0, p.riseDown)
	}
	return p.leftDown + p.riseDown*(across-p.left)/(p.right-p.left)
}

// lay puts one windrow on the plane.
func (h *hillside) lay(frame geodesy.Frame, bearingDeg float64, row Windrow) {
	sin, cos := math.Sincos(bearingDeg * math.Pi / 180)
	r := windrowLine{chainageM: make([]float64, 1, len(row.Line))}
	for i, p := range row.Line {
		east, north := frame.Offset(p)
		r.across = append(r.across, east*cos-north*sin)
		r.down = append(r.down, east*sin+north*cos)
		if i > 0 {
			r.chainageM = append(r.chainageM, r.chainageM[i-1]+geodesy.Length(row.Line[i-1:i+1]))
		}
	}
	number := len(h.rows)
	at := 0.0
	for g, gap := range row.Gaps {
		r.cut(number, -1, at, gap.FromM)
		r.cut(number, g, gap.FromM, gap.ToM)
		at = gap.ToM
	}
	r.cut(number, -1, at, r.lengthM())
	for g, gap := range row.Gaps {
		r.gaps = append(r.gaps, h.opening(&r, g, gap))
	}
	h.rows = append(h.rows, r)
}

func (r *windrowLine) lengthM() float64 { return r.chainageM[len(r.chainageM)-1] }

// segment is the number of the segment that holds a chainage, and how far along it lies as a
// share of its length; never one without a length.
func (r *windrowLine) segment(chainageM float64) (k int, share float64) {
	k, _ = slices.BinarySearch(r.chainageM, chainageM)
	k = min(max(k, 1), len(r.chainageM)-1)
	for k > 1 && r.chainageM[k] == r.chainageM[k-1] { // a position given twice
		k--
	}
	for r.chainageM[k] == r.chainageM[k-1] {
		k++
	}
	k--
	return k, min(max((chainageM-r.chainageM[k])/(r.chainageM[k+1]-r.chainageM[k]), 0), 1)
}

func (r *windrowLine) place(chainageM float64) (across, down float64) {
	return r.along(r.segment(chainageM))
}

// along is the place at a share of segment k, to the last bit a position of the row at both
// of its ends: between pieces that did not quite meet, water would run through the timber.
func (r *windrowLine) along(k int, share float64) (across, down float64) {
	if share == 1 {
		return r.across[k+1], r.down[k+1]
	}
	return r.across[k] + share*(r.across[k+1]-r.across[k]), r.down[k] + share*(r.down[k+1]-r.down[k])
}

// cut adds the pieces of the row between two chainages.
func (r *windrowLine) cut(row, gap int, fromM, toM float64) {
	for k := range len(r.chainageM) - 1 {
		from, to := max(fromM, r.chainageM[k]), min(toM, r.chainageM[k+1])
		if from >= to {
			continue
		}
		length := r.chainageM[k+1] - r.chainageM[k]
		a, ad := r.along(k, (from-r.chainageM[k])/length)
		b, bd := r.along(k, (to-r.chainageM[k])/length)
		p := rowPiece{row, gap, k, a, b, ad, bd - ad, from, to}
		if b < a {
			p = rowPiece{row, gap, k, b, a, bd, ad - bd, to, from}
		}
		r.pieces = append(r.pieces, p)
	}
}

// opening measures gap g across the fall.
func (h *hillside) opening(r *windrowLine, g int, gap RowGap) opening {
	o := opening{fromM: math.Inf(1), toM: math.Inf(-1), leftChainageM: gap.FromM, rightChainageM: gap.ToM}
	for _, p := range r.pieces {
		if p.gap == g {
			o.fromM, o.toM = min(o.fromM, p.left), max(o.toM, p.right)
		}
	}
	a, ad := r.place(gap.FromM)
	b, bd := r.place(gap.ToM)
	if b < a {
		o.leftChainageM, o.rightChainageM, ad, bd = gap.ToM, gap.FromM, bd, ad
	}
	o.leftDownM, o.rightDownM = ad, bd
	left, right := r.pull(o.leftChainageM, 1, 0), r.pull(o.rightChainageM, 1, 0)
	both := make([][2]float64, len(left))
	for i := range both {
		both[i] = [2]float64{right[i][0] - left[i][0], right[i][1] - left[i][1]}
	}
	s2 := max(0, h.accuracyM) * max(0, h.accuracyM)
	chainL, chainR := r.leaning(o.leftChainageM), r.leaning(o.rightChainageM)
	o.fromVar = s2*squared(left) + h.chainageM2*chainL*chainL
	o.toVar = s2*squared(right) + h.chainageM2*chainR*chainR
	o.widthVar = s2*squared(both) + h.chainageM2*(chainL*chainL+chainR*chainR)
	return o
}

// leaning is how far across the fall a metre along the row goes at a chainage.
func (r *windrowLine) leaning(chainageM float64) float64 {
	k, _ := r.segment(chainageM)
	return (r.across[k+1] - r.across[k]) / (r.chainageM[k+1] - r.chainageM[k])
}

// pull is what a metre of error in each position of the row, across and down, adds to the
// place at a chainage along the axis (x, y). With u the direction of segment k, n square to
// it, L its length, and s the chainage beyond its start V:
//
//	dP = dVₖ + (s/L) n (n·(dVₖ₊₁ - dVₖ)) - u Σ uᵢ·(dVᵢ₊₁ - dVᵢ), summed over i < k:
//
// a chainage is taped from the start of the row, so that a position put too far along draws
// what lies beyond it back.
func (r *windrowLine) pull(chainageM, x, y float64) [][2]float64 {
	k, t := r.segment(chainageM)
	pulls := make([][2]float64, len(r.across))
	direction := func(i int) (u, v float64) {
		dx, dy := r.across[i+1]-r.across[i], r.down[i+1]-r.down[i]
		if length := math.Hypot(dx, dy); length > 0 {
			return dx / length, dy / length
		}
		return 0, 0
	}
	u, v := direction(k)
	square, along := t*(y*u-x*v), x*u+y*v // n is (-v, u)
	pulls[k] = [2]float64{x + v*square, y - u*square}
	pulls[k+1] = [2]float64{-v * square, u * square}
	for i := range k {
		u, v := direction(i)
		pulls[i][0] += along * u
		pulls[i][1] += along * v
		pulls[i+1][0] -= along * u
		pulls[i+1][1] -= along * v
	}
	return pulls
}

func squared(pulls [][2]float64) float64 {
	total := 0.0
	for _, g := range pulls {
		total += g[0]*g[0] + g[1]*g[1]
	}
	return total
}
