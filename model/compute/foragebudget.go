package compute

import (
	"headcut/model"
	"headcut/model/grazing"
)

type forageBudgetOut struct {
	FeedKgHa        estimate        `json:"feedKgHa" plusMinus:"feedPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"feed on offer: dry matter, over all land types"`
	GrazedHa        estimate        `json:"grazedHa" plusMinus:"grazedPlusMinusHa" unit:"har" doc:"hectares that carry it, without those left out"`
	LandTypes       []landFeedOut   `json:"landTypes" doc:"each land type"`
	StandingKgHa    optional        `json:"standingKgHa,omitempty" plusMinus:"standingPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"of it palatable and left by detachment, ungrazed and without growth" plusMinusDoc:"one standard deviation; none when not known"`
	FeedErrorFactor *float64        `json:"feedErrorFactor,omitempty" unit:"1" decimals:"2" doc:"what a relative error of the feed is multiplied by on its way into what the residual leaves to eat"`
	Eat             *eatOut         `json:"eat,omitempty" doc:"feed that stock may eat; none where growth keeps up with them"`
	Lasts           *lastsOut       `json:"lasts,omitempty" doc:"how long the herd can stay; none without its head"`
	Fits            *fitsOut        `json:"fits,omitempty" doc:"how many can stay for the days; none without days"`
	Herd            *herdOut        `json:"herd,omitempty" doc:"what the herd eats; none without its head"`
	IntakeKgDay     estimate        `json:"intakeKgDay" plusMinus:"intakePlusMinusKgDay" unit:"kg/d" decimals:"2" doc:"dry matter that one adult equivalent, or other unit, eats in a day"`
	IntakeSource    string          `json:"intakeSource" doc:"where the intake comes from"`
	Unit            string          `json:"unit,omitempty" doc:"what the named ratings count in; none without them"`
	Classes         []grazing.Class `json:"classes,omitempty" doc:"the classes of the named ratings"`
	Cover           *coverFirst     `json:"cover,omitempty" doc:"ground cover against its target, and what follows"`
	Proposals       []proposalOut   `json:"proposals" doc:"what was published for inputs that are judged; none is taken by itself"`
	Cautions        []model.Caution `json:"cautions" doc:"what to watch for"`
}

type landFeedOut struct {
	Name           string   `json:"name,omitempty" doc:"what it is called"`
	GrazedHa       estimate `json:"grazedHa" plusMinus:"grazedPlusMinusHa" unit:"har" doc:"its hectares without those left out"`
	FeedKgHa       estimate `json:"feedKgHa" plusMinus:"feedPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"feed on offer"`
	LowKgHa        *float64 `json:"lowKgHa,omitempty" unit:"kg/har" decimals:"1" doc:"lower 95 % limit; none when not known"`
	HighKgHa       *float64 `json:"highKgHa,omitempty" unit:"kg/har" decimals:"1" doc:"upper 95 % limit"`
	VariationPct   *float64 `json:"variationPct,omitempty" unit:"%" doc:"standard deviation between quadrats or places, of their mean; none for one alone"`
	NeededFor10Pct *int     `json:"neededFor10Pct,omitempty" unit:"1" doc:"quadrats or places that bring the 95 % limits of their mean within 10 % of it"`
}

type eatOut struct {
	EatKgHa            estimate `json:"eatKgHa" plusMinus:"eatPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"the lesser of both rules; below 0 where less than the residual stands"`
	CautiousKgHa       *float64 `json:"cautiousKgHa,omitempty" unit:"kg/har" decimals:"1" doc:"one time in ten it is less; none when a ± is not known"`
	LimitedBy          string   `json:"limitedBy" choices:"residual|utilisation" doc:"the rule of the lesser"`
	ByResidualKgHa     optional `json:"byResidualKgHa,omitempty" plusMinus:"byResidualPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"so that the residual is left" plusMinusDoc:"one standard deviation; none when not known"`
	ByUtilisationKgHa  optional `json:"byUtilisationKgHa,omitempty" plusMinus:"byUtilisationPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"by the share of utilisation" plusMinusDoc:"one standard deviation; none when not known"`
	AnimalDaysHa       estimate `json:"animalDaysHa" plusMinus:"animalDaysPlusMinusHa" unit:"d/har" decimals:"1" doc:"days of one adult equivalent, or other unit, on each hectare"`
	CautiousAnimalDays *float64 `json:"cautiousAnimalDaysHa,omitempty" unit:"d/har" decimals:"1" doc:"one time in ten it is less"`
}

type lastsOut struct {
	Days              estimate `json:"days" plusMinus:"daysPlusMinus" unit:"d" decimals:"1" doc:"the lesser of both rules"`
	CautiousDays      *float64 `json:"cautiousDays,omitempty" unit:"d" decimals:"1" doc:"one time in ten it is less; none when a ± is not known"`
	LimitedBy         string   `json:"limitedBy" choices:"residual|utilisation" doc:"the rule of the lesser"`
	ByResidualDays    optional `json:"byResidualDays,omitempty" plusMinus:"byResidualPlusMinusDays" unit:"d" decimals:"1" doc:"until the residual is reached; none where growth keeps up" plusMinusDoc:"one standard deviation; none when not known"`
	ByUtilisationDays optional `json:"byUtilisationDays,omitempty" plusMinus:"byUtilisationPlusMinusDays" unit:"d" decimals:"1" doc:"until the share is eaten" plusMinusDoc:"one standard deviation; none when not known"`
}

type fitsOut struct {
	Units              estimate `json:"units" plusMinus:"unitsPlusMinus" unit:"1" decimals:"1" doc:"adult equivalents, or other units; the lesser of both rules"`
	CautiousUnits      *float64 `json:"cautiousUnits,omitempty" unit:"1" decimals:"1" doc:"one time in ten fewer can; none when a ± is not known"`
	LimitedBy          string   `json:"limitedBy" choices:"residual|utilisation" doc:"the rule of the lesser"`
	ByResidualUnits    optional `json:"byResidualUnits,omitempty" plusMinus:"byResidualPlusMinusUnits" unit:"1" decimals:"1" doc:"so that the residual is left" plusMinusDoc:"one standard deviation; none when not known"`
	ByUtilisationUnits optional `json:"byUtilisationUnits,omitempty" plusMinus:"byUtilisationPlusMinusUnits" unit:"1" decimals:"1" doc:"by the share of utilisation" plusMinusDoc:"one standard deviation; none when not known"`
	Head               optional `json:"head,omitempty" plusMinus:"headPlusMinus" unit:"1" doc:"head of the one mob, rounded down; none for several" plusMinusDoc:"one standard deviation; none when not known"`
	CautiousHead       *float64 `json:"cautiousHead,omitempty" unit:"1" doc:"one time in ten fewer can"`
}

type herdOut struct {
	Units     estimate `json:"units" plusMinus:"unitsPlusMinus" unit:"1" decimals:"1" doc:"its adult equivalents, or other units"`
	EatsKgDay estimate `json:"eatsKgDay" plusMinus:"eatsPlusMinusKgDay" unit:"kg/d" decimals:"1" doc:"dry matter it eats in a day"`
	Over      *overOut `json:"over,omitempty" doc:"what that makes of the feed over the days; none without days"`
}

type overOut struct {
	Enough       string   `json:"enough" choices:"yes|no|cannot tell" doc:"yes where the feed falls short one time in ten or less, no where it suffices as seldom"`
	MarginKgHa   estimate `json:"marginKgHa" plusMinus:"marginPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"what may be eaten less what is, by the lesser of both rules"`
	LimitedBy    string   `json:"limitedBy" choices:"residual|utilisation" doc:"the rule of the lesser"`
	EatsKgHa     estimate `json:"eatsKgHa" plusMinus:"eatsPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"dry matter eaten of each hectare"`
	OfFeedPct    optional `json:"ofFeedPct,omitempty" plusMinus:"ofFeedPlusMinusPct" unit:"%" doc:"of the feed on offer; none where there is none" plusMinusDoc:"one standard deviation; none when not known"`
	LeftKgHa     estimate `json:"leftKgHa" plusMinus:"leftPlusMinusKgHa" unit:"kg/har" decimals:"1" doc:"palatable feed at the end, the residual in it"`
	AnimalDaysHa estimate `json:"animalDaysHa" plusMinus:"animalDaysPlusMinusHa" unit:"d/har" decimals:"1" doc:"days of one adult equivalent, or other unit, on each hectare"`
}

type coverFirst struct {
	CoverPct      estimate `json:"coverPct" plusMinus:"coverPlusMinusPct" unit:"%" doc:"the cover"`
	TargetPct     float64  `json:"targetPct" unit:"%" doc:"its target for the end of the dry"`
	Meets         string   `json:"meets" choices:"yes|no|cannot tell" doc:"yes when even the lower 95 % limit reaches it, no when even the upper one does not"`
	RestFirst     bool     `json:"restFirst" doc:"the paddock is rested before it is stocked: everywhere but where the target is met"`
	Text          string   `json:"text" doc:"what follows"`
	LeastRestDays *int     `json:"leastRestDays,omitempty" unit:"d" doc:"from the start of growth, at the least"`
	MostRestDays  *int     `json:"mostRestDays,omitempty" unit:"d" doc:"the longest that this least is put at"`
	Sources       []string `json:"sources" doc:"who says so"`
}

type proposalOut struct {
	Input  string  `json:"input" doc:"the input it is proposed for"`
	Low    float64 `json:"low" unit:"1" doc:"in the input's own unit"`
	High   float64 `json:"high" unit:"1" doc:"the same where one value was published"`
	For    string  `json:"for" doc:"the land or animals it is for"`
	Source string  `json:"source" doc:"who published it, and how far that was read"`
}

var forageBudgetDoc = Doc{
	Name:    "forage-budget",
	Growth:  Linear,
	Summary: "how many animals a paddock's feed keeps and for how long, leaving a residual",
	Limits: []string{
		"Feed is dry matter. The error of a shared dry share, or of the eye on photo standards, does not shrink with more quadrats or places.",
		"Detachment and the unpalatable share are taken one after the other: feed times (1 - detachment) times (1 - unpalatable), less the residual. Added to each other they would take more.",
		"detachmentPct is over the whole time that the feed must last; detachmentPer30DaysPct acts on what stands, beside the grazing.",
		"Nothing that is judged has a default. A share of utilisation needs to say of what: of standing feed and of a year's growth are different rules. Both answers are given, and the lesser decides.",
		"Residual and share of utilisation are rules and do not err. The ± is to first order, of errors that are independent of each other; the cautious figure takes it as normal.",
		"Refused: up to 50 land types of up to 1000 quadrats or places, 50 mobs, 730 days, feed above 20,000 kg/ha, fractions given for per cent.",
		"No rain, growth or carrying capacity is forecast.",
	},
	Cautions: cautionTexts(grazing.Cautions),
}

var forageBudget = define(forageBudgetDoc, func(in forageBudgetIn, _ *model.Work) (forageBudgetOut, error) {
	budget, source, err := in.budget()
	if err != nil {
		return forageBudgetOut{}, err
	}
	a, err := budget.Answer()
	if err != nil {
		return forageBudgetOut{}, err
	}
	out := forageBudgetOut{
		FeedKgHa: estimate(a.FeedKgHa), GrazedHa: measured(a.GrazedHa), StandingKgHa: maybe(a.StandingKgHa), FeedErrorFactor: a.FeedErrorFactor,
		LandTypes: model.Each(a.LandTypes, func(f grazing.LandFeed) landFeedOut {
			return landFeedOut{f.Name, measured(f.GrazedHa), estimate(f.KgHa), f.LowKgHa, f.HighKgHa, f.VariationPct, f.NeededFor10Pct}
		}),
		IntakeKgDay: estimate(budget.IntakeKgDay), IntakeSource: source,
		Proposals: model.Each(grazing.Proposed(), func(p grazing.Proposal) proposalOut {
			return proposalOut{p.Input, p.Low, p.High, p.For, p.Source.String()}
		}),
		Cautions: budget.Cautions(a),
	}
	out.answer(a)
	if r, ok := grazing.RatingsNamed(in.Ratings); ok {
		out.Unit, out.Classes = r.Unit, r.Classes
		if r.IntakeKgDay != budget.IntakeKgDay.Value {
			out.Cautions = append(out.Cautions, model.Caution{About: "intakeKgDay", Text: "Ratings go with the intake that was published with them: another intake makes the demand too large or too small."})
		}
	}
	out.Cover, err = in.cover()
	if err == nil && out.Cover != nil && out.Cover.RestFirst {
		out.Cautions = append([]model.Caution{{About: "cover", Text: out.Cover.Text}}, out.Cautions...)
	}
	return out, err
}).after(forageBudgetFeeds()...).documentedBy(func(d *Doc) {
	d.Rules = append(model.Each(grazing.Proposed(), grazing.Proposal.String), model.Each(grazing.AllRatings, grazing.Ratings.String)...)
	d.Sources = forageBudgetSources()
})

// answer takes over what the budget answers to each question.
func (out *forageBudgetOut) answer(a grazing.Answer) {
	if w := a.EatKgHa; w != nil {
		out.Eat = &eatOut{estimate(w.Least), w.Cautious, string(w.LimitedBy), maybe(w.ByResidual), maybe(w.ByUtilisation), estimate(a.UnitDaysHa.Least), a.UnitDaysHa.Cautious}
	}
	if w := a.Days; w != nil {
		out.Lasts = &lastsOut{estimate(w.Least), w.Cautious, string(w.LimitedBy), maybe(w.ByResidual), maybe(w.ByUtilisation)}
	}
	if w := a.Units; w != nil {
		out.Fits = &fitsOut{Units: estimate(w.Least), CautiousUnits: w.Cautious, LimitedBy: string(w.LimitedBy), ByResidualUnits: maybe(w.ByResidual), ByUtilisationUnits: maybe(w.ByUtilisation)}
		if a.Head != nil {
			out.Fits.Head, out.Fits.CautiousHead = maybe(&a.Head.Least), a.Head.Cautious
		}
	}
	if d := a.Demand; d != nil {
		out.Herd = &herdOut{Units: measured(d.Units), EatsKgDay: estimate(d.KgDay)}
		if o := d.Over; o != nil {
			out.Herd.Over = &overOut{string(o.Enough), estimate(o.MarginKgHa), string(o.LimitedBy), estimate(o.KgHa), maybe(o.OfFeedPct), estimate(o.LeftKgHa), measured(o.UnitDaysHa)}
		}
	}
}

// maybe is a figure that may be none.
func maybe(q *grazing.Quantity) optional {
	if q == nil {
		return optional{}
	}
	return estimate(*q).optional()
}

// measured is a figure whose plus-minus is not stated where everything it rests on was taken as
// right: nobody said that it does not err.
func measured(q grazing.Quantity) estimate {
	if q.PlusMinus == 0 {
		q.PlusMinus = -1
	}
	return estimate(q)
}

func forageBudgetSources() []model.Source {
	all := []model.Source{
		{Title: "MLA, northern forage budgeting, lesson Completing a forage budget", Place: "its worked scenario: the shares are taken one after the other", How: model.LookedUp},
		{Title: "Snedecor and Cochran 1967, quadrats needed", Place: "formula as quoted in mine permits", How: model.LookedUp},
		{Title: "Least number of cuts: MLA, pasture cuts and estimations", Place: "5 to a transect", How: model.LookedUp},
		{Title: "A supplement raises the intake of pasture: Protein supplementation, University of Arizona", Place: "the direction; its size was not found", How: model.LookedUp},
		{Title: "Look again: Queensland DAF, Wambiana trial; MLA", Place: "end of the wet, and every two to three months", How: model.LookedUp},
		{Title: "Destocking arid rangeland: Walker, Australian Rangeland Society note", Place: "at some 200 to 300 kg/ha", How: model.LookedUp},
		{Title: "Loss and grazing together, dP/dt = -k P + g - c", How: model.Derived},
		{Title: "Law of propagation of errors: JCGM 100:2008", Place: "5.1.2 and 5.1.3", How: model.FromMemory},
	}
	for _, r := range grazing.AllRatings {
		all = append(all, r.Source, r.Intake)
	}
	all = append(all, model.Each(grazing.Proposed(), func(p grazing.Proposal) model.Source { return p.Source })...)
	return once(append(append(all, grazing.RestSources...), coverTargetSources()...))
}
