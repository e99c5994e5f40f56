package track

import "sort"

// Side is a side of the track, looking down it: the way its water runs at that place. On
// a track that falls both ways from a top, left of one slope is right of the other. Whoever
// stands at a bank sees it so, whichever end the chainages are counted from.
type Side string

// The sides to which water may be let out.
const (
	Left   Side = "left"
	Right  Side = "right"
	Either Side = "either" // both are safe; of a head: nobody said on which side it lies
	None   Side = "none"
)

// Sides lists every side.
var Sides = []Side{Left, Right, Either, None}

func (s Side) has(other Side) bool { return s == other || s == Either }

// turned is the side as seen the other way.
func (s Side) turned() Side {
	switch s {
	case Left:
		return Right
	case Right:
		return Left
	}
	return s
}

// downhill tells which way is down the track at each place. It is the one place where sides
// looking down the track become sides looking along growing chainages, which the geometry
// of the track needs, and back.
type downhill struct {
	slopes []Slope // by growing chainage
	whole  bool    // without slopes: whether the track falls, if at all, along growing chainages
}

func (t Track) downhill(humpM float64) downhill {
	return downhill{t.Slopes(humpM), t.Stations[0].LevelM >= t.Stations[len(t.Stations)-1].LevelM}
}

// along tells whether the track falls along growing chainages at a place: by the slope it
// lies on, or the nearest one; where two slopes part or meet by the one that falls more.
func (d downhill) along(chainageM float64) bool {
	n := len(d.slopes)
	if n == 0 {
		return d.whole
	}
	i := min(sort.Search(n, func(i int) bool { return d.slopes[i].highM() >= chainageM-edgeM }), n-1)
	s := d.slopes[i]
	if i+1 < n && chainageM > s.highM()-edgeM && d.slopes[i+1].fallM() > s.fallM() {
		s = d.slopes[i+1]
	}
	return s.downM > 0
}

// turn changes a side at a place between looking down the track and looking along growing
// chainages. It is its own inverse.
func (d downhill) turn(side Side, chainageM float64) Side {
	if d.along(chainageM) {
		return side
	}
	return side.turned()
}

func (s Slope) highM() float64 { return max(s.Top.ChainageM, s.Foot.ChainageM) }
func (s Slope) fallM() float64 { return s.Top.LevelM - s.Foot.LevelM }
