package compute

import (
	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/section"
	"headcut/model/works"
)

// soilDensity is how heavy the soil is, for every computation that turns volume to mass.
type soilDensity struct {
	BulkDensityTM3 optional `json:"bulkDensityTM3,omitempty" plusMinus:"bulkDensityPlusMinusTM3" unit:"t/m3" doc:"dry mass of the soil in place per volume; no default, since soils differ"`
}

// mass returns the mass of volumes, or nil when no density was given.
func (s soilDensity) mass() (func(volumeM3, plusMinusM3 float64) optional, error) {
	if s.BulkDensityTM3.Value == nil {
		if s.BulkDensityTM3.PlusMinus != nil {
			return nil, &model.Problem{Path: "bulkDensityTM3", Reason: "is missing beside its ±"}
		}
		return func(_, _ float64) optional { return optional{} }, nil
	}
	given, err := plusMinusOf("bulkDensityPlusMinusTM3", s.BulkDensityTM3.PlusMinus, -1)
	if err != nil {
		return nil, err
	}
	density := monitor.BulkDensity{TM3: *s.BulkDensityTM3.Value, PlusMinusTM3: given}
	return func(volumeM3, plusMinusM3 float64) optional {
		tonnes, plusMinusT := density.Mass(volumeM3, plusMinusM3)
		return optional{&tonnes, &plusMinusT}
	}, density.Check()
}

// plusMinusOf is a plus-minus that was given, which a person may not give as negative, or
// what it is otherwise.
func plusMinusOf(path string, given *float64, otherwise float64) (float64, error) {
	if given == nil {
		return otherwise, nil
	}
	if !(*given >= 0) {
		return 0, &model.Problem{Path: path, Reason: "is negative", Fix: "leave it out when it is not known"}
	}
	return *given, nil
}

type gullyVolumeIn struct {
	Sections           []monitor.CrossSection `json:"sections" doc:"cross-sections from the downstream end up"`
	Method             string                 `json:"method" choices:"end-area|prismoidal" doc:"end-area averages neighbours; prismoidal needs measured middles, or dimensions whose mean gives the middle"`
	ZeroEnds           string                 `json:"zeroEnds,omitempty" choices:"pyramid|average" doc:"what stands between a section and one of no area: pyramid, a third, if not given; or average, a half"`
	DownstreamRunOutM  float64                `json:"downstreamRunOutM,omitempty" unit:"m" doc:"how far the gully runs on below the first section until nothing is left of it; 0 if not given"`
	UpstreamRunOutM    float64                `json:"upstreamRunOutM,omitempty" unit:"m" doc:"how far it runs on above the last section; 0 if not given"`
	Basis              string                 `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the sections were measured; taped if not given"`
	AcrossPlusMinusM   *float64               `json:"acrossPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a distance across or a width; 0.05, a tape's, if not given; not known for GPS and unproven"`
	HeightPlusMinusM   *float64               `json:"heightPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a level or depth; 0.005 levelled and 0.05 taped if not given, else not known"`
	ChainagePlusMinusM *float64               `json:"chainagePlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a chainage; 0.05, a tape's, if not given; not known for GPS and unproven"`
	SurveyMethod       string                 `json:"surveyMethod,omitempty" choices:"total-station|photographs|profile-meter|pole" doc:"adds the published error of this way of surveying: 4 % for the first two, 13 % for the others"`
	MethodErrorPct     *float64               `json:"methodErrorPct,omitempty" unit:"%" doc:"your own error of the way of surveying, in place of surveyMethod: one standard deviation of the volume"`
	soilDensity
}

type gullyVolumeOut struct {
	VolumeM3           estimate           `json:"volumeM3" plusMinus:"plusMinusM3" unit:"m3" doc:"earth gone from below the lines joining the brinks" plusMinusDoc:"one standard deviation, readings and way of surveying together; none when not known"`
	ReadingPlusMinusM3 float64            `json:"readingPlusMinusM3" unit:"m3" doc:"from the readings alone; none when not known"`
	ErodedTonnes       optional           `json:"erodedTonnes,omitempty" plusMinus:"erodedTonnesPlusMinusT" unit:"t" doc:"dry mass of that earth; none without a bulk density" plusMinusDoc:"one standard deviation; none when not known"`
	AreasM2            []float64          `json:"areasM2" unit:"m2" doc:"area of each section"`
	Intervals          []monitor.Interval `json:"intervals" doc:"the parts of the volume, from the downstream end up"`
	ReadsHighM3        float64            `json:"readsHighM3" unit:"m3" doc:"by how much averaging end areas reads high if width and depth change together; 0 where it was not used"`
	Items              []works.Quantity   `json:"items" doc:"the same as a list to be priced by the computation quantities"`
	Basis              string             `json:"basis" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what the sections rest on"`
	Cautions           []model.Caution    `json:"cautions" doc:"what to watch for"`
}

var gullyVolumeDoc = Doc{
	Name:    "gully-volume",
	Growth:  Linear,
	Summary: "earth gone from a gully, from cross-sections, by end areas or the prismoidal rule",
	Limits: []string{
		"Two sections at least, or one and a run-out; chainages grow upstream, from 0 to 100 km.",
		"Sections go along the ground from brink to brink; walls may stand straight and overhang, up to 200 readings then. Readings that cross each other, and ground above the line joining the brinks, are refused.",
		"The prismoidal rule is refused where its middle was not measured: the mean of two areas is no middle. A middle may stand 5 % of the length off half-way.",
		"Up to 500 m across, 60 m deep and 20000 m2.",
		"The ± takes readings as independent of each other; what the gully does between the sections is not in it.",
	},
	Cautions: cautionTexts(monitor.VolumeCautions),
	Sources: []model.Source{
		{Title: "Average of end areas, and a pyramid where one end is zero", How: model.Derived},
		{Title: "G. L. Vose, Handbook of Railroad Construction", Place: "articles 106 to 108: the prismoidal rule and the excess of averaged end areas", How: model.LookedUp},
		{Title: "Middle of mean dimensions, and ReadsHigh = L (√A₁ - √A₂)²/6 for sections that keep their shape", How: model.Derived},
		monitor.Castillo2012,
		{Title: "Law of propagation of errors: JCGM 100:2008", Place: "5.1.2", How: model.FromMemory},
		{Title: "A staff's 5 mm and a tape's 50 mm on rough ground; a middle within 5 % of half-way", How: model.CommonPractice},
	},
}

var gullyVolume = define(gullyVolumeDoc, func(in gullyVolumeIn, _ *model.Work) (gullyVolumeOut, error) {
	basis := model.Taped
	if in.Basis != "" {
		basis = model.Basis(in.Basis)
	}
	survey := monitor.VolumeSurvey{Method: monitor.VolumeRule(in.Method), AverageZeroEnds: in.ZeroEnds == "average", Sections: in.Sections,
		RunOutDownM: in.DownstreamRunOutM, RunOutUpM: in.UpstreamRunOutM, MethodErrorPct: -1}
	var err error
	if survey.Accuracy, err = in.accuracy(basis); err != nil {
		return gullyVolumeOut{}, err
	}
	note := ""
	if survey.MethodErrorPct, note, err = in.methodError(); err != nil {
		return gullyVolumeOut{}, err
	}
	mass, err := in.mass()
	if err != nil {
		return gullyVolumeOut{}, err
	}
	v, err := survey.Volume()
	if err != nil {
		return gullyVolumeOut{}, err
	}
	out := gullyVolumeOut{VolumeM3: estimate{v.VolumeM3, v.PlusMinusM3}, ReadingPlusMinusM3: v.ReadingPlusMinusM3,
		AreasM2: v.AreasM2, Intervals: v.Intervals, ReadsHighM3: v.ReadsHighM3, Basis: string(basis), Cautions: survey.Cautions(v)}
	out.ErodedTonnes = mass(v.VolumeM3, v.PlusMinusM3)
	out.Items = []works.Quantity{{Item: "earth to fill", Unit: "m3", Amount: v.VolumeM3, PlusMinus: v.PlusMinusM3}}
	if note != "" {
		out.Cautions = append(out.Cautions, model.Caution{About: "volumeM3", Text: note})
	}
	return out, nil
})

func (in gullyVolumeIn) accuracy(basis model.Basis) (a monitor.Accuracy, err error) {
	a = monitor.Accuracy{AcrossM: -1, HeightM: -1, ChainageM: -1}
	switch basis {
	case model.Levelled:
		a = monitor.Accuracy{AcrossM: section.TapePlusMinusM, HeightM: section.StaffPlusMinusM, ChainageM: section.TapePlusMinusM}
	case model.Taped:
		a = monitor.Accuracy{AcrossM: section.TapePlusMinusM, HeightM: section.TapePlusMinusM, ChainageM: section.TapePlusMinusM}
	}
	for _, given := range []struct {
		path       string
		from, into *float64
	}{
		{"acrossPlusMinusM", in.AcrossPlusMinusM, &a.AcrossM}, {"heightPlusMinusM", in.HeightPlusMinusM, &a.HeightM}, {"chainagePlusMinusM", in.ChainagePlusMinusM, &a.ChainageM},
	} {
		if *given.into, err = plusMinusOf(given.path, given.from, *given.into); err != nil {
			return a, err
		}
	}
	return a, nil
}

// methodError is the error of the way of surveying, -1 when nobody named it.
func (in gullyVolumeIn) methodError() (pct float64, note string, err error) {
	if in.SurveyMethod != "" && in.MethodErrorPct != nil {
		return 0, "", &model.Problem{Path: "methodErrorPct", Reason: "cannot be given with surveyMethod", Fix: "give one of them"}
	}
	for _, m := range monitor.SurveyMethods {
		if m.Name == in.SurveyMethod {
			return m.ErrorPct, m.Note, nil
		}
	}
	pct, err = plusMinusOf("methodErrorPct", in.MethodErrorPct, -1)
	return pct, "", err
}
