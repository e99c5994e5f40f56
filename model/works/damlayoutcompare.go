package works

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"headcut/model"
)

// ComparedHeightsM are laid out side by side where no heights are named: the range that
// common practice, no source, keeps to.
var ComparedHeightsM = []float64{LowCrestM, DefaultCrestM, HighCrestM}

// maxCompared is how many layouts a person can still weigh against each other.
const maxCompared = 8

// Alternative is one of several layouts of the same bed.
type Alternative struct {
	CrestHeightM float64
	DamPlan
	GuardedPlusMinusM float64  // of GuardedM; negative when not known
	Bill              *DamBill // nil: no build was given
}

// Alternatives lays the same bed with dams of each height, in the order given. build may be
// nil. The error is a *model.Problem with a path like "heightsM[1]".
func (l DamLayout) Alternatives(heightsM []float64, build *DamBuild, rates Rates) ([]Alternative, error) {
	if len(heightsM) > maxCompared {
		return nil, &model.Problem{Path: "heightsM", Reason: fmt.Sprintf("%d heights are too many to compare", len(heightsM)), Fix: fmt.Sprintf("give at most %d", maxCompared)}
	}
	var all []Alternative
	for i, h := range heightsM {
		at := fmt.Sprintf("heightsM[%d]", i)
		if p := checkCrestHeight(h); p != nil {
			p.Path = at
			return nil, p
		}
		if slices.Contains(heightsM[:i], h) {
			return nil, &model.Problem{Path: at, Reason: fmt.Sprintf("%v m stands there twice", h), Fix: "keep one of the two"}
		}
		other := l
		other.CrestHeightM = h
		plan, err := other.Plan()
		if err != nil {
			return nil, rename(err, "crestHeightM", at)
		}
		a := Alternative{CrestHeightM: h, DamPlan: plan, GuardedPlusMinusM: other.GuardedPlusMinusM(plan)}
		if build != nil {
			bill, err := other.Bill(plan.Dams, *build, rates)
			if err != nil {
				return nil, rename(err, "build.crestHeightM", at)
			}
			a.Bill = &bill
		}
		all = append(all, a)
	}
	return all, nil
}

func rename(err error, from, to string) error {
	if p, ok := err.(*model.Problem); ok && p.Path == from {
		q := *p
		q.Path = to
		return &q
	}
	return err
}

// Compare puts alternatives into plain lines: one for each, then which has least of what.
// It ranks nothing: which matters most is the officer's to say.
func Compare(all []Alternative) []string {
	lines := model.Each(all, Alternative.line)
	if len(all) < 2 {
		return lines
	}
	notKnown := math.NaN()
	least := func(what, format string, of func(Alternative) float64) {
		values := model.Each(all, of)
		if v := slices.Min(values); v < slices.Max(values) { // they are neither all alike nor one of them not known
			lines = append(lines, fmt.Sprintf("%s: %v m high ("+format+").", what, all[slices.Index(values, v)].CrestHeightM, v))
		}
	}
	least("Lowest fall over each crest, so least scour below it", "%.2g m", func(a Alternative) float64 { return a.CrestHeightM })
	least("Fewest dams to set out, key in and look after", "%.0f", func(a Alternative) float64 { return float64(len(a.Dams)) })
	least("Least rock", "%.1f m3", func(a Alternative) float64 { return cmp.Or(a.bill().RockM3, notKnown) })
	least("Fewest hours, of what has a rate", "%.1f h", func(a Alternative) float64 { return orDefault(a.bill().Hours, notKnown) })
	least("Least cost, of what has a rate", "%.0f", func(a Alternative) float64 { return orDefault(a.bill().Cost, notKnown) })
	return append(lines, "Several low dams are better than one tall one (Jepson, USDA Farmers' Bulletin 1813).")
}

// bill is the bill, an empty one where there is none.
func (a Alternative) bill() DamBill {
	if a.Bill == nil {
		return DamBill{}
	}
	return *a.Bill
}

func (a Alternative) line() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%v m high: %d dams", a.CrestHeightM, len(a.Dams))
	if n := len(a.Dams); n > 1 {
		fmt.Fprintf(&b, ", %.1f m apart on average", (a.Dams[n-1].ChainageM-a.Dams[0].ChainageM)/float64(n-1))
	}
	fmt.Fprintf(&b, ", %.0f m of bed guarded", a.GuardedM)
	bill := a.bill()
	if bill.RockM3 > 0 {
		fmt.Fprintf(&b, ", %.1f m3 of rock", bill.RockM3)
	}
	if bill.Hours != nil {
		fmt.Fprintf(&b, ", %.1f h", *bill.Hours)
	}
	if bill.Cost != nil {
		fmt.Fprintf(&b, ", cost %.0f", *bill.Cost)
	}
	return b.String() + "."
}
