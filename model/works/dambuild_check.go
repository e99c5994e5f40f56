package works

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model"
)

// Bounds of what is taken for a dam. They catch slips of the pen and millimetres typed as
// metres.
const (
	MaxShoulderM      = 1.5 // bed to shoulders; ours: the metre of crest and half a metre of notch
	MaxSectionPoints  = 200
	maxBuildWidthM    = 50
	maxBuildBedPct    = 40
	maxFaceRunPerRise = 6
	maxApronM         = 1 // thick
)

// inRange is the Problem of a value outside least and most, or not a number; nil within.
func inRange(path string, v, least, most float64, unit string) *model.Problem {
	return model.InRange(path, v, least, most, "", " "+unit, "check the number and its unit")
}

// oneIn is the unit of a slope in a refusal.
const oneIn = "(a slope of 1 in so many)"

// settled is the dam with its defaults filled in, or what is wrong with it.
func (d DamBuild) settled() (DamBuild, *model.Problem) {
	d.Kind = cmp.Or(d.Kind, LooseRock)
	rule, p := apronRule(d.ApronRule)
	if p = model.FirstProblem(p, d.checkSizes(), d.checkSection(), d.checkGiven()); p != nil {
		return d, p
	}
	if d.FlowM3S != nil {
		stone, err := d.FlowStone(*d.FlowM3S)
		if err != nil {
			return d, err
		}
		d.stone = &stone
	}
	d.ApronLengthM = cmp.Or(d.ApronLengthM, rule.LengthM(d.CrestHeightM, d.BedSlopePct))
	if d.ApronThicknessM == 0 {
		d.ApronThicknessM = LeastApronM
		if d.stone != nil {
			d.ApronThicknessM = ApronThicknessM(d.stone.ApronM)
		}
		if d.ApronThicknessM > maxApronM && d.ApronLengthM > 0 {
			return d, &model.Problem{Path: "apronThicknessM", Reason: fmt.Sprintf("the flow asks for stone of %.0f mm at the median and an apron %.2f m thick, and %d m is the most here: handbooks of low dams name no stone above %d mm, and this is an engineer's structure", 1000*d.stone.ApronM, d.ApronThicknessM, maxApronM, largestStoneMM),
				Fix: d.thinner()}
		}
	}
	if d.ApronWidthM == 0 {
		d.ApronWidthM = max(cmp.Or(d.BedWidthM, d.gully().WidthM(d.ApronThicknessM)), d.NotchLengthM)
	}
	if d.ApronLengthM == 0 {
		d.ApronWidthM, d.ApronThicknessM = 0, 0
	}
	switch d.Kind {
	case Netting:
		d.Fences = d.Fences.settled()
		p = d.Fences.check().Within("fences")
	case Brushwood:
		d.Brush = d.Brush.settled()
		p = d.Brush.check().Within("brush")
	case HayBales:
		d.Bale = d.Bale.settled()
		p = model.FirstProblem(d.Bale.check().Within("bale"), d.Bale.fits(d))
	}
	return d, model.FirstProblem(p, d.checkShape(), d.checkNotch(), d.checkHeightRule())
}

func (d DamBuild) checkSizes() *model.Problem {
	top := d.totalHeightM()
	return model.FirstProblem(
		model.Require(slices.Contains(DamKinds, d.Kind), "material", "", "%q is not a kind of dam whose quantities are known", d.Kind),
		checkCrestHeight(d.CrestHeightM),
		inRange("notchDepthM", d.NotchDepthM, 0, 1, "m"),
		model.Require(top <= MaxShoulderM, "notchDepthM", "make the notch longer and shallower, or the crest lower",
			"the shoulders would stand %.2f m above the bed, and %v m is the most for a dam without an engineer", top, MaxShoulderM),
		inRange("bedWidthM", d.BedWidthM, 0, maxBuildWidthM, "m"),
		inRange("leftRunPerRise", d.LeftRunPerRise, 0, 20, oneIn),
		inRange("rightRunPerRise", d.RightRunPerRise, 0, 20, oneIn),
		inRange("bedSlopePct", d.BedSlopePct, 0, maxBuildBedPct, "%"),
		inRange("crestBreadthM", d.CrestBreadthM, 0, 5, "m"),
		inRange("upstreamRunPerRise", d.UpstreamRunPerRise, 0, maxFaceRunPerRise, oneIn),
		inRange("downstreamRunPerRise", d.DownstreamRunPerRise, 0, maxFaceRunPerRise, oneIn),
		inRange("notchLengthM", d.NotchLengthM, 0, maxBuildWidthM, "m"),
		inRange("keyDepthM", d.KeyDepthM, 0, 2, "m"),
		inRange("keyWidthM", d.KeyWidthM, 0, 3, "m"),
		inRange("keyIntoBankM", d.KeyIntoBankM, 0, 5, "m"),
		inRange("apronLengthM", d.ApronLengthM, 0, 10, "m"),
		inRange("apronWidthM", d.ApronWidthM, 0, maxBuildWidthM, "m"),
		inRange("apronThicknessM", d.ApronThicknessM, 0, maxApronM, "m"),
		inRange("wastagePct", d.WastagePct, 0, 100, "%"),
		checkBulk(d.BulkTonnesPerM3),
		inRange("catchmentHa", d.CatchmentHa, 0, 1000, "ha"),
		checkTaped(d.AccuracyM),
	)
}

// checkGiven tells what a dam of this kind needs and lacks.
func (d DamBuild) checkGiven() *model.Problem {
	const (
		face = "loose rock does not stand upright: give 2 for a face of 1 in 2, as county manuals do"
		key  = " of the key's trench too, or leave the whole key out"
	)
	rock := d.Kind == LooseRock
	noTop := d.Kind == HayBales || d.Kind == Netting && d.Fences.Count == 1
	return model.FirstProblem(
		model.Require(noTop || d.CrestBreadthM != 0, "crestBreadthM", "give the breadth of its top along the stream, in metres", "is missing"),
		model.Require(!rock || d.UpstreamRunPerRise != 0, "upstreamRunPerRise", face, "is missing"),
		model.Require(!rock || d.DownstreamRunPerRise != 0, "downstreamRunPerRise", face, "is missing"),
		model.Require(d.KeyWidthM != 0 || !(d.KeyDepthM > 0 || d.KeyIntoBankM > 0), "keyWidthM", "give the width"+key, "is missing"),
		model.Require(d.KeyDepthM != 0 || !(d.KeyWidthM > 0 || d.KeyIntoBankM > 0), "keyDepthM", "give the depth"+key, "is missing"))
}

// checkBulk holds a bulk density to those of broken rock and earth; 0 is not known.
func checkBulk(tonnesPerM3 float64) *model.Problem {
	if tonnesPerM3 == 0 {
		return nil
	}
	return inRange("bulkDensityTM3", tonnesPerM3, 0.8, 2.6, "t/m3")
}

// checkTaped holds an accuracy to those of a tape; one that is not above nought is not known.
func checkTaped(accuracyM float64) *model.Problem {
	return model.Require(accuracyM <= 0.5, "accuracyM", "give one standard deviation of a taped size, at most 0.5 m, or leave it out",
		"%v m is not the accuracy of a taped size", accuracyM)
}

// checkSection tells why the gully is not one a dam can be fitted into.
func (d DamBuild) checkSection() *model.Problem {
	if d.Section == nil {
		return model.Require(d.BedWidthM != 0 || d.LeftRunPerRise != 0 || d.RightRunPerRise != 0, "bedWidthM",
			"give the width of the bed and the run of the banks, or the section as offsets and levels", "is missing")
	}
	if n := len(d.Section); n < 3 || n > MaxSectionPoints {
		return &model.Problem{Path: "section", Reason: fmt.Sprintf("has %d points; a gully takes from 3 to %d", n, MaxSectionPoints), Fix: "book the top of each bank and the bed between"}
	}
	for i, p := range d.Section {
		before := d.Section[max(i-1, 0)]
		if fault := model.FirstProblem(
			model.Require(math.Abs(p[0]) <= 1000 && math.Abs(p[1]) <= 12_000, "", "", "%v is not an offset within 1000 m and a level within 12000 m", p),
			model.Require(p[0] >= before[0], "", "book from the left bank to the right; lay an undercut bank back before a dam is keyed into it",
				"offset %v m goes back past %v m", p[0], before[0])); fault != nil {
			return fault.Within(fmt.Sprintf("section[%d]", i))
		}
	}
	a, top := d.gully(), d.totalHeightM()
	if d.Kind == HayBales {
		top += d.Bale.settled().EmbedM
	}
	bank := func(side string, end int) *model.Problem {
		return model.Require(a[end][1] >= top, fmt.Sprintf("section[%d]", end), "book the bank farther up, or lower the dam",
			"the %s bank was booked to %.2f m above the bed, and the dam goes up to %.2f m", side, a[end][1], top)
	}
	width := a.WidthM(top)
	return model.FirstProblem(bank("left", 0), bank("right", len(a)-1),
		model.Require(width <= maxBuildWidthM, "section", "", "the gully is %.0f m wide at the shoulders, and %d m is the most here", width, maxBuildWidthM))
}
