package works

import (
	"fmt"
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
var Units = []string{"m", "km", "m2", "ha", "m3", "kg", "t", "each", "h"}

func unitNamed(name string) (unit, *model.Problem) {
	for _, u := range units {
		if u.name == name {
			return u, nil
		}
	}
	return unit{}, &model.Problem{Path: "unit", Reason: fmt.Sprintf("%q is not a unit of quantities", name), Fix: "give one of m, km, m2, ha, m3, kg, t, each, h"}
}

func (q Quantity) check() *model.Problem {
	if q.Item == "" {
		return &model.Problem{Path: "item", Reason: "is empty", Fix: "name what is counted: rock, ripping, seed"}
	}
	if _, p := unitNamed(q.Unit); p != nil {
		return p
	}
	if !(q.Amount >= 0 && q.Amount <= MaxAmount) {
		return &model.Problem{Path: "quantity", Reason: fmt.Sprintf("%v is not an amount from 0 to %v", q.Amount, MaxAmount)}
	}
	if !(q.PlusMinus <= MaxAmount) || math.IsInf(q.PlusMinus, -1) {
		return &model.Problem{Path: "plusMinus", Reason: fmt.Sprintf("%v is not the standard deviation of an amount", q.PlusMinus), Fix: "leave it out when it is not known"}
	}
	if q.TonnesPerM3 == 0 {
		return nil
	}
	if q.Unit != "m3" {
		return &model.Problem{Path: "bulkDensityTM3", Reason: "is given for what is counted in " + q.Unit, Fix: "leave it out: it is for what is counted in m3"}
	}
	return checkBulk(q.TonnesPerM3)
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
