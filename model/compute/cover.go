package compute

import (
	"headcut/model"
	"headcut/model/monitor"
)

type coverPlot struct {
	Name     string  `json:"name,omitempty" doc:"what the plot is called"`
	CoverPct float64 `json:"coverPct" unit:"%" doc:"ground covered by plants, litter, stone or crust"`
}

type coverPoints struct {
	Hits  int `json:"hits" unit:"1" doc:"points on cover"`
	Total int `json:"total" unit:"1" doc:"all points read"`
}

type groundCoverIn struct {
	Plots                []coverPlot     `json:"plots,omitempty" doc:"plots judged by eye or photograph; this or points"`
	Points               *coverPoints    `json:"points,omitempty" doc:"points read along a line, by steps or under a pin frame"`
	ObserverPlusMinusPct *float64        `json:"observerPlusMinusPct,omitempty" unit:"%" doc:"one standard deviation by which the observer judges all plots too high or low; not counted if not given"`
	Target               string          `json:"target,omitempty" choices:"runoff-50|soil-loss-70|sediment-75" doc:"a published threshold: runoff small above 50 %, soil loss a tenth from 70 %, sediment least above 75 %"`
	TargetPct            *float64        `json:"targetPct,omitempty" unit:"%" doc:"the local target, in place of target"`
	Date                 string          `json:"date,omitempty" doc:"day of the assessment, as in 2024-11-30"`
	DrySeason            *monitor.Season `json:"drySeason,omitempty" doc:"months of the dry where the land lies, to check the date"`
}

type coverVerdict struct {
	Target    string  `json:"target" doc:"its name, or local"`
	TargetPct float64 `json:"targetPct" unit:"%" doc:"the threshold"`
	Meets     string  `json:"meets" choices:"yes|no|cannot tell" doc:"yes when even the lower limit reaches it, no when even the upper one does not"`
	Why       string  `json:"why" doc:"what the threshold stands for, and who says so"`
}

type groundCoverOut struct {
	monitor.Cover
	MeetsTarget string          `json:"meetsTarget,omitempty" choices:"yes|no|cannot tell" doc:"whether the chosen or local target is met; none without one"`
	Targets     []coverVerdict  `json:"targets" doc:"the published thresholds, which differ, and the local one"`
	Limits      string          `json:"limits" choices:"Wilson|t|none" doc:"how the limits were found: Wilson's for points, Student's t for plots, none for one plot or plots all alike"`
	Cautions    []model.Caution `json:"cautions" doc:"what to watch for"`
}

var groundCoverDoc = Doc{
	Name:    "cover",
	Growth:  Linear,
	Summary: "ground cover from plots or points, with 95 % limits, against a target for the end of the dry",
	Limits: []string{
		"Plots from 0 to 100 %, at least two for limits; points as whole numbers.",
		"The limits hold for plots and points placed without choosing. Points nearer to each other than the patches of grass are large tell less than their number.",
		"Published targets differ from 50 to 75 % since they answer different questions; none is a default.",
	},
	Cautions: cautionTexts(monitor.CoverCautions),
	Sources: append([]model.Source{
		{Title: "E. B. Wilson, Probable inference, the law of succession, and statistical inference, Journal of the American Statistical Association 22:209-212, 1927", Place: "formula as printed in the help of several statistics packages", How: model.LookedUp},
		{Title: "NIST/SEMATECH e-Handbook of Statistical Methods", Place: "critical values of Student's t", How: model.LookedUp},
		{Title: "What counts is the end of the dry season, here its last two months", How: model.CommonPractice},
	}, coverTargetSources()...),
}

var groundCover = define(groundCoverDoc, func(in groundCoverIn, _ *model.Work) (groundCoverOut, error) {
	when, err := in.when()
	if err != nil {
		return groundCoverOut{}, err
	}
	c, limits, err := in.cover()
	if err != nil {
		return groundCoverOut{}, err
	}
	out := groundCoverOut{Cover: c, Limits: limits, Cautions: when.Cautions()}
	for _, t := range monitor.CoverTargets {
		v := coverVerdict{t.Name, t.TargetPct, string(c.Meets(t.TargetPct)), t.Why + ": " + t.Source.String()}
		out.Targets = append(out.Targets, v)
		if in.Target == t.Name {
			out.MeetsTarget = v.Meets
		}
	}
	if in.TargetPct == nil {
		return out, nil
	}
	if in.Target != "" {
		return groundCoverOut{}, &model.Problem{Path: "targetPct", Reason: "cannot be given with target", Fix: "give one of them"}
	}
	if !(*in.TargetPct > 1 && *in.TargetPct <= 100) {
		return groundCoverOut{}, &model.Problem{Path: "targetPct", Reason: "is not above 1 and up to 100 %", Fix: "give per cent, not a fraction: 0.6 is 60"}
	}
	out.MeetsTarget = string(c.Meets(*in.TargetPct))
	out.Targets = append(out.Targets, coverVerdict{"local", *in.TargetPct, out.MeetsTarget, "given as the local target"})
	return out, nil
})

// cover is the cover and how its limits were found.
func (in groundCoverIn) cover() (c monitor.Cover, limits string, err error) {
	if (in.Plots == nil) == (in.Points == nil) {
		return c, "", &model.Problem{Path: "plots", Reason: "or points are needed, and one of them only"}
	}
	observerPct, err := plusMinusOf("observerPlusMinusPct", in.ObserverPlusMinusPct, -1)
	if err != nil {
		return c, "", err
	}
	if in.Points != nil {
		if observerPct >= 0 {
			return c, "", &model.Problem{Path: "observerPlusMinusPct", Reason: "is for plots that are judged, not for points", Fix: "leave it out"}
		}
		c, err = monitor.OfPoints(in.Points.Hits, in.Points.Total)
		return c, "Wilson", err
	}
	covers := model.Each(in.Plots, func(p coverPlot) float64 { return p.CoverPct })
	c, err = monitor.OfPlots(covers, observerPct)
	if c.PlusMinusPct < 0 {
		return c, "none", err
	}
	return c, "t", err
}

func (in groundCoverIn) when() (at monitor.CoverAt, err error) {
	if in.Date != "" {
		day, err := dayFrom(in.Date)
		if err != nil {
			return at, err
		}
		at.Day = &day
	}
	at.Dry = in.DrySeason
	return at, checkSeason(in.DrySeason, "drySeason")
}

func coverTargetSources() []model.Source {
	return model.Each(monitor.CoverTargets, func(t monitor.CoverTarget) model.Source { return t.Source })
}
