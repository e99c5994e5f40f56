package works

import (
	"fmt"
	"slices"
	"strings"

	"headcut/model"
)

// HeightRule is how high a dam of some kinds may be, from the bed to the sill of its notch,
// and who says so.
type HeightRule struct {
	Name   string
	MaxM   float64
	Kinds  []DamKind
	Source model.Source
}

// HeightRules lists the limits, the lowest first. They disagree; MaxCrestM holds above all.
var HeightRules = []HeightRule{
	{"Jepson", 15 * 0.0254, DamKinds, model.Source{Title: "Jepson, USDA Farmers' Bulletin 1813", Place: "temporary dams: overfall seldom above 15 inches", How: model.LookedUp}},
	{"Australian fact sheets", 0.5, []DamKind{LooseRock}, model.Source{Title: "Australian fact sheets on rock check dams", Place: "crest about 0.5 m above the bed at most", How: model.FromMemory}},
	{"STEP", 0.6, []DamKind{LooseRock, Netting}, model.Source{Title: "Toronto and Region Conservation, LID planning and design guide (STEP), check dams", Place: "rock, gabion and timber dams in swales", How: model.LookedUp}},
	{"Wisconsin DNR", 36 * 0.0254, []DamKind{LooseRock}, model.Source{Title: "Wisconsin DNR Conservation Practice Standard 1062, Ditch Check (2006)", Place: "stone checks of 10 to 36 inches", How: model.LookedUp}},
	{"FAO", 1.0, []DamKind{LooseRock, Netting, Brushwood}, model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "chapter III, effective height", How: model.FromMemory}},
}

// Allows tells whether the rule would have a sill so high.
func (r HeightRule) Allows(crestHeightM float64) bool {
	const rounding = 1e-9
	return crestHeightM <= r.MaxM+rounding
}

// Holds tells whether the rule speaks of a kind of dam.
func (r HeightRule) Holds(kind DamKind) bool { return slices.Contains(r.Kinds, kind) }

// checkHeightRule holds the dam to the rule that was named, if any was.
func (d DamBuild) checkHeightRule() *model.Problem {
	if d.HeightRule == "" {
		return nil
	}
	r, p := named(HeightRules, d.HeightRule, func(r HeightRule) string { return r.Name }, "heightRule", "a rule for heights")
	return model.FirstProblem(p,
		model.Require(r.Holds(d.Kind), "heightRule", "name another rule", "%s says nothing of %s", r.Name, d.Kind),
		model.Require(r.Allows(d.CrestHeightM), "crestHeightM", "build more and lower dams",
			"%v m is above the %s m of the rule named, %s", d.CrestHeightM, model.RoundedDown(r.MaxM, 2), r.Source.Title))
}

// named finds a row of a table by its name, or refuses the name with those that there are.
func named[T any](table []T, name string, nameOf func(T) string, path, what string) (T, *model.Problem) {
	row, ok := model.Find(table, func(row T) bool { return nameOf(row) == name })
	if ok {
		return row, nil
	}
	return row, &model.Problem{Path: path, Reason: fmt.Sprintf("%q is not %s", name, what), Fix: "give one of " + strings.Join(model.Each(table, nameOf), ", ")}
}

// checkShape holds the faces to what the kind of dam and its stone allow.
func (d DamBuild) checkShape() *model.Problem {
	if steep := d.DownstreamRunPerRise * d.BedSlopePct / 100; steep > 0.8 {
		return &model.Problem{Path: "downstreamRunPerRise", Reason: fmt.Sprintf("a face of 1 in %v hardly meets a bed of %v %%", d.DownstreamRunPerRise, d.BedSlopePct), Fix: "no dam belongs on so steep a bed, or the face is too flat"}
	}
	upright := func(path string, run float64) *model.Problem {
		return model.Require(run == 0, path, "leave it out", "a dam of %s stands upright here, and %v is given", d.Kind, run)
	}
	bothUpright := model.FirstProblem(upright("upstreamRunPerRise", d.UpstreamRunPerRise), upright("downstreamRunPerRise", d.DownstreamRunPerRise))
	breadth := func(least float64) *model.Problem {
		return inRange("crestBreadthM", d.CrestBreadthM, least, 5, "m")
	}
	switch {
	case d.Kind == HayBales:
		return nil
	case d.Kind == Brushwood:
		width := d.gully().WidthM(d.totalHeightM())
		return model.FirstProblem(model.Require(width <= MaxBrushWidthM, "material", "build of rock or netting",
			"the gully is %.1f m wide at the shoulders, and brushwood is for less than %v m (Desta and others 2005)", width, MaxBrushWidthM),
			bothUpright, breadth(0.1))
	case d.Kind == Netting && d.Fences.Count == 2:
		return model.FirstProblem(bothUpright, breadth(0.2))
	case d.Kind == Netting:
		return model.FirstProblem(upright("downstreamRunPerRise", d.DownstreamRunPerRise), d.checkFace("upstreamRunPerRise", d.UpstreamRunPerRise))
	}
	return model.FirstProblem(breadth(0.2), d.checkFace("upstreamRunPerRise", d.UpstreamRunPerRise), d.checkFace("downstreamRunPerRise", d.DownstreamRunPerRise))
}

// checkFace refuses a face steeper than its stone lies.
func (d DamBuild) checkFace(path string, run float64) *model.Problem {
	s, p := stone(d.Stone)
	return model.FirstProblem(p, model.Require(run >= s.RunPerRise-1e-9, path, "flatten it; "+s.Source.String(),
		"a face of 1 in %v is steeper than stone that is %s can lie, 1 in %s", run, s.Name, model.RoundedUp(s.RunPerRise, 2)))
}

func (d DamBuild) checkNotch() *model.Problem {
	left, right := d.gully().Banks(d.CrestHeightM)
	return model.FirstProblem(
		model.Require((d.NotchDepthM == 0) == (d.NotchLengthM == 0), "notchLengthM", "give both, or neither", "a notch needs both its depth and its length"),
		model.Require(d.NotchLengthM <= right-left, "notchLengthM", "shorten the notch and deepen it, or choose a wider place",
			"%v m is longer than the gully is wide at the notch, %s m", d.NotchLengthM, model.RoundedDown(right-left, 2)))
}
