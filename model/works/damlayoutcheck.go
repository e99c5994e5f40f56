package works

import (
	"fmt"

	"headcut/model"
	"headcut/model/section"
)

// Bounds of what is told about a layout's places.
const (
	MaxSites    = 10_000
	MaxSiteM    = 100 // width of a gully's bed: more is millimetres
	MaxHeads    = 1_000
	mostDepths  = 20
	leastSlope  = 1 // per cent: less was typed as a ratio
	mostBuried  = 0.9
	LeastHeadM  = 0.05
	DeepestHead = section.MaxStepM
)

func (l DamLayout) check() (fromM, toM float64, err error) {
	if err := l.Bed.Check(); err != nil {
		return 0, 0, model.Within(err, "bed")
	}
	if p := checkCrestHeight(l.CrestHeightM); p != nil {
		return 0, 0, p
	}
	if !(l.DepositSlopePct >= 0 && l.DepositSlopePct <= MaxDepositPct) {
		return 0, 0, depositProblem(l.DepositSlopePct)
	}
	low, top := l.Bed[0].ChainageM, l.Bed[len(l.Bed)-1].ChainageM
	fromM, toM = low, top
	for _, end := range []struct {
		path  string
		given *float64
		into  *float64
	}{{"fromM", l.FromM, &fromM}, {"toM", l.ToM, &toM}} {
		if end.given == nil {
			continue
		}
		if !(*end.given >= low && *end.given <= top) {
			return 0, 0, &model.Problem{Path: end.path, Reason: fmt.Sprintf("%v m is outside the surveyed bed, %v to %v m", *end.given, low, top)}
		}
		*end.into = *end.given
	}
	if fromM > toM {
		return 0, 0, &model.Problem{Path: "toM", Reason: fmt.Sprintf("%v m is downstream of fromM, %v m", toM, fromM), Fix: "chainages run upstream"}
	}
	return fromM, toM, l.checkPlace(low, top)
}

// checkPlace refuses sites, reaches and heads that cannot be, on a bed from low to top.
func (l DamLayout) checkPlace(low, top float64) error {
	outside := func(list string, i int, field string, m float64) *model.Problem {
		if m >= low && m <= top {
			return nil
		}
		return &model.Problem{Path: fmt.Sprintf("%s[%d].%s", list, i, field), Reason: fmt.Sprintf("%v m is outside the surveyed bed, %v to %v m", m, low, top),
			Fix: "chainages are metres upstream from the downstream end of the thalweg"}
	}
	if len(l.Sites) > MaxSites || len(l.NoDams) > MaxSites || len(l.Heads) > MaxHeads {
		return &model.Problem{Path: "sites", Reason: fmt.Sprintf("there are more than %d sites or reaches, or %d heads", MaxSites, MaxHeads), Fix: "lay out a part of the bed"}
	}
	for i, s := range l.Sites {
		if p := outside("sites", i, "chainageM", s.ChainageM); p != nil {
			return p
		}
		if !(s.WidthM >= 0 && s.WidthM <= MaxSiteM) {
			return &model.Problem{Path: fmt.Sprintf("sites[%d].widthM", i), Reason: fmt.Sprintf("%v m is not the width of a gully's bed, up to %d m", s.WidthM, MaxSiteM), Fix: "give metres, or leave it out"}
		}
	}
	for i, r := range l.NoDams {
		for _, end := range []struct {
			field string
			m     float64
		}{{"fromM", r.FromM}, {"toM", r.ToM}} {
			if p := outside("skip", i, end.field, end.m); p != nil {
				return p
			}
		}
		if r.FromM >= r.ToM {
			return &model.Problem{Path: fmt.Sprintf("skip[%d].toM", i), Reason: fmt.Sprintf("%v m is not upstream of fromM, %v m", r.ToM, r.FromM), Fix: "chainages run upstream"}
		}
	}
	for i, h := range l.Heads {
		if p := outside("heads", i, "chainageM", h.ChainageM); p != nil {
			return p
		}
		if !(h.DepthM >= LeastHeadM && h.DepthM <= DeepestHead) {
			return &model.Problem{Path: fmt.Sprintf("heads[%d].depthM", i), Reason: fmt.Sprintf("%v m is not the depth of a gully head from %v to %d m", h.DepthM, LeastHeadM, DeepestHead), Fix: "give metres from the lip down to the foot"}
		}
	}
	return l.checkRules()
}

func (l DamLayout) checkRules() error {
	if l.MaxBedSlopePct != 0 && !(l.MaxBedSlopePct >= leastSlope && l.MaxBedSlopePct <= 100) {
		return &model.Problem{Path: "maxBedSlopePct", Reason: fmt.Sprintf("%v %% is not a limit from %d to 100 %%", l.MaxBedSlopePct, leastSlope), Fix: "give per cent, not a ratio: 1 in 10 is 10"}
	}
	if b := orDefault(l.BuriedShare, BuriedShare); !(b >= 0 && b <= mostBuried) {
		return &model.Problem{Path: "buriedPct", Reason: fmt.Sprintf("%.4g %% of a dam cannot be given up to the silt from below: 0 to %v", 100*b, 100*mostBuried), Fix: "50 is usual"}
	}
	near, far := orDefault(l.HeadNearDepths, HeadNearDepths), orDefault(l.HeadFarDepths, HeadFarDepths)
	if !(near >= 1 && near <= mostDepths) {
		return &model.Problem{Path: "headNearDepths", Reason: fmt.Sprintf("%v depths below a head is not from 1 to %d", near, mostDepths), Fix: "give it in depths of the head; nearer than 1 is in the plunge"}
	}
	if !(far >= near && far <= mostDepths) {
		return &model.Problem{Path: "headFarDepths", Reason: fmt.Sprintf("%v depths below a head is not from headNearDepths, %v, to %d", far, near, mostDepths)}
	}
	return nil
}

func checkCrestHeight(heightM float64) *model.Problem {
	switch {
	case heightM > MaxCrestM:
		return &model.Problem{Path: "crestHeightM", Reason: fmt.Sprintf("%v m is too high for a porous check dam: the fall over it tears out its toe", heightM),
			Fix: fmt.Sprintf("use more and lower dams, %v to %v m, or have an engineer design the structure", LowCrestM, HighCrestM)}
	case !(heightM >= LeastCrestM):
		return &model.Problem{Path: "crestHeightM", Reason: fmt.Sprintf("%v m is not the height of a dam", heightM),
			Fix: fmt.Sprintf("give the height of the crest above the bed in metres, usually %v to %v", LowCrestM, HighCrestM)}
	}
	return nil
}

func depositProblem(pct float64) *model.Problem {
	return &model.Problem{Path: "depositSlopePct", Reason: fmt.Sprintf("%v %% is not a slope from 0 to %d %% that silt settles at", pct, MaxDepositPct),
		Fix: "give the slope in percent going upstream, 0 for level"}
}
