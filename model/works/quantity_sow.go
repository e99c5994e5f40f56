package works

import (
	"cmp"
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

// Seed is what sowing calls seed, beside fertiliser, gypsum and mulch.
const Seed = "seed"

// BroadcastFactor is how much more seed is broadcast than drilled (Colorado permit text on
// dryland pasture seeding; looked up).
const BroadcastFactor = 2

// Sowing is seed, fertiliser, gypsum or mulch put on an area.
type Sowing struct {
	Item            string
	Seed            bool // it is seed, also where nothing below tells so
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
	unit := cmp.Or(s.RateUnit, "kg/ha")
	kgHa, known := KgPerHa(s.Rate, unit)
	most := float64(maxSpreadKgHa)
	if s.isSeed() {
		most = maxSowingKgHa
	}
	share := func(path string, pct *float64) *model.Problem {
		return model.Require(orDefault(pct, 100) >= 1 && orDefault(pct, 100) <= 100, path, "copy it from the seed lot's label, in percent",
			"%v %% is not a share from 1 to 100 %%", orDefault(pct, 100))
	}
	if p := model.FirstProblem(
		model.Require(s.Item != "", "item", "name the seed or what is spread", "is empty"),
		model.Require(s.AreaM2 > 0 && s.AreaM2 <= maxSownM2, "areaM2", "give square metres; 1 ha is 10000 m2", "%v m2 is not an area to sow", s.AreaM2),
		model.Require(s.AreaPlusMinusM2 <= s.AreaM2 && !math.IsInf(s.AreaPlusMinusM2, -1), "areaPlusMinusM2", "", "%v m2 is more than the area itself, or no number", s.AreaPlusMinusM2),
		model.Require(known, "rateUnit", "give one of kg/ha, t/ha, lb/ac, short ton/ac", "%q is not a unit of rates", unit),
		model.Require(kgHa > 0 && kgHa <= most, "rate", "check the unit", "%v %s is not a rate above 0 and up to %v kg/ha", s.Rate, unit, most),
		model.Require(s.Method == "" || s.Method == Drilled || s.Method == Broadcast, "method", "give drilled or broadcast", "%q is not a way to sow", s.Method),
		share("purityPct", s.PurityPct), share("germinationPct", s.GerminationPct)); p != nil {
		return q, p
	}
	if s.Method == Broadcast {
		kgHa *= BroadcastFactor
	}
	kgHa *= 100 / orDefault(s.PurityPct, 100)
	kgHa *= 100 / orDefault(s.GerminationPct, 100)
	q.Amount = s.AreaM2 / 10_000 * kgHa
	q.PlusMinus = model.ScaledPlusMinus(kgHa/10_000, s.AreaPlusMinusM2)
	return q, nil
}

func (s Sowing) isSeed() bool {
	return s.Seed || s.Method != "" || s.PurityPct != nil || s.GerminationPct != nil
}
