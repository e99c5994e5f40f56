package compute

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/runoff"
)

// catchment is the catchment of the input and how each part's coefficient came about.
func (in peakFlowIn) catchment() (runoff.Catchment, []partOut, error) {
	given := in.Parts
	switch {
	case in.Parts == nil && in.AreaHa.Value == nil:
		return nil, nil, &model.Problem{Path: "areaHa", Reason: "is missing", Fix: "give the catchment's area, or its parts"}
	case in.Parts == nil:
		given = []partIn{{valueIn{*in.AreaHa.Value, in.AreaHa.PlusMinus}, in.coverIn}}
	case in.AreaHa != optional{} || in.coverIn != coverIn{}:
		return nil, nil, &model.Problem{Path: "parts", Reason: "cannot be given with an area or a coefficient of the whole", Fix: "give one of the two"}
	}
	var catchment runoff.Catchment
	var parts []partOut
	for i, part := range given {
		area, err := part.AreaHa.quantity("areaPlusMinusHa")
		c := runoff.Coefficient{}
		if err == nil {
			c, err = part.coefficient()
		}
		if err != nil {
			return nil, nil, in.asGiven(problem(err).Within(fmt.Sprintf("parts[%d]", i)))
		}
		catchment = append(catchment, runoff.Part{AreaHa: *area, Coefficient: c.Quantity})
		parts = append(parts, partOut{area.Value, estimate(c.Quantity), c.Low, c.High, c.Source})
	}
	return catchment, parts, nil
}

// asGiven names what is wrong with the one part of an undivided catchment as the input
// does.
func (in peakFlowIn) asGiven(err error) error {
	p := *problem(err)
	if in.Parts == nil {
		p.Path = strings.TrimPrefix(p.Path, "parts[0].")
		if p.Path == "parts" {
			p.Path = "areaHa"
		}
	}
	return &p
}

func (in coverIn) coefficient() (runoff.Coefficient, error) {
	if in.Coefficient.Value != nil {
		if in.Table != "" {
			return runoff.Coefficient{}, &model.Problem{Path: "coefficient", Reason: "cannot be given with a named table", Fix: "give one of the two"}
		}
		c, err := in.Coefficient.quantity("coefficientPlusMinus")
		if err != nil {
			return runoff.Coefficient{}, err
		}
		return runoff.Coefficient{Quantity: *c, Low: c.Value, High: c.Value, Source: "as given"}, nil
	}
	if in.Table == "" {
		return runoff.Coefficient{}, &model.Problem{Path: "coefficient", Reason: "is missing", Fix: "give it, or a table with cover, and soil and slope as the table asks"}
	}
	c, err := runoff.Lookup(in.Table, in.Cover, in.Soil, orElse(in.SlopePct, math.NaN()))
	if err == nil && in.Coefficient.PlusMinus != nil {
		var q *runoff.Quantity
		if q, err = (optional{&c.Value, in.Coefficient.PlusMinus}).quantity("coefficientPlusMinus"); err == nil {
			c.Quantity = *q
		}
	}
	return c, err
}

// intensity is the one given, or read from the table in this way.
func (in peakFlowIn) intensity(between runoff.Between) (runoff.Reading, error) {
	if p := in.rainIn.check(); p != nil {
		return runoff.Reading{}, p
	}
	table := orElse(in.IntensityPlusMinusPct, -1)
	if in.IntensityPlusMinusPct != nil && !(table >= 0 && table <= 100) {
		return runoff.Reading{}, &model.Problem{Path: "intensityPlusMinusPct", Reason: fmt.Sprintf("%v is not a ± from 0 to 100 %%", table)}
	}
	minutes, err := in.TimeOfConcentrationMin.quantity("timeOfConcentrationPlusMinusMin")
	switch {
	case err != nil:
		return runoff.Reading{}, err
	case in.IntensityMmH != nil && in.Durations != nil:
		return runoff.Reading{}, &model.Problem{Path: "intensityMmH", Reason: "cannot be given with a rainfall table", Fix: "give one of the two"}
	case in.IntensityMmH != nil:
		q := runoff.Unsure(*in.IntensityMmH)
		if table >= 0 {
			q.PlusMinus = q.Value * table / 100
		}
		return runoff.Reading{IntensityMmH: q}, nil
	case in.Durations == nil:
		return runoff.Reading{}, &model.Problem{Path: "intensityMmH", Reason: "is missing", Fix: "give it, or durations with timeOfConcentrationMin"}
	case minutes == nil:
		return runoff.Reading{}, &model.Problem{Path: "timeOfConcentrationMin", Reason: "is missing", Fix: "time-of-concentration works it out"}
	}
	return runoff.Rainfall(in.Durations).At(*minutes, between, table)
}

func (in peakFlowIn) cautions(out peakFlowOut) []model.Caution {
	all := append(in.rainIn.cautions(), runoff.PeakCautions...)
	most := 0.0
	for _, p := range out.Parts {
		most += p.AreaHa * p.High
	}
	if mean := out.Coefficient.Value * out.AreaHa.Value; most > mean*1.001 {
		all = append(all, model.Caution{About: "coefficient", Text: fmt.Sprintf("The source gives a range and its middle was taken; with the upper end the peak is %.3g m3/s.", out.FlowM3S.Value*most/mean)})
	}
	if out.DurationMin != nil && in.TimeOfConcentrationMin.Value != nil && *out.DurationMin != *in.TimeOfConcentrationMin.Value {
		all = append(all, model.Caution{About: "timeOfConcentrationMin", Text: fmt.Sprintf("%.4g min is shorter than the table: the intensity of its first duration, %v min, was taken.", *in.TimeOfConcentrationMin.Value, *out.DurationMin)})
	}
	if beyond := runoff.Stricter(out.AreaHa.Value); len(beyond) > 0 && in.AreaLimit == "" {
		texts := model.Each(beyond, func(l runoff.AreaLimit) string { return fmt.Sprintf("%v ha (%s)", l.Ha, l.Source) })
		all = append(all, model.Caution{About: "areaHa", Text: fmt.Sprintf("Other texts end the rational method at a smaller catchment than %.6g ha: %s. Over a large one rain, soil and cover are not of one kind: have an engineer check the flow.", out.AreaHa.Value, strings.Join(texts, "; "))})
	}
	grazed := slices.ContainsFunc(append(in.Parts, partIn{coverIn: in.coverIn}), func(p partIn) bool { return p.Table != "" && p.Cover == "pasture" })
	if grazed {
		all = append(all, model.Caution{About: "coefficient", Text: runoff.NoDegraded})
	}
	return all
}
