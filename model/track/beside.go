package track

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/section"
)

// MaxAsideM is how far off the middle of the track a bank's position may lie and still be
// taken for a place on it.
const MaxAsideM = 50

// Along is the chainage of the place on the track nearest to a position. It returns a
// *model.Problem at "position" for one that is not on earth or is farther off than
// MaxAsideM, and for a track that has no positions to place it by.
func (t Track) Along(position orb.Point) (chainageM float64, err error) {
	p, err := t.snap(position)
	if err != nil {
		return 0, err
	}
	if p.OffsetM > MaxAsideM {
		return 0, &model.Problem{Path: "position", Reason: fmt.Sprintf("lies %.0f m off the track", p.OffsetM), Fix: "look for a slip in the digits, or for another track"}
	}
	return t.within(p.ChainageM), nil
}

// Beside gives a head the chainage, offset and side of its position, humps of the track
// parting water from humpM on.
func (t Track) Beside(h Head, position orb.Point, humpM float64) (Head, error) {
	p, err := t.snap(position)
	if err != nil {
		return h, err
	}
	h.ChainageM, h.OffsetM, h.Side = t.within(p.ChainageM), p.OffsetM, Either
	// Sides of a thalweg are named looking downstream, against its chainages.
	switch p.Side {
	case section.LeftBank:
		h.Side = Right
	case section.RightBank:
		h.Side = Left
	}
	h.Side = t.downhill(humpM).turn(h.Side, h.ChainageM)
	return h, nil
}

func (t Track) snap(position orb.Point) (section.Place, error) {
	if t.Positions == nil {
		return section.Place{}, &model.Problem{Path: "position", Reason: "cannot be placed on a track that has chainages alone", Fix: "give a chainage"}
	}
	if fault := model.CheckPosition(position); fault != nil {
		return section.Place{}, fault.Within("position")
	}
	if !t.Work.Do(len(t.Positions)) {
		return section.Place{}, nil
	}
	return section.Snap(t.Positions, position)
}

// within keeps a chainage from leaving the track by its rounding.
func (t Track) within(chainageM float64) float64 {
	return math.Min(math.Max(chainageM, t.startM()), t.endM())
}
