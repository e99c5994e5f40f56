package compute

import (
	"slices"

	"headcut/model"
	"headcut/model/works"
)

type rockDamIn struct {
	works.DamBuild
	AccuracyM *float64 `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of each size and offset given; not known if not given"`
	Basis     string   `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what the sizes of the gully come from; taped if not given"`
}

// build is the dam as the works know it.
func (in rockDamIn) build() (works.DamBuild, error) {
	var err error
	in.DamBuild.AccuracyM, err = accuracy(in.AccuracyM)
	return in.DamBuild, err
}

type rockDamOut struct {
	works.DamQuantities
	Items          []works.Quantity `json:"items" doc:"the same as a list to be priced by the computation quantities"`
	HeightRules    []heightRuleOut  `json:"heightRules" doc:"whether each handbook that speaks of this kind would have it so high"`
	StoneSizes     []stoneSizeOut   `json:"stoneSizes" doc:"smallest and largest stone that handbooks build low dams of at any flow, not the median that this flow asks for: where the two differ the larger applies; none for brush and bales"`
	FaceStoneMM    *float64         `json:"faceStoneMM,omitempty" unit:"mm" doc:"median stone of the downstream face by the flow at the face's own slope, a factor of 1.2 included; none without a flow, and on an upright face"`
	FaceStoneRule  string           `json:"faceStoneRule,omitempty" choices:"rock chute|steep rock chute|foot of the fall" doc:"which rule sized it"`
	ApronStoneMM   *float64         `json:"apronStoneMM,omitempty" unit:"mm" doc:"median stone of the apron: that of the face, carried on, or where the face is upright by the speed at the foot of the fall; a factor of 1.2 included; none without a flow"`
	ApronStoneRule string           `json:"apronStoneRule,omitempty" choices:"rock chute|steep rock chute|foot of the fall" doc:"which rule sized it"`
	Basis          string           `json:"basis" doc:"what the figures come from"`
	Cautions       []model.Caution  `json:"cautions" doc:"what to watch for on the ground"`
}

type heightRuleOut struct {
	Rule   string  `json:"rule" doc:"its name"`
	MaxM   float64 `json:"maxM" unit:"m" doc:"highest notch above the bed"`
	Within bool    `json:"within" doc:"whether the dam is no higher"`
	Source string  `json:"source" doc:"where it comes from"`
}

type stoneSizeOut struct {
	MinMM  float64  `json:"minMM" unit:"mm" doc:"smallest stone"`
	MaxMM  *float64 `json:"maxMM,omitempty" unit:"mm" doc:"largest stone; none named if missing"`
	Advice string   `json:"advice" doc:"in words"`
	Source string   `json:"source" doc:"who advises it"`
}

var rockDamDoc = Doc{
	Name:    "rock-dam",
	Growth:  Linear,
	Summary: "what a low porous dam takes to build: rock, netting and posts, brush or bales",
	Limits: []string{
		"Notches from 0.1 to 1 m above the bed and shoulders to 1.5 m; a higher structure is a matter for an engineer and is refused.",
		"The body is taken exactly between plane faces on the section as given, the gully having that section all through the dam. Rock is as it lies, voids included.",
		"Faces steeper than the named stone lies are refused. Brushwood is refused in gullies of 3 m or wider, bales where they would be stacked, on beds above 20 %, and below catchments above 0.4 ha (0.2 ha on beds above 15 %).",
		"An undercut bank, whose offsets go back, is refused.",
		"The ± takes the errors of all sizes as independent; a bed slope, rates of wastage and the bulk density are taken as exact. Where two points are equally the lowest of a section it is up to a sixth too small.",
		"Scour and strength are not looked at, and the flow for the stone of face and apron alone. An apron that the flow would have thicker than 1 m is refused. Stone on a face is sized by the rule for rock chutes to 40 % (1 in 2.5); from there to 1 in 2 it grows with the slope as the rule for overtopped banks has it; with a flow, loose rock on a steeper face is refused, since no rule for it was found.",
	},
	Cautions: append(cautionTexts(works.DamCautions), cautionTexts(works.BuildCautions)...),
	Sources:  rockDamSources(),
}

var rockDam = define(rockDamDoc, func(in rockDamIn, _ *model.Work) (rockDamOut, error) {
	d, err := in.build()
	if err != nil {
		return rockDamOut{}, err
	}
	q, err := d.Quantities()
	if err != nil {
		return rockDamOut{}, err
	}
	out := rockDamOut{DamQuantities: q, Items: q.Items(), Basis: string(basisOr(in.Basis, model.Taped)), Cautions: q.Cautions}
	if stone := q.Stone; stone != nil {
		if stone.FaceM != nil {
			out.FaceStoneMM = some(1000 * *stone.FaceM)
		}
		out.FaceStoneRule, out.ApronStoneRule = stone.FaceRule, stone.ApronRule
		if out.ApronLengthM > 0 {
			out.ApronStoneMM = some(1000 * stone.ApronM)
		}
	}
	for _, r := range works.HeightRules {
		if r.Holds(q.Kind) {
			out.HeightRules = append(out.HeightRules, heightRuleOut{r.Name, r.MaxM, r.Allows(d.CrestHeightM), r.Source.String()})
		}
	}
	if q.Kind == works.LooseRock || q.Kind == works.Netting {
		for _, s := range works.StoneSizes {
			out.StoneSizes = append(out.StoneSizes, stoneSizeOut{s.MinMM, some(s.MaxMM), s.Advice, s.Source.String()})
		}
	}
	return out, nil
}).after(rockDamFeeds()...)

// some is a pointer to what there is, nil to nothing of it.
func some[T int | float64](v T) *T {
	if v == 0 {
		return nil
	}
	return &v
}

// basisOr is the basis that an input gives, else the one that such inputs mostly have.
func basisOr(given string, otherwise model.Basis) model.Basis {
	if given == "" {
		return otherwise
	}
	return model.Basis(given)
}

// rockDamSources are those of every table, and of what stands in no table.
func rockDamSources() []model.Source {
	all := []model.Source{
		{Title: "Volume between plane faces over a section, integrated exactly", How: model.Derived},
		{Title: "Robinson, Rice and Kadavy 1998, rock chutes, as quoted in NRCS slides on Standard 468", Place: "stone of a face and of the apron it runs out on, for 2 to 40 %", How: model.LookedUp},
		{Title: "FHWA HEC-23, volume 2, design guideline 5, after Mishra 1998", Place: "how that stone grows with the slope from 40 to 50 %, rock of 2.65 and 37°", How: model.FromMemory},
		{Title: "Isbash's stone in very turbulent water, coefficient 0.86: US Army Corps of Engineers, Hydraulic Design Criteria 712-1", Place: "apron below an upright face", How: model.FromMemory},
		{Title: "Rand 1955, Flow geometry at straight drop spillways, Proceedings of the American Society of Civil Engineers 81, paper 791", Place: "depth of the water at the foot of a fall, 0.54 D^0.425 of its height", How: model.FromMemory},
		{Title: "USDA EFH notice on rock chutes (June 2006)", Place: "not steeper than 1 in 3", How: model.LookedUp},
		{Title: "Layer twice the median stone and 12 inches at least: Indiana NRCS contractor training on rock chutes (2008)", How: model.LookedUp},
		{Title: "Factor of 1.2 on it: Catchments & Creeks, Gully Erosion Part 3, Design of rock chutes", How: model.LookedUp},
		{Title: "NRCS Wyoming, Straw Bale Check Dam fact sheet", Place: "limits by slope and catchment, 6 inches let in, ends of the row", How: model.LookedUp},
		{Title: "Brushwood in gullies under 3 m: Desta and others 2005, as cited by a later page", Place: "gully plugging", How: model.LookedUp},
		{Title: "Posts no farther than 1.2 m: Heede 1976, USDA Forest Service Research Paper RM-169", How: model.FromMemory},
		{Title: "Stakes 0.5 m apart: FAO Conservation Guide 13/2 (1986)", Place: "chapter III", How: model.FromMemory},
		{Title: "Posts 0.6 m and stakes 0.5 m in the ground; a tie every 0.3 m; a tenth of netting for overlap; two stakes to a bale", How: model.CommonPractice},
	}
	of := slices.Concat(
		model.Each(works.HeightRules, func(r works.HeightRule) model.Source { return r.Source }),
		model.Each(works.Stones, func(s works.Stone) model.Source { return s.Source }),
		model.Each(works.StoneSizes, func(s works.StoneSize) model.Source { return s.Source }),
		model.Each(works.ApronRules, func(r works.ApronRule) model.Source { return r.Source }))
	return once(append(all, slices.DeleteFunc(of, func(s model.Source) bool { return s.Title == "" })...))
}
