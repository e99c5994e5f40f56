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
	for _, text := range []struct{ path, is string }{{"rSource", f.RSource}, {"kSource", f.KSource}} {
		if strings.TrimSpace(text.is) == "" {
			return &model.Problem{Path: text.path, Reason: "is missing: tonnes are only as good as the map or table behind the factor", Fix: "name it with its year, or leave r and k out and keep to the ratio"}
		}
	}
	if !(f.R > 0 && f.R <= MostR) {
		return &model.Problem{Path: "r", Reason: fmt.Sprintf("%v is not a rainfall factor above 0 and up to %d MJ mm/(ha h year)", f.R, MostR)}
	}
	if !(f.K > 0 && f.K <= MostK) {
		return &model.Problem{Path: "k", Reason: fmt.Sprintf("%v is not a soil factor above 0 and up to %v t ha h/(ha MJ mm)", f.K, MostK),
			Fix: fmt.Sprintf("a factor in US units is multiplied by %v", customaryK)}
	}
	if !(f.RPlusMinus <= f.R) {
		return &model.Problem{Path: "rPlusMinus", Reason: fmt.Sprintf("%v is not a ± from 0 to r itself", f.RPlusMinus)}
	}
	if !(f.KPlusMinus <= f.K) {
		return &model.Problem{Path: "kPlusMinus", Reason: fmt.Sprintf("%v is not a ± from 0 to k itself", f.KPlusMinus)}
	}
	return nil
}
