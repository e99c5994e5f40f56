package compute

import (
	"cmp"
	"slices"

	"headcut/model"
	"headcut/model/treatment"
)

type revegetationIn struct {
	DepthM         valueIn  `json:"depthM" plusMinus:"depthPlusMinusM" unit:"m" doc:"depth of the gully"`
	WallRunPerRise optional `json:"wallRunPerRise,omitempty" plusMinus:"wallPlusMinus" unit:"1" doc:"run of the steepest walls per metre of height; 0 for vertical or undercut"`
	HeadDepthM     optional `json:"headDepthM,omitempty" plusMinus:"headDepthPlusMinusM" unit:"m" doc:"fall at the head; 0 where there is none"`
	CatchmentHa    optional `json:"catchmentHa,omitempty" plusMinus:"catchmentPlusMinusHa" unit:"har" doc:"land that drains to the gully"`
	Tunnels        *bool    `json:"tunnels,omitempty" doc:"tunnels or pipes were seen; none if not given"`
	Dispersive     *bool    `json:"dispersive,omitempty" doc:"a crumb of subsoil clouds in still water; not tested if not given, and then nothing is called likely"`
	StockOut       *bool    `json:"stockOut,omitempty" doc:"stock can be kept out; they can if not given"`
	Screen         *string  `json:"screen,omitempty" choices:"common-practice|judgement" doc:"which belief decides; the stricter, common-practice, if not given. Both are given in the answer"`
}

type revegetationOut struct {
	AloneIsLikely bool             `json:"aloneIsLikely" doc:"grass, fencing and fertiliser are likely to stabilise it by themselves; false also where that cannot be decided"`
	Verdict       string           `json:"verdict" choices:"likely|not likely|too close to tell|not measured" doc:"by the screen that decides"`
	Screen        string           `json:"screen" doc:"the screen that decides"`
	Reasons       []screenReason   `json:"reasons" doc:"its limits, held against what was measured"`
	Screens       []screenOut      `json:"screens" doc:"what each screen says; they are never blended"`
	Treatments    []otherTreatment `json:"treatments" doc:"what else to consider for the limits that are not met or not decided; treatment-choice says which of them fit"`
	Evidence      []citation       `json:"evidence" doc:"what was measured where grass was tried"`
	Advice        []citation       `json:"advice" doc:"what handbooks say of sowing"`
	Cautions      []model.Caution  `json:"cautions" doc:"what to watch for on the ground"`
}

type screenReason struct {
	Field     string   `json:"field" doc:"the input it looks at"`
	Limit     string   `json:"limit" doc:"what has to hold"`
	Threshold *float64 `json:"threshold,omitempty" unit:"1" doc:"in the field's own unit; none for a yes or no"`
	Measured  *float64 `json:"measured,omitempty" unit:"1" doc:"in the field's own unit; none for a yes or no, or when not measured"`
	PlusMinus float64  `json:"plusMinus" unit:"1" doc:"one standard deviation of it; none when not known"`
	Verdict   string   `json:"verdict" choices:"met|not met|too close to tell|not measured" doc:"whether the limit is met"`
	Source    string   `json:"source" doc:"where the threshold comes from"`
}

type screenOut struct {
	Screen  string `json:"screen" doc:"its name"`
	Verdict string `json:"verdict" choices:"likely|not likely|too close to tell|not measured" doc:"what it says"`
	Source  string `json:"source" doc:"where it comes from"`
}

type otherTreatment struct {
	Treatment string   `json:"treatment" doc:"its kind, as the register and quantities name it"`
	BuiltFrom string   `json:"builtFrom,omitempty" doc:"what a check dam is built from, as rock-dam names it"`
	Label     string   `json:"label" doc:"what it is"`
	Because   []string `json:"because" doc:"the fields that speak for it"`
}

type citation struct {
	Text   string `json:"text" doc:"what to know"`
	Source string `json:"source" doc:"who tells it"`
}

// aloneVerdict is a screen's truth in the words of this computation.
func aloneVerdict(whole treatment.Truth) string {
	return cmp.Or(map[treatment.Truth]string{treatment.True: "likely", treatment.False: "not likely"}[whole], string(whole))
}

var revegetationCautions = []model.Caution{
	{Text: "Likely is not certain: look again after each wet season, and act when an edge has moved."},
	{Text: "Stay off undercut walls and cracked ground while measuring."},
	{Text: "Sown plants, fences and fertiliser near water may need leave; some pasture grasses are weeds elsewhere: ask locally."},
}

var revegetationDoc = Doc{
	Name:    "revegetation",
	Growth:  Linear,
	Summary: "whether grass, fencing and fertiliser are likely to stabilise a gully by themselves",
	Limits: []string{
		"Likely only where every limit of the screen is met; one that is not met decides it, even where others were not measured.",
		"Two screens are kept apart: common practice, and a judgement from several handbooks. Common practice has a number for depth alone; its other numbers are taken from the judgement.",
		"A threshold nearer than the measurement's ± is too close to tell.",
		"Refused: depths over 50 m, a run over 20 m per metre of height, catchments over 10,000 ha.",
	},
	Cautions: cautionTexts(revegetationCautions),
	Sources:  revegetationSources(),
}

var revegetation = define(revegetationDoc, func(in revegetationIn, _ *model.Work) (revegetationOut, error) {
	site, err := in.site()
	if err != nil {
		return revegetationOut{}, err
	}
	out := revegetationOut{Screen: orElse(in.Screen, treatment.Screens[0].Name), Cautions: in.cautions(), Evidence: citations(treatment.GrassEvidence), Advice: citations(treatment.GrassAdvice)}
	for _, screen := range treatment.Screens {
		whole, findings, err := screen.Find(site)
		if err != nil {
			return revegetationOut{}, err
		}
		out.Screens = append(out.Screens, screenOut{screen.Name, aloneVerdict(whole), screen.Source.String()})
		if screen.Name != out.Screen {
			continue
		}
		out.AloneIsLikely, out.Verdict = whole == treatment.True, aloneVerdict(whole)
		for _, f := range findings {
			out.Reasons = append(out.Reasons, reasonOf(f, site))
		}
		out.Treatments = otherwise(findings)
	}
	return out, nil
})

func (in revegetationIn) site() (treatment.Site, error) {
	site := treatment.Site{What: treatment.Gully}
	site.Answer(treatment.Tunnels, orElse(in.Tunnels, false))
	site.Answer(treatment.StockOut, orElse(in.StockOut, true))
	if in.Dispersive != nil {
		site.Answer(treatment.Dispersive, *in.Dispersive)
	}
	return site, measureAll(&site, []measurement{
		{treatment.DepthM, in.DepthM.optional()}, {treatment.WallRunPerRise, in.WallRunPerRise}, {treatment.HeadDepthM, in.HeadDepthM}, {treatment.CatchmentHa, in.CatchmentHa},
	})
}

func (in revegetationIn) cautions() []model.Caution {
	all := slices.Clone(revegetationCautions)
	if in.StockOut == nil {
		all = append(all, model.Caution{About: "stockOut", Text: "This assumes that stock can be kept out: without that no grass lasts."})
	}
	switch {
	case in.Dispersive == nil:
		all = append(all, model.Caution{About: "dispersive", Text: "Whether the subsoil disperses was not tested, so whether grass will hold cannot be decided: drop a crumb of it into still rain water and look after two hours and a day. Where it clouds, walls slump and wash away under grass too."})
	case *in.Dispersive:
		all = append(all, model.Caution{About: "dispersive", Text: "Dispersive subsoil slumps and washes away under grass: gypsum, topsoil and flatter walls come first. Ask a soil specialist."})
	}
	return all
}

func reasonOf(f treatment.Finding, site treatment.Site) screenReason {
	r := screenReason{Field: f.Field.String(), Limit: f.Condition.String(), PlusMinus: -1, Verdict: string(f.Truth), Source: f.Source.String()}
	if !f.Field.Measured() {
		return r
	}
	r.Threshold = &f.Value
	if value, plusMinus, known := site.Known(f.Field); known {
		r.Measured, r.PlusMinus = &value, plusMinus
	}
	return r
}

// otherwise gathers what the limits that do not hold lead to, in the trade's order.
func otherwise(findings []treatment.Finding) []otherTreatment {
	var all []otherTreatment
	for _, about := range treatment.Treatments {
		kind, builtFrom := about.Treatment.Work()
		other := otherTreatment{Treatment: kind, BuiltFrom: builtFrom, Label: about.Label}
		for _, f := range findings {
			if f.Truth != treatment.True && slices.Contains(f.Else, about.Treatment) {
				other.Because = append(other.Because, f.Field.String())
			}
		}
		if other.Because != nil {
			all = append(all, other)
		}
	}
	return all
}

func citations(all []treatment.Evidence) []citation {
	return model.Each(all, func(e treatment.Evidence) citation { return citation{e.Text, e.Source.String()} })
}

func revegetationSources() []model.Source {
	var all []model.Source
	for _, screen := range treatment.Screens {
		all = append(append(all, screen.Source), model.Each(screen.Limits, func(l treatment.Limit) model.Source { return l.Source })...)
	}
	evidence := slices.Concat(treatment.GrassEvidence, treatment.GrassAdvice)
	return once(append(all, model.Each(evidence, func(e treatment.Evidence) model.Source { return e.Source })...))
}
