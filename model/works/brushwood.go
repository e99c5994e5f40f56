package works

import (
	"cmp"
	"math"

	"headcut/model"
)

// Sizes of the stakes of a brushwood dam, where none are given.
const (
	DefaultStakeSpacingM    = 0.5 // FAO Conservation Guide 13/2, chapter III; from memory
	DefaultStakeIntoGroundM = 0.5 // common practice, no source
)

// MaxBrushWidthM is the widest gully for a brushwood dam (Desta and others 2005, as cited
// by a later page, gully plugging; looked up).
const MaxBrushWidthM = 3.0

// Brush is how the brush of a dam is bundled and staked: two rows of stakes with the brush
// packed between. Zero means the default above; with no size of bundle none are counted.
type Brush struct {
	StakeSpacingM    float64 `json:"stakeSpacingM,omitempty" unit:"m" doc:"most between stakes of a row; 0.5 if not given"`
	StakeIntoGroundM float64 `json:"stakeIntoGroundM,omitempty" unit:"m" doc:"length of a stake in the ground; 0.5 if not given"`
	BundleDiameterM  float64 `json:"bundleDiameterM,omitempty" unit:"m" doc:"of a bundle as it lies tied; no bundles are counted if not given"`
	BundleLengthM    float64 `json:"bundleLengthM,omitempty" unit:"m" doc:"of a bundle"`
}

func (b Brush) settled() Brush {
	b.StakeSpacingM, b.StakeIntoGroundM = cmp.Or(b.StakeSpacingM, DefaultStakeSpacingM), cmp.Or(b.StakeIntoGroundM, DefaultStakeIntoGroundM)
	return b
}

func (b Brush) check() *model.Problem {
	p := model.FirstProblem(
		model.Require((b.BundleDiameterM == 0) == (b.BundleLengthM == 0), "bundleLengthM", "tape a bundle as it lies tied", "a bundle needs both its diameter and its length"),
		inRange("stakeSpacingM", b.StakeSpacingM, 0.1, 2, "m"), inRange("stakeIntoGroundM", b.StakeIntoGroundM, 0.1, 2, "m"))
	if p == nil && b.BundleDiameterM != 0 {
		p = model.FirstProblem(inRange("bundleDiameterM", b.BundleDiameterM, 0.05, 1, "m"), inRange("bundleLengthM", b.BundleLengthM, 0.3, 10, "m"))
	}
	return p
}

func (b Brush) count(q *DamQuantities) {
	q.Stakes = 2 * (spans(q.CrestLengthM, b.StakeSpacingM) + 1)
	q.StakeLengthM = q.TotalHeightM + b.StakeIntoGroundM
	if b.BundleDiameterM > 0 {
		bundleM3 := math.Pi / 4 * b.BundleDiameterM * b.BundleDiameterM * b.BundleLengthM
		q.Bundles = spans(q.BrushM3, bundleM3)
	}
}
