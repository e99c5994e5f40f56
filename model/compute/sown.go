package compute

import (
	"fmt"

	"headcut/model"
	"headcut/model/works"
)

// sownIn is what is put on ground that a work leaves bare: seed, and fertiliser beside it.
type sownIn struct {
	Item           string   `json:"item" doc:"what it is called"`
	Is             string   `json:"is" choices:"seed|fertiliser|gypsum|mulch" doc:"what it is"`
	Rate           float64  `json:"rate" doc:"how much on each hectare or acre, the officer's own; of seed, drilled and pure live unless method and shares are left out"`
	RateUnit       string   `json:"rateUnit,omitempty" choices:"kg/ha|t/ha|lb/ac|short ton/ac" doc:"unit of rate; kg/ha if not given"`
	Method         string   `json:"method,omitempty" choices:"drilled|broadcast" doc:"how seed is sown: broadcast takes twice as much; rate is used as it is if not given"`
	PurityPct      *float64 `json:"purityPct,omitempty" unit:"%" doc:"of the seed lot that is this seed; all of it if not given"`
	GerminationPct *float64 `json:"germinationPct,omitempty" unit:"%" doc:"of that seed that germinates; all of it if not given"`
}

type sownOut struct {
	Item string   `json:"item" doc:"what it is called"`
	Is   string   `json:"is" doc:"what it is"`
	KgHa float64  `json:"kgHa" unit:"kg/har" doc:"put on each hectare: of seed with what is added for how it is sown, and for what of the lot grows"`
	Kg   estimate `json:"kg" plusMinus:"kgPlusMinus" unit:"kg" doc:"for the area" plusMinusDoc:"one standard deviation, the rate taken as exact; none when not known"`
}

// sownOn is what an area takes, and the same as quantities to be priced.
func sownOn(all []sownIn, areaM2, plusMinusM2 float64) (out []sownOut, items []works.Quantity, err error) {
	for i, s := range all {
		seed := s.Is == works.Seed
		q, err := works.Sowing{Item: s.Item, Seed: seed, AreaM2: areaM2, AreaPlusMinusM2: min(plusMinusM2, areaM2), Rate: s.Rate, RateUnit: s.RateUnit,
			Method: s.Method, PurityPct: s.PurityPct, GerminationPct: s.GerminationPct}.Quantity()
		if err == nil && !seed && (s.Method != "" || s.PurityPct != nil || s.GerminationPct != nil) {
			err = &model.Problem{Path: "is", Reason: "seed alone has a way to be sown, a purity and a germination", Fix: "leave them out, or say that it is seed"}
		}
		if err != nil {
			return nil, nil, problem(err).Within(fmt.Sprintf("sowing[%d]", i))
		}
		out = append(out, sownOut{Item: s.Item, Is: s.Is, KgHa: q.Amount / areaM2 * 10_000, Kg: estimate{q.Amount, q.PlusMinus}})
		items = append(items, q)
	}
	return out, items, nil
}

// workBillOut is what works take, at the rates that were given.
type workBillOut struct {
	Hours    optional     `json:"hours,omitempty" plusMinus:"hoursPlusMinus" unit:"h" doc:"of what has a rate for hours; none without" plusMinusDoc:"one standard deviation from the quantities alone; none when not known"`
	Cost     optional     `json:"cost,omitempty" plusMinus:"costPlusMinus" decimals:"2" unit:"1" doc:"of what has a rate for cost, in your currency; none without" plusMinusDoc:"one standard deviation from the quantities alone; none when not known"`
	Rows     []billRowOut `json:"rows" doc:"item by item"`
	Unpriced []string     `json:"unpriced" doc:"items without a rate: the sums lack them"`
}

// billAt prices what some works take; nil where none of them takes anything.
func billAt(all []works.WorkToBuild, rates works.Rates) (*workBillOut, error) {
	var taking []works.WorkToBuild
	for _, w := range all {
		if len(w.Takes) > 0 {
			taking = append(taking, w)
		}
	}
	if len(taking) == 0 {
		return nil, nil
	}
	bill, err := works.NewBill(taking, rates)
	if err != nil {
		return nil, err
	}
	sum := sumFrom(bill.Total)
	out := &workBillOut{Hours: sum.Hours, Cost: sum.Cost}
	for _, r := range bill.Rows {
		out.Rows = append(out.Rows, billRowOut{r.Item, estimate{r.Amount, r.PlusMinus}, r.Unit, r.Hours, r.Cost, r.Note})
		if r.Hours == nil && r.Cost == nil {
			out.Unpriced = append(out.Unpriced, r.Item)
		}
	}
	return out, nil
}

// sownCautions are what to mind of what is sown and spread.
func sownCautions(all []sownIn) (cautions model.Cautions) {
	is := func(what string) bool {
		_, ok := model.Find(all, func(s sownIn) bool { return s.Is == what })
		return ok
	}
	cautions.AddIf(is(works.Seed), "sowing", "Seed fails often in a dry bed: half of 51 sowings of tropical grasses did (NSW DPI). Sow before the rains; some pasture grasses are weeds elsewhere: ask locally.")
	cautions.AddIf(is(works.Seed) && !is("fertiliser"), "sowing", "No fertiliser is sown beside the seed: bared subsoil is poor. Test the soil, and give it with its rate where it lacks.")
	cautions.AddIf(is("fertiliser"), "sowing", "Test the soil before fertiliser is bought, and keep it out of the water.")
	cautions.AddIf(is("gypsum"), "sowing", "Gypsum by soil test only; its dust harms eyes and lungs.")
	return cautions
}
