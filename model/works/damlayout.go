package works

import (
	"fmt"
	"math"

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

// touchM is how near below a crest line a station of the bed counts as reaching it. It is
// far below what a staff reads and far above the rounding of sums, so that a bed that just
// touches the line is not missed.
const touchM = 1e-7

// DamSite is a place for a dam.
type DamSite struct {
	ChainageM          float64 `json:"chainageM" unit:"m" doc:"of the toe, from the downstream end of the thalweg"`
	ChainagePlusMinusM float64 `json:"chainagePlusMinusM" unit:"m" doc:"one standard deviation; negative when not known"`
	BedLevelM          float64 `json:"bedLevelM" unit:"m" doc:"of the bed at the toe"`
	CrestLevelM        float64 `json:"crestLevelM" unit:"m" doc:"bed level plus crest height"`
}

// DamLayout lays check dams up a surveyed bed: the first toe at FromM, each next one at
// the first place upstream where the bed rises to the line from the crest below, which is
// level or climbs at DepositSlopePct. Where the bed falls going upstream it stays below
// the line and is passed over. The bed is straight between its stations, so the meeting
// points are solved, not stepped to; one pass over the bed finds them all.
type DamLayout struct {
	Bed             section.Bed
	Quality         section.Quality
	CrestHeightM    float64  // effective height: bed to lowest point of the crest, foundation not counted
	FromM, ToM      *float64 // nil: the ends of the bed; a toe exactly at ToM is in
	DepositSlopePct float64  // 0: level crest to toe
}

// Lay returns the sites from the lowest up, at least one. It returns a *model.Problem,
// with a path like "bed[3].levelM" or "crestHeightM", for what cannot be laid out.
func (l DamLayout) Lay() ([]DamSite, error) {
	fromM, toM, err := l.check()
	if err != nil {
		return nil, err
	}
	return l.walk(fromM, toM)
}

func (l DamLayout) walk(fromM, toM float64) ([]DamSite, error) {
	bed, grade := l.Bed, l.DepositSlopePct/100
	i := 1 // upstream station of the reach in which the search goes on
	for bed[i].ChainageM < fromM {
		i++
	}
	toe := section.Station{ChainageM: fromM, LevelM: section.Between(bed[i-1], bed[i], fromM)}
	sites := []DamSite{l.site(toe, l.Quality.ChainagePlusMinusM)}
	below := toe // a point of the bed known to lie below the crest line
	for i < len(bed) && below.ChainageM <= toM {
		over := func(s section.Station) float64 { // the bed's height over the crest line
			return s.LevelM - (toe.LevelM + l.CrestHeightM + grade*(s.ChainageM-toe.ChainageM))
		}
		next, at := bed[i], over(bed[i])
		if at < -touchM {
			below, i = next, i+1
			continue
		}
		start := over(below)
		climb := (at - start) / (next.ChainageM - below.ChainageM) // of the bed against the line
		if at > touchM {
			x := below.ChainageM - start/climb
			next = section.Station{ChainageM: x, LevelM: section.Between(bed[i-1], bed[i], x)}
		} else {
			i++
		}
		if next.ChainageM > toM+touchM {
			break
		}
		if len(sites) == MaxDams {
			return nil, &model.Problem{Path: "crestHeightM", Reason: fmt.Sprintf("dams %v m high would number over %d on this bed", l.CrestHeightM, MaxDams),
				Fix: "check the height and the bed's levels, or lay out a part of the bed with fromM and toM"}
		}
		toe, below = next, next
		sites = append(sites, l.site(toe, l.toePlusMinusM(climb)))
	}
	return sites, nil
}

func (l DamLayout) site(toe section.Station, plusMinusM float64) DamSite {
	return DamSite{ChainageM: toe.ChainageM, ChainagePlusMinusM: max(plusMinusM, -1),
		BedLevelM: toe.LevelM, CrestLevelM: toe.LevelM + l.CrestHeightM}
}

// toePlusMinusM is how surely a toe's place is known: the errors of the two levels that
// meet there move it by their size over the slope at which the bed climbs past the line;
// the chainage adds its own. Where the two are nearly parallel the place is vague indeed.
func (l DamLayout) toePlusMinusM(climb float64) float64 {
	step := l.Quality.StepPlusMinusM()
	if step < 0 || l.Quality.ChainagePlusMinusM < 0 {
		return -1
	}
	return math.Hypot(step/climb, l.Quality.ChainagePlusMinusM)
}

func (l DamLayout) check() (fromM, toM float64, err error) {
	if err := l.Bed.Check(); err != nil {
		return 0, 0, within(err, "bed")
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
	return fromM, toM, nil
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

// within puts a *model.Problem below a parent path.
func within(err error, parent string) error {
	if p, ok := err.(*model.Problem); ok {
		return p.Within(parent)
	}
	return err
}

// SpacingPlusMinusM is one standard deviation of the distance between two toes, negative
// when it is not known.
func SpacingPlusMinusM(lower, upper DamSite) float64 {
	return together(lower.ChainagePlusMinusM, upper.ChainagePlusMinusM)
}
