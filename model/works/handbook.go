package works

import "headcut/model/section"

// ByHandbook is how a layout would come out with another rule for the deposit slope.
type ByHandbook struct {
	Rule            DepositRule
	DepositSlopePct float64
	Count           int
}

// ByHandbooks lays the same dams by each of DepositRules, their slopes taken from the
// mean slope of the whole bed. It returns none for a layout that cannot be laid.
func (l DamLayout) ByHandbooks() []ByHandbook {
	p, err := section.LongSection(l.Bed, l.Quality)
	if err != nil {
		return nil
	}
	var all []ByHandbook
	for _, rule := range DepositRules {
		other := l
		other.DepositSlopePct = min(rule.SlopePct(p.MeanSlopePct), MaxDepositPct)
		if sites, err := other.Lay(); err == nil {
			all = append(all, ByHandbook{rule, other.DepositSlopePct, len(sites)})
		}
	}
	return all
}
