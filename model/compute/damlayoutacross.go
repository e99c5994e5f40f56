package compute

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/section"
	"headcut/model/works"
)

// maxSections bounds the cross-sections of one layout; sectionNearM is how far from a dam one still tells
// how wide the gully is there. Common practice, no source.
const (
	maxSections  = 500
	sectionNearM = 10
)

// damSectionIn is the gully across its bed at one chainage.
type damSectionIn struct {
	ChainageM float64      `json:"chainageM" unit:"m" doc:"along the thalweg"`
	Section   [][2]float64 `json:"section" unit:"m" doc:"offset and level of each point, from the left bank to the right, looking downstream"`
}

// damNotch is the notch that one dam of the layout has, in the cross-section near it.
type damNotch struct {
	SectionM     *float64 `json:"sectionM,omitempty" unit:"m" doc:"chainage of the cross-section near the dam, if one was given"`
	NotchLengthM *float64 `json:"notchLengthM,omitempty" unit:"m" doc:"along the crest; with a notch for each dam, as are those below: as long as the gully's bottom is wide"`
	HeadM        optional `json:"headM,omitempty" plusMinus:"headPlusMinusM" unit:"m" doc:"of the peak flow above the bottom of the notch, which is the crest" plusMinusDoc:"one standard deviation; none when not known"`
	FreeboardM   *float64 `json:"freeboardM,omitempty" unit:"m" doc:"from the water up to the dam's ends"`
	NotchDepthM  optional `json:"notchDepthM,omitempty" plusMinus:"notchDepthPlusMinusM" unit:"m" doc:"from the ends down to the crest: head and freeboard, 0.15 at least" plusMinusDoc:"one standard deviation; none when not known"`
}

// damAcross is what a dam has of its own: the cross-section near it and its notch. like is a number of that section.
type damAcross struct {
	damNotch
	across   [][2]float64
	overflow *damOverflow
	like     int
}

// notchEach tells whether each dam has a notch of its own.
func (in damLayoutIn) notchEach() bool {
	return in.Notch != nil && len(in.Sections) > 0 && in.Notch.CrestLengthM.Value == nil && in.Notch.HeadM.Value == nil
}

// checkSections refuses cross-sections with which nothing can be calculated.
func (in damLayoutIn) checkSections() error {
	if len(in.Sections) == 0 {
		return nil
	}
	if p := model.FirstProblem(
		model.Require(len(in.Sections) <= maxSections, "sections", "give those near a dam", "has %d cross-sections, more than %d", len(in.Sections), maxSections),
		model.Require(in.Notch != nil || in.Build != nil, "sections", "give notch, or build", "there is nothing to do with them"),
		model.Require(in.HeightsM == nil, "heightsM", "lay out each height by itself", "cannot be given with sections")); p != nil {
		return p
	}
	for i, s := range in.Sections {
		if p := model.FirstProblem(
			model.Require(math.Abs(s.ChainageM) <= section.MaxChainageM, "chainageM", "give metres along the thalweg", "%v m is not a chainage", s.ChainageM),
			model.Require(len(s.Section) <= works.MaxSectionPoints, "section", "keep those where the ground bends", "has %d points, more than %d", len(s.Section), works.MaxSectionPoints),
			model.Require(goesAcross(s.Section), "section", "order them from the left bank to the right", "goes back across")); p != nil {
			return p.Within(fmt.Sprintf("sections[%d]", i))
		}
		if p := section.CheckAcross(section.NewAcross(s.Section), section.Quality{LevelPlusMinusM: -1}); p != nil {
			return p.Within(fmt.Sprintf("sections[%d].section", i))
		}
	}
	return nil
}

// goesAcross tells whether points never go back.
func goesAcross(points [][2]float64) bool {
	for i := 1; i < len(points); i++ {
		if points[i][0] < points[i-1][0] {
			return false
		}
	}
	return true
}

// across finds the cross-section near each dam and puts the flow through its notch.
func (in damLayoutIn) across(l works.DamLayout, dams []works.DamSite, common *damOverflow) ([]damAcross, error) {
	all := make([]damAcross, len(dams))
	for i, d := range dams {
		of, best := &all[i], -1
		of.overflow = common
		for k, s := range in.Sections {
			if apartM := math.Abs(s.ChainageM - d.ChainageM); apartM <= sectionNearM && (best < 0 || apartM < math.Abs(in.Sections[best].ChainageM-d.ChainageM)) {
				best = k
			}
		}
		if best < 0 {
			continue
		}
		s := in.Sections[best]
		of.like, of.across, of.SectionM = best+1, s.Section, &s.ChainageM
		if !in.notchEach() {
			continue
		}
		if err := of.notch(*in.Notch, l); err != nil {
			if p, ok := err.(*model.Problem); ok {
				p.Reason += fmt.Sprintf(" (dam %d, at chainage %.1f m, by the cross-section at %.1f m)", i+1, d.ChainageM, s.ChainageM)
			}
			return nil, err
		}
	}
	return all, nil
}

// notch gives the dam a notch as long as the gully's bottom is wide, which is the longest that keeps the water off
// the walls (Heede 1976, from memory).
func (of *damAcross) notch(in notchIn, l works.DamLayout) error {
	a := section.NewAcross(of.across)
	bottom := a.Fill(section.BottomAboveM, -1, section.Quality{LevelPlusMinusM: l.Quality.LevelPlusMinusM, ChainagePlusMinusM: section.TapePlusMinusM})
	bottomM := bottom.WidthM
	in.CrestLengthM, in.GullyBottomM = optional{&bottomM, known(bottom.WidthPlusMinusM)}, &bottomM
	o, err := in.damOverflow(bottomM)
	if err != nil {
		return err
	}
	endsM := l.CrestHeightM + o.AbutmentHeightM.Value
	if _, brinkM := a.Brink(); brinkM < endsM {
		return &model.Problem{Path: "notch", Reason: fmt.Sprintf("the lower brink stands %.2f m above the bed and the dam's ends would stand %.2f m: the water would leave the gully beside them", brinkM, endsM),
			Fix: "lower the crest, turn part of the water away above, or choose a place where the gully is deeper"}
	}
	of.overflow = o
	of.damNotch = damNotch{of.SectionM, &o.NotchLengthM, optional{&o.HeadM.Value, &o.HeadM.PlusMinus}, &o.FreeboardM, optional{&o.AbutmentHeightM.Value, &o.AbutmentHeightM.PlusMinus}}
	return nil
}

// build is how the dam is built: as all are, in the cross-section near it.
func (of damAcross) build(in damBuildIn) (works.DamBuild, int) {
	b := in.build(of.overflow)
	if of.across != nil {
		b.Section, b.BedWidthM, b.LeftRunPerRise, b.RightRunPerRise = of.across, 0, 0, 0
	}
	return b, of.like
}
