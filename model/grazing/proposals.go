package grazing

import (
	"slices"
	"strconv"

	"headcut/model"
)

// Proposal is a value that somebody published for an input of a budget, for one sort of land.
// They are shown beside the input and never taken by themselves: those of one input differ
// because they answer for different land.
type Proposal struct {
	Input     string
	Low, High float64 // alike where one value was published
	For       string
	Source    model.Source
}

var (
	mlaBudget  = model.Source{Title: "MLA, northern forage budgeting, lesson Completing a forage budget", Place: "its worked scenario", How: model.LookedUp}
	dafFive    = model.Source{Title: "Queensland DAF, pasture budgeting article", Place: "its worked steps", How: model.LookedUp}
	dafSheets  = model.Source{Title: "Queensland DAF, land-type sheets", Place: "as quoted in its article", How: model.LookedUp}
	westUS     = model.Source{Title: "Rangelands Gateway and Bronson, carrying capacity", Place: "25 % is common", How: model.LookedUp}
	texas      = model.Source{Title: "Texas Agricultural Extension Service B-5036, Stocking Rate Decisions", Place: "oven dry", How: model.LookedUp}
	california = model.Source{Title: "Harris et al. 2002, PSW-GTR-184", Place: "residual dry matter, moderate class", How: model.LookedUp}
	dryTropics = model.Source{Title: "NQ Dry Tropics, Ground cover", Place: "end of the dry, 7 years in 10", How: model.LookedUp}
	optimal    = model.Source{Title: "MLA and AWI, Managing for optimal ground cover", Place: "minimum", How: model.LookedUp}
)

// Proposed lists them by input, with the intake of each table of ratings.
func Proposed() []Proposal {
	return append(slices.Clone(proposals), model.Each(AllRatings, func(r Ratings) Proposal {
		return Proposal{"intakeKgDay", r.IntakeKgDay, r.IntakeKgDay, "each " + r.Unit + " of " + r.Name, r.Intake}
	})...)
}

var proposals = []Proposal{
	{"detachmentPct", 15, 15, "northern native pasture, 1 April to 1 November", mlaBudget},
	{"detachmentPct", 15, 20, "spoiled and wasted in intensive grazing", model.Source{Title: "Making More From Sheep, tool 8.4; More Beef from Pastures", Place: "15 % and 20 %", How: model.LookedUp}},
	{"detachmentPct", 25, 25, "lost to insects, weather and trampling, of all that grows", texas},
	{"detachmentPer30DaysPct", 7, 7, "annual grass in a dry summer", model.Source{Title: "Frost et al. 2008, disappearance of residual dry matter, California", Place: "abstract; that it compounds is derived", How: model.LookedUp}},
	{"unpalatablePct", 10, 10, "northern native pasture", mlaBudget},
	{"unpalatablePct", 20, 20, "northern native pasture", dafFive},
	{"residualKgHa", 1200, 1200, "northern native pasture", mlaBudget},
	{"residualKgHa", 800, 800, "southern pasture, against erosion", model.Source{Title: "More Beef from Pastures, tool 3.02", How: model.LookedUp}},
	{"residualKgHa", 336, 560, "shortgrass", texas},
	{"residualKgHa", 841, 1121, "midgrass", texas},
	{"residualKgHa", 1345, 1681, "tallgrass", texas},
	{"residualKgHa", 673, 673, "annual grassland, flats", california},
	{"residualKgHa", 897, 897, "annual grassland, gentle slopes", california},
	{"residualKgHa", 1121, 1121, "annual grassland, steep slopes", california},
	{"utilisationPct", 10, 30, "of growth: northern native pasture, by land type", dafSheets},
	{"utilisationPct", 40, 50, "of growth: sown pasture, Queensland", dafSheets},
	{"utilisationPct", 20, 25, "of growth: Western Downs, graziers' safe capacity", model.Source{Title: "Western Downs soil-loss study", Place: "summary", How: model.LookedUp}},
	{"utilisationPct", 25, 25, "of growth: Mitchell grass on cracking clay, Barkly; less on land that recovers slowly", model.Source{Title: "Walsh and Cowley 2011, Rangeland Journal 33:131", Place: "abstract", How: model.LookedUp}},
	{"utilisationPct", 15, 30, "of growth: western United States", westUS},
	{"utilisationPct", 30, 30, "of standing palatable feed: northern native pasture", dafFive},
	{"eyePlusMinusPct", 20, 30, "an eye that has not been calibrated with cuts", model.Source{Title: "Error of reading photo standards, a judgement, printed nowhere", How: model.Derived}},
	{"coverTargetPct", 50, 50, "uplands, Dry Tropics", dryTropics},
	{"coverTargetPct", 60, 60, "frontage, Dry Tropics", dryTropics},
	{"coverTargetPct", 40, 40, "semi-arid, 200 to 300 mm of rain", optimal},
	{"coverTargetPct", 70, 70, "high rainfall", optimal},
}

// String reads as "residualKgHa 336 to 560 for shortgrass: ...".
func (p Proposal) String() string {
	values := number(p.Low)
	if p.High != p.Low {
		values += " to " + number(p.High)
	}
	return p.Input + " " + values + ", " + p.For + ": " + p.Source.String()
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
