package track

import "headcut/model"

// Cautions go with every whoa-boy that is planned or checked.
var Cautions = []model.Caution{
	{Text: "Let water out on to grass, rock or brush on firm ground, never on loose fill, towards a gully head, or on to a neighbour. Walk the ground below every outlet: the figures know only the track."},
	{Text: "A bank across a track can throw a vehicle, a cyclist or a rider: build it long and smooth where there is traffic, mark it, and tell those who use the track."},
	{Text: "For the track's own water only, not for springs, seeps or streams, whose crossings need a design and perhaps a permit."},
	{Text: "Ask about permits, vegetation law, buried services and heritage before digging. Road authorities and local codes come first, and a public road is a matter for its owner's engineer."},
}

// Cautions are those of this layout: the general ones and what its track calls for.
func (l Layout) Cautions(p Plan) []model.Caution {
	all := append(model.Cautions(nil), Cautions...)
	all.AddIf(!l.Track.proven(), "track", "The track's levels do not come from a closed level run: this is a sketch, not a set-out.")
	all.AddIf(len(p.Unserved) > 0, "unserved", "%d reaches have no safe outlet near enough. Another way is needed there: fall the track sideways, drain its upper edge, or move it. Do not put the water where it will cut.", len(p.Unserved))
	near := 0
	for _, s := range p.Sites {
		if s.OtherAllowedM > 0 {
			near++
		}
	}
	all.AddIf(near > 0, "banks", "%d banks stand at grades within twice the ± of a steeper row, which would have them nearer: see otherAllowedM.", near)
	return append(all, slopeCautions(l.Rule, l.Outlets, p.Slopes)...)
}

// Cautions are those of this check.
func (c Check) Cautions(r Report) []model.Caution {
	all := append(model.Cautions(nil), Cautions...)
	all.AddIf(!c.Track.proven(), "track", "The track's levels do not come from a closed level run: no interval passes.")
	all.AddIf(len(r.Idle) > 0, "banks", "%d banks stand on all but level ground at an end of the survey, and were not checked for spacing.", len(r.Idle))
	return append(all, slopeCautions(c.Rule, c.Outlets, r.Slopes)...)
}

func slopeCautions(r Rule, o Outlets, slopes []Slope) (all model.Cautions) {
	all.AddIf(len(slopes) == 0, "slopes", "The track rises and falls too little to part water: it lies on the contour, where banks may be left out (Soil Conservation Guidelines for Queensland, chapter 14).")
	tops, feet := false, false
	for _, s := range slopes {
		tops, feet = tops || s.TopEnd, feet || !s.FootEnd
		all.AddIf(r.Table == "dips-and-culverts" && s.GradePct() > 15, "slopes", "Rolling dips are for tracks to 15 %% (Texas Forest Service); from chainage %.0f m it falls by %.1f %%.", s.Top.ChainageM, s.GradePct())
	}
	all.AddIf(len(slopes) > 1 && o.sided(), "slopes", "The track falls both ways. Left and right are looking the way the water runs at each place: they change over at every top and low point.")
	all.AddIf(tops, "slopes", "The survey begins or ends on a slope: if water comes from further up the track, put a bank at that end first.")
	all.AddIf(feet, "slopes", "Water gathers at the low points of the track, from both sides: each needs an outlet of its own.")
	return all
}
