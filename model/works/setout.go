package works

import (
	"fmt"
	"math"
	"strconv"

	"headcut/model"
	"headcut/model/levelling"
)

// DamSpot is which part of a dam a peg marks.
type DamSpot string

const (
	DamToe      DamSpot = "toe"
	DamCrest    DamSpot = "crest"    // lowest point of the top: the sill of the notch
	DamAbutment DamSpot = "abutment" // the dam's ends in the banks
)

// DamSpots lists every spot.
var DamSpots = []DamSpot{DamToe, DamCrest, DamAbutment}

// Peg is a level of a dam to be set out.
type Peg struct {
	Dam    int     `json:"dam" unit:"1" doc:"number of the dam, counted from 1, the lowest"`
	Spot   DamSpot `json:"spot" doc:"toe, crest or abutment"`
	LevelM float64 `json:"levelM" unit:"m" doc:"to set out"`
}

// PegReading is what was read with the staff on a peg, or where the peg was tried.
type PegReading struct {
	Dam   int     `json:"dam" unit:"1" doc:"number of the dam, counted from 1, the lowest"`
	Spot  DamSpot `json:"spot" choices:"toe|crest|abutment" doc:"which of its pegs"`
	ReadM float64 `json:"readM" unit:"m" doc:"what was read on the staff"`
}

// PegSight is what to look for on the staff from one set-up. Its ± is for whoever knows those of the
// two levels to fill in.
type PegSight struct {
	Peg
	ReadingM          *float64 `json:"readingM,omitempty" unit:"m" doc:"to look for on the staff"`
	ReadingPlusMinusM float64  `json:"readingPlusMinusM" unit:"m" doc:"one standard deviation, of the two levels it lies between; none when not known"`
	Cannot            string   `json:"cannot,omitempty" doc:"why there is no reading, and what to do"`
	ReadM             *float64 `json:"readM,omitempty" unit:"m" doc:"as read"`
	OffM              *float64 `json:"offM,omitempty" unit:"m" doc:"how far the foot of the staff is above the level; minus is below"`
	Move              string   `json:"move,omitempty" doc:"which way the foot of the staff must go: up when the reading is too great"`

	setOut levelling.SetOutReading
}

// Pegs are those of a layout, dam by dam from the lowest up: toe, crest and, where the
// height of the dam's ends above the crest is given (above 0), abutment.
func Pegs(dams []DamSite, abutmentHeightM float64) []Peg {
	pegs := make([]Peg, 0, 3*len(dams))
	for i, d := range dams {
		pegs = append(pegs, Peg{i + 1, DamToe, d.BedLevelM}, Peg{i + 1, DamCrest, d.CrestLevelM})
		if abutmentHeightM > 0 {
			pegs = append(pegs, Peg{i + 1, DamAbutment, d.CrestLevelM + abutmentHeightM})
		}
	}
	return pegs
}

// SetOut works out for each peg the reading to look for from one set-up, and for those that
// were read already which way to go. A reading that is too great means that the staff
// stands too low: it must go up. One set-up sees only some of the dams of a gully: a peg
// that the staff cannot show says so and loses nothing of the others. The error is a
// *model.Problem with a path like "instrumentLevelM" or "readings[1].readM".
func SetOut(pegs []Peg, instrumentLevelM, staffLengthM float64, readings []PegReading) ([]PegSight, error) {
	if _, err := levelling.SetOut(instrumentLevelM, instrumentLevelM, staffLengthM); err != nil {
		return nil, err
	}
	type key struct {
		dam  int
		spot DamSpot
	}
	at := make(map[key]int, len(pegs))
	sights := make([]PegSight, len(pegs))
	for i, p := range pegs {
		sights[i] = sightOf(p, instrumentLevelM, staffLengthM)
		at[key{p.Dam, p.Spot}] = i
	}
	for i, r := range readings {
		n, ok := at[key{r.Dam, r.Spot}]
		if !ok {
			return nil, &model.Problem{Path: fmt.Sprintf("readings[%d].dam", i), Reason: fmt.Sprintf("there is no %s peg of dam %d", r.Spot, r.Dam), Fix: "dams are counted from 1, the lowest; abutments need a notch"}
		}
		if p := model.FirstProblem(
			model.Require(sights[n].ReadM == nil, "dam", "keep the later reading", "the %s of dam %d was read twice", r.Spot, r.Dam),
			model.Require(!(r.ReadM < 0), "readM", "move the instrument up", "%v m is below the foot of the staff: the peg stands above the line of sight", r.ReadM),
			model.Require(r.ReadM <= staffLengthM, "readM", "read metres; where the staff is too short, move the instrument down", "%v m is not on a staff of %v m", r.ReadM, staffLengthM)); p != nil {
			return nil, p.Within(fmt.Sprintf("readings[%d]", i))
		}
		if err := sights[n].read(r.ReadM); err != nil {
			return nil, model.Within(err, fmt.Sprintf("readings[%d]", i))
		}
	}
	return sights, nil
}

func sightOf(p Peg, instrumentLevelM, staffLengthM float64) PegSight {
	s := PegSight{Peg: p}
	set, err := levelling.SetOut(instrumentLevelM, p.LevelM, staffLengthM)
	s.setOut = set
	if err != nil {
		s.Cannot = err.Error()
		if fault, ok := err.(*model.Problem); ok {
			s.Cannot = fault.Reason + ": " + fault.Fix
		}
		return s
	}
	s.ReadingM = &set.ReadingM
	return s
}

func (s *PegSight) read(readM float64) error {
	now, err := s.setOut.At(readM)
	if err != nil {
		return err
	}
	s.ReadM, s.OffM = &readM, &now.OffM
	by := strconv.FormatFloat(math.Abs(now.OffM), 'f', 3, 64) + " m"
	switch {
	case math.Abs(now.OffM) < 0.0005:
		s.Move = "stay: the staff is on the level"
	case now.OffM < 0:
		s.Move = "up " + by
	default:
		s.Move = "down " + by
	}
	return nil
}
