package compute

import (
	"fmt"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/section"
	"headcut/model/works"
)

type scaldIn struct {
	AreaM2     valueIn         `json:"areaM2" plusMinus:"areaPlusMinusM2" unit:"m2" doc:"of the scald, in plan"`
	Ground     []section.Point `json:"ground,omitempty" doc:"levels down or up the scald, square to its contours, from end to end; ponding needs them"`
	Dispersive *bool           `json:"dispersive,omitempty" doc:"a crumb of its subsoil clouds in still water; not tested if not given"`
	surveyed
	Ponding *pondingIn   `json:"ponding,omitempty" doc:"low banks that pond rain"`
	Pitting *pittingIn   `json:"pitting,omitempty" doc:"pits broken into the surface"`
	Gypsum  *gypsumIn    `json:"gypsum,omitempty" doc:"gypsum, by the officer's own table, or by what a laboratory found"`
	Sowing  []sownIn     `json:"sowing,omitempty" doc:"seed, fertiliser and mulch, put on the whole area"`
	Rates   []works.Rate `json:"rates,omitempty" doc:"your hours and costs, one for each item; what has none stays without"`
}

type pondingIn struct {
	PondDepthM     float64  `json:"pondDepthM" unit:"m" doc:"of water at a bank's toe when it spills at its ends; 0.1 is usual, 0.3 the most"`
	FreeboardM     float64  `json:"freeboardM" unit:"m" doc:"of the settled crest above that water; 0.1 at the least"`
	FaceRunPerRise float64  `json:"faceRunPerRise" unit:"1" doc:"of both faces of a bank, 1 in this"`
	CrestBreadthM  float64  `json:"crestBreadthM,omitempty" unit:"m" doc:"of a bank; without it no earth is reckoned"`
	BankLengthM    optional `json:"bankLengthM,omitempty" plusMinus:"bankLengthPlusMinusM" unit:"m" doc:"of each bank along its contour; the area over the length of the ground, its mean width, if not given"`
}

type pittingIn struct {
	LengthM    float64 `json:"lengthM" unit:"m" doc:"of a pit, at the surface"`
	WidthM     float64 `json:"widthM" unit:"m" doc:"of a pit, at the surface"`
	DepthM     float64 `json:"depthM" unit:"m" doc:"of a pit, in its middle"`
	ApartM     float64 `json:"apartM" unit:"m" doc:"from the middle of a pit to the next in its row"`
	RowsApartM float64 `json:"rowsApartM" unit:"m" doc:"from row to row"`
}

type gypsumIn struct {
	DispersionClass string      `json:"dispersionClass,omitempty" doc:"of the soil, by test, as the table names it"`
	Table           []gypsumRow `json:"table,omitempty" doc:"the officer's local rates; none are built in"`
	Sodium          *sodiumIn   `json:"sodium,omitempty" doc:"what a laboratory found, instead of class and table"`
	Source          string      `json:"source" doc:"who the table or the laboratory's sheet comes from"`
}

type sodiumIn struct {
	SodiumPct     valueIn `json:"sodiumPct" plusMinus:"sodiumPlusMinusPct" unit:"%" doc:"exchangeable sodium, of the cations"`
	CationsCmolKg valueIn `json:"cationsCmolKg" plusMinus:"cationsPlusMinusCmolKg" unit:"cmol/kg" doc:"cation exchange capacity"`
	TargetPct     float64 `json:"targetPct" unit:"%" doc:"exchangeable sodium that may stay"`
	DepthM        float64 `json:"depthM" unit:"m" doc:"of the soil to mend, from the surface"`
	DensityTM3    float64 `json:"densityTM3" unit:"t/m3" doc:"of that soil, dry"`
	Factor        float64 `json:"factor" unit:"1" doc:"for calcium that does not reach the clay; 1.1 to 1.3 by the source"`
	PurityPct     float64 `json:"purityPct" unit:"%" doc:"of the gypsum as bought, dry"`
}

type gypsumRow struct {
	DispersionClass string  `json:"dispersionClass" doc:"its name"`
	KgHa            float64 `json:"kgHa" unit:"kg/har" doc:"gypsum on each hectare"`
}

type scaldOut struct {
	SlopePct     optional            `json:"slopePct,omitempty" plusMinus:"slopePlusMinusPct" unit:"%" doc:"of the ground, from end to end; none without levels" plusMinusDoc:"one standard deviation; none when not known"`
	Banks        []works.PondingBank `json:"banks,omitempty" doc:"from the lowest up; none without ponding"`
	BankCount    *int                `json:"bankCount,omitempty" unit:"1" doc:"number of banks; none without ponding"`
	BankHeightM  *float64            `json:"bankHeightM,omitempty" unit:"m" doc:"of each bank, settled: pond and freeboard"`
	BankLengthM  optional            `json:"bankLengthM,omitempty" plusMinus:"bankLengthPlusMinusM" unit:"m" doc:"of each bank" plusMinusDoc:"one standard deviation; none when not known"`
	AllBanksM    optional            `json:"allBanksM,omitempty" plusMinus:"allBanksPlusMinusM" unit:"m" doc:"of all banks" plusMinusDoc:"one standard deviation; none when not known"`
	PondedM3     optional            `json:"pondedM3,omitempty" plusMinus:"pondedPlusMinusM3" unit:"m3" doc:"held by all banks, full" plusMinusDoc:"one standard deviation; none when not known"`
	Pits         optional            `json:"pits,omitempty" plusMinus:"pitsPlusMinus" unit:"1" doc:"number of pits; none without pitting" plusMinusDoc:"one standard deviation; none when not known"`
	PitWaterM3   optional            `json:"pitWaterM3,omitempty" plusMinus:"pitWaterPlusMinusM3" unit:"m3" doc:"held by all pits on the day they are dug" plusMinusDoc:"one standard deviation; none when not known"`
	GypsumKgHa   optional            `json:"gypsumKgHa,omitempty" plusMinus:"gypsumPlusMinusKgHa" unit:"kg/har" doc:"by the local table or the laboratory's sheet; none without gypsum" plusMinusDoc:"one standard deviation; none when not known"`
	GypsumSource string              `json:"gypsumSource,omitempty" doc:"whose table, and for which dispersion class; or whose sheet"`
	Sown         []sownOut           `json:"sown,omitempty" doc:"what is sown; none without sowing"`
	Items        []works.Quantity    `json:"items" doc:"what it takes, as a list to be priced by the computation quantities"`
	Bill         *workBillOut        `json:"bill,omitempty" doc:"the same, with hours and cost at the rates"`
	Basis        string              `json:"basis,omitempty" doc:"what the levels come from; none without levels"`
	Cautions     []model.Caution     `json:"cautions" doc:"what to watch for on the ground"`
}

var scaldDoc = Doc{
	Name:    "scald",
	Growth:  Linear,
	Summary: "ponding banks by level, pits, gypsum and seed on a scald, and what they take",
	Limits: []string{
		fmt.Sprintf("Banks that pond: to %v m of water, on ground of 0.1 to %v %%; what is deeper or steeper is refused. The first stands at the lowest end of the ground, each next one where the pond below ends.", works.MostPondM, works.SteepestPondPc),
		"The ground is straight between its levels, alike across the scald, and every bank as long as the scald is wide on the whole, unless a length is given: tape each contour.",
		"Ponding and pits on dispersive ground are refused without gypsum, and gypsum on ground that does not disperse.",
		"Gypsum goes by the officer's own table of rates, for no published rate by dispersion class is known and none is built in; or by exchangeable sodium, as a laboratory found it. The answer names which. Rates of seed, fertiliser, hours and costs are the officer's too.",
		"Pits are halves of ellipsoids, level at their rims. Pits and open ground are refused on 30 % and steeper.",
	},
	Cautions: append(cautionTexts(works.PondCautions), "Gypsum by soil test only; its dust harms eyes and lungs."),
	Sources: []model.Source{
		{Title: "Thompson 2008, and Central West LLS, waterponding", Place: "flat scalds only, water to 100 mm", How: model.LookedUp},
		{Title: "FU Berlin, water harvesting, after Mekdaschi and Liniger 2013", Place: "bunds on 0.25 to 1.5 %", How: model.LookedUp},
		{Title: "No water is ponded on dispersive subsoil without gypsum", How: model.CommonPractice},
		{Title: "Pits on slopes under 30 %: NRCS", How: model.LookedUp},
		works.SodiumSource,
		{Title: "Wedge of water on a plane, half of an ellipsoid, trapezium", How: model.Derived},
	},
}

var scald = define(scaldDoc, func(in scaldIn, _ *model.Work) (out scaldOut, err error) {
	if p := in.check(); p != nil {
		return out, p
	}
	area := estimate{in.AreaM2.Value, orElse(in.AreaM2.PlusMinus, -1)}
	var all []works.WorkToBuild
	take := func(treatment string, items ...works.Quantity) {
		if len(items) > 0 {
			all = append(all, works.WorkToBuild{Name: treatment, Treatment: treatment, Takes: items})
			out.Items = append(out.Items, items...)
		}
	}
	quality, err := in.ground(&out, area, take)
	if err != nil {
		return out, err
	}
	if in.Ground != nil {
		out.Basis = string(quality.Basis)
	}
	if p := in.Pitting; p != nil {
		count, off, waterM3, waterOff, err := works.Pits{LengthM: p.LengthM, WidthM: p.WidthM, DepthM: p.DepthM, ApartM: p.ApartM, RowsApartM: p.RowsApartM}.On(area.Value, area.PlusMinus)
		if err != nil {
			return out, problem(err).Within("pitting")
		}
		out.Pits, out.PitWaterM3 = optional{&count, known(off)}, optional{&waterM3, known(waterOff)}
		take("pitting", works.Quantity{Item: "pitting", Unit: "m2", Amount: area.Value, PlusMinus: area.PlusMinus})
	}
	if g := in.Gypsum; g != nil {
		kgHa, off, err := g.rate()
		if err != nil {
			return out, err
		}
		q, err := works.Sowing{Item: "gypsum", AreaM2: area.Value, AreaPlusMinusM2: min(area.PlusMinus, area.Value), Rate: kgHa}.Quantity()
		if err != nil {
			return out, problem(err).Within("gypsum.table")
		}
		out.GypsumKgHa, out.GypsumSource = optional{&kgHa, known(off)}, fmt.Sprintf("%s: %s, as the officer gave it", g.Source, g.DispersionClass)
		if sodium := g.Sodium; sodium != nil {
			out.GypsumSource = fmt.Sprintf("%s: exchangeable sodium of %v %% brought to %v %%", g.Source, sodium.SodiumPct.Value, sodium.TargetPct)
			q.PlusMinus = model.JointPlusMinus(q.PlusMinus, model.ScaledPlusMinus(area.Value/10_000, off))
		}
		take("gypsum", q)
	}
	sown, sows, err := sownOn(in.Sowing, area.Value, area.PlusMinus)
	if err != nil {
		return out, err
	}
	out.Sown = sown
	take("revegetation", sows...)
	out.Bill, err = billAt(all, in.Rates)
	out.Cautions = append(out.Cautions, in.cautions()...)
	return out, err
})

// check refuses what is asked for nothing, and what is unsafe whatever the figures.
func (in scaldIn) check() *model.Problem {
	dispersive := orElse(in.Dispersive, false)
	bare := in.Gypsum == nil && dispersive // no gypsum is given for it
	return model.FirstProblem(
		model.Require(in.AreaM2.Value > 0 && in.AreaM2.Value <= 1e9, "areaM2", "give square metres; 1 ha is 10000 m2", "%v m2 is not the area of a scald", in.AreaM2.Value),
		model.Require(in.AreaM2.PlusMinus == nil || *in.AreaM2.PlusMinus >= 0 && *in.AreaM2.PlusMinus <= in.AreaM2.Value, "areaPlusMinusM2", "give one standard deviation, or leave it out when it is not known", "is not from 0 to the area itself"),
		model.Require(in.Ponding != nil || in.Pitting != nil || in.Gypsum != nil || len(in.Sowing) > 0, "ponding", "give ponding, pitting, gypsum or sowing", "nothing is asked for"),
		model.Require(in.Ponding == nil || in.Ground != nil, "ground", "level a line down the scald, from end to end: banks stand on its contours", "is missing, and ponding banks go by levels"),
		model.Require(in.Ponding == nil || orElse(in.Ponding.BankLengthM.PlusMinus, 0) >= 0, "ponding.bankLengthPlusMinusM", "give 0 or more, or leave it out when it is not known", "is not a standard deviation"),
		model.Require(in.Ponding == nil || in.Ponding.BankLengthM.PlusMinus == nil || in.Ponding.BankLengthM.Value != nil, "ponding.bankLengthPlusMinusM", "give bankLengthM with it", "stands there without the length it belongs to"),
		model.Require(!bare || in.Ponding == nil, "gypsum", "give gypsum by a soil test, or leave the banks out", "is missing: water ponded on dispersive ground breaks out along cracks and tunnels"),
		model.Require(!bare || in.Pitting == nil, "gypsum", "give gypsum by a soil test, or leave the pits out", "is missing: pits in dispersive ground can start tunnels"),
		model.Require(in.Gypsum == nil || in.Dispersive == nil || dispersive, "gypsum", "leave it out, or test the soil again", "does nothing for ground that does not disperse"),
		model.Require(!slices.ContainsFunc(in.Sowing, func(s sownIn) bool { return s.Is == "gypsum" }), "sowing", "give it as gypsum, with the class of the soil and the table it goes by", "has gypsum among what is sown"))
}

// ground lays out the banks by the levels.
func (in scaldIn) ground(out *scaldOut, area estimate, take func(string, ...works.Quantity)) (section.Quality, error) {
	if in.Ground == nil {
		q, err := in.quality(false)
		return q, err
	}
	bed, byPosition, err := section.NewBed(in.Ground)
	if err != nil {
		return section.Quality{}, model.Within(err, "ground")
	}
	q, err := in.quality(byPosition)
	if err != nil {
		return q, err
	}
	up, turnedAtM := works.Upwards(bed)
	low, top := up[0], up[len(up)-1]
	lengthM := top.ChainageM - low.ChainageM
	slope := 100 * (top.LevelM - low.LevelM) / lengthM
	out.SlopePct.Value = &slope
	if step, tape := q.StepPlusMinusM(), q.SpacingPlusMinusM(); step >= 0 && tape >= 0 {
		out.SlopePct.PlusMinus = new(math.Hypot(100*step/lengthM, slope*tape/lengthM))
	}
	if in.Pitting != nil && slope >= 30 {
		return q, &model.Problem{Path: "pitting", Reason: fmt.Sprintf("the ground rises by %.3g %%, and pits are for slopes under 30 %%", slope), Fix: "leave the pits out"}
	}
	p := in.Ponding
	if p == nil {
		return q, nil
	}
	banks := works.PondingBanks{Ground: up, Quality: q, TurnedAtM: turnedAtM, PondDepthM: p.PondDepthM, FreeboardM: p.FreeboardM, FaceRunPerRise: p.FaceRunPerRise, CrestBreadthM: p.CrestBreadthM,
		LengthM: area.Value / lengthM, LengthPlusMinM: -1}
	if tape := q.SpacingPlusMinusM(); area.PlusMinus >= 0 && tape >= 0 {
		banks.LengthPlusMinM = math.Hypot(area.PlusMinus/lengthM, banks.LengthM*tape/lengthM)
	}
	if p.BankLengthM.Value != nil {
		banks.LengthM, banks.LengthPlusMinM = *p.BankLengthM.Value, orElse(p.BankLengthM.PlusMinus, -1)
	}
	plan, err := banks.Lay()
	if err != nil {
		if wrong := problem(err); wrong.Path != "ground" {
			return q, wrong.Within("ponding")
		}
		return q, err
	}
	heightM := banks.HeightM()
	out.Banks, out.BankCount, out.BankHeightM = plan.Banks, new(len(plan.Banks)), &heightM
	out.BankLengthM, out.AllBanksM = optional{&banks.LengthM, known(banks.LengthPlusMinM)}, optional{&plan.LengthM, known(plan.LengthPlusMinusM)}
	out.PondedM3 = optional{&plan.WaterM3, known(plan.WaterPlusMinusM3)}
	items := []works.Quantity{{Item: "ponding bank", Unit: "m", Amount: plan.LengthM, PlusMinus: plan.LengthPlusMinusM}}
	if plan.EarthM3 > 0 {
		items = append(items, works.Quantity{Item: "earth in ponding bank", Unit: "m3", Amount: plan.EarthM3, PlusMinus: plan.EarthPlusMinusM3})
	}
	take("ponding-bank", items...)
	return q, nil
}

// rate is what the officer's table has for the class that was found, which has no ±, or what the laboratory's figures ask for.
func (g gypsumIn) rate() (kgHa, plusMinus float64, err error) {
	if p := model.FirstProblem(
		model.Require(g.Source != "", "gypsum.source", "say who the table or the laboratory's sheet comes from, and its year", "is empty"),
		model.Require(g.Sodium == nil || g.DispersionClass == "" && len(g.Table) == 0, "gypsum.sodium", "give either what the laboratory found, or the class and the table", "stands there with a dispersion class or a table")); p != nil {
		return 0, -1, p
	}
	if s := g.Sodium; s != nil {
		const fix = "give one standard deviation, or leave it out when it is not known"
		if p := model.FirstProblem(
			model.Require(orElse(s.SodiumPct.PlusMinus, 0) >= 0, "gypsum.sodium.sodiumPlusMinusPct", fix, "is less than nought"),
			model.Require(orElse(s.CationsCmolKg.PlusMinus, 0) >= 0, "gypsum.sodium.cationsPlusMinusCmolKg", fix, "is less than nought")); p != nil {
			return 0, -1, p
		}
		test := works.SodiumTest{SodiumPct: s.SodiumPct.Value, SodiumPlusMinus: orElse(s.SodiumPct.PlusMinus, -1), CationsCmolKg: s.CationsCmolKg.Value, CationsPlusMinus: orElse(s.CationsCmolKg.PlusMinus, -1),
			TargetPct: s.TargetPct, DepthM: s.DepthM, DensityTM3: s.DensityTM3, Factor: s.Factor, PurityPct: s.PurityPct}
		kgHa, plusMinus, err = test.KgHa()
		return kgHa, plusMinus, model.Within(err, "gypsum.sodium")
	}
	for i, row := range g.Table {
		twin := slices.IndexFunc(g.Table, func(other gypsumRow) bool { return other.DispersionClass == row.DispersionClass })
		if p := model.FirstProblem(
			model.Require(row.DispersionClass != "", "dispersionClass", "name the class, as the soil test does", "is empty"),
			model.Require(twin == i, "dispersionClass", "keep one of the two", "%q is in row %d too", row.DispersionClass, twin+1),
			model.InRange("kgHa", row.KgHa, 0, 50_000, "a rate of gypsum", " kg/ha", "check the unit: 1 t/ha is 1000 kg/ha")); p != nil {
			return 0, -1, p.Within(fmt.Sprintf("gypsum.table[%d]", i))
		}
	}
	row, found := model.Find(g.Table, func(row gypsumRow) bool { return row.DispersionClass == g.DispersionClass })
	return row.KgHa, -1, model.FirstProblem(
		model.Require(found, "gypsum.dispersionClass", "give the class that the soil test found, as the table names it", "%q is not in the table", g.DispersionClass),
		model.Require(!found || row.KgHa > 0, "gypsum", "leave it out", "the table has no gypsum for %q", g.DispersionClass)).Err()
}

func (in scaldIn) cautions() []model.Caution {
	all := sownCautions(in.Sowing)
	if in.Ponding != nil {
		all = append(all, works.PondCautions...)
		all.AddIf(in.Ponding.PondDepthM > works.UsualPondM, "banks", "A pond of %v m is deeper than the %v m that was seen to heal scalds: what stands too deep drowns the grass.", in.Ponding.PondDepthM, works.UsualPondM)
		all.AddIf(in.Ponding.BankLengthM.Value == nil, "bankLengthM", "Every bank is taken to be as long as the scald is wide on the whole: tape each along its pegged contour.")
	}
	all.AddIf(in.Ponding != nil || in.Pitting != nil, "", "Before digging, ask about permits, buried services and heritage. Keep stock off until it is grassed.")
	all.AddIf(in.Dispersive == nil, "dispersive", "Whether the ground disperses was not tested: drop a crumb of its subsoil into still rain water, and look after two hours and a day. On dispersive ground neither ponds nor pits hold without gypsum.")
	all.AddIf(in.Gypsum != nil, "gypsumKgHa", "The rate is of the officer's local table or of a laboratory's figures, by a soil test. Try a crumb in gypsum water first; the dust harms eyes and lungs.")
	return all
}
