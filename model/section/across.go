package section

import (
	"math"

	"headcut/model"
)

// Across is a gully's cross-section, from the left bank to the right, as offset across and height
// above its lowest point, both metres. It is straight between its points; an upright wall is two
// points at one offset.
type Across [][2]float64

// NewAcross is a cross-section of points with an offset and a level each, in the order of their offsets.
func NewAcross(points [][2]float64) Across {
	low := math.Inf(1)
	for _, p := range points {
		low = min(low, p[1])
	}
	a := make(Across, len(points))
	for i, p := range points {
		a[i] = [2]float64{p[0], p[1] - low}
	}
	return a
}

// WidthM is how wide the gully is at a height above its lowest point. What stands out of
// the bed above that height is not counted.
func (a Across) WidthM(heightM float64) float64 {
	return a.Integral(math.Inf(-1), math.Inf(1), func(_, h float64) float64 {
		if h < heightM {
			return 1
		}
		return 0
	}, heightM)
}

// AreaM2 is the area of the gully below a height above its lowest point, between two
// offsets.
func (a Across) AreaM2(fromM, toM, heightM float64) float64 {
	return a.Integral(fromM, toM, func(_, h float64) float64 { return max(heightM-h, 0) }, heightM)
}

// MiddleM is the offset of the middle of that area: where the water runs.
func (a Across) MiddleM(heightM float64) float64 {
	moment := a.Integral(math.Inf(-1), math.Inf(1), func(x, h float64) float64 { return x * max(heightM-h, 0) }, heightM)
	return moment / a.AreaM2(math.Inf(-1), math.Inf(1), heightM)
}

// Banks are the offsets of the two banks at a height above the lowest point, which both
// reach.
func (a Across) Banks(heightM float64) (leftM, rightM float64) {
	leftM, rightM = a[0][0], a[len(a)-1][0]
	for i := 1; i < len(a); i++ {
		if a[i][1] < heightM {
			leftM = crossing(a[i], a[i-1], heightM)
			break
		}
	}
	for i := len(a) - 2; i >= 0; i-- {
		if a[i][1] < heightM {
			rightM = crossing(a[i], a[i+1], heightM)
			break
		}
	}
	return leftM, rightM
}

// crossing is the offset at which the ground from p up to q reaches a height.
func crossing(p, q [2]float64, heightM float64) float64 {
	return p[0] + (q[0]-p[0])*(heightM-p[1])/(q[1]-p[1])
}

// Integral is that of f(offset, height of the ground) along the section between two
// offsets. f must be a polynomial of at most the third degree between the heights at which
// it breaks: Gauss and Legendre's rule of two points is then exact.
func (a Across) Integral(fromM, toM float64, f func(offsetM, heightM float64) float64, breaks ...float64) float64 {
	const node = 0.577350269189625764509 // 1/√3
	sum := 0.0
	var room [8]float64 // on the stack: a dam's plus-minus spends its time here
	cuts := room[:0]    // as shares of the way from p to q, since an upright wall has no slope
	for i := 1; i < len(a); i++ {
		p, q := a[i-1], a[i]
		run, rise := q[0]-p[0], q[1]-p[1]
		if start, end := max(p[0], fromM), min(q[0], toM); end > start {
			cuts = append(cuts[:0], (start-p[0])/run, (end-p[0])/run)
		} else {
			continue
		}
		first, last := cuts[0], cuts[1]
		for _, h := range breaks {
			if share := (h - p[1]) / rise; share > first && share < last { // never on a level stretch
				cuts = append(cuts, share)
			}
		}
		if len(cuts) > 2 {
			model.Sort(cuts)
		}
		for j := 1; j < len(cuts); j++ {
			half, middle := (cuts[j]-cuts[j-1])/2, (cuts[j]+cuts[j-1])/2
			for _, share := range [2]float64{middle - half*node, middle + half*node} {
				sum += half * run * f(p[0]+share*run, p[1]+share*rise)
			}
		}
	}
	return sum
}
