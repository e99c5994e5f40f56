package works

import (
	"cmp"

	"headcut/model"
	"headcut/model/section"
)

// Sizes of a bale dam, where none are given.
const (
	DefaultBaleEmbedM    = 0.15 // 6 inches (NRCS Wyoming, Straw Bale Check Dam fact sheet; looked up)
	DefaultStakesPerBale = 2    // common practice, no source
)

// acreHa is one international acre in hectares (NIST Special Publication 811; from memory).
const acreHa = 0.40468564224

// Bale is a bale of hay or straw as it is laid: long side across the gully. The three sizes
// must be given; zero of the others means the defaults above.
type Bale struct {
	HeightM    float64 `json:"heightM" unit:"m" doc:"of a bale as it lies"`
	WidthM     float64 `json:"widthM" unit:"m" doc:"along the stream"`
	LengthM    float64 `json:"lengthM" unit:"m" doc:"across the gully"`
	EmbedM     float64 `json:"embedM,omitempty" unit:"m" doc:"how deep it is let into the ground; 0.15 if not given"`
	StakesEach int     `json:"stakesEach,omitempty" unit:"1" doc:"through each bale; 2 if not given"`
}

// baleLimit is up to which catchment bales may stand on a bed no steeper than this.
type baleLimit struct{ slopePct, catchmentHa, slopeLengthM float64 }

// baleLimits are those of the NRCS Wyoming fact sheet, Straw Bale Check Dam: 1 acre and
// 200 ft up to 15 %, half an acre and 100 ft up to 20 %, none steeper (looked up).
var baleLimits = []baleLimit{{15, acreHa, 200 * 0.3048}, {20, acreHa / 2, 100 * 0.3048}}

func (b Bale) settled() Bale {
	b.EmbedM, b.StakesEach = cmp.Or(b.EmbedM, DefaultBaleEmbedM), cmp.Or(b.StakesEach, DefaultStakesPerBale)
	return b
}

func (b Bale) check() *model.Problem {
	return model.FirstProblem(
		model.Require(b.HeightM != 0 && b.WidthM != 0 && b.LengthM != 0, "", "tape one as it will lie", "a dam of bales needs their height, width and length"),
		model.Require(b.StakesEach >= 0 && b.StakesEach <= 10, "stakesEach", "", "%d is not a number of stakes from 1 to 10 for a bale", b.StakesEach),
		inRange("heightM", b.HeightM, 0.2, 1.5, "m"), inRange("widthM", b.WidthM, 0.2, 1.5, "m"),
		inRange("lengthM", b.LengthM, 0.3, 3, "m"), inRange("embedM", b.EmbedM, 0.05, 0.5, "m"),
	)
}

// fits tells whether a dam of bales may stand here at all.
func (b Bale) fits(d DamBuild) *model.Problem {
	const rounding = 1e-9
	const other = "build of rock or netting (NRCS Wyoming, Straw Bale Check Dam)"
	above := b.HeightM - b.EmbedM
	limit, ok := baleLimitOn(d.BedSlopePct)
	return model.FirstProblem(
		model.Require(d.CrestHeightM <= above+rounding, "crestHeightM", "lower the crest, or build of rock: bales are not stacked (NRCS Wyoming)",
			"%v m is more than the one bale that may stand, %s m above the bed", d.CrestHeightM, model.RoundedDown(above, 2)),
		model.Require(d.NotchDepthM == 0, "notchDepthM", "leave it out", "a row of bales has no notch: water goes over its middle"),
		model.Require(ok, "bedSlopePct", other, "bales are not to stand on a bed of %v %%: the limit is %v %%", d.BedSlopePct, limit.slopePct),
		model.Require(d.CatchmentHa <= limit.catchmentHa, "catchmentHa", other, "%v ha is more than the %s ha above which bales are not to stand on a bed of up to %v %%",
			d.CatchmentHa, model.RoundedDown(limit.catchmentHa, 1), limit.slopePct),
	)
}

// baleLimitOn is the limit on a bed of this slope, or the last one and false.
func baleLimitOn(bedSlopePct float64) (baleLimit, bool) {
	for _, limit := range baleLimits {
		if bedSlopePct <= limit.slopePct {
			return limit, true
		}
	}
	return baleLimits[len(baleLimits)-1], false
}

// rowM is how long the row is without its two end bales: up either side to where the base
// of the next bale, let into the ground, stands as high as the tops in the middle.
func (b Bale) rowM(a section.Across, crestHeightM float64) float64 {
	return a.WidthM(crestHeightM + b.EmbedM)
}

// trenchM3 is what must be dug to let the row in.
func (b Bale) trenchM3(a section.Across, crestHeightM float64) float64 {
	return b.EmbedM * b.WidthM * (b.rowM(a, crestHeightM) + 2*b.LengthM)
}

func (b Bale) count(q *DamQuantities, a section.Across, crestHeightM float64) {
	q.Bales = spans(b.rowM(a, crestHeightM), b.LengthM) + 2
	q.Stakes = q.Bales * b.StakesEach
}
