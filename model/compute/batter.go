package compute

import (
	"headcut/model"
	"headcut/model/works"
)

type batterIn struct {
	HeightM           float64     `json:"heightM" unit:"m" doc:"of the wall, from toe to brink; at most 3"`
	PresentRunPerRise float64     `json:"presentRunPerRise" unit:"1" doc:"present slope of the wall, 1 in so many; 0 upright"`
	TargetRunPerRise  float64     `json:"targetRunPerRise" unit:"1" doc:"the new slope, 1 in this"`
	LengthM           float64     `json:"lengthM,omitempty" unit:"m" doc:"along the wall; not needed for a head alone"`
	HeadRadiusM       *float64    `json:"headRadiusM,omitempty" unit:"m" doc:"of a half-round head, at its toe; added to the wall"`
	BedWidthM         *float64    `json:"bedWidthM,omitempty" unit:"m" doc:"free bed before the wall, which a balance of cut and fill narrows; not known if not given"`
	Soil              string      `json:"soil,omitempty" doc:"stiff clay, not dispersive; loam; under loose rock; under loose rock, planted; sandy or dispersive; or one of grades. Nothing is held against the target if not given"`
	Grades            []batterRow `json:"grades,omitempty" doc:"the local table, which goes before the one named there"`
	TopsoilDepthM     float64     `json:"topsoilDepthM,omitempty" unit:"m" doc:"spread over the face, square to it; none if not given"`
	Balanced          bool        `json:"balanced,omitempty" doc:"the items are of the balance, upper half cut and filled before the lower, not of cutting all"`
	LengthPlusMinusM  float64     `json:"lengthPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of the length, where it was come by otherwise than the other sizes; accuracyM if not given"`
	AccuracyM         *float64    `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of the height, of the run over that height, of the length and of the radius; not known if not given"`
	Basis             string      `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what the sizes come from; taped if not given"`
}

// sownBatterIn is a batter with what is sown and spread on it, at the officer's rates.
type sownBatterIn struct {
	batterIn
	Sowing []sownIn     `json:"sowing,omitempty" doc:"seed, fertiliser, gypsum and mulch, put on the new batter in plan"`
	Rates  []works.Rate `json:"rates,omitempty" doc:"your hours and costs, one for each item; what has none stays without"`
}

type batterRow struct {
	Soil            string  `json:"soil" doc:"its name"`
	LeastRunPerRise float64 `json:"leastRunPerRise" unit:"1" doc:"the steepest allowed is 1 in this"`
	Source          string  `json:"source" doc:"where it comes from"`
}

type batterOut struct {
	works.Laid
	Soils    []batterSoilOut  `json:"soils" doc:"how steep each soil of the named table may be, and whether the target is no steeper"`
	Items    []works.Quantity `json:"items" doc:"of cutting all, or of cut and fill where balanced was asked for, and of what is sown, as a list to be priced by the computation quantities"`
	Sown     []sownOut        `json:"sown,omitempty" doc:"what the new batter takes; none without sowing"`
	Bill     *workBillOut     `json:"bill,omitempty" doc:"all that is taken, at the rates; none without sowing or rates"`
	Basis    string           `json:"basis" doc:"what the figures come from"`
	Cautions []model.Caution  `json:"cautions" doc:"what to watch for on the ground"`
}

type batterSoilOut struct {
	Soil               string   `json:"soil" doc:"its name"`
	LeastRunPerRise    float64  `json:"leastRunPerRise" unit:"1" doc:"the steepest allowed is 1 in this"`
	FlattestRunPerRise *float64 `json:"flattestRunPerRise,omitempty" unit:"1" doc:"the other end of what is usual; absent where the source gives none"`
	Allows             bool     `json:"allows" doc:"whether the target is no steeper"`
	Source             string   `json:"source" doc:"where it comes from"`
}

// lay is what the batter comes to, and its items the way that was asked for.
func (in batterIn) lay() (works.Batter, works.Laid, []works.Quantity, error) {
	b, err := in.batter()
	if err != nil {
		return b, works.Laid{}, nil, err
	}
	l, err := b.Lay()
	if err == nil && in.Balanced && l.Balanced == nil {
		err = &model.Problem{Path: "balanced", Reason: "cut and fill cannot be balanced here", Fix: "leave balanced out: a head is cut, and a narrow bed takes no fill"}
	}
	return b, l, l.Items(in.Balanced), err
}

// batter is the work as the works know it.
func (in batterIn) batter() (works.Batter, error) {
	b := works.Batter{HeightM: in.HeightM, PresentRunPerRise: in.PresentRunPerRise, TargetRunPerRise: in.TargetRunPerRise, LengthM: in.LengthM,
		LengthPlusMinusM: in.LengthPlusMinusM, HeadRadiusM: in.HeadRadiusM, BedWidthM: in.BedWidthM, TopsoilDepthM: in.TopsoilDepthM, Soil: in.Soil}
	for _, g := range in.Grades {
		b.Grades = append(b.Grades, works.BatterGrade{Soil: g.Soil, LeastRunPerRise: g.LeastRunPerRise, Source: model.Source{Title: g.Source, How: model.LookedUp}})
	}
	var err error
	b.AccuracyM, err = accuracy(in.AccuracyM)
	return b, err
}

var batterDoc = Doc{
	Name:    "batter",
	Growth:  Linear,
	Summary: "earth to cut, ground taken and face to cover where a gully wall or head is laid back",
	Limits: []string{
		"Walls from 0.1 to 3 m: none higher is known to have held by rule, and a higher one is a matter for an engineer and is refused.",
		"Targets from 1 in 1 to 1 in 10, flatter than the wall is now; one steeper than the source allows for the named soil is refused.",
		"The wall is a plane and the ground above it level; the toe stays where it is, or in the balance the middle of the wall does. Volumes are as the ground lies: loosened earth takes more room.",
		"A head is half of a cone around its toe. Cut and fill are balanced for walls alone.",
		"What is sown and spread goes by the area in plan, at the rates given: none are built in. Without a rate for hours or cost neither is known.",
	},
	Cautions: cautionTexts(works.BatterCautions),
	Sources: []model.Source{
		{Title: "Prisms, frustums and mantles between two planes or cones", How: model.Derived},
		{Title: "Grades by soil: usual conservation practice, no printed table at hand", How: model.FromMemory},
		{Title: "Catchments & Creeks, Rock Linings (2010)", Place: "riprap banks", How: model.LookedUp},
		{Title: "Broadcast twice the drilled rate: Colorado mine permit text", Place: "dryland pasture seeding", How: model.LookedUp},
		{Title: "Half of 51 sowings failed: NSW DPI, tropical grasses", How: model.LookedUp},
		{Title: "Heads under 3 m regraded to 1 in 1 and lined held: Addisie and others 2018, Water 10(4):389", Place: "abstract", How: model.LookedUp},
	},
}

var batter = define(batterDoc, func(in sownBatterIn, _ *model.Work) (batterOut, error) {
	b, l, items, err := in.lay()
	if err != nil {
		return batterOut{}, err
	}
	out := batterOut{Laid: l, Items: items, Basis: string(basisOr(in.Basis, model.Taped)), Cautions: b.Cautions()}
	for _, g := range works.BatterGrades {
		out.Soils = append(out.Soils, batterSoilOut{g.Soil, g.LeastRunPerRise, some(g.FlattestRunPerRise), b.TargetRunPerRise >= g.LeastRunPerRise, g.Source.String()})
	}
	sown, sows, err := sownOn(in.Sowing, l.AreaM2, l.AreaPlusMinusM2)
	if err != nil {
		return batterOut{}, err
	}
	if out.Sown = sown; len(sows) > 0 || len(in.Rates) > 0 {
		out.Bill, err = billAt([]works.WorkToBuild{{Name: "batter", Treatment: "batter", Takes: items}, {Name: "sowing", Treatment: "revegetation", Takes: sows}}, in.Rates)
	}
	out.Items = append(out.Items, sows...)
	out.Cautions = append(out.Cautions, sownCautions(in.Sowing)...)
	return out, err
})
