package runoff

import (
	"cmp"
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/elementary"
)

// Burst is one row of a design-storm table: the mean intensity of the hardest rain of a
// duration, for the event the whole table is for.
type Burst struct {
	Minutes      float64 `json:"minutes" unit:"min" doc:"duration of the rain"`
	IntensityMmH float64 `json:"intensityMmH" unit:"mm/h" doc:"mean intensity over that duration, not the depth"`
}

// Rainfall is a design-storm table of one event, the shortest duration first.
type Rainfall []Burst

// Between is how intensities between two durations of a table are found.
type Between string

const (
	LogLog            Between = "log-log"            // ln i straight over ln t, as published charts are drawn
	StraightIntensity Between = "straight intensity" // i straight over t
	StraightDepth     Between = "straight depth"     // i t straight over t
)

// Betweens lists the ways, the default first. Intensity charts are drawn on log scales
// both ways (farm engineering text, figure 16.8, looked up); the other two are what people
// do by hand, and differ by up to 8 % between durations that double.
var Betweens = []Between{LogLog, StraightIntensity, StraightDepth}

// ShortestBurstMin is the longest that the first duration of a table may be for it to
// stand for all shorter ones: tables start at 5 or 6 minutes, and a shorter time of
// concentration is taken as that (common practice, no source).
const ShortestBurstMin = 6

// Limits of a table.
const (
	maxBurstMin     = 7 * 24 * 60
	maxIntensityMmH = 1000
	maxBursts       = 1000
)

// check is what is wrong with a table that is none, at a path like "[2].intensityMmH".
// Intensities must not grow with duration nor depths shrink, as in any table of one event; a
// little of both is let pass as rounding.
func (r Rainfall) check() *model.Problem {
	if p := model.FirstProblem(
		model.Require(len(r) >= 2, "", "take them from the table of the place and the event", "a rainfall table needs 2 durations and has %d", len(r)),
		model.Require(len(r) <= maxBursts, "", "", "%d durations are more than any table has", len(r))); p != nil {
		return p
	}
	const rounding = 1.01
	for i, b := range r {
		before := r[max(i-1, 0)]
		if p := model.FirstProblem(
			bound{"minutes", 1, maxBurstMin, "a duration", " min", "give minutes"}.exactly(b.Minutes),
			bound{"intensityMmH", 0.1, maxIntensityMmH, "an intensity", " mm/h", "give millimetres an hour"}.exactly(b.IntensityMmH),
			model.Require(i == 0 || b.Minutes > before.Minutes, "minutes", "list the shortest duration first, each once", "%v min does not come after %v min", b.Minutes, before.Minutes),
			model.Require(b.IntensityMmH <= before.IntensityMmH*rounding, "intensityMmH", "longer rain is never the harder: are these depths in mm, or two events in one table?",
				"%v mm/h over %v min is more than %v mm/h over %v min", b.IntensityMmH, b.Minutes, before.IntensityMmH, before.Minutes),
			model.Require(b.IntensityMmH*b.Minutes*rounding >= before.IntensityMmH*before.Minutes, "intensityMmH", "longer rain of one event is never the less: check the row against the table",
				"%v min at %v mm/h is less rain than %v min at %v mm/h", b.Minutes, b.IntensityMmH, before.Minutes, before.IntensityMmH)); p != nil {
			return p.Within(fmt.Sprintf("[%d]", i))
		}
	}
	return nil
}

// Reading is an intensity read from a table.
type Reading struct {
	IntensityMmH Quantity
	DurationMin  float64 // the duration it was read at: the table's shortest where the one asked for is shorter
	Between      Between
}

// At reads the table at a duration. plusMinusPct is that of the table itself, in percent
// of an intensity, negative when not known. Nothing is extrapolated: it returns a
// *model.Problem with the path "timeOfConcentrationMin" beyond the table's durations,
// unless the table starts at ShortestBurstMin or sooner and the time is shorter yet.
func (r Rainfall) At(minutes Quantity, between Between, plusMinusPct float64) (Reading, error) {
	if p := model.FirstProblem(r.check().Within("durations"),
		bound{"timeOfConcentrationMin", 0.5, maxBurstMin, "a time of concentration", " min", "give minutes"}.check(minutes, "timeOfConcentrationPlusMinusMin"),
		model.Require(plusMinusPct <= 100, "intensityPlusMinusPct", "", "%v is not a ± up to 100 %%", plusMinusPct)); p != nil {
		return Reading{}, p
	}
	between = cmp.Or(between, LogLog)
	at, p := r.within(minutes.Value)
	if p != nil {
		return Reading{}, p
	}
	intensity, exponent := r.read(at, between)
	if at != minutes.Value {
		exponent = 0
	}
	spread := model.JointPlusMinus(model.ScaledPlusMinus(0.01, plusMinusPct), model.ScaledPlusMinus(exponent, minutes.relative()))
	return Reading{Quantity{intensity, model.ScaledPlusMinus(intensity, spread)}, at, between}, nil
}

// within is the duration of the table that stands for these minutes.
func (r Rainfall) within(minutes float64) (float64, *model.Problem) {
	first, last := r[0].Minutes, r[len(r)-1].Minutes
	outside := func(ok bool, instead string) *model.Problem {
		return model.Require(ok, "timeOfConcentrationMin", "take a "+instead+" duration from the same table",
			"%.6g min is outside the tabulated durations, %v to %v min", minutes, first, last)
	}
	return max(minutes, first), model.FirstProblem(outside(minutes <= last, "longer"), outside(minutes >= first || first <= ShortestBurstMin, "shorter"))
}

// read is the intensity at a duration within the table, in mm/h, and the exponent with
// which it changes there: d ln i / d ln t, from -1 to 0.
func (r Rainfall) read(t float64, between Between) (intensityMmH, exponent float64) {
	k := 1
	for t > r[k].Minutes {
		k++
	}
	a, b := r[k-1], r[k]
	share := (t - a.Minutes) / (b.Minutes - a.Minutes)
	switch between {
	case StraightIntensity:
		i := a.IntensityMmH + share*(b.IntensityMmH-a.IntensityMmH)
		return i, (b.IntensityMmH - a.IntensityMmH) / (b.Minutes - a.Minutes) * t / i
	case StraightDepth: // of i t, which is the depth but for the 60
		from, to := a.IntensityMmH*a.Minutes, b.IntensityMmH*b.Minutes
		depth := from + share*(to-from)
		return depth / t, (to-from)/(b.Minutes-a.Minutes)*t/depth - 1
	default:
		m := math.Log(b.IntensityMmH/a.IntensityMmH) / math.Log(b.Minutes/a.Minutes)
		return a.IntensityMmH * elementary.Pow(t/a.Minutes, m), m
	}
}
