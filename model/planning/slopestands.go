package planning

import (
	"math"
	"slices"

	"headcut/model/recorded"
	"headcut/model/section"
)

// slopeStands tells whether a level run that was edited since still gives the slope that a plan of banks went by:
// banks are pegged in the run of their plan.
func slopeStands(p *Property, plan, run *recorded.Item, r rest, _ []rest) bool {
	of := p.items[plan.Text("of")]
	if of == nil {
		return false
	}
	d := &drafting{p: p, item: of}
	return slices.ContainsFunc(d.runsDown(), func(l *levelled) bool {
		return l.ID == run.ID && l.Proven && l.unfit == "" && slices.EqualFunc(l.bed, r.Slope, func(a, b section.Station) bool {
			return same(a.ChainageM, b.ChainageM) && same(a.LevelM, b.LevelM)
		})
	})
}

// linesStand tells the same of the lines that a plan went by: each still keeps to its contour by a closed level run.
func linesStand(kind string) func(*Property, *recorded.Item, *recorded.Item, rest, []rest) bool {
	return func(p *Property, plan, _ *recorded.Item, _ rest, all []rest) bool {
		of := p.items[plan.Text("of")]
		if of == nil {
			return false
		}
		d := &drafting{p: p, item: of}
		lines := d.patchOf(kind).lines
		return !slices.ContainsFunc(all, func(was rest) bool {
			return was.LevelM != nil && !slices.ContainsFunc(lines, func(l contourLine) bool { return l.item.ID == was.Feature && same(l.levelM, *was.LevelM) })
		})
	}
}

// same is to the millimetre, to which the levels of a plan are kept.
func same(a, b float64) bool { return math.Abs(a-b) < section.LeastApartM }
