package compute

import (
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/treatment"
)

type treatmentChoiceIn struct {
	What string `json:"what" choices:"gully-head|gully|scald|bare-slope|bare-sharp-edge|tunnel|track|fence" doc:"the sort of place"`

	DepthM         optional `json:"depthM,omitempty" plusMinus:"depthPlusMinusM" unit:"m" doc:"depth of the gully, or height of the edge"`
	HeadDepthM     optional `json:"headDepthM,omitempty" plusMinus:"headDepthPlusMinusM" unit:"m" doc:"fall at the head"`
	WallRunPerRise optional `json:"wallRunPerRise,omitempty" plusMinus:"wallPlusMinus" unit:"1" doc:"run of the steepest walls per metre of height; 0 for vertical or undercut"`
	WidthM         optional `json:"widthM,omitempty" plusMinus:"widthPlusMinusM" unit:"m" doc:"width of the gully where works would stand"`
	CatchmentHa    optional `json:"catchmentHa,omitempty" plusMinus:"catchmentPlusMinusHa" unit:"har" doc:"land that drains to the place"`
	BedSlopePct    optional `json:"bedSlopePct,omitempty" plusMinus:"bedSlopePlusMinusPct" unit:"%" doc:"slope of the gully's bed"`
	SlopePct       optional `json:"slopePct,omitempty" plusMinus:"slopePlusMinusPct" unit:"%" doc:"slope of the ground, the track or the fence line"`
	LengthM        optional `json:"lengthM,omitempty" plusMinus:"lengthPlusMinusM" unit:"m" doc:"sloping length of the track or fence line"`
	CoverPct       optional `json:"coverPct,omitempty" plusMinus:"coverPlusMinusPct" unit:"%" doc:"ground cover at the end of the dry season"`

	Active          *bool `json:"active,omitempty" doc:"still cutting back"`
	Tunnels         *bool `json:"tunnels,omitempty" doc:"tunnels or pipes were seen"`
	Dispersive      *bool `json:"dispersive,omitempty" doc:"a crumb of subsoil clouds in still water"`
	StockOut        *bool `json:"stockOut,omitempty" doc:"stock can be kept out"`
	StableOutlet    *bool `json:"stableOutlet,omitempty" doc:"there is ground that can carry turned water: grassed, rocky, not steep"`
	OutletOnOwnLand *bool `json:"outletOnOwnLand,omitempty" doc:"that ground is on the same property"`
	RockAtHand      *bool `json:"rockAtHand,omitempty" doc:"hard angular rock lies near"`
	TimberAtHand    *bool `json:"timberAtHand,omitempty" doc:"fallen or pushed timber or brush lies near"`
	MachineAccess   *bool `json:"machineAccess,omitempty" doc:"a tractor or excavator can get there"`
	LevelAtHand     *bool `json:"levelAtHand,omitempty" doc:"a dumpy or laser level can be had"`
	Rutted          *bool `json:"rutted,omitempty" doc:"water runs in ruts or along the line"`
	OnContour       *bool `json:"onContour,omitempty" doc:"the track or fence lies on the contour"`
	Springs         *bool `json:"springs,omitempty" doc:"the track carries a spring, seep or stream"`
	TrackWater      *bool `json:"trackWater,omitempty" doc:"water off a track or fence line runs into the gully"`
	Humid           *bool `json:"humid,omitempty" doc:"a humid region, by the local handbook"`
}

type treatmentChoiceOut struct {
	Fits       []fittingOut    `json:"fits" doc:"what fits, in order: by the trade's step, within a step by the number of needs not met, then by the table's own order"`
	NotDecided []undecidedOut  `json:"notDecided" doc:"what cannot be decided before something is measured, or measured better"`
	RuledOut   []ruledOutOut   `json:"ruledOut" doc:"what does not fit, and why"`
	NotFor     []string        `json:"notFor" doc:"what is not thought of for such a place"`
	Size       *sizeOut        `json:"size,omitempty" doc:"class of the gully, where depth and catchment are known"`
	Cautions   []model.Caution `json:"cautions" doc:"what to watch for on the ground"`
}

type ruleOut struct {
	Rule   string `json:"rule" doc:"its id in the table"`
	When   string `json:"when" doc:"what is true here"`
	Why    string `json:"why" doc:"what follows"`
	Source string `json:"source" doc:"where it comes from"`
}

type lackOut struct {
	Field string   `json:"field" doc:"the input"`
	Text  string   `json:"text" doc:"not measured, or too close to tell"`
	Rules []string `json:"rules" doc:"ids of the rules it would settle"`
}

type fittingOut struct {
	Rank      int       `json:"rank" unit:"1" doc:"from 1"`
	Treatment string    `json:"treatment" doc:"its kind, as the register and quantities name it"`
	BuiltFrom string    `json:"builtFrom,omitempty" doc:"what a check dam is built from, as rock-dam names it"`
	Label     string    `json:"label" doc:"what it is"`
	Step      string    `json:"step" choices:"prevention|water|grass|earth|structures|advice" doc:"of the trade's order"`
	Reasons   []ruleOut `json:"reasons" doc:"why it fits"`
	Needs     []ruleOut `json:"needs" doc:"what is not met yet"`
	FindOut   []lackOut `json:"findOut" doc:"what would tell whether more is needed"`
	Labour    string    `json:"labour" doc:"the work in it"`
	Material  string    `json:"material" doc:"what it takes"`
}

type undecidedOut struct {
	Treatment string    `json:"treatment" doc:"its kind, as the register and quantities name it"`
	BuiltFrom string    `json:"builtFrom,omitempty" doc:"what a check dam is built from, as rock-dam names it"`
	Label     string    `json:"label" doc:"what it is"`
	Reasons   []ruleOut `json:"reasons" doc:"what speaks for it so far"`
	Lacks     []lackOut `json:"lacks" doc:"needed to decide"`
}

type ruledOutOut struct {
	Treatment string    `json:"treatment" doc:"its kind, as the register and quantities name it"`
	BuiltFrom string    `json:"builtFrom,omitempty" doc:"what a check dam is built from, as rock-dam names it"`
	Label     string    `json:"label" doc:"what it is"`
	Reasons   []ruleOut `json:"reasons" doc:"the rules against it; none where no rule for it is met"`
	NotSo     []ruleOut `json:"notSo" doc:"where no rule is against it: the rules for it, none of which is met"`
}

type sizeOut struct {
	ByDepth     string `json:"byDepth" choices:"small|medium|large" doc:"by depth: 1 and 5 m"`
	ByCatchment string `json:"byCatchment" choices:"small|medium|large" doc:"by catchment: 2 and 20 ha; the guide does not say which applies where they differ"`
	Source      string `json:"source" doc:"where the classes come from"`
}

var choiceCautions = []model.Caution{
	{Text: "A table of rules knows no place: walk it with someone who has seen such works hold and fail."},
	{Text: "Works in a watercourse, clearing and turned water may need a permit; services or heritage may lie below: ask before digging. Local codes and a licensed engineer go before this list."},
	{Text: "Stay off undercut walls and cracked ground, and keep machines back from edges."},
}

var sizeSource = model.Source{Title: "FAO Conservation Guide 13/2 (1986), size classes of gullies", How: model.FromMemory}

var treatmentChoiceDoc = Doc{
	Name:    "treatment-choice",
	Growth:  Linear,
	Summary: "which treatments fit an eroding place, which are ruled out, and why",
	Limits: []string{
		"What is not measured is never guessed: a treatment that depends on it is not decided.",
		"A threshold nearer than the measurement's ± is too close to tell, and decides nothing.",
		"No score: what fits is ordered by the trade's step (prevention, water, grass, earth, structures, advice), within a step by the number of needs not met, then by the table's order.",
		"Most places need several of these together, the earlier steps first.",
		"Refused: depths over 50 m, widths over 500 m, a run over 20 m per metre of height, catchments over 10,000 ha, slopes over 100 %.",
	},
	Cautions: cautionTexts(choiceCautions),
}

var treatmentChoice = define(treatmentChoiceDoc, func(in treatmentChoiceIn, _ *model.Work) (treatmentChoiceOut, error) {
	site, err := in.site()
	if err != nil {
		return treatmentChoiceOut{}, err
	}
	outcomes, err := treatment.Choose(site)
	if err != nil {
		return treatmentChoiceOut{}, err
	}
	out := treatmentChoiceOut{Cautions: slices.Clone(choiceCautions)}
	for _, o := range outcomes {
		name, builtFrom := o.Treatment.Work()
		switch o.Verdict {
		case treatment.Fitting:
			out.Fits = append(out.Fits, fittingOut{o.Rank, name, builtFrom, o.Label, o.Step.String(), rulesOut(o.Fits), rulesOut(o.Needs), lacksOut(o.Unsure, ""), o.Labour, o.Material})
			out.Cautions = append(out.Cautions, model.Caution{About: string(o.Treatment), Text: o.Caution})
		case treatment.Undecided:
			out.NotDecided = append(out.NotDecided, undecidedOut{name, builtFrom, o.Label, rulesOut(o.Fits), lacksOut(o.Lacks, ": needed to decide")})
		case treatment.RuledOff:
			out.RuledOut = append(out.RuledOut, ruledOutOut{name, builtFrom, o.Label, rulesOut(o.RulesOut), rulesOut(o.Failed)})
		default:
			out.NotFor = append(out.NotFor, string(o.Treatment))
		}
	}
	if in.DepthM.Value != nil && in.CatchmentHa.Value != nil && (site.What == treatment.Gully || site.What == treatment.GullyHead) {
		byDepth, byCatchment := treatment.SizeOf(*in.DepthM.Value, *in.CatchmentHa.Value)
		out.Size = &sizeOut{string(byDepth), string(byCatchment), sizeSource.String()}
	}
	return out, nil
}).after(treatmentChoiceFeeds()...).documentedBy(func(d *Doc) {
	d.Rules, d.Sources = treatment.Lines(), choiceSources()
})

func (in treatmentChoiceIn) site() (treatment.Site, error) {
	site := treatment.Site{What: treatment.What(in.What)}
	for _, a := range []struct {
		field treatment.Field
		yes   *bool
	}{
		{treatment.Active, in.Active}, {treatment.Tunnels, in.Tunnels}, {treatment.Dispersive, in.Dispersive}, {treatment.StockOut, in.StockOut},
		{treatment.StableOutlet, in.StableOutlet}, {treatment.OutletOnOwnLand, in.OutletOnOwnLand}, {treatment.RockAtHand, in.RockAtHand},
		{treatment.TimberAtHand, in.TimberAtHand}, {treatment.MachineAccess, in.MachineAccess}, {treatment.LevelAtHand, in.LevelAtHand},
		{treatment.Rutted, in.Rutted}, {treatment.OnContour, in.OnContour}, {treatment.Springs, in.Springs}, {treatment.TrackWater, in.TrackWater}, {treatment.Humid, in.Humid},
	} {
		if a.yes != nil {
			site.Answer(a.field, *a.yes)
		}
	}
	return site, measureAll(&site, []measurement{
		{treatment.DepthM, in.DepthM}, {treatment.HeadDepthM, in.HeadDepthM}, {treatment.WallRunPerRise, in.WallRunPerRise}, {treatment.WidthM, in.WidthM},
		{treatment.CatchmentHa, in.CatchmentHa}, {treatment.BedSlopePct, in.BedSlopePct}, {treatment.SlopePct, in.SlopePct}, {treatment.LengthM, in.LengthM}, {treatment.CoverPct, in.CoverPct},
	})
}

type measurement struct {
	field treatment.Field
	optional
}

// measureAll notes what was measured, and refuses a plus-minus of nothing.
func measureAll(site *treatment.Site, all []measurement) error {
	for _, m := range all {
		switch {
		case m.PlusMinus != nil && !(*m.PlusMinus >= 0):
			return &model.Problem{Path: m.field.PlusMinusName(), Reason: fmt.Sprintf("%v is not a ± of 0 or more", *m.PlusMinus), Fix: "leave it out when it is not known"}
		case m.PlusMinus != nil && m.Value == nil:
			return &model.Problem{Path: m.field.PlusMinusName(), Reason: "has no " + m.field.String() + " beside it"}
		case m.Value != nil:
			site.Measure(m.field, *m.Value, orElse(m.PlusMinus, -1))
		}
	}
	return nil
}

func rulesOut(rules []treatment.Rule) []ruleOut {
	return model.Each(rules, func(r treatment.Rule) ruleOut { return ruleOut{r.ID, r.Conditions(), r.Why, r.Source.String()} })
}

func lacksOut(lacks []treatment.Lack, decides string) []lackOut {
	return model.Each(lacks, func(l treatment.Lack) lackOut { return lackOut{l.Field.String(), string(l.Truth) + decides, l.Rules} })
}

func choiceSources() []model.Source {
	return once(append([]model.Source{sizeSource}, model.Each(treatment.Rules, func(r treatment.Rule) model.Source { return r.Source })...))
}
