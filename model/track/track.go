package track

import (
	"fmt"
	"math"
	"sort"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/section"
)

// MaxRise is the most that a track may rise or fall for each metre along it, and over a
// shorter distance the most in metres. A vehicle climbs less; what is more is a slipped
// decimal point or a level in millimetres.
const MaxRise = 1.0

// Track is the surveyed profile of a track or fence line along its middle, straight
// between its stations, which are listed by growing chainage. New makes one; the zero
// value is none.
type Track struct {
	Stations  []section.Station
	Positions []orb.Point // of the stations, longitude and latitude in degrees; nil where chainages were taped
	Quality   section.Quality
	Work      *model.Work // counts what is done beyond going along the track once; what comes of it is worth nothing when it had to stop
}

// New makes a track of points that all have chainages, or all positions. The chainage of
// a position is its geodesic distance along the positions from the first. The plus-minus
// of chainages and levels is for the caller to set. It returns a *model.Problem with a
// path like "[3].levelM" for what is no track.
func New(points []section.Point) (Track, error) {
	if len(points) < 2 {
		return Track{}, &model.Problem{Reason: fmt.Sprintf("a track needs 2 surveyed points and has %d", len(points))}
	}
	t := Track{Stations: make([]section.Station, len(points))}
	if points[0].ChainageM == nil {
		t.Positions = make([]orb.Point, len(points))
	}
	for i, p := range points {
		if fault := t.take(i, p); fault != nil {
			return Track{}, fault.Within(fmt.Sprintf("[%d]", i))
		}
	}
	for i, m := range geodesy.Segments(t.Positions) {
		t.Stations[i+1].ChainageM = t.Stations[i].ChainageM + m
	}
	for i := range t.Stations {
		if fault := t.wrong(i); fault != nil {
			return Track{}, fault.Within(fmt.Sprintf("[%d]", i))
		}
	}
	return t, nil
}

func (t Track) take(i int, p section.Point) *model.Problem {
	byPosition := t.Positions != nil
	wrong := "position"
	if byPosition {
		wrong = "chainageM"
	}
	if fault := model.FirstProblem(
		model.Require(p.ChainageM != nil || p.Position != nil, "chainageM", "give a chainage or a position", "is missing"),
		model.Require(p.ChainageM == nil || p.Position == nil, "position", "give one of the two: which was measured?", "cannot be given with a chainage"),
		model.Require(byPosition == (p.Position != nil), wrong, "give all points chainages, or all positions", "is not what the first point has")); fault != nil {
		return fault
	}
	t.Stations[i].LevelM = p.LevelM
	if !byPosition {
		t.Stations[i].ChainageM = *p.ChainageM
		return nil
	}
	t.Positions[i] = *p.Position
	return model.CheckPosition(*p.Position).Within("position")
}

// wrong tells why station i cannot stand where it does.
func (t Track) wrong(i int) *model.Problem {
	s, before := t.Stations[i], t.Stations[max(i-1, 0)]
	place := "chainageM"
	if t.Positions != nil {
		place = "position"
	}
	run, rise := s.ChainageM-before.ChainageM, s.LevelM-before.LevelM
	return model.FirstProblem(
		model.Require(s.ChainageM >= 0 && s.ChainageM <= section.MaxChainageM, place, "measure in metres along the track from one end of it",
			"%.6g m is not a chainage from 0 to %d m", s.ChainageM, section.MaxChainageM),
		model.Require(math.Abs(s.LevelM) <= section.MaxLevelM, "levelM", "give the reduced level in metres", "%v is not a level within %d m of the datum", s.LevelM, section.MaxLevelM),
		model.Require(i == 0 || math.Abs(run) >= section.LeastApartM, place, "keep one of the two", "chainage %v m stands twice", s.ChainageM),
		model.Require(run >= 0, place, "list the points along the track, lowest chainage first", "chainage %v m comes after %v m", s.ChainageM, before.ChainageM),
		model.Require(math.Abs(rise) <= MaxRise*max(run, 1), "levelM", "look for a slipped decimal point, or for a level in millimetres", "the track jumps %.4g m in %.4g m", rise, run))
}

// reach is the index of the station at or before a chainage within the track that begins
// the reach it lies in.
func (t Track) reach(chainageM float64) int {
	i := sort.Search(len(t.Stations), func(i int) bool { return t.Stations[i].ChainageM > chainageM }) - 1
	return min(max(i, 0), len(t.Stations)-2)
}

// LevelAt is the track's level at a chainage, false outside the surveyed length.
func (t Track) LevelAt(chainageM float64) (float64, bool) {
	return section.Bed(t.Stations).LevelAt(chainageM)
}

// PositionAt is the place at a chainage, false outside the surveyed length and where the
// track has no positions.
func (t Track) PositionAt(chainageM float64) (orb.Point, bool) {
	if t.Positions == nil || !(chainageM >= t.startM() && chainageM <= t.endM()) {
		return orb.Point{}, false
	}
	i := t.reach(chainageM)
	past := chainageM - t.Stations[i].ChainageM
	return geodesy.Destination(t.Positions[i], geodesy.Azimuth(t.Positions[i], t.Positions[i+1]), past), true
}

func (t Track) startM() float64 { return t.Stations[0].ChainageM }
func (t Track) endM() float64   { return t.Stations[len(t.Stations)-1].ChainageM }

// proven tells whether the track's levels can pass anything.
func (t Track) proven() bool { return t.Quality.Basis == model.Levelled }
