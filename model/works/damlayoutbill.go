package works

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"headcut/model"
)

// DamBill is what the dams of one layout take together.
type DamBill struct {
	Dams            []DamQuantities // in the order of the layout
	Rows            []Priced        // the totals, item by item
	RockM3          float64         // body, keys, aprons and wastage of all dams
	RockPlusMinusM3 float64         // negative when not known
	Hours           *float64        // of all items; nil when no item has a rate for hours
	HoursPlusMinus  float64
	Cost            *float64 // nil when no item has a rate for cost
	CostPlusMinus   float64
	Unpriced        []string // items that a rate is missing for, so that the sums are too small
	Cautions        []model.Caution
}

// Bill works out what the dams of a layout take when all are built alike, each to its own
// bed: its width where the site's was measured, else that of build, and its slope. It adds
// the dams themselves as pieces, so that a rate may be set for each. The error is a
// *model.Problem with a path below "build" or "rates".
//
// The sizes in build are shared by all dams, so their errors do not cancel: the plus-minuses
// of the dams are added, not their squares. Where widths were measured site by site that is
// somewhat too careful.
func (l DamLayout) Bill(dams []DamSite, build DamBuild, rates Rates) (DamBill, error) {
	return l.BillEach(dams, func(int) (DamBuild, int) { return build, 0 }, rates)
}

// BillEach is the same of dams that are not built alike: build gives how each is built, and a number that is the
// same for those built alike.
func (l DamLayout) BillEach(dams []DamSite, build func(dam int) (DamBuild, int), rates Rates) (DamBill, error) {
	if err := rates.Check(); err != nil {
		return DamBill{}, model.Within(err, "rates")
	}
	var b DamBill
	var total totals
	type shape struct {
		like             int
		widthM, slopePct float64
	}
	known := map[shape]DamQuantities{}
	for i, d := range dams {
		one, like := build(i)
		one.CrestHeightM = l.CrestHeightM
		one.BedSlopePct = l.bedSlopePct(d.ChainageM)
		if d.WidthM > 0 && one.Section == nil {
			one.BedWidthM = d.WidthM
		}
		as := shape{like, one.BedWidthM, one.BedSlopePct}
		q, ok := known[as]
		if !ok {
			var err error
			if q, err = one.Quantities(); err != nil {
				return DamBill{}, billProblem(err, i, d)
			}
			known[as] = q
			b.caution(q.Cautions)
		}
		b.Dams = append(b.Dams, q)
		b.RockM3 += q.TotalRockM3
		b.RockPlusMinusM3 = plus(b.RockPlusMinusM3, q.TotalRockPlusMinusM3)
		for _, item := range q.Items() {
			total.add(item)
		}
	}
	total.add(Quantity{Item: "dam", Unit: "each", Amount: float64(len(dams))})
	return b, b.price(total, rates)
}

// bedSlopePct is that of the surveyed reach upstream of a toe, to a tenth of a per cent; 0
// where the bed does not climb.
func (l DamLayout) bedSlopePct(chainageM float64) float64 {
	above := sort.Search(len(l.Bed), func(i int) bool { return l.Bed[i].ChainageM > chainageM+touchM })
	return max(0, math.Round(1000*l.slope(above))/10)
}

func billProblem(err error, i int, d DamSite) error {
	p, ok := err.(*model.Problem)
	if !ok {
		return err
	}
	p = p.Within("build")
	p.Reason += fmt.Sprintf(" (dam %d, at chainage %.1f m)", i+1, d.ChainageM)
	return p
}

// caution keeps each sentence once.
func (b *DamBill) caution(all []model.Caution) {
	for _, c := range all {
		if !slices.Contains(b.Cautions, c) {
			b.Cautions = append(b.Cautions, c)
		}
	}
}

// price sums up what the rows with rates come to.
func (b *DamBill) price(t totals, rates Rates) (err error) {
	if b.Rows, err = rates.Price(t); err != nil {
		return err
	}
	sum := sumOf(b.Rows)
	if sum.HoursMissing < sum.Rows {
		b.Hours, b.HoursPlusMinus = &sum.Hours, sum.HoursPlusMinus
	}
	if sum.CostMissing < sum.Rows {
		b.Cost, b.CostPlusMinus = &sum.Cost, sum.CostPlusMinus
	}
	for _, r := range b.Rows {
		if r.Hours == nil && r.Cost == nil && r.Item != "dam" {
			b.Unpriced = append(b.Unpriced, r.Item)
		}
	}
	return nil
}

// totals adds quantities item by item, in the order in which they first come.
type totals []Quantity

func (t *totals) add(q Quantity) {
	i := slices.IndexFunc(*t, func(had Quantity) bool { return had.Item == q.Item })
	if i < 0 {
		*t = append(*t, q)
		return
	}
	(*t)[i].Amount += q.Amount
	(*t)[i].PlusMinus = plus((*t)[i].PlusMinus, q.PlusMinus)
}

// plus adds plus-minuses of quantities that err together; negative when one is not known.
func plus(a, b float64) float64 {
	if a < 0 || b < 0 {
		return -1
	}
	return a + b
}
