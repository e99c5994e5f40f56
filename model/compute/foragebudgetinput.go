package compute

import (
	"fmt"

	"headcut/model"
	"headcut/model/grazing"
	"headcut/model/monitor"
)

type forageBudgetIn struct {
	LandTypes    []landTypeIn        `json:"landTypes" doc:"the parts of the paddock that carry feed of one sort"`
	DryMatterPct optional            `json:"dryMatterPct,omitempty" plusMinus:"dryMatterPlusMinusPct" unit:"%" doc:"dry share of quadrats weighed fresh, alike for all land types without their own; this or drySamples" plusMinusDoc:"one standard deviation, shared by all those quadrats; not known if not given"`
	DrySamples   []grazing.DrySample `json:"drySamples,omitempty" doc:"parts of the cuts weighed before and after drying; two or more give the ± too"`
	EyePct       *float64            `json:"eyePlusMinusPct,omitempty" unit:"%" doc:"one standard deviation, of the feed, by which the eye reads all photo standards too high or too low; not known if not given"`

	DetachmentPct          optional `json:"detachmentPct,omitempty" plusMinus:"detachmentPlusMinusPct" unit:"%" doc:"feed that falls, blows away and is trampled over the whole time it must last; this or detachmentPer30DaysPct"`
	DetachmentPer30DaysPct optional `json:"detachmentPer30DaysPct,omitempty" plusMinus:"detachmentPer30DaysPlusMinusPct" unit:"%" doc:"the same of what stands, in each 30 days"`
	UnpalatablePct         valueIn  `json:"unpalatablePct" plusMinus:"unpalatablePlusMinusPct" unit:"%" doc:"of the feed, weeds and what stock leave"`
	ResidualKgHa           float64  `json:"residualKgHa" unit:"kg/har" doc:"dry matter that must be left"`
	GrowthKgHaDay          optional `json:"growthKgHaDay,omitempty" plusMinus:"growthPlusMinusKgHaDay" unit:"kg/(har.d)" doc:"palatable growth expected in a day; none is counted if not given"`
	UtilisationPct         *float64 `json:"utilisationPct,omitempty" unit:"%" doc:"share that stock may eat; the residual alone decides if not given"`
	UtilisationOf          string   `json:"utilisationOf,omitempty" choices:"standing feed|growth" doc:"what it is a share of: the palatable feed that stands, or a year's growth; required with it"`
	YearGrowthKgHa         optional `json:"yearGrowthKgHa,omitempty" plusMinus:"yearGrowthPlusMinusKgHa" unit:"kg/har" doc:"a year's growth, for a share of it"`

	Ratings     string   `json:"ratings,omitempty" choices:"ae-low|ae-moderate|ae-high|au-1990|dse" doc:"a published table of animals in units: adult equivalents on land of low, moderate and high productivity in northern Australia, US animal units, dry sheep equivalents"`
	IntakeKgDay optional `json:"intakeKgDay,omitempty" plusMinus:"intakePlusMinusKgDay" unit:"kg/d" doc:"dry matter that one adult equivalent, or other unit, eats in a day; that of the ratings if not given, and required without them"`
	Mobs        []mobIn  `json:"mobs,omitempty" doc:"the herd, by class; none asks for adult equivalents, or other units"`
	Days        *float64 `json:"days,omitempty" unit:"d" doc:"how long the feed must last; asked if not given"`

	CoverPct       optional `json:"coverPct,omitempty" plusMinus:"coverPlusMinusPct" unit:"%" doc:"ground cover, as cover answers it; with a target"`
	CoverLowPct    *float64 `json:"coverLowPct,omitempty" unit:"%" doc:"its lower 95 % limit, as cover answers it; by the ± if not given"`
	CoverHighPct   *float64 `json:"coverHighPct,omitempty" unit:"%" doc:"its upper 95 % limit"`
	CoverTarget    string   `json:"coverTarget,omitempty" choices:"runoff-50|soil-loss-70|sediment-75" doc:"a published threshold of cover, as in cover"`
	CoverTargetPct *float64 `json:"coverTargetPct,omitempty" unit:"%" doc:"the local target, in place of coverTarget"`
}

type landTypeIn struct {
	Name      string      `json:"name,omitempty" doc:"what it is called"`
	AreaHa    valueIn     `json:"areaHa" plusMinus:"areaPlusMinusHa" unit:"har" doc:"its area in the paddock" plusMinusDoc:"one standard deviation; taken as right if not given"`
	OutHa     float64     `json:"outHa,omitempty" unit:"har" doc:"of it gullied, scalded, fenced off or too far from water; 0 if not given"`
	Quadrats  *quadratsIn `json:"quadrats,omitempty" doc:"frames placed without choosing, cut and weighed; this or photosKgHa"`
	PhotoKgHa []float64   `json:"photosKgHa,omitempty" unit:"kg/har" doc:"dry matter read off photo standards, one for each place looked at"`
}

type quadratsIn struct {
	FrameM2      float64             `json:"frameM2" unit:"m2" doc:"ground inside the frame: 0.25 of 0.5 m by 0.5 m"`
	CutsG        []float64           `json:"cutsG" unit:"g" doc:"of each cut, without its bag"`
	Dried        *bool               `json:"dried,omitempty" doc:"the cuts were weighed dry; fresh if not given"`
	DryMatterPct optional            `json:"dryMatterPct,omitempty" plusMinus:"dryMatterPlusMinusPct" unit:"%" doc:"dry share of these cuts, in place of that of all"`
	DrySamples   []grazing.DrySample `json:"drySamples,omitempty" doc:"samples of these cuts, in place of those of all"`
}

type mobIn struct {
	Name         string   `json:"name,omitempty" doc:"what the mob is called"`
	Head         *int     `json:"head,omitempty" unit:"1" doc:"how many; leave it out of one mob alone to ask how many fit"`
	Class        string   `json:"class,omitempty" doc:"a class of the ratings, as steers 1-2; this or unitsPerHead"`
	UnitsPerHead optional `json:"unitsPerHead,omitempty" plusMinus:"unitsPlusMinusPerHead" unit:"1" doc:"adult equivalents, or other units, of each head" plusMinusDoc:"one standard deviation; taken as right if not given"`
}

// feedValue is a value of a budget that may be there, whose plus-minus stands at path.
func feedValue(in optional, path string) (*grazing.Quantity, error) {
	q, err := in.quantity(path)
	return (*grazing.Quantity)(q), err
}

// budget is what is asked, and where its intake comes from.
func (in forageBudgetIn) budget() (b grazing.Budget, source string, err error) {
	b = grazing.Budget{ResidualKgHa: in.ResidualKgHa, Days: orElse(in.Days, 0)}
	if in.Days != nil && *in.Days == 0 {
		return b, "", &model.Problem{Path: "days", Reason: "is 0", Fix: "leave it out to ask how long the feed lasts"}
	}
	if b.Paddock, err = in.paddock(); err != nil {
		return b, "", err
	}
	var detached, per30, unpalatable, yearGrowth *grazing.Quantity
	for _, one := range []struct {
		into **grazing.Quantity
		in   optional
		path string
	}{
		{&detached, in.DetachmentPct, "detachmentPlusMinusPct"}, {&per30, in.DetachmentPer30DaysPct, "detachmentPer30DaysPlusMinusPct"},
		{&unpalatable, in.UnpalatablePct.optional(), "unpalatablePlusMinusPct"}, {&b.GrowthKgHaDay, in.GrowthKgHaDay, "growthPlusMinusKgHaDay"},
		{&yearGrowth, in.YearGrowthKgHa, "yearGrowthPlusMinusKgHa"},
	} {
		if *one.into, err = feedValue(one.in, one.path); err != nil {
			return b, "", err
		}
	}
	b.UnpalatablePct = *unpalatable
	switch {
	case (detached == nil) == (per30 == nil):
		return b, "", &model.Problem{Path: "detachmentPct", Reason: "or detachmentPer30DaysPct is needed, and one of them only", Fix: "give 0 where nothing is lost"}
	case detached != nil:
		b.Detachment.Pct = *detached
	default:
		b.Detachment = grazing.Detachment{Pct: *per30, Per30Days: true}
	}
	if b.Utilisation, err = in.utilisation(yearGrowth); err != nil {
		return b, "", err
	}
	ratings, rated := grazing.RatingsNamed(in.Ratings)
	source = "given"
	if rated && in.IntakeKgDay.Value == nil {
		in.IntakeKgDay.Value, source = &ratings.IntakeKgDay, ratings.Intake.String()
	}
	intake, err := feedValue(in.IntakeKgDay, "intakePlusMinusKgDay")
	switch {
	case err != nil:
		return b, "", err
	case intake == nil:
		return b, "", &model.Problem{Path: "intakeKgDay", Reason: "is missing", Fix: "give kg of dry matter for each adult equivalent in a day, or name the ratings"}
	}
	b.IntakeKgDay = *intake
	for i, m := range in.Mobs {
		mob, err := m.mob(ratings, rated)
		if err != nil {
			return b, "", problem(err).Within(fmt.Sprintf("mobs[%d]", i))
		}
		b.Mobs = append(b.Mobs, mob)
	}
	return b, source, nil
}

func (in forageBudgetIn) paddock() (p grazing.Paddock, err error) {
	if p.EyePct, err = plusMinusOf("eyePlusMinusPct", in.EyePct, -1); err != nil {
		return p, err
	}
	if p.DryPct, err = dryShare(in.DryMatterPct, in.DrySamples); err != nil {
		return p, err
	}
	for i, l := range in.LandTypes {
		land, err := l.land()
		if err != nil {
			return p, problem(err).Within(fmt.Sprintf("landTypes[%d]", i))
		}
		p.LandTypes = append(p.LandTypes, land)
	}
	return p, nil
}

func (l landTypeIn) land() (grazing.LandType, error) {
	land := grazing.LandType{Name: l.Name, OutHa: l.OutHa, Looks: l.PhotoKgHa}
	area := l.AreaHa.optional()
	if area.PlusMinus == nil {
		area.PlusMinus = new(float64)
	}
	q, err := feedValue(area, "areaPlusMinusHa")
	if err != nil {
		return land, err
	}
	if land.AreaHa = *q; l.Quadrats == nil {
		return land, nil
	}
	land.Cuts = &grazing.Cuts{FrameM2: l.Quadrats.FrameM2, Grams: l.Quadrats.CutsG}
	if land.Cuts.DryPct, err = dryShare(l.Quadrats.DryMatterPct, l.Quadrats.DrySamples); err != nil {
		return land, problem(err).Within("quadrats")
	}
	if orElse(l.Quadrats.Dried, false) {
		if land.Cuts.DryPct != nil {
			return land, &model.Problem{Path: "quadrats.dried", Reason: "cannot be given with a dry share", Fix: "leave the share out"}
		}
		land.Cuts.DryPct = &grazing.Quantity{Value: 100}
	}
	return land, nil
}

// dryShare is nil where neither a share nor samples are given.
func dryShare(pct optional, samples []grazing.DrySample) (*grazing.Quantity, error) {
	q, err := feedValue(pct, "dryMatterPlusMinusPct")
	switch {
	case err != nil || samples == nil:
		return q, err
	case q != nil:
		return nil, &model.Problem{Path: "drySamples", Reason: "cannot be given with dryMatterPct", Fix: "give one of them"}
	}
	share, err := grazing.DryShare(samples)
	return &share, err
}

func (in forageBudgetIn) utilisation(yearGrowth *grazing.Quantity) (*grazing.Utilisation, error) {
	ofGrowth := in.UtilisationOf == "growth"
	switch {
	case in.UtilisationPct == nil && in.UtilisationOf == "" && yearGrowth == nil:
		return nil, nil
	case in.UtilisationPct == nil:
		return nil, &model.Problem{Path: "utilisationPct", Reason: "is missing", Fix: "give the share that stock may eat, or leave what it is of out too"}
	case in.UtilisationOf == "":
		return nil, &model.Problem{Path: "utilisationOf", Reason: "is missing", Fix: "say standing feed or growth: a share of the one is wrong for the other"}
	case ofGrowth != (yearGrowth != nil):
		return nil, &model.Problem{Path: "yearGrowthKgHa", Reason: "belongs to a share of growth", Fix: "give it with growth, and leave it out with standing feed"}
	}
	return &grazing.Utilisation{Pct: *in.UtilisationPct, GrowthKgHa: yearGrowth}, nil
}

func (m mobIn) mob(ratings grazing.Ratings, rated bool) (grazing.Mob, error) {
	mob := grazing.Mob{Head: orElse(m.Head, 0)}
	if m.Head != nil && *m.Head < 1 {
		return mob, &model.Problem{Path: "head", Reason: fmt.Sprintf("%d is not 1 or more", *m.Head), Fix: "leave it out to ask how many fit"}
	}
	units, err := feedValue(m.UnitsPerHead, "unitsPlusMinusPerHead")
	switch {
	case err != nil:
		return mob, err
	case (units == nil) == (m.Class == ""):
		return mob, &model.Problem{Path: "unitsPerHead", Reason: "or class is needed, and one of them only"}
	case units != nil:
		mob.UnitsPerHead = grazing.Quantity{Value: units.Value, PlusMinus: max(0, units.PlusMinus)}
		return mob, nil
	case !rated:
		return mob, &model.Problem{Path: "class", Reason: "is a class of no ratings", Fix: "name the ratings, or give unitsPerHead"}
	}
	v, p := ratings.UnitsPerHead(m.Class)
	mob.UnitsPerHead.Value = v
	return mob, p.Err()
}

// cover is nil where no cover is given.
func (in forageBudgetIn) cover() (*coverFirst, error) {
	pct, err := feedValue(in.CoverPct, "coverPlusMinusPct")
	if err != nil {
		return nil, err
	}
	target := in.CoverTargetPct
	if named, ok := model.Find(monitor.CoverTargets, func(t monitor.CoverTarget) bool { return t.Name == in.CoverTarget }); ok {
		if target != nil {
			return nil, &model.Problem{Path: "coverTargetPct", Reason: "cannot be given with coverTarget", Fix: "give one of them"}
		}
		target = &named.TargetPct
	}
	switch {
	case pct == nil && target == nil && in.CoverLowPct == nil && in.CoverHighPct == nil:
		return nil, nil
	case pct == nil:
		return nil, &model.Problem{Path: "coverPct", Reason: "is missing", Fix: "give the cover, or leave its target and limits out"}
	case target == nil:
		return nil, &model.Problem{Path: "coverTargetPct", Reason: "is missing", Fix: "give the local target, or name a coverTarget"}
	}
	meets, err := grazing.GroundCover{Pct: *pct, LowPct: in.CoverLowPct, HighPct: in.CoverHighPct, TargetPct: *target}.Meets()
	if err != nil {
		return nil, err
	}
	out := &coverFirst{CoverPct: estimate(*pct), TargetPct: *target, Meets: string(meets), RestFirst: meets != monitor.Yes, Text: grazing.WhatFollows(meets),
		Sources: model.Each(grazing.RestSources, model.Source.String)}
	if out.RestFirst {
		out.LeastRestDays, out.MostRestDays = new(grazing.LeastRestDays), new(grazing.MostRestDays)
	}
	return out, nil
}
