package monitor

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/section"
)

// VolumeRule is how the volume between two cross-sections is taken.
type VolumeRule string

// The rules. A taper is the pyramid A L/3 over the place where the gully runs out.
const (
	EndArea    VolumeRule = "end-area"   // (A₁ + A₂)/2 L
	Prismoidal VolumeRule = "prismoidal" // (A₁ + 4 Aₘ + A₂)/6 L
	Pyramid    VolumeRule = "pyramid"    // A L/3
)

// MiddleTolerance is how far a middle section may stand from half-way, as a part of the
// length between its neighbours. Common practice, no source.
const MiddleTolerance = 0.05

// VolumeSurvey is a gully measured by cross-sections.
type VolumeSurvey struct {
	Sections []CrossSection // from the downstream end up
	Method   VolumeRule     // EndArea or Prismoidal

	// AverageZeroEnds takes the average of end areas also where one of them is zero,
	// instead of a pyramid.
	AverageZeroEnds bool

	// RunOutDownM and RunOutUpM are how far the gully runs on past its first and its last
	// section until there is nothing left of it.
	RunOutDownM, RunOutUpM float64

	Accuracy       Accuracy
	MethodErrorPct float64 // of the volume, one standard deviation, alike for all sections; negative for none
}

// Interval is the volume between two chainages.
type Interval struct {
	FromM    float64    `json:"fromM" unit:"m" doc:"chainage of its downstream end"`
	ToM      float64    `json:"toM" unit:"m" doc:"chainage of its upstream end"`
	VolumeM3 float64    `json:"volumeM3" unit:"m3" doc:"between the two"`
	Rule     VolumeRule `json:"rule" choices:"end-area|prismoidal|pyramid" doc:"how it was taken"`
}

// Volume is what a survey comes to.
type Volume struct {
	VolumeM3           float64
	PlusMinusM3        float64 // readings and method together; negative when not known
	ReadingPlusMinusM3 float64 // from the readings alone
	Intervals          []Interval
	AreasM2            []float64 // of the sections

	// ReadsHighM3 is by how much averaging end areas reads high, in the intervals where it
	// was used, if width and depth change together along them.
	ReadsHighM3 float64
}

// Volume sums the intervals. The prismoidal rule needs what lies half-way: a measured
// middle section, or the mean of the dimensions at both ends; the mean of two areas would
// only give the end-area rule again and is refused. It returns a *model.Problem with a path
// like "sections[2].offsets" for what cannot be measured.
func (v VolumeSurvey) Volume() (Volume, error) {
	if err := v.check(); err != nil {
		return Volume{}, err
	}
	t := volumeSum{survey: v, weights: make([]weight, len(v.Sections))}
	for i, s := range v.Sections {
		a, p := s.measure(v.Accuracy)
		if p != nil {
			return Volume{}, p.Within(fmt.Sprintf("sections[%d]", i))
		}
		t.areas = append(t.areas, a)
		t.out.AreasM2 = append(t.out.AreasM2, a.areaM2)
	}
	last := len(v.Sections) - 1
	if v.RunOutDownM > 0 {
		t.runOut(0, v.Sections[0].ChainageM-v.RunOutDownM, v.RunOutDownM)
	}
	for i := 0; i < last; {
		next, p := t.interval(i)
		if p != nil {
			return Volume{}, p
		}
		i = next
	}
	if v.RunOutUpM > 0 {
		t.runOut(last, v.Sections[last].ChainageM, v.RunOutUpM)
	}
	t.out.ReadingPlusMinusM3 = t.plusMinus()
	t.out.PlusMinusM3 = t.out.ReadingPlusMinusM3
	if v.MethodErrorPct >= 0 {
		t.out.PlusMinusM3 = together(t.out.PlusMinusM3, v.MethodErrorPct/100*t.out.VolumeM3)
	}
	return t.out, nil
}

func (v VolumeSurvey) check() error {
	const nearer = "measure another section nearer to the end"
	n := len(v.Sections)
	if p := model.FirstProblem(
		model.Require(v.Method == EndArea || v.Method == Prismoidal, "method", "", "%q is not end-area or prismoidal", v.Method),
		outside("downstreamRunOutM", v.RunOutDownM, 0, 1000, "m", nearer), outside("upstreamRunOutM", v.RunOutUpM, 0, 1000, "m", nearer),
		badPlusMinus("acrossPlusMinusM", v.Accuracy.AcrossM), badPlusMinus("heightPlusMinusM", v.Accuracy.HeightM), badPlusMinus("chainagePlusMinusM", v.Accuracy.ChainageM),
		tooWide("methodErrorPct", v.MethodErrorPct, 100, "%", ""),
		model.Require(n > 1 || n == 1 && (v.RunOutDownM != 0 || v.RunOutUpM != 0), "sections",
			"measure at least two, or one and how far the gully runs out from it", "has %d cross-sections", n)); p != nil {
		return p
	}
	for i, s := range v.Sections {
		before := v.Sections[max(i-1, 0)].ChainageM
		if p := model.FirstProblem(
			outside("chainageM", s.ChainageM, 0, section.MaxChainageM, "m", "chainages run from the downstream end up, in metres"),
			model.Require(i == 0 || s.ChainageM-before >= section.LeastApartM, "chainageM", "list the sections from the downstream end up, each once",
				"%v m is not upstream of the section before, at %v m", s.ChainageM, before)); p != nil {
			return p.Within(fmt.Sprintf("sections[%d]", i))
		}
	}
	return nil
}

// volumeSum sums intervals and, beside them, what each measured value weighs in the sum.
type volumeSum struct {
	survey  VolumeSurvey
	areas   []area
	weights []weight
	runOuts float64 // variance of the lengths of the run-outs, per square metre of theirs
	out     Volume
}

// weight is how much the volume changes with one section's area, with the mean width and
// depth of its dimensions, and with its chainage.
type weight struct{ perArea, perWidth, perDepth, perChainage float64 }

func (t *volumeSum) add(i Interval) {
	t.out.Intervals = append(t.out.Intervals, i)
	t.out.VolumeM3 += i.VolumeM3
}

// between adds the interval from section i to section j, whose mean area this is.
func (t *volumeSum) between(i, j int, rule VolumeRule, meanM2 float64) {
	fromM, toM := t.survey.Sections[i].ChainageM, t.survey.Sections[j].ChainageM
	t.add(Interval{fromM, toM, (toM - fromM) * meanM2, rule})
	t.weights[i].perChainage -= meanM2
	t.weights[j].perChainage += meanM2
}

func (t *volumeSum) runOut(i int, fromM, lengthM float64) {
	a := t.areas[i].areaM2
	t.add(Interval{fromM, fromM + lengthM, a * lengthM / 3, Pyramid})
	t.weights[i].perArea += lengthM / 3
	t.runOuts += sq(a / 3)
}

// interval adds what lies upstream of section i and returns where the next one starts.
func (t *volumeSum) interval(i int) (next int, p *model.Problem) {
	s := t.survey.Sections
	if t.survey.Method == Prismoidal {
		if s[i].Middle {
			return 0, &model.Problem{Path: fmt.Sprintf("sections[%d].middle", i), Reason: "has no section on both sides", Fix: "a middle section stands between two that are none"}
		}
		if s[i+1].Middle {
			return t.byMiddle(i)
		}
		if s[i].Dimensions != nil && s[i+1].Dimensions != nil {
			t.byDimensions(i)
			return i + 1, nil
		}
	}
	lengthM, a, b := s[i+1].ChainageM-s[i].ChainageM, t.areas[i].areaM2, t.areas[i+1].areaM2
	switch {
	case (a == 0) != (b == 0) && !t.survey.AverageZeroEnds:
		t.even(i, Pyramid, lengthM, (a+b)/3, 1.0/3)
	case t.survey.Method == EndArea || a == 0 && b == 0:
		t.even(i, EndArea, lengthM, (a+b)/2, 1.0/2)
		t.out.ReadsHighM3 += lengthM / 6 * sq(math.Sqrt(a)-math.Sqrt(b))
	default:
		return 0, &model.Problem{Path: fmt.Sprintf("sections[%d]", i+1), Reason: "has no measured middle between it and the section before",
			Fix: "measure half-way and mark that section as middle, give dimensions at both, or use end-area"}
	}
	return i + 1, nil
}

// even adds an interval whose mean area weighs both ends alike.
func (t *volumeSum) even(i int, rule VolumeRule, lengthM, meanM2, share float64) {
	t.between(i, i+1, rule, meanM2)
	t.weights[i].perArea += lengthM * share
	t.weights[i+1].perArea += lengthM * share
}

func (t *volumeSum) byMiddle(i int) (next int, p *model.Problem) {
	s := t.survey.Sections
	if i+2 >= len(s) || s[i+2].Middle {
		return 0, &model.Problem{Path: fmt.Sprintf("sections[%d].middle", i+1), Reason: "has no section on both sides", Fix: "a middle section stands between two that are none"}
	}
	fromM, toM := s[i].ChainageM, s[i+2].ChainageM
	lengthM := toM - fromM
	if offM := s[i+1].ChainageM - (fromM+toM)/2; math.Abs(offM) > MiddleTolerance*lengthM {
		return 0, &model.Problem{Path: fmt.Sprintf("sections[%d].chainageM", i+1),
			Reason: fmt.Sprintf("is %.2f m from half-way between its neighbours, at %v m", math.Abs(offM), (fromM+toM)/2),
			Fix:    "measure half-way, or use end-area"}
	}
	meanM2 := (t.areas[i].areaM2 + 4*t.areas[i+1].areaM2 + t.areas[i+2].areaM2) / 6
	t.between(i, i+2, Prismoidal, meanM2)
	w := t.weights[i:]
	w[0].perArea += lengthM / 6
	w[1].perArea += lengthM * 4 / 6
	w[2].perArea += lengthM / 6
	return i + 2, nil
}

// byDimensions adds an interval whose middle has the mean width and depth of its ends:
//
//	L/6 (w₁d₁ + (w₁ + w₂)(d₁ + d₂) + w₂d₂)
func (t *volumeSum) byDimensions(i int) {
	s := t.survey.Sections
	w1, d1 := s[i].Dimensions.meanWidthM(), s[i].Dimensions.DepthM
	w2, d2 := s[i+1].Dimensions.meanWidthM(), s[i+1].Dimensions.DepthM
	lengthM := s[i+1].ChainageM - s[i].ChainageM
	t.between(i, i+1, Prismoidal, (w1*d1+(w1+w2)*(d1+d2)+w2*d2)/6)
	w := t.weights[i:]
	w[0].perWidth += lengthM / 6 * (2*d1 + d2)
	w[0].perDepth += lengthM / 6 * (2*w1 + w2)
	w[1].perWidth += lengthM / 6 * (2*d2 + d1)
	w[1].perDepth += lengthM / 6 * (2*w2 + w1)
}

// plusMinus is the law of propagation of errors over all that was measured (JCGM 100:2008,
// 5.1.2; from memory); -1 when something that matters has no known accuracy.
func (t *volumeSum) plusMinus() float64 {
	a := t.survey.Accuracy
	variance, unknown := 0.0, false
	of := func(weight, plusMinus float64) {
		unknown = unknown || weight != 0 && plusMinus < 0
		variance += sq(weight * plusMinus)
	}
	for i, w := range t.weights {
		of(w.perChainage, a.ChainageM)
		if d := t.survey.Sections[i].Dimensions; d != nil {
			of((w.perArea*d.DepthM+w.perWidth)/math.Sqrt2, a.AcrossM) // the mean of two widths
			of(w.perArea*d.meanWidthM()+w.perDepth, a.HeightM)
		} else {
			of(w.perArea, t.areas[i].plusMinusM2)
		}
	}
	of(math.Sqrt(t.runOuts), a.ChainageM)
	if unknown {
		return -1
	}
	return math.Sqrt(variance)
}
