package works

import (
	"fmt"
	"math"

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
	if v >= least && v <= most {
		return nil
	}
	return &model.Problem{Path: path, Reason: fmt.Sprintf("%v is not from %v to %v %s", v, least, most, unit), Fix: "check the number and its unit"}
}

// oneIn is the unit of a slope in a refusal.
const oneIn = "(a slope of 1 in so many)"

// settled is the dam with its defaults filled in, or what is wrong with it.
func (d DamBuild) settled() (DamBuild, *model.Problem) {
	if d.Kind == "" {
		d.Kind = LooseRock
	}
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
	if d.ApronLengthM == 0 {
		d.ApronLengthM = rule.LengthM(d.CrestHeightM, d.BedSlopePct)
	}
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
		d.ApronWidthM = max(d.BedWidthM, d.NotchLengthM)
		if d.BedWidthM == 0 {
			d.ApronWidthM = max(d.gully().widthM(d.ApronThicknessM), d.NotchLengthM)
		}
	}
	if d.ApronLengthM == 0 {
		d.ApronWidthM, d.ApronThicknessM = 0, 0
	}
	switch d.Kind {
	case Netting:
		d.Fences = d.Fences.settled()
		p = nested("fences", d.Fences.check())
	case Brushwood:
		d.Brush = d.Brush.settled()
		p = nested("brush", d.Brush.check())
	case HayBales:
		d.Bale = d.Bale.settled()
		if p = nested("bale", d.Bale.check()); p == nil {
			p = d.Bale.fits(d)
		}
	}
	return d, model.FirstProblem(p, d.checkShape(), d.checkNotch(), d.checkHeightRule())
}

// nested puts a Problem below a parent, if there is one.
func nested(parent string, p *model.Problem) *model.Problem {
	if p == nil {
		return nil
	}
	return p.Within(parent)
}

func (d DamBuild) checkSizes() *model.Problem {
	known := false
	for _, k := range DamKinds {
		known = known || k == d.Kind
	}
	if !known {
		return &model.Problem{Path: "material", Reason: fmt.Sprintf("%q is not a kind of dam whose quantities are known", d.Kind)}
	}
	if p := checkCrestHeight(d.CrestHeightM); p != nil {
		return p
	}
	if p := inRange("notchDepthM", d.NotchDepthM, 0, 1, "m"); p != nil {
		return p
	}
	if top := d.totalHeightM(); top > MaxShoulderM {
		return &model.Problem{Path: "notchDepthM", Reason: fmt.Sprintf("the shoulders would stand %.2f m above the bed, and %v m is the most for a dam without an engineer", top, MaxShoulderM),
			Fix: "make the notch longer and shallower, or the crest lower"}
	}
	return model.FirstProblem(
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
		d.checkAccuracy(),
	)
}

// checkGiven tells what a dam of this kind needs and lacks.
func (d DamBuild) checkGiven() *model.Problem {
	missing := func(path, fix string) *model.Problem {
		return &model.Problem{Path: path, Reason: "is missing", Fix: fix}
	}
	switch {
	case d.Kind != HayBales && !(d.Kind == Netting && d.Fences.Count == 1) && d.CrestBreadthM == 0:
		return missing("crestBreadthM", "give the breadth of its top along the stream, in metres")
	case d.Kind == LooseRock && d.UpstreamRunPerRise == 0:
		return missing("upstreamRunPerRise", "loose rock does not stand upright: give 2 for a face of 1 in 2, as county manuals do")
	case d.Kind == LooseRock && d.DownstreamRunPerRise == 0:
		return missing("downstreamRunPerRise", "loose rock does not stand upright: give 2 for a face of 1 in 2, as county manuals do")
	case d.KeyWidthM == 0 && (d.KeyDepthM > 0 || d.KeyIntoBankM > 0):
		return missing("keyWidthM", "give the width of the key's trench too, or leave the whole key out")
	case d.KeyDepthM == 0 && (d.KeyWidthM > 0 || d.KeyIntoBankM > 0):
		return missing("keyDepthM", "give the depth of the key's trench too, or leave the whole key out")
	}
	return nil
}

// checkBulk holds a bulk density to those of broken rock and earth; 0 is not known.
func checkBulk(tonnesPerM3 float64) *model.Problem {
	if tonnesPerM3 == 0 {
		return nil
	}
	return inRange("bulkDensityTM3", tonnesPerM3, 0.8, 2.6, "t/m3")
}

func (d DamBuild) checkAccuracy() *model.Problem {
	if !(d.AccuracyM <= 0.5) {
		return &model.Problem{Path: "accuracyM", Reason: fmt.Sprintf("%v m is not the accuracy of a taped size", d.AccuracyM), Fix: "give one standard deviation of a taped size, at most 0.5 m, or leave it out"}
	}
	return nil
}

// checkSection tells why the gully is not one a dam can be fitted into.
func (d DamBuild) checkSection() *model.Problem {
	if d.Section == nil {
		if d.BedWidthM == 0 && d.LeftRunPerRise == 0 && d.RightRunPerRise == 0 {
			return &model.Problem{Path: "bedWidthM", Reason: "is missing", Fix: "give the width of the bed and the run of the banks, or the section as offsets and levels"}
		}
		return nil
	}
	if n := len(d.Section); n < 3 || n > MaxSectionPoints {
		return &model.Problem{Path: "section", Reason: fmt.Sprintf("has %d points; a gully takes from 3 to %d", n, MaxSectionPoints), Fix: "book the top of each bank and the bed between"}
	}
	for i, p := range d.Section {
		if !(math.Abs(p[0]) <= 1000 && math.Abs(p[1]) <= 12_000) {
			return &model.Problem{Path: fmt.Sprintf("section[%d]", i), Reason: fmt.Sprintf("%v is not an offset within 1000 m and a level within 12000 m", p)}
		}
		if i > 0 && p[0] < d.Section[i-1][0] {
			return &model.Problem{Path: fmt.Sprintf("section[%d]", i), Reason: fmt.Sprintf("offset %v m goes back past %v m", p[0], d.Section[i-1][0]),
				Fix: "book from the left bank to the right; lay an undercut bank back before a dam is keyed into it"}
		}
	}
	a, top := d.gully(), d.totalHeightM()
	if d.Kind == HayBales {
		top += d.Bale.settled().EmbedM
	}
	for side, end := range []int{0, len(a) - 1} {
		if a[end][1] < top {
			return &model.Problem{Path: fmt.Sprintf("section[%d]", end), Reason: fmt.Sprintf("the %s bank was booked to %.2f m above the bed, and the dam goes up to %.2f m", []string{"left", "right"}[side], a[end][1], top),
				Fix: "book the bank farther up, or lower the dam"}
		}
	}
	if w := a.widthM(top); w > maxBuildWidthM {
		return &model.Problem{Path: "section", Reason: fmt.Sprintf("the gully is %.0f m wide at the shoulders, and %d m is the most here", w, maxBuildWidthM)}
	}
	return nil
}
