package works

import (
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/section"
)

// Bounds of ponding banks. Water to 0.1 m on ground to 1.5 % is what was built (Thompson 2008 and Central West LLS,
// waterponding; FU Berlin after Mekdaschi and Liniger 2013; looked up); that none is planned deeper than 0.3 m is
// common practice, no source: a bank that holds more is a dam.
const (
	LeastPondM     = 0.03
	UsualPondM     = 0.1
	MostPondM      = 0.3
	SteepestPondPc = 1.5
	NarrowPondPc   = 0.5 // above it a pond is too narrow to be worth much (from memory)
	MaxPondingBank = 1000
	leastFreeboard = 0.1
)

// PondingBanks are low banks on the contour of a scald, each as far up from the one below as its pond reaches.
type PondingBanks struct {
	Ground    section.Bed // levels from the lowest end of the scald up, square to its contours
	Quality   section.Quality
	TurnedAtM *float64 // a chainage as booked is this less the one here, where the ground was booked down; nil: as it is

	PondDepthM     float64 // at a bank's toe, when it spills at its ends
	FreeboardM     float64 // of the crest above that
	FaceRunPerRise float64 // of both faces
	CrestBreadthM  float64 // 0: not given, and no earth is reckoned
	LengthM        float64 // of each bank, along the contour
	LengthPlusMinM float64 // one standard deviation; negative: not known
}

// PondingBank is one of them. Each PlusMinus is one standard deviation, -1 where it is not known.
type PondingBank struct {
	ChainageM     float64 `json:"chainageM" unit:"m" doc:"of its toe, as the levels were booked"`
	GroundLevelM  float64 `json:"groundLevelM" unit:"m" doc:"of the contour to peg its toe at"`
	WaterLevelM   float64 `json:"waterLevelM" unit:"m" doc:"of the pond when it spills at the ends"`
	CrestLevelM   float64 `json:"crestLevelM" unit:"m" doc:"to build to, settled"`
	SlopePct      float64 `json:"slopePct" unit:"%" doc:"of the ground under its pond"`
	SlopePlusMin  float64 `json:"slopePlusMinusPct" unit:"%" doc:"one standard deviation; none when not known"`
	PondReachM    float64 `json:"pondReachM" unit:"m" doc:"how far up the slope the pond lies"`
	WaterM3PerM   float64 `json:"waterM3PerM" unit:"m3/m" doc:"held by a metre of bank"`
	PlusMinM3PerM float64 `json:"plusMinusM3PerM" unit:"m3/m" doc:"one standard deviation; none when not known"`
}

// PondPlan is where the banks go, and what they hold and take together.
type PondPlan struct {
	Banks                       []PondingBank
	SlopePct, SlopePlusMinusPct float64 // of the whole ground
	LengthM, LengthPlusMinusM   float64 // of all banks
	WaterM3, WaterPlusMinusM3   float64
	EarthM3, EarthPlusMinusM3   float64 // in the banks as they stand; 0 without a breadth
}

// Lay puts the first bank at the lowest end, and each next one where the ground has risen by the depth of the pond
// below: its toe is where that pond ends (geometry). None is put where less than half a pond of ground is left above. A
// pond is that of Lip, cut off where the next bank stands.
func (p PondingBanks) Lay() (plan PondPlan, err error) {
	if problem := p.check(); problem != nil {
		return plan, problem
	}
	low, top := p.Ground[0], p.Ground[len(p.Ground)-1]
	plan.SlopePct, plan.SlopePlusMinusPct = p.slope(low, top)
	if problem := model.FirstProblem(
		model.Require(plan.SlopePct >= flattestPct, "ground", "level a line square to the contours, from the lowest end of the scald to its highest",
			"rises by %.3g %% on the whole, and where a pond ends cannot be calculated under %v %%", plan.SlopePct, flattestPct),
		p.steep(low, top, plan.SlopePct)); problem != nil {
		return plan, problem
	}
	for at := low; ; {
		next, more := p.rise(at)
		if !more && top.LevelM-at.LevelM < p.PondDepthM/2 {
			break
		}
		pct, plusMinusPct := p.slope(at, next)
		if problem := p.steep(at, next, pct); problem != nil {
			return plan, problem
		}
		if len(plan.Banks) == MaxPondingBank {
			return plan, &model.Problem{Path: "ground", Reason: fmt.Sprintf("more than %d banks would stand on it", MaxPondingBank), Fix: "check the levels, or plan a part of the scald"}
		}
		pond, err := Lip{HeightM: p.PondDepthM, FaceRunPerRise: p.FaceRunPerRise, GroundSlopePct: max(pct, flattestPct), SlopePlusMinusPct: max(plusMinusPct, 0)}.Hold(next.ChainageM - at.ChainageM)
		if err != nil {
			return plan, err
		}
		if plusMinusPct < 0 {
			pond.PlusMinusM3PerM = -1
		}
		chainageM := at.ChainageM
		if p.TurnedAtM != nil {
			chainageM = *p.TurnedAtM - chainageM
		}
		plan.Banks = append(plan.Banks, PondingBank{ChainageM: chainageM, GroundLevelM: at.LevelM, WaterLevelM: at.LevelM + p.PondDepthM, CrestLevelM: at.LevelM + p.HeightM(),
			SlopePct: pct, SlopePlusMin: plusMinusPct, PondReachM: min(pond.BackwaterM, next.ChainageM-at.ChainageM), WaterM3PerM: pond.M3PerM, PlusMinM3PerM: pond.PlusMinusM3PerM})
		if !more {
			break
		}
		at = next
	}
	p.sum(&plan)
	return plan, nil
}

// HeightM is that of the banks above the ground at their toe.
func (p PondingBanks) HeightM() float64 { return p.PondDepthM + p.FreeboardM }

// rise is the first place above at which the ground has risen by the depth of a pond; false, with the upper end, where
// it does not.
func (p PondingBanks) rise(at section.Station) (section.Station, bool) {
	wantM := at.LevelM + p.PondDepthM
	below := at
	for _, s := range p.Ground {
		if s.ChainageM <= at.ChainageM {
			continue
		}
		if s.LevelM >= wantM && s.LevelM > below.LevelM {
			share := (wantM - below.LevelM) / (s.LevelM - below.LevelM)
			return section.Station{ChainageM: below.ChainageM + share*(s.ChainageM-below.ChainageM), LevelM: wantM}, true
		}
		below = s
	}
	return below, false
}

// slope is the mean rise from one place to another, with its ±: of the difference of two levels over a taped length.
func (p PondingBanks) slope(from, to section.Station) (pct, plusMinusPct float64) {
	run, rise := to.ChainageM-from.ChainageM, to.LevelM-from.LevelM
	pct = 100 * rise / run
	step, tape := p.Quality.StepPlusMinusM(), p.Quality.SpacingPlusMinusM()
	if step < 0 || tape < 0 {
		return pct, -1
	}
	return pct, math.Hypot(100*step/run, pct*tape/run)
}

// steep refuses ground on which banks are not built.
func (p PondingBanks) steep(from, to section.Station, pct float64) *model.Problem {
	return model.Require(pct <= SteepestPondPc, "ground", "leave the steep part out, or choose another work: rips, pits or timber on the contour",
		"rises by %.3g %% from level %.2f to %.2f m, and banks that pond are built on no more than %v %%", pct, from.LevelM, to.LevelM, SteepestPondPc)
}

// sum adds up the banks. The errors of their slopes share levels, and their lengths one measurement: they are added, not
// their squares.
func (p PondingBanks) sum(plan *PondPlan) {
	n := float64(len(plan.Banks))
	plan.LengthM, plan.LengthPlusMinusM = n*p.LengthM, model.ScaledPlusMinus(n, p.LengthPlusMinM)
	perM, ofPonds := 0.0, 0.0
	for _, b := range plan.Banks {
		perM, ofPonds = perM+b.WaterM3PerM, plus(ofPonds, b.PlusMinM3PerM)
	}
	plan.WaterM3 = perM * p.LengthM
	plan.WaterPlusMinusM3 = model.JointPlusMinus(model.ScaledPlusMinus(p.LengthM, ofPonds), model.ScaledPlusMinus(perM, p.LengthPlusMinM))
	if p.CrestBreadthM > 0 { // a trapezium
		h := p.HeightM()
		area := h * (p.CrestBreadthM + p.FaceRunPerRise*h)
		plan.EarthM3, plan.EarthPlusMinusM3 = area*plan.LengthM, model.ScaledPlusMinus(area, plan.LengthPlusMinusM)
	}
}

func (p PondingBanks) check() *model.Problem {
	return model.FirstProblem(
		model.Require(!(p.PondDepthM > MostPondM), "pondDepthM", "plan several lower banks; have an engineer design what keeps more", "%v m of water is too deep for a ponding bank: %v m at the most, and %v m is usual", p.PondDepthM, MostPondM, UsualPondM),
		inRange("pondDepthM", p.PondDepthM, LeastPondM, MostPondM, "m"),
		inRange("freeboardM", p.FreeboardM, leastFreeboard, 1, "m"),
		inRange("faceRunPerRise", p.FaceRunPerRise, 1, flattestFace, oneIn),
		inRange("crestBreadthM", p.CrestBreadthM, 0, 10, "m"),
		inRange("bankLengthM", p.LengthM, 1, maxWallM, "m"),
		model.Require(p.LengthPlusMinM <= p.LengthM, "bankLengthPlusMinusM", "", "%v m is more than the length itself", p.LengthPlusMinM))
}

// Upwards are levels booked down or up a slope, from the lowest end up, and the chainage from which they were turned.
func Upwards(ground section.Bed) (section.Bed, *float64) {
	last := len(ground) - 1
	if last < 1 || ground[0].LevelM <= ground[last].LevelM {
		return ground, nil
	}
	up := slices.Clone(ground)
	slices.Reverse(up)
	for i := range up {
		up[i].ChainageM = ground[last].ChainageM - up[i].ChainageM
	}
	return up, &ground[last].ChainageM
}

// PondCautions go with every ponding bank that is planned or built.
var PondCautions = []model.Caution{
	{Text: "Peg each bank by level and staff on its contour, turned up the slope at its ends: one that overtops in the middle starts a gully."},
	{Text: "Level the ends, so that water spills there onto ground that can carry it, not towards a gully head, a track or a neighbour."},
	{Text: "Keeping back overland flow and moving earth may need leave: ask, and look for buried services and heritage before digging. Local codes and a licensed engineer come before any number here."},
	{Text: "Keep stock off until the ponds are grassed, and look after each storm."},
}
