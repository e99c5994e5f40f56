package planning

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/recorded"
	"headcut/model/section"
	"headcut/model/track"
)

// besideM is how far from a track or fence its water is looked for, as when banks are planned.
const besideM = track.ClearanceM + nearTrackM

// erodedPlace is a gully head or scald that is not healed, with what lies about it.
type erodedPlace struct {
	item       *recorded.Item
	cause      string // as recorded; "" where it is not, or not settled
	moving     bool   // it cuts back, by visits or by what was recorded
	quiet      bool   // it was recorded that it does not
	catchments []*recorded.Item
	beside     []source // tracks and fences that may send water to it
	paddocks   []*recorded.Item
}

// source is a track or fence, and where it lies from an eroded place.
type source struct {
	item *recorded.Item
	lies string // as a sentence goes on: "lies 12 m from Main head"
}

// findBare lists the heads and scalds that are not healed, with what lies about them.
func (o *ordering) findBare() {
	for item := range o.p.of("gully-head", "scald") {
		if o.healed(item) {
			continue
		}
		e := &erodedPlace{item: item}
		if item.Unsettled("cause") == "" {
			e.cause = item.Text("cause")
		}
		if item.Kind == "gully-head" {
			e.moving, e.quiet = o.moves(item)
		}
		if item.Geometry != nil && item.Unsettled("geometry") == "" {
			o.about(e)
		}
		o.bare = append(o.bare, e)
	}
}

// about finds what lies about an eroded place.
func (o *ordering) about(e *erodedPlace) {
	at := e.item.Geometry
	for c := range o.p.of("catchment", "paddock") {
		switch {
		case c.Unsettled("geometry") != "" || !holds(c.Geometry, at.Bound().Center()):
		case c.Kind == "paddock":
			e.paddocks = append(e.paddocks, c)
		case e.item.Kind == "gully-head":
			e.catchments = append(e.catchments, c)
		}
	}
	for line := range o.p.of("track", "fence") {
		if line.Geometry == nil || line.Unsettled("geometry") != "" {
			continue
		}
		if e.item.Kind == "scald" && runsThrough(line.Geometry, at) {
			e.beside = append(e.beside, source{line, "runs through " + e.item.Called()})
		} else if i := slices.IndexFunc(e.catchments, func(c *recorded.Item) bool { return runsThrough(line.Geometry, c.Geometry) }); i >= 0 {
			e.beside = append(e.beside, source{line, "runs through " + e.catchments[i].Called() + ", the catchment of " + e.item.Called()})
		} else if m := apartM(line.Geometry, at); m <= besideM {
			e.beside = append(e.beside, source{line, "lies " + whole(m) + " m from " + e.item.Called()})
		}
	}
}

// healed tells whether the newest judgement is that it healed. Places that are left out are named.
func (o *ordering) healed(item *recorded.Item) bool {
	v := o.p.Sheet(item).Visited
	if v == nil || v.Condition != model.Healed {
		return false
	}
	for visit := range o.p.of("visit") {
		if visit.Text("of") == item.ID && visit.Unsettled("condition", "observedOn", "of") != "" {
			return false
		}
	}
	o.leaveOut(item, "a visit"+ofDay(v.ConditionOn)+" found it healed")
	return true
}

func (o *ordering) leaveOut(item *recorded.Item, why string) {
	o.LeftOut = append(o.LeftOut, LeftOut{item.Named(), item.Text("observedOn"), why})
}

// moves tells whether a head cuts back: by more than its measurements err, else as was recorded.
func (o *ordering) moves(head *recorded.Item) (moving, quiet bool) {
	if o.cutBack(head) != nil {
		return true, false
	}
	if head.Unsettled("active") != "" || head.Fields["active"] == nil {
		return false, false
	}
	return head.Yes("active"), !head.Yes("active")
}

// at are the works at a place that name no other: within reach of a point, inside an area or round it.
func (o *ordering) at(place *recorded.Item) (works []*recorded.Item) {
	g := place.Geometry
	for _, w := range o.works {
		if w.Text("treats") == place.ID {
			works = append(works, w)
			continue
		}
		if g == nil || w.Geometry == nil || w.Kind == "check-dam" || w.Kind == "whoa-boy" {
			continue
		}
		if holds(w.Geometry, g.Bound().Center()) || holds(g, w.Geometry.Bound().Center()) || place.Kind == "gully-head" && apartM(w.Geometry, g) <= reachM {
			works = append(works, w)
		}
	}
	return works
}

// along are the works that stand along a track, fence or gully, or are proposed for it, by name.
func (o *ordering) along(line *recorded.Item) (works []*recorded.Item) {
	for _, w := range o.works {
		if w.Text("track") == line.ID || w.Text("thalweg") == line.ID || w.Kind == "check-dam" && w.Text("thalweg") == "" && slices.Contains(o.p.figures.RestsOn(w.Feature), line.ID) {
			works = append(works, w)
		}
	}
	model.SortStable(works, func(a, b *recorded.Item) int { return strings.Compare(a.Text("name"), b.Text("name")) })
	return works
}

// stepDeg is how close together a line is looked at for where it runs: some 10 m.
const stepDeg = 1e-4

// runsThrough tells whether a line has a part inside an area.
func runsThrough(line, area orb.Geometry) bool {
	if area == nil || area.Dimensions() != 2 || !area.Bound().Intersects(line.Bound()) {
		return false
	}
	for _, l := range linesOf(line) {
		for i := range l {
			from := l[max(0, i-1)]
			n := 1 + int(min(1000, max(math.Abs(l[i][0]-from[0]), math.Abs(l[i][1]-from[1]))/stepDeg))
			for k := 1; k <= n; k++ {
				part := float64(k) / float64(n)
				if inside(area, orb.Point{from[0] + part*(l[i][0]-from[0]), from[1] + part*(l[i][1]-from[1])}) {
					return true
				}
			}
		}
	}
	return false
}

// inside tells whether an area has a point within it: even-odd over all its rings, so that a hole takes its
// inside out.
func inside(area orb.Geometry, p orb.Point) bool {
	within := false
	for _, ring := range linesOf(area) {
		within = within != windsRound(orb.Ring(ring), p)
	}
	return within
}

// apartM is how far two features lie from each other, by the corners of the second; infinite far out of reach.
func apartM(a, b orb.Geometry) float64 {
	const far = 0.002 // degrees, some 200 m
	least := math.Inf(1)
	if !a.Bound().Pad(far).Intersects(b.Bound()) {
		return least
	}
	corners := []orb.Point{}
	for _, l := range linesOf(b) {
		corners = append(corners, l...)
	}
	for _, l := range linesOf(a) {
		for _, p := range corners {
			if len(l) == 1 {
				least = min(least, geodesy.Length(orb.LineString{l[0], p}))
			} else if at, err := section.Snap(l, p); err == nil {
				least = min(least, at.OffsetM)
			}
		}
	}
	return least
}

// linesOf are the lines of a feature and the edges of its areas; of a point a line of one position.
func linesOf(g orb.Geometry) (all []orb.LineString) {
	switch g := g.(type) {
	case orb.Point:
		all = []orb.LineString{{g}}
	case orb.LineString:
		all = []orb.LineString{g}
	case orb.MultiLineString:
		all = g
	case orb.Polygon:
		for _, ring := range g {
			all = append(all, orb.LineString(ring))
		}
	case orb.MultiPolygon:
		for _, polygon := range g {
			all = append(all, linesOf(polygon)...)
		}
	}
	return all
}
