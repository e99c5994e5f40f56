package section

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// Point is a surveyed point of a bed as it was booked: at a taped chainage, or at a
// position.
type Point struct {
	ChainageM *float64   `json:"chainageM,omitempty" unit:"m" doc:"along the levelled line; of a gully along the thalweg, from its downstream end; this or position"`
	Position  *orb.Point `json:"position,omitempty" unit:"deg" doc:"longitude and latitude, WGS84; chainages are then geodesic lengths from the first"`
	LevelM    float64    `json:"levelM" unit:"m" doc:"level of the bed on the datum of the run"`
}

// NewBed makes a bed of points that all have chainages, or all positions; byPosition
// tells which. The chainage of a position is its geodesic distance along the positions
// from the first, the downstream end. It returns a *model.Problem with a path like
// "[3].position" for what is no bed.
func NewBed(points []Point) (bed Bed, byPosition bool, err error) {
	byPosition = len(points) > 0 && points[0].ChainageM == nil
	bed = make(Bed, len(points))
	along := make([]orb.Point, len(points))
	for i, p := range points {
		if fault := p.wrong(byPosition); fault != nil {
			return nil, byPosition, fault.Within(fmt.Sprintf("[%d]", i))
		}
		bed[i].LevelM = p.LevelM
		if byPosition {
			along[i] = *p.Position
		} else {
			bed[i].ChainageM = *p.ChainageM
		}
	}
	if byPosition {
		for i, m := range geodesy.Segments(along) {
			if m < LeastApartM {
				return nil, true, &model.Problem{Path: fmt.Sprintf("[%d].position", i+1), Reason: "is the same position as the one before", Fix: "keep one of the two"}
			}
			bed[i+1].ChainageM = bed[i].ChainageM + m
			if !(bed[i+1].ChainageM <= MaxChainageM) {
				return nil, true, &model.Problem{Path: fmt.Sprintf("[%d].position", i+1),
					Reason: fmt.Sprintf("lies %.4g km along the bed", bed[i+1].ChainageM/1000), Fix: "longitude comes first; look for a slip in the digits"}
			}
		}
	}
	return bed, byPosition, bed.Check()
}

func (p Point) wrong(byPosition bool) *model.Problem {
	switch {
	case p.ChainageM == nil && p.Position == nil:
		return &model.Problem{Path: "chainageM", Reason: "is missing", Fix: "give a chainage or a position"}
	case p.ChainageM != nil && p.Position != nil:
		return &model.Problem{Path: "position", Reason: "cannot be given with a chainage", Fix: "give one of the two: which was measured?"}
	case byPosition && p.Position == nil:
		return &model.Problem{Path: "chainageM", Reason: "stands among positions", Fix: "give all points chainages, or all positions"}
	case !byPosition && p.ChainageM == nil:
		return &model.Problem{Path: "position", Reason: "stands among chainages", Fix: "give all points chainages, or all positions"}
	case byPosition:
		return model.CheckPosition(*p.Position).Within("position")
	case math.IsNaN(*p.ChainageM):
		return &model.Problem{Path: "chainageM", Reason: "is not a number"}
	}
	return nil
}
