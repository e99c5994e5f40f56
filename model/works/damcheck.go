package works

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"headcut/model"
	"headcut/model/section"
)

// DamToleranceM is how far a toe may be off the level of the crest below it and still
// count as level. Common practice, no source: a stone's thickness.
const DamToleranceM = 0.05

// Meeting is how a dam's crest meets the toe of the next dam upstream.
type Meeting string

const (
	Level       Meeting = "level"        // within the tolerance: silt reaches the upper toe
	Gap         Meeting = "gap"          // the upper toe stands too high: bare bed stays between
	Humped      Meeting = "hump"         // the two may meet, but the bed between stands above both: water falls from there
	Drowned     Meeting = "drowned"      // the upper toe stands too low: silt will bury it deeper than was planned
	NotLevelled Meeting = "not levelled" // only a closed level run could tell
)

// Meetings lists every meeting.
var Meetings = []Meeting{Level, Gap, Humped, Drowned, NotLevelled}

// Dam is a dam as it was found on the ground. ToeLevelM may be NaN where only the bed was
// levelled: the bed's level at its chainage then stands for it.
type Dam struct {
	Name               string
	ChainageM          float64
	ChainagePlusMinusM float64 // one standard deviation; negative when not known
	ToeLevelM          float64
	CrestLevelM        float64
	LevelPlusMinusM    float64 // of each of the two levels; negative when not known
	LevelBasis         model.Basis
	BuriedM            float64 // how far below the silt of the dam downstream its toe was planned
}

// DamPair is what the check found of two neighbouring dams.
type DamPair struct {
	Lower             string      `json:"lower" doc:"the dam downstream"`
	Upper             string      `json:"upper" doc:"the next dam upstream"`
	SpacingM          float64     `json:"spacingM" unit:"m" doc:"horizontal, toe to toe"`
	SpacingPlusMinusM float64     `json:"spacingPlusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
	StepM             float64     `json:"stepM" unit:"m" doc:"level of the upper toe less that of the lower crest, less the deposit's rise between"`
	StepPlusMinusM    float64     `json:"stepPlusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
	Verdict           Meeting     `json:"verdict" doc:"level; gap where the upper toe is too high; hump where the surveyed bed between is above the lower dam's silt and the upper toe; drowned where the upper toe is too low, by more than its buriedM; not levelled where the levels do not come from a closed run"`
	Basis             model.Basis `json:"basis" doc:"what the step rests on"`
	Hump              *Hump       `json:"hump,omitempty" doc:"where the surveyed bed between the two rises above the lower dam's silt and the upper toe; none where it does not"`

	buriedM float64 // of the upper dam, as it was planned
}

// Hump is a place between two dams where the bed rises above the silt that the lower dam can
// hold, and above the upper dam's toe: water falls from it onto bare bed, though crest and
// toe may meet.
type Hump struct {
	ChainageM float64 `json:"chainageM" unit:"m" doc:"where"`
	AboveM    float64 `json:"aboveM" unit:"m" doc:"above the crest below and the deposit's rise to there"`
}

// DamCheck judges whether each dam's crest is level with the toe of the next dam
// upstream, or meets it on the deposit slope.
type DamCheck struct {
	Bed             section.Bed // nil: not surveyed, every dam then needs its toe level
	BedBasis        model.Basis
	Dams            []Dam // in any order
	ToleranceM      float64
	DepositSlopePct float64
}

// Pairs returns the pairs from the lowest up, none for fewer than two dams, and the index
// of the pair that does most harm, -1 when there is none. Levels that no
// closed run stands behind never pass and never fail: their verdict is "not levelled",
// though the step is still worked out. It returns a *model.Problem with a path like
// "dams[1].crestLevelM" for what cannot be judged.
func (c DamCheck) Pairs() (pairs []DamPair, worst int, err error) {
	dams, err := c.check()
	if err != nil {
		return nil, -1, err
	}
	worst = -1
	for i := 1; i < len(dams); i++ {
		pair := c.Pair(dams[i-1], dams[i])
		pairs = append(pairs, pair)
		if worst < 0 || c.harmsMore(pair, pairs[worst]) {
			worst = len(pairs) - 1
		}
	}
	return pairs, worst, nil
}

// harmsMore tells whether p does more harm than q. Over a gap and off a hump water falls onto
// bare bed and scours it, so the higher fall is worse than any drowned toe, which silt only
// buries.
func (c DamCheck) harmsMore(p, q DamPair) bool {
	if fallP, fallQ := c.fall(p), c.fall(q); fallP > 0 || fallQ > 0 {
		return fallP > fallQ
	}
	return math.Abs(p.StepM+p.buriedM) > math.Abs(q.StepM+q.buriedM)
}

// fall is the height from which water falls onto bare bed between a pair, 0 where none does.
func (c DamCheck) fall(p DamPair) (fall float64) {
	if p.StepM > c.ToleranceM {
		fall = p.StepM
	}
	if p.Hump != nil {
		fall = max(fall, p.Hump.AboveM)
	}
	return fall
}

// hump finds the highest place of the surveyed bed between two dams above the silt of the
// lower one, where it also stands above the upper toe; nil where none does by more than the
// tolerance.
func (c DamCheck) hump(lower, upper Dam) *Hump {
	var highest *Hump
	// The bed is straight between its stations, so that its highest places are stations.
	first := sort.Search(len(c.Bed), func(i int) bool { return c.Bed[i].ChainageM > lower.ChainageM })
	for _, s := range c.Bed[first:] {
		if s.ChainageM >= upper.ChainageM {
			break
		}
		silt := lower.CrestLevelM + c.DepositSlopePct/100*(s.ChainageM-lower.ChainageM)
		above := min(s.LevelM-silt, s.LevelM-upper.ToeLevelM)
		if above > c.ToleranceM && (highest == nil || s.LevelM-silt > highest.AboveM) {
			highest = &Hump{s.ChainageM, s.LevelM - silt}
		}
	}
	return highest
}

// Pair judges one pair by what its step rests on: the chainages, the lower crest, the upper
// toe and the bed between; nothing else of the two dams is asked or checked.
func (c DamCheck) Pair(lower, upper Dam) DamPair {
	p := DamPair{Lower: lower.Name, Upper: upper.Name, SpacingM: upper.ChainageM - lower.ChainageM,
		SpacingPlusMinusM: model.JointPlusMinus(lower.ChainagePlusMinusM, upper.ChainagePlusMinusM),
		Basis:             model.Weakest(lower.LevelBasis, upper.LevelBasis), Hump: c.hump(lower, upper), buriedM: upper.BuriedM}
	rise := c.DepositSlopePct / 100
	p.StepM = upper.ToeLevelM - lower.CrestLevelM - rise*p.SpacingM
	p.StepPlusMinusM = model.JointPlusMinus(lower.LevelPlusMinusM, upper.LevelPlusMinusM)
	if rise > 0 { // the deposit's rise is only as sure as the spacing
		p.StepPlusMinusM = model.JointPlusMinus(p.StepPlusMinusM, model.ScaledPlusMinus(rise, p.SpacingPlusMinusM))
	}
	const rounding = 1e-9 // so that a step of just the tolerance passes
	switch {
	case !proven(p.Basis):
		p.Verdict = NotLevelled
	case p.StepM > c.ToleranceM+rounding:
		p.Verdict = Gap
	case p.Hump != nil && !proven(c.BedBasis):
		p.Verdict = NotLevelled // the bed may stand higher than both
	case p.Hump != nil:
		p.Verdict = Humped
	case p.StepM < -c.ToleranceM-upper.BuriedM-rounding:
		p.Verdict = Drowned
	default:
		p.Verdict = Level
	}
	return p
}

// check returns the dams upstream in order, each with a name and a toe.
func (c DamCheck) check() ([]Dam, error) {
	if c.Bed != nil {
		if err := c.Bed.Check(); err != nil {
			return nil, model.Within(err, "bed")
		}
	}
	if p := model.FirstProblem(model.InRange("toleranceM", c.ToleranceM, 0, 1, "a tolerance", " m", ""), checkDeposit(c.DepositSlopePct)); p != nil {
		return nil, p
	}
	dams := slices.Clone(c.Dams)
	place := make([]int, len(dams)) // in the list as given, for the paths of errors
	for i := range dams {
		if p := c.settle(&dams[i]); p != nil {
			return nil, p.Within(fmt.Sprintf("dams[%d]", i))
		}
		dams[i].Name = cmp.Or(dams[i].Name, fmt.Sprintf("dam %d", i+1))
		place[i] = i
	}
	model.SortStable(place, func(a, b int) int { return cmp.Compare(dams[a].ChainageM, dams[b].ChainageM) })
	sorted := model.Each(place, func(at int) Dam { return dams[at] })
	for i := 1; i < len(sorted); i++ {
		if sorted[i].ChainageM-sorted[i-1].ChainageM < section.LeastApartM {
			return nil, &model.Problem{Path: fmt.Sprintf("dams[%d].chainageM", place[i]),
				Reason: fmt.Sprintf("%v m is where dams[%d] stands too", sorted[i].ChainageM, place[i-1]), Fix: "tape the two again"}
		}
	}
	return sorted, nil
}

// settle fills in a toe from the bed and refuses a dam that cannot be.
func (c DamCheck) settle(d *Dam) *model.Problem {
	level := func(path string, m float64) *model.Problem {
		return model.Require(math.Abs(m) <= section.MaxLevelM, path, "", "%v is not a level within %d m of the datum", m, section.MaxLevelM)
	}
	if p := model.FirstProblem(model.InRange("chainageM", d.ChainageM, 0, section.MaxChainageM, "a chainage", " m", ""), level("crestLevelM", d.CrestLevelM),
		model.InRange("buriedM", d.BuriedM, 0, section.MaxStepM, "a depth of silt", " m", "")); p != nil {
		return p
	}
	if math.IsNaN(d.ToeLevelM) {
		level, ok := c.Bed.LevelAt(d.ChainageM)
		if !ok {
			return &model.Problem{Path: "toeLevelM", Reason: "is missing, and the surveyed bed does not reach this dam",
				Fix: "level the toe, or survey the bed past the dam"}
		}
		d.ToeLevelM, d.LevelBasis = level, model.Weakest(d.LevelBasis, c.BedBasis)
	}
	return model.FirstProblem(level("toeLevelM", d.ToeLevelM),
		model.Require(d.CrestLevelM > d.ToeLevelM, "crestLevelM", "check that the two were not swapped in the book",
			"the crest at %v m is not above the toe at %v m", d.CrestLevelM, d.ToeLevelM))
}

// Cautions are those of the dams that were checked, and of the pairs that Pairs returned.
func (c DamCheck) Cautions(pairs []DamPair) []model.Caution {
	all := append(model.Cautions(nil), DamCautions...)
	dams, err := c.check()
	if err != nil {
		return all
	}
	for _, d := range dams {
		if height := d.CrestLevelM - d.ToeLevelM; height > MaxCrestM+1e-9 {
			all.Add("dams", "%s is %.2f m high: a porous dam above %v m is a matter for an engineer.", d.Name, height, MaxCrestM)
		}
	}
	for _, p := range pairs {
		if p.Hump != nil {
			all.Add("pairs", "Between %s and %s the bed rises %.2f m above what the lower dam can fill, at chainage %.1f m: water falls from there onto bare bed. Level it again, or give that place a dam of its own.", p.Lower, p.Upper, p.Hump.AboveM, p.Hump.ChainageM)
		}
	}
	return all
}
