package monitor

import (
	"fmt"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// Outline is the edge of a gully head as it was walked on one day: a closed ring, across
// the gully always between the same two marks.
type Outline struct {
	Day       Day
	Ring      orb.Ring
	AccuracyM float64 // one standard deviation of a position along any direction; negative when not known
}

// Growth is what an outline gained from one day to a later one.
type Growth struct {
	From                   Day      `json:"from" doc:"day of the earlier outline"`
	To                     Day      `json:"to" doc:"day of the later outline"`
	FromM2                 float64  `json:"fromM2" unit:"m2" doc:"area of the earlier outline"`
	ToM2                   float64  `json:"toM2" unit:"m2" doc:"area of the later outline"`
	GrowthM2               float64  `json:"growthM2" unit:"m2" doc:"what it gained"`
	PlusMinusM2            float64  `json:"plusMinusM2" unit:"m2" doc:"one standard deviation; none when not known"`
	RateM2PerYear          float64  `json:"rateM2PerYear" unit:"m2/a" doc:"growth over the years between"`
	RatePlusMinusM2PerYear float64  `json:"ratePlusMinusM2PerYear" unit:"m2/a" doc:"one standard deviation; none when not known"`
	LeastProvableM2        *float64 `json:"leastProvableM2,omitempty" unit:"m2" doc:"smaller growth than this is too small to detect, at 95 %; absent when not known"`
	MoreThanNoise          Answer   `json:"moreThanNoise" choices:"yes|no|cannot tell" doc:"whether the growth is more than noise, at 95 %"`
}

// GrowthOf compares outlines in the order of their dates, the last with the first and each
// with the one before; areas are those of package geodesy, whose errors it takes as independent. It returns a
// *model.Problem with a path like "outlines[1].ring".
func GrowthOf(outlines []Outline, work *model.Work) (overall Growth, steps []Growth, err error) {
	if len(outlines) < 2 {
		return overall, nil, &model.Problem{Path: "outlines", Reason: fmt.Sprintf("has %d outlines", len(outlines)), Fix: "growth shows between two outlines or more"}
	}
	type walked struct {
		Outline
		area
	}
	all := make([]walked, len(outlines))
	for i, o := range outlines {
		a, p := o.measure(work)
		if p == nil {
			p = sameHead(outlines[0].Ring, o.Ring)
		}
		if p != nil {
			return overall, nil, p.Within(fmt.Sprintf("outlines[%d]", i))
		}
		all[i] = walked{o, a}
	}
	order, p := byDay(model.Each(outlines, func(o Outline) Day { return o.Day }), "outlines", "keep the better of the two")
	if p != nil {
		return overall, nil, p
	}
	all = model.Each(order, func(i int) walked { return all[i] })
	between := func(a, b walked) Growth {
		g := Growth{From: a.Day, To: b.Day, FromM2: a.areaM2, ToM2: b.areaM2, GrowthM2: b.areaM2 - a.areaM2, PlusMinusM2: together(a.plusMinusM2, b.plusMinusM2)}
		years := a.Day.yearsTo(b.Day)
		g.RateM2PerYear, g.RatePlusMinusM2PerYear = g.GrowthM2/years, model.ScaledPlusMinus(1/years, g.PlusMinusM2)
		g.LeastProvableM2 = model.Known(model.ScaledPlusMinus(z95, g.PlusMinusM2))
		g.MoreThanNoise = moreThanNoise(g.GrowthM2, g.LeastProvableM2)
		return g
	}
	for i := 1; i < len(all); i++ {
		steps = append(steps, between(all[i-1], all[i]))
	}
	return between(all[0], all[len(all)-1]), steps, nil
}

func (o Outline) measure(work *model.Work) (area, *model.Problem) {
	for i, p := range o.Ring {
		if p := model.CheckPosition(p); p != nil {
			return area{}, p.Within(fmt.Sprintf("ring[%d]", i))
		}
	}
	if n := len(o.Ring); n < 4 || o.Ring[0] != o.Ring[n-1] {
		return area{}, &model.Problem{Path: "ring", Reason: "is not closed, or has fewer than 4 positions", Fix: "close it across the gully, between the same two marks each time"}
	}
	if p := badPlusMinus("accuracyM", o.AccuracyM); p != nil {
		return area{}, p
	}
	polygon := orb.Polygon{o.Ring}
	if at, crosses, whole := geodesy.Crossing(polygon, work.Do); crosses || !whole {
		return area{}, &model.Problem{Path: "ring", Reason: fmt.Sprintf("crosses itself near [%.6f, %.6f]", at[0], at[1]), Fix: "mend it there"}
	}
	return area{geodesy.Area(polygon), geodesy.AreaPlusMinus(polygon, o.AccuracyM)}, nil
}

func sameHead(first, ring orb.Ring) *model.Problem {
	awayM := geodesy.Distance(first[0], ring[0])
	return model.Require(awayM <= MaxMoveM, "ring", "that is another head, or a slip in a position", "starts %.0f m from the first outline", awayM)
}
