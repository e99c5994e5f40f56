package compute

import (
	"fmt"

	"headcut/model"
	"headcut/model/works"
)

type quantitiesIn struct {
	Works    []workIn     `json:"works" doc:"the works to build; each takes items, a dam, a batter, sowing, or several of these"`
	Rates    []works.Rate `json:"rates,omitempty" doc:"the officer's own, one for each item; what has none stays without a cost"`
	Currency string       `json:"currency,omitempty" doc:"what costs are in, in the officer's words"`
}

type workIn struct {
	Name      string     `json:"name,omitempty" doc:"what the work is called; its place in the list if not given"`
	Treatment string     `json:"treatment" choices:"check-dam|whoa-boy|rip-line|windrow|batter|revegetation|exclosure|rock-faced-head|earth-plug|brush-fill|diversion-bank|contour-bank|ponding-bank|pitting|gypsum|fence|track|other" doc:"what it is put under"`
	Property  string     `json:"property,omitempty" doc:"on which property, for sums by property"`
	Count     int        `json:"count,omitempty" unit:"1" doc:"as many alike; one if not given"`
	Items     []itemIn   `json:"items,omitempty" doc:"what each takes"`
	Dam       *rockDamIn `json:"dam,omitempty" doc:"a dam, as for the computation rock-dam, whose items are taken"`
	Batter    *batterIn  `json:"batter,omitempty" doc:"a batter, as for the computation batter, whose items are taken"`
	Sowing    []sowingIn `json:"sowing,omitempty" doc:"seed, fertiliser, gypsum and mulch"`
}

type itemIn struct {
	Item        string  `json:"item" doc:"what is counted, as the rates name it"`
	Unit        string  `json:"unit" choices:"m|km|m2|ha|m3|kg|t|each|h" doc:"in which unit"`
	Quantity    valueIn `json:"quantity" plusMinus:"plusMinus" decimals:"1" doc:"how much of it" plusMinusDoc:"one standard deviation in the same unit; not known if not given"`
	TonnesPerM3 float64 `json:"bulkDensityTM3,omitempty" unit:"t/m3" doc:"of what is counted in m3: a rate for each t then does; not known if not given"`
}

type sowingIn struct {
	Item           string   `json:"item" doc:"the seed, or what is spread"`
	AreaM2         valueIn  `json:"areaM2" plusMinus:"areaPlusMinusM2" unit:"m2" doc:"in plan"`
	Rate           float64  `json:"rate" doc:"how much on each hectare or acre; of seed, drilled and pure live unless method and shares are left out"`
	RateUnit       string   `json:"rateUnit,omitempty" choices:"kg/ha|t/ha|lb/ac|short ton/ac" doc:"unit of rate; kg/ha if not given"`
	Method         string   `json:"method,omitempty" choices:"drilled|broadcast" doc:"how seed is sown: broadcast takes twice as much; rate is used as it is if not given"`
	PurityPct      *float64 `json:"purityPct,omitempty" unit:"%" doc:"of the seed lot that is this seed; all of it if not given"`
	GerminationPct *float64 `json:"germinationPct,omitempty" unit:"%" doc:"of that seed that germinates; all of it if not given"`
}

type quantitiesOutput struct {
	Rows       []pricedOut     `json:"rows" doc:"every quantity, work by work"`
	Treatments []sumOut        `json:"treatments" doc:"sums of each treatment"`
	Properties []sumOut        `json:"properties" doc:"sums of each property"`
	Total      sumOut          `json:"total" doc:"sum of all"`
	Currency   string          `json:"currency,omitempty" doc:"what costs are in, in the officer's words"`
	Cautions   []model.Caution `json:"cautions" doc:"what the sums do not say"`
}

type pricedOut struct {
	Work      string   `json:"work" doc:"what the work is called"`
	Treatment string   `json:"treatment" doc:"what it is put under"`
	Property  string   `json:"property,omitempty" doc:"where the water is"`
	Item      string   `json:"item" doc:"what is counted"`
	Quantity  float64  `json:"quantity" decimals:"1" doc:"how much of it"`
	Unit      string   `json:"unit" doc:"in which unit"`
	PlusMinus float64  `json:"plusMinus" doc:"one standard deviation in the same unit; none when not known"`
	Hours     optional `json:"hours,omitempty" plusMinus:"hoursPlusMinus" unit:"h" doc:"of work; none without a rate" plusMinusDoc:"one standard deviation, the rate taken as exact; none when not known"`
	Cost      optional `json:"cost,omitempty" plusMinus:"costPlusMinus" decimals:"2" doc:"in currency; none without a rate" plusMinusDoc:"one standard deviation, the rate taken as exact; none when not known"`
	Note      string   `json:"note,omitempty" doc:"which rate is missing"`
}

type sumOut struct {
	Of           string   `json:"of,omitempty" doc:"the treatment or property; none for one that was not named, and for all"`
	Hours        optional `json:"hours,omitempty" plusMinus:"hoursPlusMinus" unit:"h" doc:"of the rows that have hours; none when no row has" plusMinusDoc:"one standard deviation; none when not known"`
	HoursMissing int      `json:"hoursMissing" unit:"1" doc:"rows without hours: if any, the sum is the least it can be"`
	Cost         optional `json:"cost,omitempty" plusMinus:"costPlusMinus" decimals:"2" doc:"in currency, of the rows that have a cost; none when no row has" plusMinusDoc:"one standard deviation; none when not known"`
	CostMissing  int      `json:"costMissing" unit:"1" doc:"rows without a cost: if any, the sum is the least it can be"`
}

var quantitiesDoc = Doc{
	Name:    "quantities",
	Growth:  Linear,
	Summary: "what works take, priced at the officer's own rates, by treatment and property",
	Limits: []string{
		"No rates are built in. A quantity whose rate was not given has no cost and says so; sums count the rows they lack. The rate for rock does for rock in the key and the apron and for what is wasted, unless they have their own.",
		"Rates in km, ha and t are put to quantities in m, m2 and kg and the other way; a rate in another kind of unit is refused, but that a rate for each t does for what is counted in m3 where its bulk density is given.",
		"A batter goes over the way it was asked for: as cut and fill where balanced was given to batter.",
		"Rates of seed are of pure live seed, drilled, when a method or a share of the lot is given: twice as much is broadcast.",
		"The ± takes rates as exact, errors of the quantities of one work as going together, and works as independent.",
	},
	Cautions: []string{
		"A sum is of what was listed: carting, getting machines there, permits, water and looking after the works are items too.",
		"Seed fails often in a dry bed: half of 51 sowings of tropical grasses did (NSW DPI). Test soil before fertiliser is bought.",
	},
	Sources: []model.Source{
		{Title: "Broadcast twice the drilled rate: Colorado mine permit text", Place: "dryland pasture seeding", How: model.LookedUp},
		{Title: "Rates set on pure live seed: NRCS Arizona specification 550, Range Planting (2006)", How: model.LookedUp},
		{Title: "Acre, pound and short ton: NIST Special Publication 811", How: model.FromMemory},
		{Title: "Half of 51 sowings failed: NSW DPI, tropical grasses", How: model.LookedUp},
		{Title: "Sums, and law of propagation of errors: JCGM 100:2008", Place: "5.1.2 and 5.2.2", How: model.FromMemory},
	},
}

var quantities = define(quantitiesDoc, func(in quantitiesIn, _ *model.Work) (quantitiesOutput, error) {
	all, err := in.works()
	if err != nil {
		return quantitiesOutput{}, err
	}
	bill, err := works.NewBill(all, in.Rates)
	if err != nil {
		return quantitiesOutput{}, err
	}
	out := quantitiesOutput{Total: sumFrom(bill.Total), Currency: in.Currency, Treatments: sumsOut(bill.ByTreatment), Properties: sumsOut(bill.ByProperty)}
	for _, r := range bill.Rows {
		out.Rows = append(out.Rows, pricedOut{Work: r.Work, Treatment: r.Treatment, Property: r.Property, Item: r.Item, Quantity: r.Amount, Unit: r.Unit, PlusMinus: r.PlusMinus,
			Hours: optional{r.Hours, known(r.HoursPlusMinus)}, Cost: optional{r.Cost, known(r.CostPlusMinus)}, Note: r.Note})
	}
	if n := bill.Total.CostMissing; n > 0 {
		out.Cautions = append(out.Cautions, model.Caution{About: "total", Text: fmt.Sprintf("Rows without a cost: %d of %d. The total is the least it can be.", n, len(bill.Rows))})
	}
	if n := bill.Total.HoursMissing; n > 0 {
		out.Cautions = append(out.Cautions, model.Caution{About: "total", Text: fmt.Sprintf("Rows without hours: %d of %d. The total is the least it can be.", n, len(bill.Rows))})
	}
	return out, nil
}).after(quantitiesFeeds()...)

// works puts together what each work takes.
func (in quantitiesIn) works() ([]works.WorkToBuild, error) {
	all := make([]works.WorkToBuild, len(in.Works))
	for i, w := range in.Works {
		takes, err := w.takes()
		if err != nil {
			return nil, problem(err).Within(fmt.Sprintf("works[%d]", i))
		}
		name := w.Name
		if name == "" {
			name = fmt.Sprintf("work %d", i+1)
		}
		all[i] = works.WorkToBuild{Name: name, Treatment: w.Treatment, Property: w.Property, Count: w.Count, Takes: takes}
	}
	return all, nil
}

func (w workIn) takes() ([]works.Quantity, error) {
	var all []works.Quantity
	for _, item := range w.Items { // first, so that the paths of their errors are theirs
		if pm := item.Quantity.PlusMinus; pm != nil && !(*pm >= 0) {
			return nil, &model.Problem{Path: fmt.Sprintf("items[%d].plusMinus", len(all)), Reason: fmt.Sprintf("%v is not a standard deviation", *pm), Fix: "leave it out when it is not known"}
		}
		all = append(all, works.Quantity{Item: item.Item, Unit: item.Unit, Amount: item.Quantity.Value, PlusMinus: orElse(item.Quantity.PlusMinus, -1), TonnesPerM3: item.TonnesPerM3})
	}
	if w.Dam != nil {
		d, err := w.Dam.build()
		if err == nil {
			var q works.DamQuantities
			if q, err = d.Quantities(); err == nil {
				all = append(all, q.Items()...)
			}
		}
		if err != nil {
			return nil, problem(err).Within("dam")
		}
	}
	if w.Batter != nil {
		_, _, items, err := w.Batter.lay()
		if err != nil {
			return nil, problem(err).Within("batter")
		}
		all = append(all, items...)
	}
	for i, s := range w.Sowing {
		q, err := works.Sowing{Item: s.Item, AreaM2: s.AreaM2.Value, AreaPlusMinusM2: orElse(s.AreaM2.PlusMinus, -1), Rate: s.Rate, RateUnit: s.RateUnit,
			Method: s.Method, PurityPct: s.PurityPct, GerminationPct: s.GerminationPct}.Quantity()
		if err != nil {
			return nil, problem(err).Within(fmt.Sprintf("sowing[%d]", i))
		}
		all = append(all, q)
	}
	return all, nil
}

func sumFrom(s works.Sum) sumOut {
	out := sumOut{Of: s.Of, HoursMissing: s.HoursMissing, CostMissing: s.CostMissing}
	if s.HoursMissing < s.Rows {
		out.Hours = optional{&s.Hours, known(s.HoursPlusMinus)}
	}
	if s.CostMissing < s.Rows {
		out.Cost = optional{&s.Cost, known(s.CostPlusMinus)}
	}
	return out
}

func sumsOut(all []works.Sum) []sumOut {
	return model.Each(all, sumFrom)
}
