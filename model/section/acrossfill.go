package section

import (
	"math"

	"headcut/model"
)

// Fill is what of a gully lies below a level across it. A ± is one standard deviation, negative when
// not known.
type Fill struct {
	AreaM2, AreaPlusMinusM2 float64 // between the level and the ground
	WidthM, WidthPlusMinusM float64 // of the gully at the level
	DepthM, DepthPlusMinusM float64 // from the level down to the lowest point
}

// Fill is what lies below a height above the lowest point. at is the point whose level that is, -1 for a
// level that was measured apart from the points.
//
// Points and level err independently, each level and each offset as q says. The ± is that of the first
// order: each part of the ground below the level is straight, so that what its two ends change is
// integrated exactly (derived).
func (a Across) Fill(heightM float64, at int, q Quality) Fill {
	f := Fill{AreaM2: a.AreaM2(math.Inf(-1), math.Inf(1), heightM), WidthM: a.WidthM(heightM), DepthM: heightM,
		AreaPlusMinusM2: -1, WidthPlusMinusM: -1, DepthPlusMinusM: q.StepPlusMinusM()}
	if q.LevelPlusMinusM < 0 || q.ChainagePlusMinusM < 0 {
		return f
	}
	area, width := a.changes(heightM)
	if at >= 0 { // it rises with the level
		area.levels[at] += area.level
		width.levels[at] += width.level
		area.level, width.level = 0, 0
	}
	f.AreaPlusMinusM2, f.WidthPlusMinusM = area.plusMinus(q), width.plusMinus(q)
	return f
}

// change is how a figure changes with the level up to which it is taken, and with the level and the
// offset of each point.
type change struct {
	level           float64
	levels, offsets []float64
}

func (c change) plusMinus(q Quality) float64 {
	levels, offsets := c.level*c.level, 0.0
	for i := range c.levels {
		levels += c.levels[i] * c.levels[i]
		offsets += c.offsets[i] * c.offsets[i]
	}
	return math.Hypot(math.Sqrt(levels)*q.LevelPlusMinusM, math.Sqrt(offsets)*q.ChainagePlusMinusM)
}

// changes are those of the area below a height and of the width at it.
func (a Across) changes(heightM float64) (area, width change) {
	none := func() change { return change{levels: make([]float64, len(a)), offsets: make([]float64, len(a))} }
	area, width = none(), none()
	for i := 1; i < len(a); i++ {
		p, q := a[i-1], a[i]
		run, rise := q[0]-p[0], q[1]-p[1]
		below := [2]bool{p[1] < heightM, q[1] < heightM}
		if !below[0] && !below[1] {
			continue
		}
		from, to := 0.0, 1.0 // the share of the way from p to q that is below
		edge := func(share, sign float64) {
			perM := sign * run / rise
			width.level += perM
			width.levels[i-1] -= perM * (1 - share)
			width.levels[i] -= perM * share
			width.offsets[i-1] += sign * (1 - share)
			width.offsets[i] += sign * share
		}
		if !below[0] {
			from = (heightM - p[1]) / rise
			edge(from, -1)
		} else if !below[1] {
			to = (heightM - p[1]) / rise
			edge(to, 1)
		}
		if i == 1 && below[0] {
			width.offsets[0]--
		}
		if i == len(a)-1 && below[1] {
			width.offsets[i]++
		}
		half, share := (to*to-from*from)/2, to-from // ∫ s ds and ∫ ds
		depthM := (heightM-p[1])*share - rise*half  // ∫ depth ds
		area.level += run * share
		area.levels[i-1] -= run * (share - half)
		area.levels[i] -= run * half
		area.offsets[i-1] -= depthM
		area.offsets[i] += depthM
	}
	return area, width
}

// BottomAboveM is how far above the lowest point the bottom of a gully is taken to reach: stones and ruts lie within.
// Common practice, no source.
const BottomAboveM = 0.1

// Brink is the lower end of a cross-section, up to whose height the gully can be filled.
func (a Across) Brink() (at int, heightM float64) {
	if last := len(a) - 1; a[last][1] < a[0][1] {
		at = last
	}
	return at, a[at][1]
}

// CheckAcross refuses points that are no cross-section: fewer than three, or not lower between than at
// both ends. Of levels that differ by no more than they can err nobody knows.
func CheckAcross(a Across, q Quality) *model.Problem {
	if len(a) < 3 {
		return &model.Problem{Reason: "has fewer than three levels", Fix: "book both brinks and the bed between"}
	}
	if _, heightM := a.Brink(); heightM <= 3*max(0, q.StepPlusMinusM()) {
		return &model.Problem{Reason: "is not lower between its ends than at both of them", Fix: "book it from the brink of one wall to the brink of the other"}
	}
	return nil
}
