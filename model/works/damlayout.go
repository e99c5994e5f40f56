package works

import (
	"fmt"

	"headcut/model"
	"headcut/model/section"
)

// Heights of the crest of a porous dam above its toe, in metres. That they are kept
// between LowCrestM and HighCrestM is common practice, no source; handbooks of low dams
// stay at or below MaxCrestM, and Jepson (USDA Farmers' Bulletin 1813) holds that the
// overfall should seldom exceed 0.38 m. What is higher is a structure for an engineer.
const (
	LeastCrestM   = 0.1
	LowCrestM     = 0.3
	DefaultCrestM = 0.4
	HighCrestM    = 0.5
	MaxCrestM     = 1.0
)

// Limits of a layout.
const (
	MaxDepositPct = 20     // steeper than any deposit a handbook knows
	MaxDams       = 10_000 // more is a slip in the bed or the height
)

// DamLayout lays check dams up a surveyed bed: the first toe at FromM, each next one at
// the first place upstream where the bed rises to the line from the crest below, which is
// level or climbs at DepositSlopePct. Where the bed falls going upstream it stays below
// the line and is passed over. The bed is straight between its stations, so the meeting
// points are solved, not stepped to; one pass over the bed finds them all.
//
// A dam may stand lower than that, its toe below the silt line, for a good site or a gully
// head; it never stands higher, which would leave bare bed, save above a reach of NoDams.
type DamLayout struct {
	Bed             section.Bed
	Quality         section.Quality
	CrestHeightM    float64  // effective height: bed to lowest point of the crest, foundation not counted
	FromM, ToM      *float64 // nil: the ends of the bed, FromM moved above a reach of NoDams; a toe exactly at ToM is in
	DepositSlopePct float64  // 0: level crest to toe

	Sites          []GoodSite // in any order
	NoDams         []NoDams   // in any order; they may overlap
	MaxBedSlopePct float64    // no toe on a reach that climbs more steeply; 0: no limit
	Heads          []HeadAt   // in any order
	BuriedShare    *float64   // of the height, for a good site; nil: BuriedShare
	HeadNearDepths *float64   // nil: HeadNearDepths
	HeadFarDepths  *float64   // nil: HeadFarDepths
}

// MeanBedSlopePct is the rise of the whole bed over its length; 0 for what is no bed.
func (l DamLayout) MeanBedSlopePct() float64 {
	if l.Bed.Check() != nil {
		return 0
	}
	return l.Bed.MeanSlopePct()
}

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
	low, top := l.Bed[0].ChainageM, l.Bed[len(l.Bed)-1].ChainageM
	fromM, toM = orDefault(l.FromM, low), orDefault(l.ToM, top)
	if p := model.FirstProblem(checkCrestHeight(l.CrestHeightM), checkDeposit(l.DepositSlopePct),
		l.onBed("fromM", fromM, ""), l.onBed("toM", toM, ""),
		model.Require(fromM <= toM, "toM", "chainages run upstream", "%v m is downstream of fromM, %v m", toM, fromM),
		l.checkPlace(), l.checkRules()); p != nil {
		return 0, 0, p
	}
	return fromM, toM, nil
}

// onBed refuses a chainage off the surveyed bed.
func (l DamLayout) onBed(path string, m float64, fix string) *model.Problem {
	low, top := l.Bed[0].ChainageM, l.Bed[len(l.Bed)-1].ChainageM
	if m >= low && m <= top {
		return nil
	}
	return &model.Problem{Path: path, Reason: fmt.Sprintf("%v m is outside the surveyed bed, %v to %v m", m, low, top), Fix: fix}
}

// checkPlace refuses sites, reaches and heads that cannot be on the bed.
func (l DamLayout) checkPlace() *model.Problem {
	const fix = "chainages are metres upstream from the downstream end of the thalweg"
	if len(l.Sites) > MaxSites || len(l.NoDams) > MaxSites || len(l.Heads) > MaxHeads {
		return &model.Problem{Path: "sites", Reason: fmt.Sprintf("there are more than %d sites or reaches, or %d heads", MaxSites, MaxHeads), Fix: "lay out a part of the bed"}
	}
	for i, s := range l.Sites {
		if p := model.FirstProblem(l.onBed("chainageM", s.ChainageM, fix),
			model.Require(s.WidthM >= 0 && s.WidthM <= MaxSiteM, "widthM", "give metres, or leave it out", "%v m is not the width of a gully's bed, up to %d m", s.WidthM, MaxSiteM)); p != nil {
			return p.Within(fmt.Sprintf("sites[%d]", i))
		}
	}
	low, top := l.Bed[0].ChainageM, l.Bed[len(l.Bed)-1].ChainageM
	for i, r := range l.NoDams { // rock may go on past the levels
		if p := model.FirstProblem(l.onBed("fromM", max(r.FromM, low), fix), l.onBed("toM", min(r.ToM, top), fix),
			model.Require(r.FromM < r.ToM, "toM", "chainages run upstream", "%v m is not upstream of fromM, %v m", r.ToM, r.FromM)); p != nil {
			return p.Within(fmt.Sprintf("skip[%d]", i))
		}
	}
	for i, h := range l.Heads {
		if p := model.FirstProblem(l.onBed("chainageM", h.ChainageM, fix),
			model.Require(h.DepthM >= LeastHeadM && h.DepthM <= DeepestHead, "depthM", "give metres from the lip down to the foot",
				"%v m is not the depth of a gully head from %v to %d m", h.DepthM, LeastHeadM, DeepestHead)); p != nil {
			return p.Within(fmt.Sprintf("heads[%d]", i))
		}
	}
	return nil
}

func (l DamLayout) checkRules() *model.Problem {
	limit, buried := l.MaxBedSlopePct, orDefault(l.BuriedShare, BuriedShare)
	near, far := orDefault(l.HeadNearDepths, HeadNearDepths), orDefault(l.HeadFarDepths, HeadFarDepths)
	return model.FirstProblem(
		model.Require(limit == 0 || limit >= leastSlope && limit <= 100, "maxBedSlopePct", "give per cent, not a ratio: 1 in 10 is 10",
			"%v %% is not a limit from %d to 100 %%", limit, leastSlope),
		model.Require(buried >= 0 && buried <= mostBuried, "buriedPct", "50 is usual",
			"%.4g %% of a dam cannot be given up to the silt from below: 0 to %v", 100*buried, 100*mostBuried),
		model.Require(near >= 1 && near <= mostDepths, "headNearDepths", "give it in depths of the head; nearer than 1 is in the plunge",
			"%v depths below a head is not from 1 to %d", near, mostDepths),
		model.Require(far >= near && far <= mostDepths, "headFarDepths", "",
			"%v depths below a head is not from headNearDepths, %v, to %d", far, near, mostDepths))
}

func checkCrestHeight(heightM float64) *model.Problem {
	const path = "crestHeightM"
	return model.FirstProblem(
		model.Require(!(heightM > MaxCrestM), path, fmt.Sprintf("use more and lower dams, %v to %v m, or have an engineer design the structure", LowCrestM, HighCrestM),
			"%v m is too high for a porous check dam: the fall over it tears out its toe", heightM),
		model.Require(heightM >= LeastCrestM, path, fmt.Sprintf("give the height of the crest above the bed in metres, usually %v to %v", LowCrestM, HighCrestM),
			"%v m is not the height of a dam", heightM))
}

func checkDeposit(pct float64) *model.Problem {
	return model.Require(pct >= 0 && pct <= MaxDepositPct, "depositSlopePct", "give the slope in percent going upstream, 0 for level",
		"%v %% is not a slope from 0 to %d %% that silt settles at", pct, MaxDepositPct)
}

// DamCautions go with every check dam that is planned or looked at on the ground. They
// are general and short; the handbooks behind them are in the sources of dam-layout.
var DamCautions = []model.Caution{
	{Text: "A dam does not stop a gully head that is still cutting back: turn the water and treat the head first. Stay off undercut walls and cracked ground."},
	{Text: "Works in a watercourse may need a permit, and services or heritage may lie below: ask before digging."},
	{Text: "Key each dam into the bed and both banks and carry its ends at least 0.15 m above the crest, or water goes round and does more harm than no dam."},
}

// Cautions are those of this layout: the general ones and what its own sites call for.
func (l DamLayout) Cautions(plan DamPlan) []model.Caution {
	sites := plan.Dams
	all := append(model.Cautions(nil), DamCautions...)
	all.Add("dams", "Start on firm ground: rock, a crossing, or the junction with a larger stream. Without it the lowest dam is undermined.")
	all.AddIf(l.CrestHeightM > HighCrestM, "crestHeightM", "Porous dams are kept %v to %v m high; at %v m the fall over the crest needs a rock apron, and advice from an engineer is worth having.", LowCrestM, HighCrestM, l.CrestHeightM)
	all.AddIf(l.DepositSlopePct > 3, "depositSlopePct", "Silt is seldom counted on to settle steeper than 3 %%; at %v %% dams may stand too far apart.", l.DepositSlopePct)
	for i := 1; i < len(sites); i++ {
		if sites[i].ChainageM-sites[i-1].ChainageM < 2*l.CrestHeightM {
			all.Add("spacingsM", "From chainage %.1f m dams would stand nearer than twice their height: that is a head or a chute, not a bed for dams.", sites[i-1].ChainageM)
			break
		}
	}
	all.AddIf(!proven(l.Quality.Basis), "bed", "The bed's levels do not come from a closed level run: this is a sketch, not a set-out.")
	return append(all, l.placeCautions(plan)...)
}

// placeCautions are those of good sites, reaches without dams and heads.
func (l DamLayout) placeCautions(plan DamPlan) (all model.Cautions) {
	if n, m := len(plan.Bare), 0.0; n > 0 {
		for _, r := range plan.Bare {
			m += r.ToM - r.FromM
		}
		all.Add("bare", "%.1f m of bed within reaches without dams stay bare: rock is safe by itself, but steep or soft ground there needs another treatment, a chute or a battered head.", m)
	}
	for _, h := range plan.Unguarded {
		all.Add("unguarded", "No dam stands below the head at chainage %.1f m: %s.", h.ChainageM, h.Why)
	}
	for i, d := range plan.Dams {
		all.AddIf(d.BuriedM >= l.CrestHeightM-touchM, "dams", "Dam %d would be buried whole by the silt of the dam below: look whether the gully head needs it.", i+1)
	}
	all.AddIf(l.MaxBedSlopePct > 0 && l.MaxBedSlopePct < l.MeanBedSlopePct(), "maxBedSlopePct", "The bed as a whole is steeper than the limit of %v %%: check dams may be the wrong treatment.", l.MaxBedSlopePct)
	return all
}

// proven tells whether levels of this basis can decide anything about heights.
func proven(b model.Basis) bool { return b == model.Levelled }
