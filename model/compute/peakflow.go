package compute

import (
	"headcut/model"
	"headcut/model/runoff"
)

// coverIn is a runoff coefficient, as a number or from a named table.
type coverIn struct {
	Coefficient optional `json:"coefficient,omitempty" plusMinus:"coefficientPlusMinus" unit:"1" doc:"share of the rain's rate that runs off; or name a table" plusMinusDoc:"one standard deviation; of a table that gives a range, range/√12; not known otherwise"`
	Table       string   `json:"table,omitempty" choices:"land-by-slope-and-soil|bare-and-grazed-ground" doc:"published table to take the coefficient from: land-by-slope-and-soil by Schwab and others, bare-and-grazed-ground by the California Clean Water Team; neither knows scalded or degraded ground"`
	Cover       string   `json:"cover,omitempty" choices:"pasture|woodland|cultivated|bare smooth|bare rough" doc:"row of the table; bare ground is in bare-and-grazed-ground alone, cultivated in land-by-slope-and-soil"`
	Soil        string   `json:"soil,omitempty" choices:"open sandy loam|clay and silt loam|tight clay|heavy|sandy" doc:"column of the table: the first three of land-by-slope-and-soil, the last two of bare-and-grazed-ground"`
	SlopePct    *float64 `json:"slopePct,omitempty" unit:"%" doc:"of the land, for land-by-slope-and-soil"`
}

type partIn struct {
	AreaHa valueIn `json:"areaHa" plusMinus:"areaPlusMinusHa" unit:"har" doc:"of this part, on the map"`
	coverIn
}

type peakFlowIn struct {
	AreaHa optional `json:"areaHa,omitempty" plusMinus:"areaPlusMinusHa" unit:"har" doc:"of the catchment, on the map; or give parts"`
	coverIn
	Parts                  []partIn `json:"parts,omitempty" doc:"pieces of the catchment that shed differently, instead of areaHa and one coefficient"`
	AreaLimit              string   `json:"areaLimit,omitempty" choices:"20 acres|12 km2|25 km2" doc:"the text whose limit applies; 25 km2, the widest, if not given"`
	IntensityMmH           *float64 `json:"intensityMmH,omitempty" unit:"mm/h" doc:"of the design storm over the time of concentration; or give durations"`
	IntensityPlusMinusPct  *float64 `json:"intensityPlusMinusPct,omitempty" unit:"%" doc:"one standard deviation of the table's intensities; not known if not given"`
	TimeOfConcentrationMin optional `json:"timeOfConcentrationMin,omitempty" plusMinus:"timeOfConcentrationPlusMinusMin" unit:"min" doc:"duration to read durations at"`
	rainIn
}

type peakFlowOut struct {
	FlowM3S       estimate        `json:"flowM3S" plusMinus:"flowPlusMinusM3S" unit:"m3/s" doc:"peak" plusMinusDoc:"one standard deviation, from the inputs alone; none when not known"`
	IntensityMmH  estimate        `json:"intensityMmH" plusMinus:"intensityPlusMinusMmH" unit:"mm/h" doc:"the intensity used"`
	DurationMin   *float64        `json:"durationMin,omitempty" unit:"min" doc:"the duration it was read at"`
	AreaHa        estimate        `json:"areaHa" plusMinus:"areaPlusMinusHa" unit:"har" doc:"of the whole catchment"`
	Coefficient   estimate        `json:"coefficient" plusMinus:"coefficientPlusMinus" unit:"1" doc:"the coefficient used, weighted by area"`
	Parts         []partOut       `json:"parts" doc:"the pieces, as used"`
	OtherReadings []readingOut    `json:"otherReadings" doc:"what the other ways of reading between durations lead to"`
	Event         string          `json:"event,omitempty" doc:"as given"`
	TableDate     string          `json:"tableDate,omitempty" doc:"as given"`
	Cautions      []model.Caution `json:"cautions" doc:"what to watch for"`
}

type partOut struct {
	AreaHa      float64  `json:"areaHa" unit:"har" doc:"of this part"`
	Coefficient estimate `json:"coefficient" plusMinus:"coefficientPlusMinus" unit:"1" doc:"the middle where the source gives a range"`
	Low         float64  `json:"low" unit:"1" doc:"the least the source gives"`
	High        float64  `json:"high" unit:"1" doc:"the most the source gives"`
	Source      string   `json:"source" doc:"whose coefficient it is"`
}

type readingOut struct {
	Between      string  `json:"between" doc:"how it was read"`
	IntensityMmH float64 `json:"intensityMmH" unit:"mm/h" doc:"read that way"`
	FlowM3S      float64 `json:"flowM3S" unit:"m3/s" doc:"and the peak it gives"`
}

var peakFlowDoc = Doc{
	Name:    "peak-flow",
	Growth:  Linear,
	Summary: "the peak of a design storm from a small catchment, by the rational method",
	Limits: []string{
		"Texts let the method be used to 20 acres (8.1 ha), 12 km2 or 25 km2: the widest applies unless areaLimit names another, a larger catchment is refused, and one beyond the stricter texts gets a caution.",
		runoff.NoDegraded,
		"The rainfall is the officer's own table; it is never read beyond its durations. A time shorter than a first duration of at most 6 min is read at that duration.",
		"Coefficients from 0.01 to 1. The tables disagree and are not blended; the officer's own figure may stand instead.",
		"No flood is routed: storage in dams, swamps and banks is not looked at.",
	},
	Cautions: cautionTexts(runoff.PeakCautions),
	Sources:  peakSources(),
}

var peakFlow = define(peakFlowDoc, func(in peakFlowIn, _ *model.Work) (peakFlowOut, error) {
	catchment, parts, err := in.catchment()
	if err != nil {
		return peakFlowOut{}, err
	}
	limit := runoff.WidestLimit
	if l, ok := model.Find(runoff.AreaLimits, func(l runoff.AreaLimit) bool { return l.Name == in.AreaLimit }); ok {
		limit = l
	}
	reading, err := in.intensity(runoff.Between(in.Between))
	if err != nil {
		return peakFlowOut{}, err
	}
	peak, err := catchment.Rational(reading.IntensityMmH, limit)
	if err != nil {
		return peakFlowOut{}, in.asGiven(err)
	}
	out := peakFlowOut{
		FlowM3S: estimate(peak.FlowM3S), IntensityMmH: estimate(peak.IntensityMmH), AreaHa: estimate(peak.AreaHa), Coefficient: estimate(peak.Coefficient),
		Parts: parts, Event: in.Event, TableDate: in.TableDate,
	}
	if in.Durations != nil {
		out.DurationMin = &reading.DurationMin
		for _, other := range runoff.Betweens {
			if other == reading.Between {
				continue
			}
			if r, err := in.intensity(other); err == nil {
				out.OtherReadings = append(out.OtherReadings, readingOut{string(other), r.IntensityMmH.Value, peak.FlowM3S.Value * r.IntensityMmH.Value / peak.IntensityMmH.Value})
			}
		}
	}
	out.Cautions = in.cautions(out)
	return out, nil
}).after(peakFlowFeeds()...)

func peakSources() []model.Source {
	all := []model.Source{
		{Title: "Practices of Irrigation and On-farm Water Management", Place: "equation 6.7: Q = C i A / 360", How: model.LookedUp},
		{Title: "Intensity charts with log scales both ways: farm engineering text", Place: "figure 16.8", How: model.LookedUp},
		{Title: "Soil Conservation Guidelines for Queensland", Place: "chapter 3: structures for 1 in 10 years", How: model.LookedUp},
		{Title: "A time below 6 min taken as the table's first", How: model.CommonPractice},
	}
	for _, t := range runoff.Coefficients {
		all = append(all, t.Source)
	}
	for _, l := range runoff.AreaLimits {
		all = append(all, l.Source)
	}
	return all
}
