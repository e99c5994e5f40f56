package compute

import (
	"headcut/model"
	"headcut/model/works"
)

type damLayoutIn struct {
	Bed             []bedPoint `json:"bed" doc:"surveyed points of the bed from the downstream end up, at least two"`
	CrestHeightM    *float64   `json:"crestHeightM,omitempty" unit:"m" doc:"lowest point of the crest above the bed, foundation not counted; 0.4 if not given, usually 0.3 to 0.5, at most 1"`
	FromM           *float64   `json:"fromM,omitempty" unit:"m" doc:"chainage of the first toe; the downstream end if not given"`
	ToM             *float64   `json:"toM,omitempty" unit:"m" doc:"no toe beyond this chainage; the upstream end if not given"`
	DepositSlopePct *float64   `json:"depositSlopePct,omitempty" unit:"%" doc:"slope that silt settles at behind the dams; 0, level, if not given"`
	surveyed
}

type damLayoutOut struct {
	Dams               []works.DamSite `json:"dams" doc:"from the lowest up"`
	SpacingsM          []float64       `json:"spacingsM" unit:"m" doc:"horizontal, from each toe to the next"`
	SpacingsPlusMinusM []float64       `json:"spacingsPlusMinusM" unit:"m" doc:"one standard deviation each; negative when not known"`
	Count              int             `json:"count" doc:"number of dams"`
	CrestHeightM       float64         `json:"crestHeightM" unit:"m" doc:"the height used"`
	DepositSlopePct    float64         `json:"depositSlopePct" unit:"%" doc:"the deposit slope used"`
	Basis              string          `json:"basis" doc:"what the levels come from"`
	Handbooks          []handbookOut   `json:"handbooks" doc:"how many dams other rules for the deposit slope lead to"`
	Cautions           []model.Caution `json:"cautions" doc:"what to mind on the ground"`
}

type handbookOut struct {
	Rule            string  `json:"rule" doc:"what the deposit slope is taken as"`
	DepositSlopePct float64 `json:"depositSlopePct" unit:"%" doc:"by that rule, from the mean slope of the whole bed"`
	Count           int     `json:"count" doc:"number of dams"`
	Source          string  `json:"source" doc:"who holds it"`
}

var damLayout = define(Doc{
	Name:    "dam-layout",
	Summary: "where check dams go on a surveyed bed, each toe level with the crest below",
	Limits: []string{
		"Crests from 0.1 to 1 m above the bed; a higher structure is a matter for an engineer and is refused.",
		"The first toe is at fromM whether a dam is needed there or not. Each next one is the first place upstream where the bed rises to the line from the crest below; reaches that fall going upstream are passed over.",
		"The deposit slope is from 0 to 20 %. Handbooks differ threefold over it, so it is an input and the others' counts are shown beside.",
		"Flow, scour and strength are not looked at.",
	},
	Cautions: cautionTexts(works.DamCautions),
	Sources:  damSources,
}, func(in damLayoutIn) (damLayoutOut, error) {
	bed, byPosition, err := bedFrom(in.Bed)
	if err != nil {
		return damLayoutOut{}, err
	}
	q, err := in.quality(byPosition)
	if err != nil {
		return damLayoutOut{}, err
	}
	l := works.DamLayout{Bed: bed, Quality: q, CrestHeightM: orElse(in.CrestHeightM, works.DefaultCrestM),
		FromM: in.FromM, ToM: in.ToM, DepositSlopePct: orElse(in.DepositSlopePct, 0)}
	sites, err := l.Lay()
	if err != nil {
		return damLayoutOut{}, err
	}
	out := damLayoutOut{Dams: sites, Count: len(sites), CrestHeightM: l.CrestHeightM, DepositSlopePct: l.DepositSlopePct,
		Basis: string(q.Basis), Cautions: l.Cautions(sites)}
	for i := 1; i < len(sites); i++ {
		out.SpacingsM = append(out.SpacingsM, sites[i].ChainageM-sites[i-1].ChainageM)
		out.SpacingsPlusMinusM = append(out.SpacingsPlusMinusM, l.SpacingPlusMinusM(sites[i-1], sites[i]))
	}
	for _, h := range l.ByHandbooks() {
		out.Handbooks = append(out.Handbooks, handbookOut{h.Rule.Name, h.DepositSlopePct, h.Count, h.Rule.Source.String()})
	}
	return out, nil
})

// damSources are behind the layout and the check of check dams alike.
var damSources = []model.Source{
	{Title: "Crest level with the toe of the next dam: Dane County (Wisconsin) Erosion Control and Stormwater Manual", Place: "stone check dam", How: model.LookedUp},
	{Title: "Deposit slope between crest and toe: US Army correspondence course EN5465", Place: "ditch check dams, worked example", How: model.LookedUp},
	{Title: "Walk on a surveyed bed, meeting points solved on each straight reach", How: model.Derived},
	{Title: "Overfall seldom above 0.38 m: Jepson, USDA Farmers' Bulletin 1813", How: model.LookedUp},
	{Title: "Ends at least 0.15 m above the crest: Catchments & Creeks fact sheet CDT-3", Place: "installation step 7", How: model.LookedUp},
	{Title: "Porous dams 0.3 to 0.5 m high; a step of 0.05 m counts as level", How: model.CommonPractice},
}

func cautionTexts(cautions []model.Caution) []string {
	texts := make([]string, len(cautions))
	for i, c := range cautions {
		texts[i] = c.Text
	}
	return texts
}
