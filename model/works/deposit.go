package works

import "headcut/model"

// DepositRule is one handbook's belief about how steeply silt settles behind a low dam.
// They differ more than threefold in the spacing they lead to, so the slope in use is
// always an input that is shown, and these stand beside it for comparison.
type DepositRule struct {
	Key    string // as the input names it
	Name   string
	Source model.Source
	slope  func(bed float64) float64 // rise over run of the deposit from that of the bed
}

// DepositRules lists the rules, the flattest deposit (closest dams) first.
var DepositRules = []DepositRule{
	{
		Key:    "level",
		Name:   "level",
		Source: model.Source{Title: "Dane County (Wisconsin) Erosion Control and Stormwater Manual", Place: "stone check dam, spacing", How: model.LookedUp},
		slope:  func(float64) float64 { return 0 },
	},
	{
		Key:    "compensation",
		Name:   "compensation gradient, at most 3 %",
		Source: model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "chapter II", How: model.FromMemory},
		slope:  func(bed float64) float64 { return min(0.03, bed) },
	},
	{
		Key:    "half",
		Name:   "half the bed's slope",
		Source: model.Source{Title: "Leopold 1992, Israel Journal of Earth Sciences 41:57-64", Place: "abstract", How: model.LookedUp},
		slope:  func(bed float64) float64 { return bed / 2 },
	},
	{
		// Deposits settle at (1-K) of the bed's slope, K = 0.3 for slopes up to 0.20 and
		// 0.5 above: the break makes steep beds the flatter of the two.
		Key:    "seven tenths",
		Name:   "0.7 of the bed's slope, 0.5 above 20 %",
		Source: model.Source{Title: "Heede 1976, USDA Forest Service Research Paper RM-169", Place: "spacing equation", How: model.FromMemory},
		slope: func(bed float64) float64 {
			if bed <= 0.20 {
				return 0.7 * bed
			}
			return 0.5 * bed
		},
	},
}

// SlopePct is the deposit's slope, in percent, on a bed of this mean slope in percent;
// 0 on a bed that does not rise going upstream.
func (r DepositRule) SlopePct(bedSlopePct float64) float64 {
	if !(bedSlopePct > 0) {
		return 0
	}
	return 100 * r.slope(bedSlopePct/100)
}

// ByHandbook is how a layout would come out with another rule for the deposit slope.
type ByHandbook struct {
	Rule            string  `json:"rule" doc:"what the deposit slope is taken as"`
	DepositSlopePct float64 `json:"depositSlopePct" unit:"%" doc:"by that rule, from the mean slope of the whole bed"`
	Count           int     `json:"count" doc:"number of dams"`
	Source          string  `json:"source" doc:"where it comes from"`
}

// ByHandbooks lays the same dams by each of DepositRules, their slopes taken from the
// mean slope of the whole bed. It returns none for a layout that cannot be laid.
func (l DamLayout) ByHandbooks() []ByHandbook {
	fromM, toM, err := l.check()
	if err != nil {
		return nil
	}
	bedSlopePct := l.Bed.MeanSlopePct()
	var all []ByHandbook
	for _, rule := range DepositRules {
		other := l
		other.DepositSlopePct = min(rule.SlopePct(bedSlopePct), MaxDepositPct)
		if plan, err := other.walked(fromM, toM); err == nil {
			all = append(all, ByHandbook{rule.Name, other.DepositSlopePct, len(plan.Dams), rule.Source.String()})
		}
	}
	return all
}
