package grazing

import (
	"headcut/model"
	"headcut/model/monitor"
)

// How long a rest lasts at the least: tussocks are weakest in the first six to eight weeks of
// the growing season.
const (
	LeastRestDays = 6 * 7
	MostRestDays  = 8 * 7
)

// RestSources are those of what follows where cover is below its target.
var RestSources = []model.Source{
	read("Gulf Savannah NRM, wet season spelling", "tussocks are weakest in the first 6 to 8 weeks of growth; rest until seed is set"),
	read("Queensland DAF, Wambiana trial, implementing wet season spelling", "all stock out: a few head undo the rest"),
	read("Scanlan et al. 2014, Rangeland Journal 36:429", "abstract: run-down pasture takes several whole wets, and suitable stocking after; rest in the dormant season adds no perennial grass"),
}

// WhatFollows is what the ground cover, held against its target, means for a budget.
func WhatFollows(meets monitor.Answer) string {
	switch meets {
	case monitor.Yes:
		return "Cover meets the target: stock by the lesser figure, and read the cover again at the end of the dry, when it counts."
	case monitor.No:
		return "Cover is below the target: rest first, then stock. Take all stock out from the first rains until the perennial grasses have set seed; a few head left in undo it. Run-down pasture takes the whole wet, for several wets."
	}
	return "The readings cannot tell whether the cover meets the target: read more points before stock go in. Until then hold it to be below, and rest first."
}
