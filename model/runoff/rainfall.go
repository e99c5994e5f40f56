package runoff

import (
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

// The ways between two durations.
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
	if len(r) < 2 {
		return &model.Problem{Reason: fmt.Sprintf("a rainfall table needs 2 durations and has %d", len(r)), Fix: "take them from the table of the place and the event"}
	}
	if len(r) > maxBursts {
		return &model.Problem{Reason: fmt.Sprintf("%d durations are more than any table has", len(r))}
	}
	const rounding = 1.01
	for i, b := range r {
		at := fmt.Sprintf("[%d]", i)
		if p := (bound{"minutes", 1, maxBurstMin, "a duration", " min", "give minutes"}).check(Quantity{Value: b.Minutes}, ""); p != nil {
			return p.Within(at)
		}
		if p := (bound{"intensityMmH", 0.1, maxIntensityMmH, "an intensity", " mm/h", "give millimetres an hour"}).check(Quantity{Value: b.IntensityMmH}, ""); p != nil {
			return p.Within(at)
		}
		if i == 0 {
			continue
		}
		before := r[i-1]
		switch {
		case b.Minutes <= before.Minutes:
			return &model.Problem{Path: at + ".minutes", Reason: fmt.Sprintf("%v min does not come after %v min", b.Minutes, before.Minutes), Fix: "list the shortest duration first, each once"}
		case b.IntensityMmH > before.IntensityMmH*rounding:
			return &model.Problem{Path: at + ".intensityMmH", Reason: fmt.Sprintf("%v mm/h over %v min is more than %v mm/h over %v min", b.IntensityMmH, b.Minutes, before.IntensityMmH, before.Minutes),
				Fix: "longer rain is never the harder: are these depths in mm, or two events in one table?"}
		case b.IntensityMmH*b.Minutes*rounding < before.IntensityMmH*before.Minutes:
			return &model.Problem{Path: at + ".intensityMmH", Reason: fmt.Sprintf("%v min at %v mm/h is less rain than %v min at %v mm/h", b.Minutes, b.IntensityMmH, before.Minutes, before.IntensityMmH),
				Fix: "longer rain of one event is never the less: check the row against the table"}
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
	if p := r.check(); p != nil {
		return Reading{}, p.Within("durations")
	}
	if p := (bound{"timeOfConcentrationMin", 0.5, maxBurstMin, "a time of concentration", " min", "give minutes"}).check(minutes, "timeOfConcentrationPlusMinusMin"); p != nil {
		return Reading{}, p
	}
	if !(plusMinusPct <= 100) {
		return Reading{}, &model.Problem{Path: "intensityPlusMinusPct", Reason: fmt.Sprintf("%v is not a ± up to 100 %%", plusMinusPct)}
	}
	if between == "" {
		between = LogLog
	}
	at, p := r.within(minutes.Value)
	if p != nil {
		return Reading{}, p
	}
	intensity, exponent := r.read(at, between)
	if at != minutes.Value {
		exponent = 0
	}
	spread := together(times(0.01, plusMinusPct), times(exponent, minutes.relative()))
	return Reading{Quantity{intensity, times(intensity, spread)}, at, between}, nil
}

// within is the duration of the table that stands for these minutes.
func (r Rainfall) within(minutes float64) (float64, *model.Problem) {
	first, last := r[0].Minutes, r[len(r)-1].Minutes
	switch {
	case minutes > last:
		return 0, &model.Problem{Path: "timeOfConcentrationMin", Reason: fmt.Sprintf("%.6g min is outside the tabulated durations, %v to %v min", minutes, first, last), Fix: "take a longer duration from the same table"}
	case minutes >= first:
		return minutes, nil
	case first > ShortestBurstMin:
		return 0, &model.Problem{Path: "timeOfConcentrationMin", Reason: fmt.Sprintf("%.6g min is outside the tabulated durations, %v to %v min", minutes, first, last), Fix: "take a shorter duration from the same table"}
	}
	return first, nil
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
