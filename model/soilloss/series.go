package soilloss

import (
	"math"

	"headcut/model"
	"headcut/model/elementary"
)

// Series is one printed run of cover factors: soil loss as a part of that of bare tilled
// ground, by ground cover. The series disagree by half at the same cover, and about bare
// ground by more than two, so a before and an after are always read off the same one.
type Series struct {
	Name   string
	Rows   []Row // cover rising, from 0
	Source model.Source
}

// Row is one printed pair.
type Row struct{ CoverPct, Factor float64 }

// AllSeries lists the series; the first is the one taken when none is named.
var AllSeries = []Series{
	{
		Name:   "pasture-set",
		Rows:   []Row{{0, 1}, {10, 0.33}, {20, 0.20}, {30, 0.15}, {40, 0.10}, {50, 0.07}, {60, 0.042}, {70, 0.024}, {80, 0.013}, {90, 0.008}, {100, 0.003}},
		Source: model.Source{Title: "Pasture cover factors credited to Wischmeier and Smith 1978, teaching set of tables", Place: "table 1, pasture", How: model.LookedUp},
	},
	{
		Name: "handbook-537-grass",
		Rows: []Row{{0, 0.45}, {20, 0.20}, {40, 0.10}, {60, 0.042}, {80, 0.013}, {95, 0.003}},
		Source: model.Source{Title: "Permanent pasture and rangeland after USDA Agriculture Handbook 537, in a Colorado mine permit quoting a USDA agronomy note",
			Place: "table 1, no appreciable canopy, G: grass and litter", How: model.LookedUp},
	},
	{
		Name: "handbook-537-weeds",
		Rows: []Row{{0, 0.45}, {20, 0.24}, {40, 0.15}, {60, 0.090}, {80, 0.043}, {95, 0.011}},
		Source: model.Source{Title: "Permanent pasture and rangeland after USDA Agriculture Handbook 537, in a Colorado mine permit quoting a USDA agronomy note",
			Place: "table 1, no appreciable canopy, W: broadleaf herbs", How: model.LookedUp},
	},
	{
		Name: "epa-1977-grass",
		Rows: []Row{{0, 1}, {10, 0.45}, {20, 0.20}, {40, 0.10}, {60, 0.042}, {80, 0.013}, {95, 0.003}},
		Source: model.Source{Title: "Permanent pasture and rangeland credited to US EPA 1977, in a Colorado mine permit",
			Place: "no appreciable canopy, G: grass and litter", How: model.LookedUp},
	},
}

// SeriesNamed finds a series.
func SeriesNamed(name string) (Series, bool) {
	return model.Find(AllSeries, func(s Series) bool { return s.Name == name })
}

// Factor is the cover factor at this cover: straight in its logarithm between the printed
// rows, since loss falls off exponentially with cover, and level beyond the last one.
func (s Series) Factor(coverPct float64) float64 {
	for _, row := range s.Rows {
		if row.CoverPct == coverPct {
			return row.Factor // as printed, to the last bit
		}
	}
	return elementary.Exp(s.logFactor(coverPct))
}

func (s Series) logFactor(coverPct float64) float64 {
	for i := 1; i < len(s.Rows); i++ {
		if low, high := s.Rows[i-1], s.Rows[i]; coverPct <= high.CoverPct {
			part := max(0, (coverPct-low.CoverPct)/(high.CoverPct-low.CoverPct))
			return math.Log(low.Factor) + part*math.Log(high.Factor/low.Factor)
		}
	}
	return math.Log(s.Rows[len(s.Rows)-1].Factor)
}

// moment is the mean of Factor to the given power when the true cover scatters normally
// about coverPct with this standard deviation, held within 0 and the last row. As
// ln Factor is straight between rows, each piece is exp(a + b x) under a normal curve and
// has a closed form (derived by completing the square), so that no small-error
// approximation is needed across the bends of the table.
func (s Series) moment(power, coverPct, sdPct float64) float64 {
	if sdPct == 0 {
		return elementary.Exp(power * s.logFactor(coverPct))
	}
	first, last := s.Rows[0], s.Rows[len(s.Rows)-1]
	mean := elementary.Pow(first.Factor, power)*below((first.CoverPct-coverPct)/sdPct) +
		elementary.Pow(last.Factor, power)*below((coverPct-last.CoverPct)/sdPct)
	for i := 1; i < len(s.Rows); i++ {
		low, high := s.Rows[i-1], s.Rows[i]
		slope := power * math.Log(high.Factor/low.Factor) / (high.CoverPct - low.CoverPct)
		shifted := coverPct + slope*sdPct*sdPct
		share := between((low.CoverPct-shifted)/sdPct, (high.CoverPct-shifted)/sdPct)
		atMean := power*math.Log(low.Factor) + slope*(coverPct-low.CoverPct)
		mean += elementary.Exp(atMean+slope*slope*sdPct*sdPct/2) * share
	}
	return mean
}

// plusMinus is the standard deviation of Factor, -1 when that of the cover is not known.
func (s Series) plusMinus(coverPct, sdPct float64) float64 {
	if sdPct < 0 {
		return -1
	}
	first := s.moment(1, coverPct, sdPct)
	return math.Sqrt(max(0, s.moment(2, coverPct, sdPct)-first*first))
}

// below is the share of a standard normal distribution below z.
func below(z float64) float64 { return elementary.Erfc(-z/math.Sqrt2) / 2 }

// between is the share between two values, taken on the side where the tails are small so
// that far pieces keep their digits.
func between(low, high float64) float64 {
	if low > 0 {
		low, high = -high, -low
	}
	return below(high) - below(low)
}

func checkCover(pct float64, path string) *model.Problem {
	return model.FirstProblem(
		model.Require(pct >= 0 && pct <= 100, path, "", "%v is not a cover from 0 to 100 %%", pct),
		model.Require(pct == 0 || pct >= 1, path, "give percent, 60 for six tenths; give 0 for bare ground", "%v %% is next to no cover: it looks like a part of one", pct))
}
