package followup

import (
	"math"
	"strconv"

	"headcut/model"
)

// Origin says whether a figure was seen, worked out or only planned.
type Origin string

// The origins of a figure.
const (
	Observed Origin = "observed"
	Computed Origin = "computed"
	Planned  Origin = "planned"
)

// Figure is a figure with what it comes from.
type Figure struct {
	model.Figure
	Origin Origin   `json:"origin"`
	From   []string `json:"from"` // ids of the visits or features
}

func computed(f model.Figure, from ...string) Figure { return Figure{ending(f), Computed, from} }

// FigureOf is a figure that was worked out of a feature, from what is recorded or as it was planned.
func FigureOf(f model.Figure, from string) Figure {
	if f.Basis == model.FromPlan {
		return Figure{ending(f), Planned, []string{from}}
	}
	return computed(f, from)
}

func observed(f model.Figure, from string) Figure {
	return Figure{ending(f), Observed, []string{from}}
}

// ending cuts a figure where it can be used: two digits after the first of its plus-minus, as exports have it.
func ending(f model.Figure) model.Figure {
	f.Value = cut(f.Value, Decimals(f))
	if f.PlusMinus != nil {
		f.PlusMinus = model.Known(cut(*f.PlusMinus, Decimals(f)))
	}
	return f
}

// Decimals are those that a figure is written with.
func Decimals(f model.Figure) int {
	if f.PlusMinus == nil || *f.PlusMinus <= 0 {
		return model.DecimalsOf(f.Unit)
	}
	return min(max(0, 2-int(math.Floor(math.Log10(*f.PlusMinus)))), 6)
}

func cut(v float64, decimals int) float64 {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', decimals, 64), 64)
	if err != nil || short == 0 {
		return 0 // without a sign
	}
	return short
}

func millimetres(mm float64) string { return strconv.FormatFloat(mm, 'f', -1, 64) + " mm" }
