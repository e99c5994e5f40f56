package soilloss

import (
	"fmt"
	"math"
	"strings"

	"headcut/model"
)

// Factors are the rain's and the soil's part of A = R K LS C P, with P taken as 1. Nobody
// can measure them on a property: they come from a map or a table that has to be named.
type Factors struct {
	R, RPlusMinus float64 // MJ mm/(ha h year)
	RSource       string
	K, KPlusMinus float64 // t ha h/(ha MJ mm)
	KSource       string
}

// Limits of the factors, in their units. Published maps of R run from some 50 in deserts
// to some 20,000 in the wet tropics; K in these units stays below 0.1 (both from memory).
const (
	MostR = 30_000
	MostK = 0.1
)

// customaryK turns a K in US customary units to these (Foster et al. 1981, from memory).
const customaryK = 0.1317

// Tonnes is soil loss in tonnes a hectare and year, a long-run average.
type Tonnes struct {
	Before, BeforePlusMinus float64 // negative plus-minus when not known
	After, AfterPlusMinus   float64
}

// Tonnes works out both losses; the errors of all factors are independent.
func (c Change) Tonnes(f Factors) (Tonnes, error) {
	o, err := c.Compare()
	if err != nil {
		return Tonnes{}, err
	}
	if err := f.check(); err != nil {
		return Tonnes{}, err
	}
	var t Tonnes
	t.Before = f.R * f.K * o.LSBefore * o.CBefore
	t.After = f.R * f.K * o.LSAfter * o.CAfter
	t.BeforePlusMinus = f.plusMinus(o.LSBefore, c.relativeVariance(c.lsBefore), c.Series, c.CoverBeforePct, c.CoverBeforePlusMinus)
	t.AfterPlusMinus = f.plusMinus(o.LSAfter, c.relativeVariance(c.lsAfter), c.Series, c.CoverAfterPct, c.CoverAfterPlusMinus)
	return t, nil
}

// plusMinus of a product of independent factors: its mean square is the product of theirs.
func (f Factors) plusMinus(ls, lsVariance float64, s Series, coverPct, coverPlusMinus float64) float64 {
	if f.RPlusMinus < 0 || f.KPlusMinus < 0 || lsVariance < 0 || coverPlusMinus < 0 {
		return -1
	}
	first := f.R * f.K * ls * s.moment(1, coverPct, coverPlusMinus)
	second := (f.R*f.R + f.RPlusMinus*f.RPlusMinus) * (f.K*f.K + f.KPlusMinus*f.KPlusMinus) *
		ls * ls * (1 + lsVariance) * s.moment(2, coverPct, coverPlusMinus)
	return math.Sqrt(max(0, second-first*first))
}

func (f Factors) check() error {
	named := func(path, source string) *model.Problem {
		return model.Require(strings.TrimSpace(source) != "", path, "name it with its year, or leave r and k out and keep to the ratio",
			"is missing: tonnes are only as good as the map or table behind the factor")
	}
	return model.FirstProblem(named("rSource", f.RSource), named("kSource", f.KSource),
		model.Require(f.R > 0 && f.R <= MostR, "r", "", "%v is not a rainfall factor above 0 and up to %d MJ mm/(ha h year)", f.R, MostR),
		model.Require(f.K > 0 && f.K <= MostK, "k", fmt.Sprintf("a factor in US units is multiplied by %v", customaryK),
			"%v is not a soil factor above 0 and up to %v t ha h/(ha MJ mm)", f.K, MostK),
		model.Require(f.RPlusMinus <= f.R, "rPlusMinus", "", "%v is not a ± from 0 to r itself", f.RPlusMinus),
		model.Require(f.KPlusMinus <= f.K, "kPlusMinus", "", "%v is not a ± from 0 to k itself", f.KPlusMinus)).Err()
}
