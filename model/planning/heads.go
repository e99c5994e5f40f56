package planning

import (
	"math"

	"github.com/paulmach/orb"

	"headcut/model/recorded"
	"headcut/model/works"
)

// reachM is how far from a thalweg a gully head may lie and still be taken to be of it, as
// model/figures has it for dams; headSlackM by how much a head above the levelled bed may lie past its
// end and still be the one that the bed ends at. Common practice, no source.
const (
	reachM     = 25
	headSlackM = 3
)

// heads are the gully heads in the bed, unless the request gives them.
func (g *gully) heads() (heads []works.HeadAt) {
	if _, given := g.request.Given["heads"]; given {
		return nil
	}
	for head := range g.p.of("gully-head") {
		at, offM, ok := g.own(head)
		if !ok || g.refuseUnsettled(head, "geometry", "headDepthM") {
			continue
		}
		if !g.frame.known {
			g.leaveOut(head, "it lies %.0f m off the line, and where its chainages lie is not known", offM)
			continue
		}
		depthM, ok := head.Number("headDepthM")
		if !ok || depthM <= 0 {
			g.refuse("the depth of %s is not recorded: measure it from the lip down to the foot. A dam in its plunge is washed out.", head.Called())
			continue
		}
		slackM := headSlackM + 2*max(0, accuracyOf(head))
		switch {
		case at > g.topM()+slackM:
			g.leaveOut(head, "it lies at chainage %s, above the bed as levelled", metres(at))
			continue
		case at < g.lowM():
			g.leaveOut(head, "it lies at chainage %s, below the bed as levelled", metres(at))
			continue
		case depthM < works.LeastHeadM || depthM > works.DeepestHead:
			g.leaveOut(head, "%s m is not the depth of a head", metres2(depthM))
			continue
		}
		footM := g.wall(min(at, g.topM()), depthM, slackM)
		heads = append(heads, works.HeadAt{ChainageM: footM, DepthM: depthM})
		g.use(head, "a head %s m deep with its foot at chainage %s", metres2(depthM), metres(footM))
	}
	return heads
}

// own gives the chainage of a head of this gully: one within reach, to which no other thalweg is nearer.
func (g *gully) own(head *recorded.Item) (chainageM, offM float64, ok bool) {
	fix, isPoint := head.Geometry.(orb.Point)
	if !isPoint || g.frame.line == nil {
		return 0, 0, false
	}
	at, chainageM, ok := g.frame.snap(fix)
	if !ok || at.OffsetM > reachM+2*max(0, accuracyOf(head)) {
		return 0, 0, false
	}
	const near = 0.01 // degrees: far beyond any reach
	for other := range g.p.of("thalweg") {
		if other.ID == g.item.ID || other.Geometry == nil || !other.Geometry.Bound().Pad(near).Contains(fix) {
			continue
		}
		var f frame
		f.take(other.Geometry)
		if its, _, ok := f.snap(fix); ok && its.OffsetM < at.OffsetM {
			return 0, 0, false
		}
	}
	if low, high := g.frame.ends(); at.Beyond && high-chainageM < chainageM-low { // the gully goes on past its line
		chainageM += at.OffsetM
	} else if at.Beyond {
		chainageM -= at.OffsetM
	}
	return chainageM, at.OffsetM, true
}

// wall is the foot of the wall that the levels show nearest to a head's position, within slackM of it:
// where the bed climbs half of the head's depth in as much run. Without one it is the position's own
// chainage.
func (g *gully) wall(atM, depthM, slackM float64) float64 {
	bed, foot, least := g.used.bed, atM, math.Inf(1)
	for i := 1; i < len(bed); i++ {
		a, b := bed[i-1], bed[i]
		if b.LevelM-a.LevelM < depthM/2 || b.ChainageM-a.ChainageM > depthM {
			continue
		}
		if off := math.Abs(a.ChainageM - atM); off <= slackM && off < least {
			foot, least = a.ChainageM, off
		}
	}
	return max(foot, g.lowM())
}

// accuracyOf is one standard deviation of a feature's position, -1 when nobody gave it.
func accuracyOf(item *recorded.Item) float64 {
	if m, ok := item.Number("accuracyM"); ok && m > 0 {
		return m
	}
	return -1
}
