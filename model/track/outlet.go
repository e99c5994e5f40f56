package track

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/section"
)

// ClearanceM is how far an outlet is kept from a gully head on its side. Common
// practice, no source: the ground between decides, and only somebody who has walked it
// knows.
const ClearanceM = 30

// Bounds of what is said of outlets.
const (
	MaxClearanceM = 1000
	MaxWindows    = 1000 // reaches, and heads
)

// SideReach is a reach of the track with its safe side, or with the side on which no water
// may be let out.
type SideReach struct {
	FromM float64 `json:"fromM" unit:"m" doc:"chainage at which the reach begins"`
	ToM   float64 `json:"toM" unit:"m" doc:"chainage at which it ends"`
	Side  Side    `json:"side" choices:"left|right|either|none" doc:"safe side, looking down the track"`
	Why   string  `json:"why,omitempty" doc:"why that side"`
}

// Head is a gully head near the track.
type Head struct {
	Name       string
	ChainageM  float64 // of the place on the track square to it
	OffsetM    float64 // from there
	Side       Side    // looking down the track where it lies; Either when nobody said
	LipLevelM  float64 // NaN when not known; a head whose lip is above the track takes none of its water
	PlusMinusM float64 // one standard deviation of its place, alike both ways; negative when not known
}

// Outlets says where water may leave the track. The zero value lets it out nowhere.
type Outlets struct {
	Side       Side        // where nothing else is said
	Reaches    []SideReach // whose sides hold instead; they may touch, not overlap
	NoOutlet   []SideReach // Side Either bars both sides
	Heads      []Head
	ClearanceM float64
}

// window bars one or both sides over a reach, its ends not included.
type window struct {
	fromM, toM float64
	side       Side // looking down the track; of a head along growing chainages
	head       bool // a place beside the track stays on its side, over any top
	why        string
}

// outlets is Outlets made ready for one track.
type outlets struct {
	Outlets
	track   Track
	windows []window
	edges   []float64 // chainages at which what is safe may change
	bends   *bends    // nil where the track has no positions
	down    downhill
	heads   []Side // of each head, looking along growing chainages
}

// on checks o and makes it ready for a track whose humps part water from humpM on.
func (o Outlets) on(t Track, humpM float64) (*outlets, error) {
	if p := o.wrong(); p != nil {
		return nil, p
	}
	r := &outlets{Outlets: o, track: t, down: t.downhill(humpM)}
	for _, s := range r.down.slopes {
		r.edges = append(r.edges, s.Top.ChainageM, s.Foot.ChainageM)
	}
	for _, reach := range o.Reaches {
		r.edges = append(r.edges, reach.FromM, reach.ToM)
	}
	for _, reach := range o.NoOutlet {
		r.windows = append(r.windows, window{reach.FromM, reach.ToM, reach.Side, false, cmp.Or(reach.Why, "no outlet is wanted here")})
	}
	for i, h := range o.Heads {
		side := r.down.turn(h.Side, h.ChainageM)
		r.heads = append(r.heads, side)
		if h.OffsetM >= o.ClearanceM {
			continue
		}
		half := math.Sqrt(o.ClearanceM*o.ClearanceM - h.OffsetM*h.OffsetM)
		if t.highestM(h.ChainageM-half, h.ChainageM+half) < h.LipLevelM {
			continue
		}
		r.windows = append(r.windows, window{h.ChainageM - half, h.ChainageM + half, side, true, fmt.Sprintf("within %v m of %s", o.ClearanceM, h.called(i))})
	}
	for _, w := range r.windows {
		r.edges = append(r.edges, w.fromM, w.toM)
	}
	model.Sort(r.edges)
	r.edges = slices.Compact(r.edges)
	if t.Positions != nil {
		r.bends = newBends(t, o.ClearanceM)
	}
	return r, nil
}

func (h Head) called(i int) string { return cmp.Or(h.Name, fmt.Sprintf("gully head %d", i+1)) }

// sideAt is the side on which water may be let out at a chainage, and why not on the
// others.
func (o *outlets) sideAt(chainageM float64) (Side, string) {
	left, right, why := o.chosen(chainageM)
	o.track.Work.Do(len(o.Reaches) + len(o.windows))
	for _, w := range o.windows {
		side := w.side
		if w.head {
			side = o.down.turn(side, chainageM)
		}
		if chainageM <= w.fromM+edgeM || chainageM >= w.toM-edgeM || !(left && side.has(Left) || right && side.has(Right)) {
			continue
		}
		left, right = left && !side.has(Left), right && !side.has(Right)
		why = w.why
	}
	for _, side := range []Side{Left, Right} {
		open := &left
		if side == Right {
			open = &right
		}
		if *open && o.bends != nil {
			if again, found := o.bends.reentry(chainageM, o.down.turn(side, chainageM)); found {
				*open, why = false, fmt.Sprintf("on the %s it runs back on to the track at chainage %.0f m", side, again)
			}
		}
	}
	switch {
	case left && right:
		return Either, why
	case left:
		return Left, why
	case right:
		return Right, why
	}
	return None, why
}

// edgeM is how near the end of a reach counts as its end, where what holds on either side
// of it may be chosen.
const edgeM = 1e-6

// chosen is what the officer said of a chainage.
func (o *outlets) chosen(chainageM float64) (left, right bool, why string) {
	covered := 0 // of the ground just before and just after
	for _, r := range o.Reaches {
		if chainageM < r.FromM-edgeM || chainageM > r.ToM+edgeM {
			continue
		}
		if chainageM > r.FromM+edgeM {
			covered++
		}
		if chainageM < r.ToM-edgeM {
			covered++
		}
		left, right = left || r.Side.has(Left), right || r.Side.has(Right)
		why = cmp.Or(r.Why, why)
	}
	if covered < 2 {
		left, right = left || o.Side.has(Left), right || o.Side.has(Right)
	}
	if !left && !right {
		why = cmp.Or(why, "no side is safe here")
	}
	return left, right, why
}

// sided tells whether left or right is said anywhere.
func (o Outlets) sided() bool {
	one := func(s Side) bool { return s == Left || s == Right }
	return one(o.Side) || slices.ContainsFunc(slices.Concat(o.Reaches, o.NoOutlet), func(r SideReach) bool { return one(r.Side) }) ||
		slices.ContainsFunc(o.Heads, func(h Head) bool { return one(h.Side) })
}

// next is the next place to try from a chainage in a direction: the next edge, or a step
// on where the track's own bends are in the way.
func (o *outlets) next(chainageM, direction float64) float64 {
	best := math.Inf(int(direction))
	i, found := slices.BinarySearch(o.edges, chainageM)
	if direction < 0 {
		i--
	} else if found {
		i++
	}
	if i >= 0 && i < len(o.edges) {
		best = o.edges[i]
	}
	if step := chainageM + direction*bendStepM; o.bends != nil && direction*step < direction*best {
		best = step
	}
	return best
}

// highestM is the highest level of the track between two chainages; beyond the track that of
// its nearer end.
func (t Track) highestM(fromM, toM float64) float64 {
	fromM, toM = max(fromM, t.startM()), min(toM, t.endM())
	high := math.Inf(-1)
	for _, x := range []float64{fromM, toM} {
		if level, ok := t.LevelAt(x); ok {
			high = max(high, level)
		}
	}
	for i := t.reach(fromM); i < len(t.Stations) && t.Stations[i].ChainageM <= toM && t.Work.Do(1); i++ {
		if t.Stations[i].ChainageM >= fromM {
			high = max(high, t.Stations[i].LevelM)
		}
	}
	return high
}

func (o Outlets) wrong() *model.Problem {
	if p := model.FirstProblem(checkSide(o.Side),
		model.InRange("clearanceM", o.ClearanceM, 0, MaxClearanceM, "a distance", " m", ""),
		eachRight("sides", "reaches", o.Reaches, SideReach.wrong), eachRight("noOutlet", "reaches", o.NoOutlet, SideReach.wrong)); p != nil {
		return p
	}
	if i, j, found := overlap(o.Reaches); found {
		return &model.Problem{Path: fmt.Sprintf("sides[%d]", j), Reason: fmt.Sprintf("overlaps sides[%d]", i), Fix: "end one where the other begins"}
	}
	return eachRight("gullyHeads", "heads", o.Heads, Head.wrong)
}

// eachRight refuses a list that is too long, and the first of it that is wrong.
func eachRight[T any](path, called string, all []T, wrong func(T) *model.Problem) *model.Problem {
	if len(all) > MaxWindows {
		return &model.Problem{Path: path, Reason: fmt.Sprintf("has more than %d %s", MaxWindows, called)}
	}
	for i, one := range all {
		if p := wrong(one); p != nil {
			return p.Within(fmt.Sprintf("%s[%d]", path, i))
		}
	}
	return nil
}

func checkSide(s Side) *model.Problem {
	return model.Require(slices.Contains(Sides, s), "side", "give left, right, either or none, looking down the track", "%q is no side", s)
}

func checkChainage(path string, m float64) *model.Problem {
	return model.InRange(path, m, 0, section.MaxChainageM, "a chainage", " m", "")
}

func (r SideReach) wrong() *model.Problem {
	return model.FirstProblem(checkChainage("fromM", r.FromM),
		model.Require(r.ToM > r.FromM && r.ToM <= section.MaxChainageM, "toM", "", "%v m does not come after fromM, %v m, within %d m", r.ToM, r.FromM, section.MaxChainageM),
		checkSide(r.Side))
}

func (h Head) wrong() *model.Problem {
	return model.FirstProblem(checkChainage("chainageM", h.ChainageM),
		model.InRange("offsetM", h.OffsetM, 0, section.MaxChainageM, "an offset", " m", "give the side apart; an offset has no sign"),
		model.Require(slices.Contains(Sides[:3], h.Side), "side", "give left or right, looking down the track", "%q is not the side of a head", h.Side),
		model.Require(!(math.Abs(h.LipLevelM) > section.MaxLevelM), "lipLevelM", "", "%v is not a level within %d m of the datum", h.LipLevelM, section.MaxLevelM))
}

// overlap finds two reaches that share more than an end.
func overlap(reaches []SideReach) (i, j int, found bool) {
	order := make([]int, len(reaches))
	for k := range order {
		order[k] = k
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(reaches[a].FromM, reaches[b].FromM) })
	for k := 1; k < len(order); k++ {
		if reaches[order[k]].FromM < reaches[order[k-1]].ToM {
			return min(order[k-1], order[k]), max(order[k-1], order[k]), true
		}
	}
	return 0, 0, false
}
