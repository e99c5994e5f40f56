package grazing

import "headcut/model"

// Cautions go with every budget.
var Cautions = []model.Caution{
	{Text: "The land-type sheets of the district and the local adviser come before any figure here."},
	{About: "intakeKgDay", Text: "A lick or other supplement makes stock eat more of the pasture: the feed then lasts fewer days."},
	{About: "days", Text: "Look at the feed again every two to three months, first at the end of the wet, and move stock before the residual is reached."},
}

// LeastQuadrats is how many cuts a land type takes at the least (MLA, pasture cuts and
// estimations: five to a transect; looked up).
const LeastQuadrats = 5

// DestockKgHa is the standing feed at which stock leave arid rangeland at the latest (Walker,
// Australian Rangeland Society note: some 200 to 300 kg/ha; looked up).
const DestockKgHa = 300

// Cautions are the general ones and those of this budget.
func (b Budget) Cautions(a Answer) []model.Caution {
	all := append(model.Cautions(nil), Cautions...)
	b.Paddock.cautions(&all)
	all.AddIf(a.EatKgHa != nil && a.EatKgHa.Least.Value <= 0, "eat", "No more feed stands than the residual: stock go out now, and the paddock rests.")
	all.AddIf(b.ResidualKgHa < DestockKgHa, "residualKgHa", "A residual below %d kg/ha leaves the ground bare to the next rain: even arid rangeland is destocked at 200 to 300 kg/ha.", DestockKgHa)
	all.AddIf(a.UnitDaysHa != nil && a.UnitDaysHa.Cautious == nil, "eat", "There is no cautious figure, since one ± at least is not known. Detachment and the unpalatable share, which are judged, matter more than what quadrats err by.")
	if f := a.FeedErrorFactor; f != nil {
		all.AddIf(*f >= 1.5 && a.EatKgHa.LimitedBy == ByResidual, "feedKgHa", "Where the feed on offer is out by 10 %%, what may be eaten is out by %.0f %%.", 10**f)
	}
	all.AddIf(b.GrowthKgHaDay != nil && b.GrowthKgHaDay.Value > 0, "growthKgHaDay", "The growth counted here has not grown yet: without rain there is none. Budget without it too.")
	all.AddIf(b.Utilisation != nil && b.Utilisation.GrowthKgHa != nil, "yearGrowthKgHa", "The share is of a whole year's growth: what stock ate of it before counts too.")
	b.cautionsOfDays(a, &all)
	return all
}

func (p Paddock) cautions(all *model.Cautions) {
	out, few, looks := false, false, false
	for _, l := range p.LandTypes {
		out = out || l.OutHa > 0
		few = few || l.Cuts != nil && len(l.Cuts.Grams) < LeastQuadrats
		looks = looks || l.Looks != nil
	}
	all.AddIf(!out, "outHa", "No hectares are left out: gullied and scalded ground, and ground too far from water, carries no feed that counts.")
	all.AddIf(few, "landTypes", "Fewer than %d quadrats say little of a land type: cut more, placed without choosing.", LeastQuadrats)
	all.AddIf(looks, "photosKgHa", "Eyes read photo standards too high or too low until they are calibrated: cut and weigh a few quadrats of what was read.")
}

func (b Budget) cautionsOfDays(a Answer, all *model.Cautions) {
	if !b.herdKnown() {
		return
	}
	all.AddIf(a.Days == nil || a.Days.ByResidual == nil, "days", "Growth keeps up with what the herd eats, so that by the residual the feed has no end: budget again when growth stops.")
	if a.Days == nil {
		return
	}
	all.AddIf(a.Days.Least.Value > 365, "days", "The days go past a year: a budget ends with the next growing season, whose feed nobody knows.")
	all.AddIf(b.Days > 0 && !b.Detachment.Per30Days && a.Days.Least.Value > b.Days, "days", "The detachment given is that of %.0f days: over longer more is lost, and the feed lasts less long than this.", b.Days)
}
