package works

import (
	"fmt"
	"math"

	"headcut/model"
)

// Pounds and short tons an acre in kilogrammes a hectare (NIST Special Publication 811;
// from memory).
const (
	poundKg    = 0.45359237
	shortTonKg = 2000 * poundKg
)

// ApplicationUnits lists the units in which seed, fertiliser and mulch are prescribed.
var ApplicationUnits = []string{"kg/ha", "t/ha", "lb/ac", "short ton/ac"}

// KgPerHa is a rate in one of ApplicationUnits as kilogrammes a hectare; false for another
// unit.
func KgPerHa(rate float64, unit string) (float64, bool) {
	switch unit {
	case "kg/ha":
		return rate, true
	case "t/ha":
		return 1000 * rate, true
	case "lb/ac":
		return rate * poundKg / acreHa, true
	case "short ton/ac":
		return rate * shortTonKg / acreHa, true
	}
	return 0, false
}

// How seed is sown.
const (
	Drilled   = "drilled"
	Broadcast = "broadcast"
)

// BroadcastFactor is how much more seed is broadcast than drilled (Colorado permit text on
// dryland pasture seeding; looked up).
const BroadcastFactor = 2

// Sowing is seed, fertiliser, gypsum or mulch put on an area.
type Sowing struct {
	Item            string
	AreaM2          float64
	AreaPlusMinusM2 float64 // one standard deviation; negative when not known
	Rate            float64
	RateUnit        string // of ApplicationUnits; "": kg/ha
	// Seed alone: how it is sown, and what of the lot grows. Rates of seed are of pure live
	// seed, drilled (NRCS Arizona 550; looked up). Nil: the rate is of the lot as bought.
	Method                    string // Drilled, Broadcast; "": the rate is used as it is
	PurityPct, GerminationPct *float64
}

// Rates of more than this are slips of the unit.
const (
	maxSowingKgHa = 200
	maxSpreadKgHa = 100_000
	maxSownM2     = 1e9
)

// Quantity is how much is needed, in kilogrammes: area times rate, twice for seed that is
// broadcast, and of seed divided by the share that is pure and germinates.
func (s Sowing) Quantity() (Quantity, error) {
	q := Quantity{Item: s.Item, Unit: "kg", PlusMinus: -1}
	if s.Item == "" {
		return q, &model.Problem{Path: "item", Reason: "is empty", Fix: "name the seed or what is spread"}
	}
	if !(s.AreaM2 > 0 && s.AreaM2 <= maxSownM2) {
		return q, &model.Problem{Path: "areaM2", Reason: fmt.Sprintf("%v m2 is not an area to sow", s.AreaM2), Fix: "give square metres; 1 ha is 10000 m2"}
	}
	if s.AreaPlusMinusM2 > s.AreaM2 || math.IsNaN(s.AreaPlusMinusM2) || math.IsInf(s.AreaPlusMinusM2, 0) {
		return q, &model.Problem{Path: "areaPlusMinusM2", Reason: fmt.Sprintf("%v m2 is more than the area itself, or no number", s.AreaPlusMinusM2)}
	}
	unit := s.RateUnit
	if unit == "" {
		unit = "kg/ha"
	}
	kgHa, known := KgPerHa(s.Rate, unit)
	if !known {
		return q, &model.Problem{Path: "rateUnit", Reason: fmt.Sprintf("%q is not a unit of rates", unit), Fix: "give one of kg/ha, t/ha, lb/ac, short ton/ac"}
	}
	most := float64(maxSpreadKgHa)
	if s.isSeed() {
		most = maxSowingKgHa
	}
	if !(kgHa > 0 && kgHa <= most) {
		return q, &model.Problem{Path: "rate", Reason: fmt.Sprintf("%v %s is not a rate above 0 and up to %v kg/ha", s.Rate, unit, most), Fix: "check the unit"}
	}
	switch s.Method {
	case "", Drilled:
	case Broadcast:
		kgHa *= BroadcastFactor
	default:
		return q, &model.Problem{Path: "method", Reason: fmt.Sprintf("%q is not a way to sow", s.Method), Fix: "give drilled or broadcast"}
	}
	for _, share := range []struct {
		path string
		pct  *float64
	}{{"purityPct", s.PurityPct}, {"germinationPct", s.GerminationPct}} {
		if share.pct == nil {
			continue
		}
		if !(*share.pct >= 1 && *share.pct <= 100) {
			return q, &model.Problem{Path: share.path, Reason: fmt.Sprintf("%v %% is not a share from 1 to 100 %%", *share.pct), Fix: "copy it from the seed lot's label, in percent"}
		}
		kgHa *= 100 / *share.pct
	}
	q.Amount = s.AreaM2 / 10_000 * kgHa
	q.PlusMinus = model.ScaledPlusMinus(kgHa/10_000, s.AreaPlusMinusM2)
	return q, nil
}

func (s Sowing) isSeed() bool {
	return s.Method != "" || s.PurityPct != nil || s.GerminationPct != nil
}
