package runoff

import (
	"fmt"
	"math"
	"slices"

	"headcut/model"
)

// AreaLimit is the largest catchment for which a text lets the rational method be used.
type AreaLimit struct {
	Name   string
	Ha     float64
	Source model.Source
}

// AreaLimits lists the limits, the strictest first. The widest, which is of small rural
// catchments, is the default; a catchment beyond the others is told so, see Stricter. The
// acres are a round figure, and so are the hectares: the two texts that say "under" are read
// as "up to".
var AreaLimits = []AreaLimit{
	{"20 acres", 8.1, model.Source{Title: "American farm engineering text", Place: "rational method, up to 20 acres", How: model.LookedUp}},
	{"12 km2", 1200, model.Source{Title: "Water resources text", Place: "rational method, up to 12 km2", How: model.LookedUp}},
	{"25 km2", 2500, model.Source{Title: "Australian guidance on small rural catchments", Place: "chapter 5, up to 25 km2", How: model.LookedUp}},
}

// WidestLimit is the limit that holds where none is named.
var WidestLimit = AreaLimits[len(AreaLimits)-1]

// Stricter lists the limits that a catchment of so many hectares is beyond.
func Stricter(areaHa float64) []AreaLimit {
	return slices.DeleteFunc(slices.Clone(AreaLimits), func(l AreaLimit) bool { return !l.refuses(areaHa) })
}

// refuses tells whether an area is beyond the limit, which takes in the figure it prints.
func (l AreaLimit) refuses(areaHa float64) bool {
	const rounding = 1e-9 // of a sum of parts
	return areaHa > l.Ha*(1+rounding)
}

// Part is a piece of a catchment with one coefficient.
type Part struct {
	AreaHa      Quantity
	Coefficient Quantity
}

// Catchment is all the parts that drain to the place of the peak.
type Catchment []Part

// Limits of a part and of an intensity.
const (
	minPartHa      = 0.001
	leastIntensity = 5 // mm/h; less is likelier inches, and no storm that fills a notch
)

// Peak is a peak flow and what it was worked out from.
type Peak struct {
	AreaHa       Quantity // of all parts
	Coefficient  Quantity // weighted by area
	IntensityMmH Quantity
	FlowM3S      Quantity
}

// Rational is the peak flow Q = C i A / 360, with Q in m³/s, i in mm/h and A in ha
// (Practices of Irrigation and On-farm Water Management, equation 6.7), the coefficient of
// several parts being weighted by their areas. It returns a *model.Problem with a path
// like "parts[1].coefficient", "parts" for an area beyond the limit, or "intensityMmH".
//
// The plus-minus of the flow is that of a product of values that err apart, worked out in
// full, since a coefficient is seldom known to better than a third.
func (c Catchment) Rational(intensityMmH Quantity, limit AreaLimit) (Peak, error) {
	if p := model.FirstProblem(c.check(limit),
		bound{"intensityMmH", leastIntensity, maxIntensityMmH, "an intensity of a design storm", " mm/h", "give millimetres an hour: 1 inch is 25.4"}.check(intensityMmH, "intensityPlusMinusMmH")); p != nil {
		return Peak{}, p
	}
	area, shed, spread := Quantity{}, 0.0, 0.0 // ha; ha that shed all their rain; the plus-minus of those
	mean := Quantity{}                         // kept as a running mean, so that alike parts give what was given
	for _, part := range c {
		a, k := part.AreaHa, part.Coefficient
		area = Quantity{area.Value + a.Value, model.JointPlusMinus(area.PlusMinus, a.PlusMinus)}
		mean.Value += (k.Value - mean.Value) * (a.Value / area.Value)
		shed += k.Value * a.Value
		spread = model.JointPlusMinus(spread, model.ScaledPlusMinus(k.Value*a.Value, ofProduct(k.relative(), a.relative())))
	}
	for _, part := range c {
		mean.PlusMinus = model.JointPlusMinus(mean.PlusMinus,
			model.ScaledPlusMinus(part.AreaHa.Value/area.Value, part.Coefficient.PlusMinus),
			model.ScaledPlusMinus((part.Coefficient.Value-mean.Value)/area.Value, part.AreaHa.PlusMinus))
	}
	flow := shed * intensityMmH.Value / 360
	return Peak{area, mean, intensityMmH, Quantity{flow, model.ScaledPlusMinus(flow, ofProduct(Quantity{shed, spread}.relative(), intensityMmH.relative()))}}, nil
}

// ofProduct is the relative plus-minus of a product from those of its factors, exact for
// factors that err apart: (1+a²)(1+b²) - 1 is its square.
func ofProduct(a, b float64) float64 {
	if a < 0 || b < 0 {
		return -1
	}
	return math.Sqrt(a*a + b*b + a*a*b*b)
}

func (c Catchment) check(limit AreaLimit) *model.Problem {
	if len(c) == 0 {
		return &model.Problem{Path: "parts", Reason: "a catchment has at least one part"}
	}
	total := 0.0
	for i, part := range c {
		if p := model.FirstProblem(
			bound{"areaHa", minPartHa, WidestLimit.Ha, "an area", " ha", "give hectares: 100 ha is 1 km2; a larger catchment is for an engineer"}.check(part.AreaHa, "areaPlusMinusHa"),
			bound{"coefficient", 0.01, 1, "a runoff coefficient", "", "give the share that runs off: 0.36, not 36 per cent"}.check(part.Coefficient, "coefficientPlusMinus")); p != nil {
			return p.Within(fmt.Sprintf("parts[%d]", i))
		}
		total += part.AreaHa.Value
	}
	return model.Require(!limit.refuses(total), "parts", "take the catchment of this structure alone; beyond the widest limit have an engineer calculate the flow",
		"%.6g ha is beyond the rational method's limit of %v ha (%s)", total, limit.Ha, limit.Source)
}
