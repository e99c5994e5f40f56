package works

import (
	"fmt"

	"headcut/model"
)

// checkShape holds the faces to what the kind of dam and its stone allow.
func (d DamBuild) checkShape() *model.Problem {
	if steep := d.DownstreamRunPerRise * d.BedSlopePct / 100; steep > 0.8 {
		return &model.Problem{Path: "downstreamRunPerRise", Reason: fmt.Sprintf("a face of 1 in %v hardly meets a bed of %v %%", d.DownstreamRunPerRise, d.BedSlopePct), Fix: "no dam belongs on so steep a bed, or the face is too flat"}
	}
	upright := func(path string, run float64) *model.Problem {
		if run != 0 {
			return &model.Problem{Path: path, Reason: fmt.Sprintf("a dam of %s stands upright here, and %v is given", d.Kind, run), Fix: "leave it out"}
		}
		return nil
	}
	breadth := func(least float64) *model.Problem {
		return inRange("crestBreadthM", d.CrestBreadthM, least, 5, "m")
	}
	switch {
	case d.Kind == HayBales:
		return nil
	case d.Kind == Brushwood:
		if w := d.gully().widthM(d.totalHeightM()); w > MaxBrushWidthM {
			return &model.Problem{Path: "material", Reason: fmt.Sprintf("the gully is %.1f m wide at the shoulders, and brushwood is for less than %v m (Desta and others 2005)", w, MaxBrushWidthM), Fix: "build of rock or netting"}
		}
		return model.FirstProblem(upright("upstreamRunPerRise", d.UpstreamRunPerRise), upright("downstreamRunPerRise", d.DownstreamRunPerRise), breadth(0.1))
	case d.Kind == Netting && d.Fences.Count == 2:
		return model.FirstProblem(upright("upstreamRunPerRise", d.UpstreamRunPerRise), upright("downstreamRunPerRise", d.DownstreamRunPerRise), breadth(0.2))
	case d.Kind == Netting:
		return model.FirstProblem(upright("downstreamRunPerRise", d.DownstreamRunPerRise), d.checkFace("upstreamRunPerRise", d.UpstreamRunPerRise))
	}
	return model.FirstProblem(breadth(0.2), d.checkFace("upstreamRunPerRise", d.UpstreamRunPerRise), d.checkFace("downstreamRunPerRise", d.DownstreamRunPerRise))
}

// checkFace refuses a face steeper than its stone lies.
func (d DamBuild) checkFace(path string, run float64) *model.Problem {
	s, p := stone(d.Stone)
	if p == nil && run < s.RunPerRise-1e-9 {
		p = &model.Problem{Path: path, Reason: fmt.Sprintf("a face of 1 in %v is steeper than stone that is %s can lie, 1 in %s", run, s.Name, model.RoundedUp(s.RunPerRise, 2)),
			Fix: "flatten it; " + s.Source.String()}
	}
	return p
}

func (d DamBuild) checkNotch() *model.Problem {
	if (d.NotchDepthM == 0) != (d.NotchLengthM == 0) {
		return &model.Problem{Path: "notchLengthM", Reason: "a notch needs both its depth and its length", Fix: "give both, or neither"}
	}
	if left, right := d.gully().banks(d.CrestHeightM); d.NotchLengthM > right-left {
		return &model.Problem{Path: "notchLengthM", Reason: fmt.Sprintf("%v m is longer than the gully is wide at the notch, %s m", d.NotchLengthM, model.RoundedDown(right-left, 2)),
			Fix: "shorten the notch and deepen it, or choose a wider place"}
	}
	return nil
}
