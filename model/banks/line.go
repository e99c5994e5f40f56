package banks

import (
	"cmp"
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/levelling"
)

const highestM = levelling.HighestM

// Reach is a length of a bank's channel that falls at one grade.
type Reach struct {
	LengthM  float64 `json:"lengthM" unit:"m" doc:"along the bank"`
	GradePct float64 `json:"gradePct" unit:"%" doc:"fall towards the outlet"`
}

// Line is the fall of a bank's channel from its top down to its outlet.
type Line struct {
	Reaches      []Reach // from the top down
	OutletLevelM float64 // of the bed
}

// End is an end of a bank, from which chainages are measured.
type End string

const (
	Outfall End = "outlet"
	Top     End = "top"
)

// Grades that a bank may have, in per cent. Flatter than the least no level can peg it;
// steeper than the most it is a drain down the slope.
const (
	LeastGradePct = 0.05
	MostGradePct  = 5
)

// Limits of a line.
const (
	maxReaches = 50
	MaxLengthM = 5000
	maxPegs    = 2000
)

func checkGrade(path string, pct float64) *model.Problem {
	return model.InRange(path, pct, LeastGradePct, MostGradePct, "a grade of a bank", " %", "give per cent: 0.3 for 3 mm in a metre")
}

// Check refuses a line that flattens towards its outlet: banks of the 1950s and 60s that
// began with more fall and eased off silted half way and broke, and each lower bank followed
// (Grain SA, August 2022).
func (l Line) Check() *model.Problem {
	if p := model.FirstProblem(
		model.Require(len(l.Reaches) > 0, "reaches", "give at least one length and its grade", "are missing"),
		model.Require(len(l.Reaches) <= maxReaches, "reaches", "", "number over %d", maxReaches)); p != nil {
		return p
	}
	for i, r := range l.Reaches {
		before := l.Reaches[max(i-1, 0)].GradePct
		if p := model.FirstProblem(
			model.InRange("lengthM", r.LengthM, 0.1, MaxLengthM, "a length", " m", "give metres"),
			checkGrade("gradePct", r.GradePct),
			model.Require(r.GradePct >= before, "gradePct", "steepen towards the outlet, or keep one grade",
				"%v %% is flatter than the %v %% above it: water that slows drops its silt there, the channel fills half way and the bank breaks", r.GradePct, before)); p != nil {
			return p.Within(fmt.Sprintf("reaches[%d]", i))
		}
	}
	return model.Require(l.LengthM() <= MaxLengthM, "reaches", "give metres; divide a bank that is really as long", "are %v m long together, more than %d", l.LengthM(), MaxLengthM)
}

// LengthM is the length of all reaches.
func (l Line) LengthM() float64 {
	total := 0.0
	for _, r := range l.Reaches {
		total += r.LengthM
	}
	return total
}

// FallM is how far the bed falls from the top to the outlet.
func (l Line) FallM() float64 { return l.aboveM(0) }

// aboveM is how high the bed stands above the outlet at a distance down from the top.
func (l Line) aboveM(downM float64) float64 {
	above := 0.0
	for _, r := range l.Reaches {
		above += min(max(r.LengthM-downM, 0), r.LengthM) * r.GradePct / 100
		downM -= r.LengthM
	}
	return above
}

// gradePct is the grade just below a distance down from the top.
func (l Line) gradePct(downM float64) float64 {
	for _, r := range l.Reaches {
		if downM < r.LengthM-1e-9 {
			return r.GradePct
		}
		downM -= r.LengthM
	}
	return l.Reaches[len(l.Reaches)-1].GradePct
}

// Peg is a peg of a line, at which the channel's bed has a level.
type Peg struct {
	ChainageM float64  `json:"chainageM" unit:"m" doc:"along the bank from the end named in chainageFrom"`
	LevelM    float64  `json:"levelM" unit:"m" doc:"of the bed: move the peg up or down the slope until the staff shows it"`
	GradePct  float64  `json:"gradePct" unit:"%" doc:"fall from here towards the outlet; at the outlet that before it"`
	ReadingM  *float64 `json:"readingM,omitempty" unit:"m" doc:"to look for on the staff from this set-up; it grows down the grade"`
	Cannot    string   `json:"cannot,omitempty" doc:"why there is no reading, and what to do"`
}

// Pegs are those at both ends, at every multiple of apartM from the end that chainages are
// measured from, and where the grade changes.
func (l Line) Pegs(apartM float64, from End) ([]Peg, error) {
	length := l.LengthM()
	if p := model.FirstProblem(
		model.InRange("pegSpacingM", apartM, 1, 200, "a spacing of pegs", " m", "10 to 25 m is usual"),
		model.Require(length/apartM <= maxPegs, "pegSpacingM", "peg farther apart, or lay out a part of the bank", "pegs would number over %d", maxPegs)); p != nil {
		return nil, p
	}
	const sameM = 0.001 // ends and changes of grade so near a peg need none of their own
	var all []Peg
	at := func(chainageM float64) {
		downM := chainageM
		if from == Outfall {
			downM = length - chainageM
		}
		all = append(all, Peg{ChainageM: chainageM, LevelM: l.OutletLevelM + l.aboveM(downM), GradePct: l.gradePct(downM + sameM)})
	}
	downM := 0.0
	var changes []float64
	for _, r := range l.Reaches {
		downM += r.LengthM
		if from == Outfall {
			changes = append(changes, length-downM)
		} else {
			changes = append(changes, downM)
		}
	}
	for i := 0; float64(i)*apartM < length-sameM; i++ {
		at(float64(i) * apartM)
	}
	at(length)
	regular := len(all)
	for _, chainageM := range changes {
		near := math.Round(chainageM/apartM) * apartM
		if math.Abs(near-chainageM) > sameM && chainageM > sameM && chainageM < length-sameM {
			at(chainageM)
		}
	}
	if len(all) > regular {
		model.SortStable(all, func(a, b Peg) int { return cmp.Compare(a.ChainageM, b.ChainageM) })
	}
	return all, nil
}

// SetReadings works out what to look for on the staff at each peg from one set-up. A peg that the
// staff cannot show says so: after moving the instrument, the last peg is read again and the
// level of the line of sight taken from there.
func SetReadings(pegs []Peg, instrumentLevelM, staffLengthM float64) error {
	if _, err := levelling.SetOut(instrumentLevelM, instrumentLevelM, staffLengthM); err != nil {
		return err
	}
	for i := range pegs {
		set, err := levelling.SetOut(instrumentLevelM, pegs[i].LevelM, staffLengthM)
		if p, ok := err.(*model.Problem); ok {
			pegs[i].Cannot = p.Reason + ": " + p.Fix
			continue
		}
		pegs[i].ReadingM = &set.ReadingM
	}
	return nil
}
