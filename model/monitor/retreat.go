package monitor

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/section"
)

// Bounds beyond which two visits were not to one head, or a unit was mistaken. Common
// practice, no source.
const (
	MaxStakeM = 500.0
	MaxMoveM  = 2000.0
)

// LeastSeason is how much of a season must lie between two visits for their retreat to be
// one of seasons: a few wet days at the ends of a dry are no wet season. Common practice, no
// source.
const LeastSeason = 0.5

// Visit is one look at a gully head: where its lip stood, as a position or as the distance
// taped to it from a stake. One record holds visits of one sort only.
type Visit struct {
	Day        Day
	Position   *orb.Point
	OffsetM    *float64
	PlusMinusM float64 // one standard deviation along any direction; negative when not known
}

// HeadRecord is what visits tell of one head. For positions, either BearingDeg or Thalweg
// says which way is up the gully; with neither, movement is the plain distance between
// fixes, which noise alone makes positive.
type HeadRecord struct {
	Visits          []Visit // in any order
	StakeDownstream bool    // the stake stands below the head: the offset grows as it retreats
	BearingDeg      *float64
	Thalweg         []orb.Point // from the downstream end up, reaching past every fix
	Season          *Season     // whose passing is counted
}

// Step is the retreat from one visit to a later one. Retreat is positive up the gully.
type Step struct {
	From                  Day      `json:"from" doc:"day of the earlier visit"`
	To                    Day      `json:"to" doc:"day of the later visit"`
	Years                 float64  `json:"years" unit:"a" doc:"between them, by the calendar: an anniversary is a whole number of years"`
	RetreatM              float64  `json:"retreatM" unit:"m" doc:"up the gully; negative is down it"`
	PlusMinusM            float64  `json:"plusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
	RateMPerYear          float64  `json:"rateMPerYear" unit:"m/a" doc:"retreat over years"`
	RatePlusMinusMPerYear float64  `json:"ratePlusMinusMPerYear" unit:"m/a" doc:"one standard deviation; none when not known"`
	Seasons               *float64 `json:"wetSeasons,omitempty" unit:"1" doc:"wet seasons between, a started one by its part"`
	RetreatMPerSeason     *float64 `json:"retreatMPerSeason,omitempty" unit:"m" doc:"retreat for each wet season; none where less than half of one lies between"`
	LeastProvableM        *float64 `json:"leastProvableM,omitempty" unit:"m" doc:"the least retreat that these measurements could tell from none, at 95 %; none when not known"`
	MoreThanNoise         Answer   `json:"moreThanNoise" choices:"yes|no|cannot tell" doc:"whether the retreat is more than the measurements' own scatter, at 95 %"`
}

// Retreat is the step from the first visit to the last, those between neighbouring visits,
// and with more than two visits, unless they are fixes without a direction, the trend
// through all.
type Retreat struct {
	Overall Step
	Steps   []Step
	Trend   *Trend
}

// Retreat works through the visits in the order of their dates. It returns a
// *model.Problem with a path like "visits[2].date", counted as they were given.
func (r HeadRecord) Retreat() (Retreat, error) {
	visits, err := r.inOrder()
	if err != nil {
		return Retreat{}, err
	}
	alongM, err := r.along(visits)
	if err != nil {
		return Retreat{}, err
	}
	last := len(visits) - 1
	out := Retreat{Overall: r.step(visits, alongM, 0, last)}
	for i := range last {
		out.Steps = append(out.Steps, r.step(visits, alongM, i, i+1))
	}
	if alongM != nil && len(visits) > 2 {
		trend := trendOf(visits, alongM)
		out.Trend = &trend
	}
	return out, nil
}

type placed struct {
	Visit
	at int // among the visits as given
}

func (r HeadRecord) inOrder() ([]placed, error) {
	if len(r.Visits) < 2 {
		return nil, &model.Problem{Path: "visits", Reason: fmt.Sprintf("has %d visits", len(r.Visits)), Fix: "retreat shows between two visits or more"}
	}
	for i, v := range r.Visits {
		if p := r.checkVisit(v); p != nil {
			return nil, p.Within(fmt.Sprintf("visits[%d]", i))
		}
	}
	order, p := byDay(model.Each(r.Visits, func(v Visit) Day { return v.Day }), "visits", "keep the better of the two measurements")
	return model.Each(order, func(i int) placed { return placed{r.Visits[i], i} }), p.Err()
}

func (r HeadRecord) checkVisit(v Visit) *model.Problem {
	p := model.FirstProblem(
		model.Require((v.Position == nil) != (v.OffsetM == nil), "", "", "needs a position or an offset, and one of them only"),
		model.Require((v.Position == nil) == (r.Visits[0].Position == nil), "", "compare positions with positions and offsets from one stake with each other", "is not measured as visits[0] was"))
	switch {
	case p != nil:
		return p
	case v.OffsetM != nil:
		p = outside("offsetM", *v.OffsetM, 0, MaxStakeM, "m", "give the taped distance from the stake in metres")
	default:
		p = model.CheckPosition(*v.Position).Within("position")
	}
	return model.FirstProblem(p, badPlusMinus("accuracyM", v.PlusMinusM))
}

// along is how far up the gully the lip stood at each visit, from any start; nil where
// nobody said which way that is.
func (r HeadRecord) along(visits []placed) ([]float64, error) {
	alongM := make([]float64, len(visits))
	if visits[0].OffsetM != nil {
		if r.BearingDeg != nil || r.Thalweg != nil {
			return nil, &model.Problem{Path: "visits", Reason: "are offsets from a stake, which have no bearing", Fix: "leave out bearingDeg and thalweg"}
		}
		for i, v := range visits {
			alongM[i] = -*v.OffsetM
			if r.StakeDownstream {
				alongM[i] = *v.OffsetM
			}
		}
		return alongM, nil
	}
	first := *visits[0].Position
	for _, v := range visits[1:] {
		if movedM := geodesy.Distance(first, *v.Position); !(movedM <= MaxMoveM) {
			return nil, &model.Problem{Path: fmt.Sprintf("visits[%d].position", v.at), Reason: fmt.Sprintf("lies %.0f m from the first fix", movedM), Fix: "that is another head, or a slip in the position"}
		}
	}
	switch {
	case r.BearingDeg != nil && r.Thalweg != nil:
		return nil, &model.Problem{Path: "bearingDeg", Reason: "cannot be given with a thalweg", Fix: "give one of them"}
	case r.BearingDeg != nil:
		if p := outside("bearingDeg", *r.BearingDeg, 0, 360, "degrees", "give the bearing up the gully, clockwise from true north"); p != nil {
			return nil, p
		}
		sin, cos := math.Sincos(*r.BearingDeg * math.Pi / 180)
		frame := geodesy.Frame{Origin: first}
		for i, v := range visits {
			eastM, northM := frame.Offset(*v.Position)
			alongM[i] = eastM*sin + northM*cos
		}
		return alongM, nil
	case r.Thalweg != nil:
		return r.alongThalweg(visits)
	}
	return nil, nil
}

func (r HeadRecord) alongThalweg(visits []placed) ([]float64, error) {
	alongM := make([]float64, len(visits))
	for i, v := range visits {
		place, err := section.Snap(r.Thalweg, *v.Position)
		if err != nil {
			return nil, err
		}
		if place.Beyond {
			return nil, &model.Problem{Path: "thalweg", Reason: fmt.Sprintf("does not reach past the fix of visits[%d]", v.at),
				Fix: "draw it on up the way the head is cutting, or give bearingDeg"}
		}
		alongM[i] = place.ChainageM
	}
	return alongM, nil
}

func (r HeadRecord) step(visits []placed, alongM []float64, i, j int) Step {
	a, b := visits[i], visits[j]
	s := Step{From: a.Day, To: b.Day, Years: a.Day.yearsTo(b.Day), PlusMinusM: together(a.PlusMinusM, b.PlusMinusM)}
	limit := plane95
	if alongM != nil {
		s.RetreatM, limit = alongM[j]-alongM[i], z95
	} else {
		s.RetreatM = geodesy.Distance(*a.Position, *b.Position)
	}
	s.LeastProvableM = model.Known(model.ScaledPlusMinus(limit, s.PlusMinusM))
	s.RateMPerYear, s.RatePlusMinusMPerYear = s.RetreatM/s.Years, model.ScaledPlusMinus(1/s.Years, s.PlusMinusM)
	s.MoreThanNoise = moreThanNoise(s.RetreatM, s.LeastProvableM)
	if r.Season != nil {
		seasons := r.Season.Between(a.Day, b.Day)
		if s.Seasons = &seasons; seasons >= LeastSeason {
			s.RetreatMPerSeason = new(s.RetreatM / seasons)
		}
	}
	return s
}
