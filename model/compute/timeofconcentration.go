package compute

import (
	"headcut/model"
	"headcut/model/runoff"
)

type timeOfConcentrationIn struct {
	Method          string   `json:"method" choices:"kirpich|bransby-williams|pilgrim-mcdermott|friend|kinematic" doc:"the formula"`
	LengthM         optional `json:"lengthM,omitempty" plusMinus:"lengthPlusMinusM" unit:"m" doc:"longest path of the water; all but pilgrim-mcdermott need it"`
	SlopePct        optional `json:"slopePct,omitempty" plusMinus:"slopePlusMinusPct" unit:"%" doc:"of that path, by equal areas for bransby-williams; all but pilgrim-mcdermott need it"`
	AreaHa          optional `json:"areaHa,omitempty" plusMinus:"areaPlusMinusHa" unit:"har" doc:"of the catchment, for bransby-williams and pilgrim-mcdermott"`
	BransbyConstant string   `json:"bransbyConstant,omitempty" choices:"58|58.5|1922" doc:"constant of bransby-williams in km, km2 and m/km: one of the two roundings in use, or the form of 1922 converted; 58 if not given"`
	Surface         string   `json:"surface,omitempty" choices:"bare|poor grass|average grass|dense grass" doc:"of the ground, for friend; or give hortonN"`
	HortonN         optional `json:"hortonN,omitempty" plusMinus:"hortonNPlusMinus" unit:"1" doc:"Horton's roughness, for friend; not Manning's"`
	ManningN        optional `json:"manningN,omitempty" plusMinus:"manningNPlusMinus" unit:"1" doc:"Manning's roughness of the ground under sheet flow, for kinematic"`
	rainIn
}

type timeOfConcentrationOut struct {
	Minutes      estimate `json:"minutes" plusMinus:"plusMinusMin" unit:"min" doc:"time of concentration" plusMinusDoc:"one standard deviation from what was measured, the formula's own error not counted; none when not known"`
	Method       string   `json:"method" doc:"the formula used"`
	MadeFor      string   `json:"madeFor" doc:"the country and the flow it was made for"`
	Source       string   `json:"source" doc:"where it comes from"`
	IntensityMmH *float64 `json:"intensityMmH,omitempty" unit:"mm/h" doc:"the rain the kinematic wave settled on"`
	AreaHa       optional `json:"areaHa,omitempty" plusMinus:"areaPlusMinusHa" unit:"har" doc:"as given" plusMinusDoc:"as given"`
	rainIn
	Others       []otherTimeOut  `json:"others" doc:"by each other method that the inputs allow"`
	ShortestMin  float64         `json:"shortestMin" unit:"min" doc:"of all that could be calculated"`
	LongestMin   float64         `json:"longestMin" unit:"min" doc:"of all that could be calculated"`
	NotWorkedOut []unfitTimeOut  `json:"notWorkedOut" doc:"the methods that these inputs do not allow"`
	Cautions     []model.Caution `json:"cautions" doc:"what to watch for"`
}

type otherTimeOut struct {
	Method  string   `json:"method" doc:"the formula"`
	Minutes estimate `json:"minutes" plusMinus:"plusMinusMin" unit:"min" doc:"by it" plusMinusDoc:"one standard deviation from what was measured; none when not known"`
	MadeFor string   `json:"madeFor" doc:"the country and the flow it was made for"`
	Source  string   `json:"source" doc:"where it comes from"`
}

type unfitTimeOut struct {
	Method string `json:"method" doc:"the formula"`
	Field  string `json:"field" doc:"what is missing or out of its range"`
	Reason string `json:"reason" doc:"why"`
}

var timeOfConcentrationDoc = Doc{
	Name:    "time-of-concentration",
	Growth:  Linear,
	Summary: "time of concentration of a catchment, by five formulas side by side",
	Limits: []string{
		"Slopes are percent here and converted for each formula: Kirpich and the kinematic wave want rise over run, Bransby Williams metres in a kilometre, Friend percent.",
		"Slopes from 0.1 to 60 %, of sheet flow to 30 %; paths from 10 m, of sheet flow from 5 to 200 m.",
		"Kirpich comes from farm catchments of 3 to 10 %, and is doubled on grass by another text. Pilgrim-McDermott is for eastern New South Wales, Victoria and the Western Australian wheatbelt.",
		"Friend and the kinematic wave are for sheet flow alone. The kinematic wave needs the rainfall table, and is not answered beyond it.",
		"An area that no path of the given length could drain is refused.",
	},
	Cautions: cautionTexts(runoff.TimeCautions),
	Sources:  timeSources(),
}

var timeOfConcentration = define(timeOfConcentrationDoc, func(in timeOfConcentrationIn, _ *model.Work) (timeOfConcentrationOut, error) {
	ground, err := in.ground()
	if err != nil {
		return timeOfConcentrationOut{}, err
	}
	chosen, err := ground.Concentration(runoff.Method(in.Method))
	if err != nil {
		return timeOfConcentrationOut{}, err
	}
	about := chosen.Method.About()
	out := timeOfConcentrationOut{
		Minutes: estimate(chosen.Minutes), Method: in.Method, MadeFor: about.Where, Source: about.Source.String(),
		ShortestMin: chosen.Minutes.Value, LongestMin: chosen.Minutes.Value,
		AreaHa: in.AreaHa, rainIn: in.rainIn,
		Cautions: append(chosen.Cautions, runoff.TimeCautions...),
	}
	if chosen.IntensityMmH > 0 {
		out.IntensityMmH = &chosen.IntensityMmH
		out.Cautions = append(out.Cautions, in.rainIn.cautions()...)
	}
	others, unfit := ground.Others(chosen.Method)
	for _, o := range others {
		out.Others = append(out.Others, otherTimeOut{string(o.Method), estimate(o.Minutes), o.Method.About().Where, o.Method.About().Source.String()})
		out.ShortestMin, out.LongestMin = min(out.ShortestMin, o.Minutes.Value), max(out.LongestMin, o.Minutes.Value)
	}
	for _, u := range unfit {
		out.NotWorkedOut = append(out.NotWorkedOut, unfitTimeOut{string(u.Method), u.Problem.Path, u.Problem.Reason})
	}
	return out, nil
})

func timeSources() []model.Source {
	all := model.Each(runoff.Methods, func(m runoff.Method) model.Source { return m.About().Source })
	for _, k := range runoff.BransbyConstants {
		all = append(all, k.Source)
	}
	return append(all,
		model.Source{Title: "Horton's roughness of bare ground and grass: Queensland Urban Drainage Manual", How: model.FromMemory},
		model.Source{Title: "Sheet flow no longer than 200 m", How: model.FromMemory})
}

// ground is what was measured, as the methods ask for it.
func (in timeOfConcentrationIn) ground() (runoff.Ground, error) {
	if p := in.rainIn.check(); p != nil {
		return runoff.Ground{}, p
	}
	g := runoff.Ground{Rain: in.Durations, Between: runoff.Between(in.Between)}
	g.Constant, _ = model.Find(runoff.BransbyConstants, func(k runoff.BransbyConstant) bool { return k.Name == in.BransbyConstant })
	if in.Surface != "" {
		if in.HortonN.Value != nil {
			return g, &model.Problem{Path: "hortonN", Reason: "cannot be given with a named surface", Fix: "give one of the two"}
		}
		for _, s := range runoff.Surfaces {
			if s.Name == in.Surface {
				in.HortonN.Value = &s.HortonN
			}
		}
	}
	err := measureEach(
		measuredValue{&g.LengthM, in.LengthM, "lengthPlusMinusM"},
		measuredValue{&g.SlopePct, in.SlopePct, "slopePlusMinusPct"},
		measuredValue{&g.AreaHa, in.AreaHa, "areaPlusMinusHa"},
		measuredValue{&g.HortonN, in.HortonN, "hortonNPlusMinus"},
		measuredValue{&g.ManningN, in.ManningN, "manningNPlusMinus"},
	)
	return g, err
}
