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
	if !l.Track.proven() {
		all.Add("track", "The track's levels do not come from a closed level run: this is a sketch, not a set-out.")
	}
	if len(p.Unserved) > 0 {
		all.Add("unserved", "%d reaches have no safe outlet near enough. Another way is needed there: fall the track sideways, drain its upper edge, or move it. Do not put the water where it will cut.", len(p.Unserved))
	}
	near := 0
	for _, s := range p.Sites {
		if s.OtherAllowedM > 0 {
			near++
		}
	}
	if near > 0 {
		all.Add("banks", "%d banks stand at grades within twice the ± of a steeper row, which would have them nearer: see otherAllowedM.", near)
	}
	return append(all, slopeCautions(l.Rule, l.Outlets, p.Slopes)...)
}

// Cautions are those of this check.
func (c Check) Cautions(r Report) []model.Caution {
	all := append(model.Cautions(nil), Cautions...)
	if !c.Track.proven() {
		all.Add("track", "The track's levels do not come from a closed level run: no interval passes.")
	}
	if len(r.Idle) > 0 {
		all.Add("banks", "%d banks stand on all but level ground at an end of the survey, and were not checked for spacing.", len(r.Idle))
	}
	return append(all, slopeCautions(c.Rule, c.Outlets, r.Slopes)...)
}

func slopeCautions(r Rule, o Outlets, slopes []Slope) (all model.Cautions) {
	if len(slopes) == 0 {
		all.Add("slopes", "The track rises and falls too little to part water: it lies on the contour, where banks may be left out (Soil Conservation Guidelines for Queensland, chapter 14).")
	}
	tops, feet := false, false
	for _, s := range slopes {
		tops, feet = tops || s.TopEnd, feet || !s.FootEnd
		if r.Table == "dips-and-culverts" && s.GradePct() > 15 {
			all.Add("slopes", "Rolling dips are for tracks to 15 %% (Texas Forest Service); from chainage %.0f m it falls by %.1f %%.", s.Top.ChainageM, s.GradePct())
		}
	}
	if len(slopes) > 1 && o.sided() {
		all.Add("slopes", "The track falls both ways. Left and right are looking the way the water runs at each place: they change over at every top and low point.")
	}
	if tops {
		all.Add("slopes", "The survey begins or ends on a slope: if water comes from further up the track, put a bank at that end first.")
	}
	if feet {
		all.Add("slopes", "Water gathers at the low points of the track, from both sides: each needs an outlet of its own.")
	}
	return all
}
