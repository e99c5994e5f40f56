package compute

import (
	"fmt"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/monitor"
)

type headOutline struct {
	Date      string       `json:"date" doc:"day it was walked, as in 2024-11-30"`
	Ring      [][2]float64 `json:"ring" unit:"deg" doc:"closed ring of longitude and latitude round the head's edge, WGS84, across the gully always between the same two marks"`
	AccuracyM *float64     `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of a position along any direction; not known if not given"`
	Basis     string       `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how its positions came about; GPS if not given"`
}

type headGrowthIn struct {
	Outlines []headOutline `json:"outlines" doc:"the head's edge, on two days or more, in any order"`
}

type headGrowthOut struct {
	monitor.Growth
	Steps    []monitor.Growth `json:"steps" doc:"from each outline to the next, by date"`
	Basis    string           `json:"basis" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what the areas rest on: the weakest of the outlines'"`
	Cautions []model.Caution  `json:"cautions" doc:"what to watch for"`
}

var headGrowthDoc = Doc{
	Name:    "head-growth",
	Growth:  Squared,
	Summary: "how much the outline of a gully head gained in area between days, and whether that is more than noise",
	Limits: []string{
		"Two outlines at least, on different days from 1900 to 2199, within 2 km of each other.",
		"Each is a closed ring that does not cross itself.",
		"The ± takes the errors of all fixes as independent; fixes of one walk share part of theirs.",
	},
	Cautions: cautionTexts(monitor.GullyCautions),
	Sources: append(measureSources[:len(measureSources):len(measureSources)],
		model.Source{Title: "Change beyond 1.96 standard deviations of the difference of two areas", How: model.Derived}),
}

var headGrowth = define(headGrowthDoc, func(in headGrowthIn, work *model.Work) (headGrowthOut, error) {
	outlines := make([]monitor.Outline, len(in.Outlines))
	bases := make([]model.Basis, len(in.Outlines))
	for i, o := range in.Outlines {
		path := fmt.Sprintf("outlines[%d]", i)
		day, err := dayFrom(o.Date)
		if err != nil {
			return headGrowthOut{}, problem(err).Within(path)
		}
		accuracyM, err := accuracy(o.AccuracyM)
		if err != nil {
			return headGrowthOut{}, problem(err).Within(path)
		}
		ring, err := positionsFrom(o.Ring, "ring")
		if err != nil {
			return headGrowthOut{}, problem(err).Within(path)
		}
		bases[i] = basisOr(o.Basis, model.GPS)
		outlines[i] = monitor.Outline{Day: day, Ring: orb.Ring(ring), AccuracyM: accuracyM}
	}
	overall, steps, err := monitor.GrowthOf(outlines, work)
	if err != nil {
		return headGrowthOut{}, err
	}
	return headGrowthOut{overall, steps, string(model.Weakest(bases...)), monitor.GullyCautions}, nil
})
