package section

import "math"

// Reach is the bed between two neighbouring stations.
type Reach struct {
	FromM    float64 `json:"fromM" unit:"m" doc:"chainage of its downstream end"`
	ToM      float64 `json:"toM" unit:"m" doc:"chainage of its upstream end"`
	SlopePct float64 `json:"slopePct" unit:"%" doc:"rise going upstream over horizontal length; negative where the bed falls upstream"`
}

// Profile sums up a bed: how long it is, how far and how steeply it falls, reach by
// reach. Slopes are rise over horizontal distance, never over slope distance.
type Profile struct {
	LengthM               float64
	LengthPlusMinusM      float64
	FallM                 float64 // level of the upstream end less that of the downstream end
	FallPlusMinusM        float64
	MeanSlopePct          float64
	MeanSlopePlusMinusPct float64
	Reaches               []Reach // upstream in order, one between each two stations
	Adverse               []Reach // those that fall going upstream: holes and silted pools
}

// LongSection computes the profile of a bed that was measured as q says. Plus-minuses are
// negative where q does not know. It returns a *model.Problem for what is no bed.
func LongSection(b Bed, q Quality) (Profile, error) {
	if err := b.Check(); err != nil {
		return Profile{}, err
	}
	low, top := b[0], b[len(b)-1]
	p := Profile{
		LengthM: top.ChainageM - low.ChainageM, LengthPlusMinusM: q.SpacingPlusMinusM(),
		FallM: top.LevelM - low.LevelM, FallPlusMinusM: q.StepPlusMinusM(),
		Reaches: make([]Reach, 0, len(b)),
	}
	p.MeanSlopePct = b.MeanSlopePct()
	p.MeanSlopePlusMinusPct = slopePlusMinusPct(p)
	for i := 1; i < len(b); i++ {
		reach := Reach{FromM: b[i-1].ChainageM, ToM: b[i].ChainageM}
		reach.SlopePct = 100 * (b[i].LevelM - b[i-1].LevelM) / (reach.ToM - reach.FromM)
		p.Reaches = append(p.Reaches, reach)
		if reach.SlopePct < 0 {
			p.Adverse = append(p.Adverse, reach)
		}
	}
	return p, nil
}

// MeanSlopePct is the rise of a bed that Check found sound over its length.
func (b Bed) MeanSlopePct() float64 {
	low, top := b[0], b[len(b)-1]
	return 100 * (top.LevelM - low.LevelM) / (top.ChainageM - low.ChainageM)
}

// slopePlusMinusPct carries the errors of fall F and length L into F/L: their relative
// errors add as squares, written so that a level bed (F = 0) has one too.
func slopePlusMinusPct(p Profile) float64 {
	if p.FallPlusMinusM < 0 || p.LengthPlusMinusM < 0 {
		return -1
	}
	return 100 / p.LengthM * math.Hypot(p.FallPlusMinusM, p.FallM/p.LengthM*p.LengthPlusMinusM)
}
