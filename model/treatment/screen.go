package treatment

import "headcut/model"

// Screen is one belief about when grass, fencing and fertiliser are likely to stabilise a
// gully by themselves: when all its limits hold.
type Screen struct {
	Name   string
	Source model.Source
	Limits []Limit
}

// Limit is one condition of a screen, where it comes from, and what else to consider
// where it does not hold.
type Limit struct {
	Condition
	Source model.Source
	Else   []Treatment
}

// Screens lists the screens, the stricter one first: it is the one that decides unless
// another is named. The trade's rule has a number for depth alone; what a steep wall, a
// deep head and a small catchment are is taken from the judgement, and said so.
var Screens = []Screen{
	screen("common-practice", grassAlone, Limit{atMost(DepthM, 0.5), grassAlone, PorousDams}, Limit{atLeast(WallRunPerRise, 1), judgement, only(Batter)}),
	screen("judgement", judgement, Limit{below(DepthM, 1), judgement, PorousDams}, Limit{above(WallRunPerRise, 1), judgement, only(Batter)}),
}

func screen(name string, source model.Source, depth, wall Limit) Screen {
	return Screen{name, source, []Limit{
		depth, wall,
		{below(HeadDepthM, 0.5), judgement, only(Diversion, RockHead)},
		{below(CatchmentHa, 2), judgement, only(Diversion)},
		{no(Tunnels), judgement, only(Engineer)},
		{no(Dispersive), topsoilBatters, only(Gypsum, Batter)},
		{yes(StockOut), grassAlone, only(StockControl)},
	}}
}

// Finding is a limit held against a site.
type Finding struct {
	Limit
	Truth Truth
}

// Find holds the limits against a site: the whole is False as soon as one does not hold,
// then NotMeasured, then TooClose. It returns a *model.Problem for a value that cannot be.
func (s Screen) Find(site Site) (whole Truth, findings []Finding, err error) {
	if err := site.Check(); err != nil {
		return NotMeasured, nil, err
	}
	conditions := make([]Condition, len(s.Limits))
	for i, l := range s.Limits {
		conditions[i] = l.Condition
		findings = append(findings, Finding{l, l.At(site)})
	}
	return allAt(conditions, site), findings, nil
}

// Known is the number noted for a measured field and its plus-minus, negative when not
// known.
func (s Site) Known(f Field) (value, plusMinus float64, known bool) {
	return s.values[f].value, s.values[f].plusMinus, s.values[f].known
}

// Evidence is a finding that an officer should weigh beside the screens.
type Evidence struct {
	Text   string
	Source model.Source
}

// GrassEvidence is what was measured where stock were kept out and grass sown.
var GrassEvidence = []Evidence{
	{"Black-soil gullies 0.47 m deep in the mean, to 1.25 m, with steep walls: growth was heavy once stock were out, yet the measured loss went from 33 to 50 m3 a year.", model.Source{Title: "Burdekin gully trial, NQ Dry Tropics", Place: "final report; the last survey was limited by the vegetation", How: model.LookedUp}},
	{"Granite soils: long exclusion went with 77 % less sediment, 1.4 for 6.1 t/ha a year.", model.Source{Title: "Wilkinson et al. 2018, doi 10.1002/esp.4339", Place: "abstract", How: model.LookedUp}},
	{"Very active heads kept moving under good cover until their water was turned or they were held.", burdekin},
	{"Dispersive batters: without 0.1 m of topsoil 10 to 26 % of the ground was covered after a year; with it, straw was enough.", topsoilBatters},
	{"Small gullies: planting may be enough after work on the catchment, in temperate climates.", model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "chapter I, no depth given", How: model.LookedUp}},
	{"Valley heads under 3 m: plants trapped silt, but the heads moved until they were laid back and rocked.", shallowHeads},
}

// GrassAdvice is what handbooks say of sowing.
var GrassAdvice = []Evidence{
	{"Keep stock out for two growing seasons.", twoSeasons},
	{"Broadcast twice the drilled rate of seed, by pure live seed, and cover it by some 6 mm.", model.Source{Title: "Colorado DRMS permit text, dryland pasture seeding; NRCS Arizona 550", How: model.LookedUp}},
	{"Straw or hay at 2.2 to 4.5 t/ha, over at least 60 % of the ground.", model.Source{Title: "Colorado DRMS permit text; After Wildfire New Mexico", Place: "hay or straw 1 to 2 short tons an acre", How: model.LookedUp}},
	{"Fertilise by a soil test.", model.Source{Title: "African Farming", Place: "superphosphate to 15 to 20 mg/kg of phosphorus", How: model.LookedUp}},
	{"Half of 51 tropical grass sowings failed: dry seedbeds, weeds, poor seed.", model.Source{Title: "NSW DPI, tropical grasses", Place: "half of 51 sowings", How: model.LookedUp}},
}
