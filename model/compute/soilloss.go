package compute

import (
	"fmt"

	"headcut/model"
	"headcut/model/soilloss"
)

type soilLossIn struct {
	LengthM      float64  `json:"lengthM" unit:"m" doc:"slope length before, horizontal, from where runoff starts to where it gathers or drops its silt"`
	LengthAfterM optional `json:"lengthAfterM,omitempty" plusMinus:"lengthPlusMinusM" unit:"m" doc:"slope length after, where banks now cut it; lengthM if not given" plusMinusDoc:"one standard deviation of each length; not known if not given"`
	SlopePct     valueIn  `json:"slopePct" plusMinus:"slopePlusMinusPct" unit:"%" doc:"slope of the ground, of 100 along" plusMinusDoc:"one standard deviation of the slope; not known if not given"`
	Basis        *string  `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what length and slope come from; unproven if not given"`

	CoverBeforePct valueIn `json:"coverBeforePct" plusMinus:"coverBeforePlusMinusPct" unit:"%" doc:"ground cover before, at the end of the dry season" plusMinusDoc:"one standard deviation, a quarter of the width between 95 % limits; not known if not given"`
	CoverAfterPct  valueIn `json:"coverAfterPct" plusMinus:"coverAfterPlusMinusPct" unit:"%" doc:"ground cover after, at the same time of year"`
	CoverSeries    *string `json:"coverSeries,omitempty" choices:"pasture-set|handbook-537-grass|handbook-537-weeds|epa-1977-grass" doc:"printed cover factors that both covers are read off; pasture-set if not given"`
	Formula        *string `json:"formula,omitempty" choices:"usle|rusle" doc:"how length and slope count; rusle if not given. It moves the ratio only where the length changed"`

	R       optional `json:"r,omitempty" plusMinus:"rPlusMinus" unit:"MJ.mm/(har.h.a)" doc:"rainfall factor; with k, and the sources of both, it gives tonnes"`
	RSource string   `json:"rSource,omitempty" doc:"the map or table that r was read off, with its year"`
	K       optional `json:"k,omitempty" plusMinus:"kPlusMinus" unit:"t.har.h/(har.MJ.mm)" doc:"soil factor; that of a table in US units times 0.1317"`
	KSource string   `json:"kSource,omitempty" doc:"the map or table that k was read off, with its year"`
}

type soilLossOut struct {
	Ratio           estimate        `json:"ratio" plusMinus:"plusMinus" unit:"1" doc:"soil loss after over soil loss before, all else equal; below 1 is less" plusMinusDoc:"one standard deviation of the ratio; none when not known"`
	Verdict         string          `json:"verdict" choices:"less loss|more loss|too close to tell|not known" doc:"whether the covers differ by more than they scatter, 95 in 100"`
	CoverSeries     string          `json:"coverSeries" doc:"the series both covers were read off"`
	CBefore         estimate        `json:"cBefore" plusMinus:"cBeforePlusMinus" unit:"1" doc:"cover factor before"`
	CAfter          estimate        `json:"cAfter" plusMinus:"cAfterPlusMinus" unit:"1" doc:"cover factor after"`
	Formula         string          `json:"formula" choices:"usle|rusle" doc:"the formula of the topographic factor"`
	LSBefore        estimate        `json:"lsBefore" plusMinus:"lsBeforePlusMinus" unit:"1" doc:"topographic factor before"`
	LSAfter         estimate        `json:"lsAfter" plusMinus:"lsAfterPlusMinus" unit:"1" doc:"topographic factor after"`
	Others          []otherRatio    `json:"others" doc:"what the same covers give in the other series; never an average of them"`
	TonnesPerHaYear *tonnesOut      `json:"tonnesPerHaYear,omitempty" doc:"only where r and k were given with their sources"`
	Basis           string          `json:"basis" doc:"what length and slope come from"`
	Sources         []string        `json:"sources" doc:"the table and formula used"`
	Cautions        []model.Caution `json:"cautions" doc:"what the figures do not say"`
}

type otherRatio struct {
	CoverSeries string   `json:"coverSeries" doc:"the series"`
	Ratio       estimate `json:"ratio" plusMinus:"plusMinus" unit:"1" doc:"loss after over loss before by that series"`
	Source      string   `json:"source" doc:"where it is printed"`
}

type tonnesOut struct {
	Before  estimate `json:"before" plusMinus:"beforePlusMinus" unit:"t/(har.a)" doc:"long-run average before"`
	After   estimate `json:"after" plusMinus:"afterPlusMinus" unit:"t/(har.a)" doc:"long-run average after"`
	RSource string   `json:"rSource" doc:"where r comes from"`
	KSource string   `json:"kSource" doc:"where k comes from"`
}

var soilLossCautions = []model.Caution{
	{Text: "Sheet and rill erosion of a hillslope over many years: it says nothing of gullies, tracks, banks, or a single storm."},
	{About: "ratio", Text: "Cover alone overstates repair: 50, 70 and 75 % are all quoted as the turning point, and where 70 % was measured under simulated rain the loss was a tenth of bare ground, not the fortieth that the pasture set gives."},
	{About: "tonnesPerHaYear", Text: "Tonnes lean on r and k more than on anything measured here: report the ratio first."},
}

var soilLossDoc = Doc{
	Name:    "soil-loss",
	Growth:  Linear,
	Summary: "soil loss of a hillslope after over before its cover changed, as a ratio",
	Limits: []string{
		"Slope lengths from 4.5 to 305 m, slopes from 0.2 to 60 % (usle to 20 %), as far as the tables were printed.",
		"Both covers are read off one named series, straight in the logarithm between its rows, level past its last row.",
		"The topographic factor cancels unless lengthAfterM is given. It is that of a moderate share of rills; the support factor P is taken as 1.",
		"Cover errors go through the whole curve, cut off at 0 and 100 %; errors of length and slope are taken as small.",
		"No tonnes without r, k and the source of each.",
	},
	Cautions: cautionTexts(soilLossCautions),
	Sources: []model.Source{
		soilloss.AllSeries[0].Source, soilloss.AllSeries[1].Source, soilloss.AllSeries[2].Source, soilloss.AllSeries[3].Source,
		soilloss.RUSLE.Source(), soilloss.USLE.Source(),
		{Title: "70 % cover, one tenth of bare: Eskdale rainfall simulation", Place: "key findings", How: model.LookedUp},
		{Title: "Scanlan and McIvor 1993", Place: "abstract: little runoff and erosion above 50 % cover", How: model.LookedUp},
		{Title: "Factor 0.1317 from US customary to SI K: Foster et al. 1981, Journal of Soil and Water Conservation 36:355-359", How: model.FromMemory},
		{Title: "Moments of a curve straight in its logarithm under a normal error", How: model.Derived},
	},
}

var soilLoss = define(soilLossDoc, func(in soilLossIn, _ *model.Work) (soilLossOut, error) {
	series, _ := soilloss.SeriesNamed(orElse(in.CoverSeries, soilloss.AllSeries[0].Name)) // the reader lets no other name through
	change := soilloss.Change{
		LengthM: in.LengthM, LengthAfterM: orElse(in.LengthAfterM.Value, in.LengthM), SlopePct: in.SlopePct.Value,
		CoverBeforePct: in.CoverBeforePct.Value, CoverAfterPct: in.CoverAfterPct.Value,
		Series: series, Formula: soilloss.Formula(orElse(in.Formula, string(soilloss.RUSLE))),
	}
	var factors soilloss.Factors
	for _, given := range []struct {
		path string
		from *float64
		into *float64
	}{
		{"lengthPlusMinusM", in.LengthAfterM.PlusMinus, &change.LengthPlusMinusM}, {"slopePlusMinusPct", in.SlopePct.PlusMinus, &change.SlopePlusMinusPct},
		{"coverBeforePlusMinusPct", in.CoverBeforePct.PlusMinus, &change.CoverBeforePlusMinus}, {"coverAfterPlusMinusPct", in.CoverAfterPct.PlusMinus, &change.CoverAfterPlusMinus},
		{"rPlusMinus", in.R.PlusMinus, &factors.RPlusMinus}, {"kPlusMinus", in.K.PlusMinus, &factors.KPlusMinus},
	} {
		if *given.into = orElse(given.from, -1); given.from != nil && !(*given.from >= 0) {
			return soilLossOut{}, &model.Problem{Path: given.path, Reason: fmt.Sprintf("%v is not a ± of 0 or more", *given.from), Fix: "leave it out when it is not known"}
		}
	}
	o, err := change.Compare()
	if err != nil {
		return soilLossOut{}, err
	}
	out := soilLossOut{
		Ratio: estimate{o.Ratio, o.RatioPlusMinus}, Verdict: string(o.Verdict), CoverSeries: series.Name, Formula: string(change.Formula),
		CBefore: estimate{o.CBefore, o.CBeforePlusMinus}, CAfter: estimate{o.CAfter, o.CAfterPlusMinus},
		LSBefore: estimate{o.LSBefore, o.LSBeforePlusMinus}, LSAfter: estimate{o.LSAfter, o.LSAfterPlusMinus},
		Basis: orElse(in.Basis, string(model.Unproven)), Sources: []string{series.Source.String(), change.Formula.Source().String()}, Cautions: soilLossCautions,
	}
	for _, other := range soilloss.AllSeries {
		if other.Name == series.Name {
			continue
		}
		change := change
		change.Series = other
		if o, err := change.Compare(); err == nil {
			out.Others = append(out.Others, otherRatio{other.Name, estimate{o.Ratio, o.RatioPlusMinus}, other.Source.String()})
		}
	}
	out.TonnesPerHaYear, err = soilLossTonnes(in, change, factors)
	return out, err
}).after(soilLossFeeds()...)

// soilLossTonnes is nil where neither factor nor source was given.
func soilLossTonnes(in soilLossIn, change soilloss.Change, f soilloss.Factors) (*tonnesOut, error) {
	if in.R.Value == nil && in.K.Value == nil && in.RSource == "" && in.KSource == "" {
		return nil, nil
	}
	for _, needed := range []struct {
		path string
		from *float64
	}{{"r", in.R.Value}, {"k", in.K.Value}} {
		if needed.from == nil {
			return nil, &model.Problem{Path: needed.path, Reason: "is missing: tonnes need both r and k", Fix: "leave all of r, k and their sources out to keep to the ratio"}
		}
	}
	f.R, f.RSource, f.K, f.KSource = *in.R.Value, in.RSource, *in.K.Value, in.KSource
	t, err := change.Tonnes(f)
	if err != nil {
		return nil, err
	}
	return &tonnesOut{estimate{t.Before, t.BeforePlusMinus}, estimate{t.After, t.AfterPlusMinus}, f.RSource, f.KSource}, nil
}
