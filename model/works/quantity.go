package works

import (
	"math"

	"headcut/model"
)

// Quantity is an amount of one thing that a work takes: rock, posts, ripping, seed.
type Quantity struct {
	Item        string  `json:"item" doc:"what is counted"`
	Unit        string  `json:"unit" doc:"in which unit"`
	Amount      float64 `json:"quantity" decimals:"1" doc:"how much of it"`
	PlusMinus   float64 `json:"plusMinus" doc:"one standard deviation in the same unit; none when not known"`
	TonnesPerM3 float64 `json:"bulkDensityTM3,omitempty" unit:"t/m3" doc:"of rock, as it was given: it can then be priced by the tonne"`
}

// MaxAmount is more of anything than a property takes.
const MaxAmount = 1e9

// unit is a unit of quantities and how many of its base unit it holds.
type unit struct {
	name, base string
	size       float64
}

var units = []unit{
	{"m", "m", 1}, {"km", "m", 1000},
	{"m2", "m2", 1}, {"ha", "m2", 10_000},
	{"m3", "m3", 1},
	{"kg", "kg", 1}, {"t", "kg", 1000},
	{"each", "each", 1},
	{"h", "h", 1},
}

// Units lists the units of quantities: lengths, areas, volumes, masses, pieces and hours.
var Units = model.Each(units, unit.called)

func (u unit) called() string { return u.name }

func unitNamed(name string) (unit, *model.Problem) {
	return named(units, name, unit.called, "unit", "a unit of quantities")
}

func (q Quantity) check() *model.Problem {
	_, p := unitNamed(q.Unit)
	return model.FirstProblem(
		model.Require(q.Item != "", "item", "name what is counted: rock, ripping, seed", "is empty"), p,
		model.InRange("quantity", q.Amount, 0, MaxAmount, "an amount", "", ""),
		model.Require(q.PlusMinus <= MaxAmount && !math.IsInf(q.PlusMinus, -1), "plusMinus", "leave it out when it is not known",
			"%v is not the standard deviation of an amount", q.PlusMinus),
		model.Require(q.TonnesPerM3 == 0 || q.Unit == "m3", "bulkDensityTM3", "leave it out: it is for what is counted in m3", "is given for what is counted in %s", q.Unit),
		checkBulk(q.TonnesPerM3))
}

// times is that of so many alike, whose errors go together.
func (q Quantity) times(count float64) Quantity {
	q.Amount, q.PlusMinus = q.Amount*count, model.ScaledPlusMinus(count, q.PlusMinus)
	return q
}

// Items lists what the dam takes as quantities to be priced, nothing of which there is none.
// Rock is one line for each place it goes to, wastage its own.
func (q DamQuantities) Items() []Quantity {
	var all []Quantity
	add := func(item, unit string, amount, plusMinus float64) {
		if amount > 0 {
			all = append(all, Quantity{Item: item, Unit: unit, Amount: amount, PlusMinus: plusMinus})
		}
	}
	pieces := func(item string, n int) { add(item, "each", float64(n), 0) }
	add("rock", "m3", q.RockM3, q.RockPlusMinusM3)
	if q.Kind == LooseRock || q.Kind == Netting {
		add("rock in key", "m3", q.KeyM3, q.KeyPlusMinusM3)
	}
	add("rock in apron", "m3", q.ApronM3, q.ApronPlusMinusM3)
	add("rock wasted", "m3", q.WastageM3, q.WastagePlusMinusM3)
	for i := range all {
		all[i].TonnesPerM3 = q.BulkTonnesPerM3
	}
	add("key dug", "m3", q.KeyM3, q.KeyPlusMinusM3)
	add("netting", "m2", q.NetM2, q.NetPlusMinusM2)
	pieces("post", q.Posts)
	add("tie wire", "m", q.TieWireM, q.TieWirePlusMinusM)
	add("brush", "m3", q.BrushM3, q.BrushPlusMinusM3)
	pieces("bundle", q.Bundles)
	pieces("stake", q.Stakes)
	pieces("bale", q.Bales)
	return all
}
