package planning

import (
	"encoding/json"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/jsonvalue"
)

// ripLines drafts the rip lines of a patch: those that a closed level run checks and, where the request
// says how far apart, those between them.
func (d *drafting) ripLines() {
	p := d.patchOf("rip-line")
	planned := p.between()
	fromTheTop(planned)
	if len(d.Refused) > 0 {
		return
	}
	var lines []orb.LineString
	basis := model.Levelled
	next := 0
	for _, l := range p.lines {
		for ; next < len(planned) && planned[next].levelM > l.levelM; next++ {
			lines = append(lines, planned[next].line)
		}
		basis = model.Weakest(basis, l.item.Basis("geometry"))
		if whole, isWalked := l.item.Geometry.(orb.MultiLineString); isWalked {
			for _, piece := range whole {
				if len(piece) > 1 {
					lines = append(lines, piece)
				}
			}
			continue
		}
		lines = append(lines, l.line)
	}
	d.in.put("lines", lines)
	p.putAccuracy()
	contour := model.OK
	if len(planned) > 0 {
		basis, contour = model.FromPlan, model.NotLevelled
		d.miss("%s planned between those that a closed level run checks: each is not levelled until its own pegs are. Rip none before.", count(len(planned), "line is", "lines are"))
	}
	d.in.put("basis", basis)
	d.in.put("contour", contour)
	p.slope()
	if !d.has("subsoil") {
		d.miss("the subsoil is not tested: put a crumb of it in rain water overnight, and give subsoil. Ripping starts tunnels in one that disperses.")
	}
	var slot struct {
		DepthM json.RawMessage `json:"depthM"`
	}
	_ = jsonvalue.Unmarshal(d.request.Given["slot"], &slot) // what is no slot the computation refuses
	p.propose(planned, func(f fields) {
		if slot.DepthM != nil {
			f["depthM"] = slot.DepthM
			f.put("depthBasis", model.FromPlan)
		}
	})
}

// slope is that of the ground from the highest line to the one that faces it farthest down, unless it is given.
func (p *patch) slope() {
	if p.has("groundSlopePct") {
		return
	}
	top := p.lines[0]
	lowest := top
	for _, l := range p.lines {
		if l.downM > lowest.downM {
			lowest = l
		}
	}
	dropM, overM, errM := top.levelM-lowest.levelM, lowest.downM, math.Sqrt2*p.accuracyM()
	if overM < leastApartM || errM < 0 || errM > overM/3 {
		p.miss("the slope of the ground is not known well enough from the lines: measure it, and give groundSlopePct.")
		return
	}
	p.in.put("groundSlopePct", 100*dropM/overM)
	p.in.put("slopePlusMinusPct", 100*dropM/overM*errM/overM)
}

func (a *adopting) ripLines(json.RawMessage) error { return a.lines("rip-line") }
