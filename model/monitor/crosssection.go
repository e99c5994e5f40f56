package monitor

import (
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/section"
)

// Bounds of a cross-section, beyond which a unit was mistaken or a digit slipped. Common
// practice, no source: no gully that an officer works in is half a kilometre wide.
const (
	MaxOffsetM   = 500.0
	MaxReliefM   = 60.0
	MaxAreaM2    = 20_000.0
	MaxReadings  = 2000 // of one cross-section
	MaxOverhangs = 200  // readings of one whose banks overhang
)

// CrossSection is the gully across its bed at one chainage. Its area is given in one of
// three ways: by Offsets, by Dimensions, or as AreaM2.
type CrossSection struct {
	ChainageM float64 `json:"chainageM" unit:"m" doc:"along the thalweg from the downstream end"`

	// Walls may stand straight and may overhang.
	Offsets         [][2]float64 `json:"offsets,omitempty" unit:"m" doc:"distance across and level of each reading, along the ground from one brink to the other; depths below the brinks are negative"`
	Dimensions      *Dimensions  `json:"dimensions,omitempty" doc:"of a trapezoid, in place of offsets"`
	AreaM2          *float64     `json:"areaM2,omitempty" unit:"m2" doc:"below the line joining the brinks, in place of offsets; 0 where the gully runs out"`
	AreaPlusMinusM2 *float64     `json:"areaPlusMinusM2,omitempty" unit:"m2" doc:"one standard deviation of areaM2; not known if not given"`
	Middle          bool         `json:"middle,omitempty" doc:"measured half-way between its two neighbours for the prismoidal rule; end-area takes it as any other"`
}

// Dimensions are those of a trapezoid: a bed and two straight walls.
type Dimensions struct {
	BedWidthM float64 `json:"bedWidthM" unit:"m" doc:"across the bed"`
	TopWidthM float64 `json:"topWidthM" unit:"m" doc:"from brink to brink"`
	DepthM    float64 `json:"depthM" unit:"m" doc:"from the line joining the brinks to the bed"`
}

func (d Dimensions) meanWidthM() float64 { return (d.BedWidthM + d.TopWidthM) / 2 }

// Accuracy is how well readings were taken: one standard deviation of each, independent
// from reading to reading; negative when not known.
type Accuracy struct{ AcrossM, HeightM, ChainageM float64 }

// area is a section's area with its standard deviation, negative when not known.
type area struct{ areaM2, plusMinusM2 float64 }

// measure works out the area of a section.
func (s CrossSection) measure(a Accuracy) (area, *model.Problem) {
	ways := 0
	for _, given := range []bool{s.Offsets != nil, s.Dimensions != nil, s.AreaM2 != nil} {
		if given {
			ways++
		}
	}
	plusMinusM2 := -1.0
	if s.AreaPlusMinusM2 != nil {
		if plusMinusM2 = *s.AreaPlusMinusM2; plusMinusM2 < 0 {
			return area{}, &model.Problem{Path: "areaPlusMinusM2", Reason: "is negative", Fix: "leave it out when it is not known"}
		}
	}
	switch {
	case ways != 1:
		return area{}, &model.Problem{Reason: fmt.Sprintf("has %d areas", ways), Fix: "give one of offsets, dimensions and areaM2"}
	case s.AreaM2 != nil && *s.AreaM2 == 0 && plusMinusM2 < 0:
		return area{}, nil // the place where the gully runs out is seen, not measured
	case s.AreaM2 != nil:
		return area{*s.AreaM2, plusMinusM2}, model.FirstProblem(
			outside("areaM2", *s.AreaM2, 0, MaxAreaM2, "m2", "give square metres"),
			tooWide("areaPlusMinusM2", plusMinusM2, MaxAreaM2, "m2", ""))
	case s.Dimensions != nil:
		return s.Dimensions.measure()
	}
	found, p := ofOffsets(s.Offsets, a)
	return found, p.Within("offsets")
}

func (d Dimensions) measure() (area, *model.Problem) {
	side := func(path string, v, most float64) *model.Problem {
		return outside(path, v, 0, most, "m", "give metres")
	}
	p := model.FirstProblem(side("bedWidthM", d.BedWidthM, MaxOffsetM), side("topWidthM", d.TopWidthM, MaxOffsetM), side("depthM", d.DepthM, MaxReliefM))
	return area{areaM2: d.meanWidthM() * d.DepthM, plusMinusM2: -1}, p.Within("dimensions") // volumeSum weighs width and depth by themselves
}

// ofOffsets is the area below the line joining the first and the last reading, by the
// sum of triangles over the readings' coordinates. Moving one reading changes it by half
// the diagonal between its neighbours; with the term of two neighbours together, the
// standard deviation is exact:
//
//	variance = Σ (σx² (zᵢ₊₁ - zᵢ₋₁)² + σz² (xᵢ₊₁ - xᵢ₋₁)²) / 4 + n σx² σz² / 2
func ofOffsets(readings [][2]float64, a Accuracy) (area, *model.Problem) {
	if p := model.FirstProblem(model.Require(len(readings) >= 3, "", "read at least the two brinks and the bed between", "has %d readings", len(readings)),
		model.Require(len(readings) <= MaxReadings, "", "keep those where the ground bends", "has %d readings, more than %d", len(readings), MaxReadings)); p != nil {
		return area{}, p
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i, r := range readings {
		low, high = min(low, r[1]), max(high, r[1])
		if p := model.FirstProblem(
			outside("", r[0], -MaxOffsetM, MaxOffsetM, "m across", "the first number is the distance across, in metres"),
			outside("", r[1], -section.MaxLevelM, section.MaxLevelM, "m", "the second number is the level, in metres"),
			model.Require(high-low <= MaxReliefM, "", "give levels in metres", "lies %.1f m from another reading in height", high-low)); p != nil {
			return area{}, p.Within(fmt.Sprintf("[%d]", i))
		}
	}
	ring := slices.CompactFunc(slices.Clone(readings), func(a, b [2]float64) bool { return a == b })
	if p := checkOutline(ring); p != nil {
		return area{}, p
	}
	n := len(ring)
	twice, acrossM2, upM2 := 0.0, 0.0, 0.0
	origin := ring[0] // keeps levels of hundreds of metres from swallowing digits
	for i, r := range ring {
		before, after := ring[(i+n-1)%n], ring[(i+1)%n]
		dx, dz := after[0]-before[0], after[1]-before[1]
		twice += (r[0] - origin[0]) * dz
		acrossM2 += dx * dx
		upM2 += dz * dz
	}
	found := area{areaM2: math.Abs(twice) / 2, plusMinusM2: -1}
	if a.AcrossM >= 0 && a.HeightM >= 0 {
		sx2, sz2 := sq(a.AcrossM), sq(a.HeightM)
		found.plusMinusM2 = math.Sqrt((sx2*upM2+sz2*acrossM2)/4 + float64(n)*sx2*sz2/2)
	}
	return found, nil
}

// checkOutline refuses readings that do not go once along the ground below the line
// joining the brinks.
func checkOutline(ring [][2]float64) *model.Problem {
	first, last := ring[0], ring[len(ring)-1]
	if len(ring) < 3 || first[0] == last[0] {
		return &model.Problem{Reason: "starts and ends at the same distance across", Fix: "read from one brink to the other"}
	}
	if steady(ring) {
		for _, r := range ring {
			lineM := first[1] + (last[1]-first[1])*(r[0]-first[0])/(last[0]-first[0])
			if overM := r[1] - lineM; overM > 1e-9*max(1, math.Abs(lineM)) {
				return &model.Problem{Reason: fmt.Sprintf("has ground %.2f m above the line joining the brinks, at %v m across", overM, r[0]),
					Fix: "start and end at the brinks; the second number is a level, so depths are negative"}
			}
		}
		return nil
	}
	if len(ring) > MaxOverhangs {
		return &model.Problem{Reason: fmt.Sprintf("goes back across and has more than %d readings", MaxOverhangs), Fix: "order the readings from brink to brink, or keep those where the ground bends"}
	}
	n := len(ring)
	for i := range n {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue // neighbours round the corner
			}
			if meet(ring[i], ring[i+1], ring[j], ring[(j+1)%n]) {
				return &model.Problem{Reason: fmt.Sprintf("crosses itself near %v m across", ring[j][0]), Fix: "order the readings along the ground, from brink to brink"}
			}
		}
	}
	twice := 0.0
	for i, r := range ring {
		twice += (r[0] - first[0]) * (ring[(i+1)%n][1] - ring[(i+n-1)%n][1])
	}
	return model.Require(twice*(last[0]-first[0]) >= 0, "", "the second number is a level, so depths are negative", "stands above the line joining the brinks")
}

// steady tells whether the readings never go back across.
func steady(ring [][2]float64) bool {
	forth, back := true, true
	for i := 1; i < len(ring); i++ {
		forth = forth && ring[i][0] >= ring[i-1][0]
		back = back && ring[i][0] <= ring[i-1][0]
	}
	return forth || back
}

// meet tells whether two sides cross or touch.
func meet(a, b, c, d [2]float64) bool {
	if max(a[0], b[0]) < min(c[0], d[0]) || max(c[0], d[0]) < min(a[0], b[0]) ||
		max(a[1], b[1]) < min(c[1], d[1]) || max(c[1], d[1]) < min(a[1], b[1]) {
		return false
	}
	left := func(a, b, p [2]float64) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }
	return left(a, b, c)*left(a, b, d) <= 0 && left(c, d, a)*left(c, d, b) <= 0
}

func sq(x float64) float64 { return x * x }
