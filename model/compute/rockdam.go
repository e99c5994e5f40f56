package compute

import (
	"headcut/model"
	"headcut/model/works"
)

type rockDamIn struct {
	Kind                 string       `json:"material,omitempty" choices:"loose rock|netting and posts|brushwood|hay bales" doc:"what the dam is built from; loose rock if not given"`
	CrestHeightM         float64      `json:"crestHeightM" unit:"m" doc:"from the bed at the downstream toe to the notch; usually 0.3 to 0.5, at most 1"`
	Section              [][2]float64 `json:"section,omitempty" unit:"m" doc:"the gully across the dam as offset and level of each point, from the left bank to the right; this or bedWidthM with the banks"`
	BedWidthM            float64      `json:"bedWidthM,omitempty" unit:"m" doc:"width of the bed"`
	LeftRunPerRise       float64      `json:"leftRunPerRise,omitempty" unit:"1" doc:"slope of the left bank, 1 in this; upright if not given"`
	RightRunPerRise      float64      `json:"rightRunPerRise,omitempty" unit:"1" doc:"slope of the right bank, 1 in this; upright if not given"`
	BedSlopePct          float64      `json:"bedSlopePct,omitempty" unit:"%" doc:"slope of the bed going upstream; taken as level if not given, which counts too much rock"`
	CrestBreadthM        float64      `json:"crestBreadthM,omitempty" unit:"m" doc:"along the stream, at the shoulders, from 0.2 m; hay bales and rock behind one fence do without; between two fences or two rows of stakes, from one to the other"`
	UpstreamRunPerRise   float64      `json:"upstreamRunPerRise,omitempty" unit:"1" doc:"slope of the upstream face, 1 in this; loose rock needs it, and others are upright if not given"`
	DownstreamRunPerRise float64      `json:"downstreamRunPerRise,omitempty" unit:"1" doc:"slope of the downstream face, 1 in this; loose rock needs it, and others are upright if not given"`
	NotchDepthM          float64      `json:"notchDepthM,omitempty" unit:"m" doc:"from the shoulders down to the lowest part of the crest; no notch if not given"`
	NotchLengthM         float64      `json:"notchLengthM,omitempty" unit:"m" doc:"of the notch, across the gully"`
	KeyDepthM            float64      `json:"keyDepthM,omitempty" unit:"m" doc:"of the trench that lets the dam into bed and banks, plumb; none if not given"`
	KeyWidthM            float64      `json:"keyWidthM,omitempty" unit:"m" doc:"of the trench, along the stream"`
	KeyIntoBankM         float64      `json:"keyIntoBankM,omitempty" unit:"m" doc:"of the trench beyond the shoulders, into each bank"`
	Stone                string       `json:"stone,omitempty" choices:"very angular|slightly angular|moderately rounded|angular, by Heede|rounded|round, by Heede|any, by county manuals" doc:"how steeply the stone lies, and whose rule; the steepest of them all bounds the faces if not given"`
	HeightRule           string       `json:"heightRule,omitempty" choices:"Jepson|Australian fact sheets|STEP|Wisconsin DNR|FAO" doc:"whose limit for the height to keep to; 1 m is the limit of all"`
	ApronRule            string       `json:"apronRule,omitempty" choices:"Heede|2 m of large stone|none" doc:"how far rock is laid below the toe, and whose rule; Heede if not given"`
	ApronLengthM         float64      `json:"apronLengthM,omitempty" unit:"m" doc:"of the apron along the stream; by the rule if not given"`
	ApronWidthM          float64      `json:"apronWidthM,omitempty" unit:"m" doc:"of the apron across; that of the bed, or of the notch if longer, if not given"`
	ApronThicknessM      float64      `json:"apronThicknessM,omitempty" unit:"m" doc:"of the apron; twice its median stone, where a flow sizes it, and 0.3 at least if not given"`
	WastagePct           float64      `json:"wastagePct,omitempty" unit:"%" doc:"rock lost and left over, of all rock; none if not given"`
	BulkTonnesPerM3      float64      `json:"bulkDensityTM3,omitempty" unit:"t/m3" doc:"of rock as it lies in the dam; no tonnes if not given"`
	CatchmentHa          float64      `json:"catchmentHa,omitempty" unit:"har" doc:"above the dam; bounds where bales may stand"`
	FlowM3S              *float64     `json:"flowM3S,omitempty" unit:"m3/s" doc:"over the notch, to size the stone of the face and the apron by; not sized if not given"`
	Fences               *fencesIn    `json:"fences,omitempty" doc:"of a dam of netting and posts"`
	Brush                *brushIn     `json:"brush,omitempty" doc:"of a dam of brushwood"`
	Bale                 *baleIn      `json:"bale,omitempty" doc:"of a dam of hay bales, which needs it"`
	AccuracyM            *float64     `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of each size and offset given; not known if not given"`
	Basis                string       `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what the sizes of the gully come from; taped if not given"`
}

type fencesIn struct {
	Count           int     `json:"count,omitempty" unit:"1" doc:"2 with the rock between them, 1 with the rock heaped upstream; 2 if not given"`
	PostSpacingM    float64 `json:"postSpacingM,omitempty" unit:"m" doc:"most between posts; 1.2 if not given"`
	PostIntoGroundM float64 `json:"postIntoGroundM,omitempty" unit:"m" doc:"length of a post in the ground; 0.6 if not given"`
	TieEveryM       float64 `json:"tieEveryM,omitempty" unit:"m" doc:"up each post, between wires that tie the fences; 0.3 if not given"`
	NetOverlapPct   float64 `json:"netOverlapPct,omitempty" unit:"%" doc:"netting lost where rolls meet; 10 if not given"`
}

type brushIn struct {
	StakeSpacingM    float64 `json:"stakeSpacingM,omitempty" unit:"m" doc:"most between stakes of a row; 0.5 if not given"`
	StakeIntoGroundM float64 `json:"stakeIntoGroundM,omitempty" unit:"m" doc:"length of a stake in the ground; 0.5 if not given"`
	BundleDiameterM  float64 `json:"bundleDiameterM,omitempty" unit:"m" doc:"of a bundle as it lies tied; no bundles are counted if not given"`
	BundleLengthM    float64 `json:"bundleLengthM,omitempty" unit:"m" doc:"of a bundle"`
}

type baleIn struct {
	HeightM    float64 `json:"heightM" unit:"m" doc:"of a bale as it lies"`
	WidthM     float64 `json:"widthM" unit:"m" doc:"along the stream"`
	LengthM    float64 `json:"lengthM" unit:"m" doc:"across the gully"`
	EmbedM     float64 `json:"embedM,omitempty" unit:"m" doc:"how deep it is let into the ground; 0.15 if not given"`
	StakesEach int     `json:"stakesEach,omitempty" unit:"1" doc:"through each bale; 2 if not given"`
}

// build is the dam as the works know it.
func (in rockDamIn) build() (works.DamBuild, error) {
	d := works.DamBuild{
		Kind: works.DamKind(in.Kind), Section: in.Section, BedWidthM: in.BedWidthM, LeftRunPerRise: in.LeftRunPerRise, RightRunPerRise: in.RightRunPerRise, BedSlopePct: in.BedSlopePct,
		CrestHeightM: in.CrestHeightM, CrestBreadthM: in.CrestBreadthM, UpstreamRunPerRise: in.UpstreamRunPerRise, DownstreamRunPerRise: in.DownstreamRunPerRise,
		NotchDepthM: in.NotchDepthM, NotchLengthM: in.NotchLengthM, KeyDepthM: in.KeyDepthM, KeyWidthM: in.KeyWidthM, KeyIntoBankM: in.KeyIntoBankM,
		Stone: in.Stone, HeightRule: in.HeightRule, ApronRule: in.ApronRule, ApronLengthM: in.ApronLengthM, ApronWidthM: in.ApronWidthM, ApronThicknessM: in.ApronThicknessM,
		WastagePct: in.WastagePct, BulkTonnesPerM3: in.BulkTonnesPerM3, CatchmentHa: in.CatchmentHa, FlowM3S: in.FlowM3S,
	}
	if in.Fences != nil {
		d.Fences = works.Fences(*in.Fences)
	}
	if in.Brush != nil {
		d.Brush = works.Brush(*in.Brush)
	}
	if in.Bale != nil {
		d.Bale = works.Bale(*in.Bale)
	}
	var err error
	d.AccuracyM, err = accuracy(in.AccuracyM)
	return d, err
}

type rockDamOut struct {
	Kind                 string          `json:"material" doc:"what the dam is built from"`
	TotalHeightM         float64         `json:"totalHeightM" unit:"m" doc:"from the bed to the shoulders"`
	CrestLengthM         float64         `json:"shoulderLengthM" unit:"m" doc:"from bank to bank along the shoulders, keys not counted"`
	BaseBreadthM         float64         `json:"baseBreadthM" unit:"m" doc:"along the stream over the lowest point of the bed"`
	FillM3               float64         `json:"fillM3" unit:"m3" doc:"of the body before the notch is subtracted"`
	NotchM3              float64         `json:"notchM3" unit:"m3" doc:"subtracted from the body"`
	RockM3               float64         `json:"rockM3" unit:"m3" doc:"rock in the body"`
	RockPlusMinusM3      float64         `json:"rockPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	KeyM3                float64         `json:"keyM3" unit:"m3" doc:"trench to dig; filled with rock or brush as the dam is"`
	KeyPlusMinusM3       float64         `json:"keyPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	ApronM3              float64         `json:"apronM3" unit:"m3" doc:"rock below the toe"`
	ApronPlusMinusM3     float64         `json:"apronPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	ApronLengthM         float64         `json:"apronLengthM" unit:"m" doc:"along the stream"`
	ApronWidthM          float64         `json:"apronWidthM" unit:"m" doc:"across the stream"`
	ApronThicknessM      float64         `json:"apronThicknessM" unit:"m" doc:"of the apron; 0 without one"`
	WastageM3            float64         `json:"wastageM3" unit:"m3" doc:"rock lost and left over"`
	TotalRockM3          float64         `json:"totalRockM3" unit:"m3" doc:"body, key, apron and wastage: what to cart"`
	TotalRockPlusMinusM3 float64         `json:"totalRockPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	RockTonnes           *float64        `json:"rockTonnes,omitempty" unit:"t" doc:"of all rock; none without its bulk density"`
	NetM2                *float64        `json:"netM2,omitempty" unit:"m2" doc:"netting with its foot in the key and its overlap"`
	NetPlusMinusM2       *float64        `json:"netPlusMinusM2,omitempty" unit:"m2" doc:"one standard deviation; none when not known"`
	Posts                *int            `json:"posts,omitempty" unit:"1" doc:"in all fences"`
	PostLengthM          *float64        `json:"postLengthM,omitempty" unit:"m" doc:"of a post with what is in the ground"`
	Ties                 *int            `json:"ties,omitempty" unit:"1" doc:"wires between two fences"`
	TieWireM             *float64        `json:"tieWireM,omitempty" unit:"m" doc:"wire for them, there and back"`
	BrushM3              *float64        `json:"brushM3,omitempty" unit:"m3" doc:"brush as packed, in body and key; a loose heap is more"`
	BrushPlusMinusM3     *float64        `json:"brushPlusMinusM3,omitempty" unit:"m3" doc:"one standard deviation; none when not known"`
	Bundles              *int            `json:"bundles,omitempty" unit:"1" doc:"of brush; none without their size"`
	Stakes               *int            `json:"stakes,omitempty" unit:"1" doc:"in two rows, or through the bales"`
	StakeLengthM         *float64        `json:"stakeLengthM,omitempty" unit:"m" doc:"of a stake of a row with what is in the ground"`
	Bales                *int            `json:"bales,omitempty" unit:"1" doc:"in one row, those at the ends included"`
	Items                []quantityOut   `json:"items" doc:"the same as a list to be priced by the computation quantities"`
	HeightRules          []heightRuleOut `json:"heightRules" doc:"whether each handbook that speaks of this kind would have it so high"`
	StoneSizes           []stoneSizeOut  `json:"stoneSizes" doc:"smallest and largest stone that handbooks build low dams of at any flow, not the median that this flow asks for: where the two differ the larger applies; none for brush and bales"`
	FaceStoneMM          *float64        `json:"faceStoneMM,omitempty" unit:"mm" doc:"median stone of the downstream face by the flow at the face's own slope, a factor of 1.2 included; none without a flow, and on an upright face"`
	FaceStoneRule        string          `json:"faceStoneRule,omitempty" choices:"rock chute|steep rock chute|foot of the fall" doc:"which rule sized it"`
	ApronStoneMM         *float64        `json:"apronStoneMM,omitempty" unit:"mm" doc:"median stone of the apron: that of the face, carried on, or where the face is upright by the speed at the foot of the fall; a factor of 1.2 included; none without a flow"`
	ApronStoneRule       string          `json:"apronStoneRule,omitempty" choices:"rock chute|steep rock chute|foot of the fall" doc:"which rule sized it"`
	Basis                string          `json:"basis" doc:"what the figures come from"`
	Cautions             []model.Caution `json:"cautions" doc:"what to watch for on the ground"`
}

type quantityOut struct {
	Item        string   `json:"item" doc:"what is counted"`
	Unit        string   `json:"unit" doc:"in which unit"`
	Quantity    float64  `json:"quantity" decimals:"1" doc:"how much of it"`
	PlusMinus   float64  `json:"plusMinus" doc:"one standard deviation in the same unit; none when not known"`
	TonnesPerM3 *float64 `json:"bulkDensityTM3,omitempty" unit:"t/m3" doc:"of rock, as it was given: it can then be priced by the tonne"`
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
	out := rockDamOut{
		Kind: string(q.Kind), TotalHeightM: q.TotalHeightM, CrestLengthM: q.CrestLengthM, BaseBreadthM: q.BaseBreadthM,
		FillM3: q.FillM3, NotchM3: q.NotchM3, RockM3: q.RockM3, RockPlusMinusM3: q.RockPlusMinusM3, KeyM3: q.KeyM3, KeyPlusMinusM3: q.KeyPlusMinusM3,
		ApronM3: q.ApronM3, ApronPlusMinusM3: q.ApronPlusMinusM3, ApronLengthM: q.ApronLengthM, ApronWidthM: q.ApronWidthM, ApronThicknessM: q.ApronThicknessM, WastageM3: q.WastageM3,
		TotalRockM3: q.TotalRockM3, TotalRockPlusMinusM3: q.TotalRockPlusMinusM3, RockTonnes: some(q.RockTonnes),
		NetM2: some(q.NetM2), NetPlusMinusM2: some(max(q.NetPlusMinusM2, 0)), Posts: some(q.Posts), PostLengthM: some(q.PostLengthM), Ties: some(q.Ties), TieWireM: some(q.TieWireM),
		BrushM3: some(q.BrushM3), BrushPlusMinusM3: some(max(q.BrushPlusMinusM3, 0)), Bundles: some(q.Bundles), Stakes: some(q.Stakes), StakeLengthM: some(q.StakeLengthM), Bales: some(q.Bales),
		Items: quantitiesOut(q.Items()), Basis: string(basisOr(in.Basis, model.Taped)), Cautions: q.Cautions,
	}
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

func quantitiesOut(all []works.Quantity) []quantityOut {
	out := make([]quantityOut, len(all))
	for i, q := range all {
		out[i] = quantityOut{q.Item, q.Unit, q.Amount, q.PlusMinus, some(q.TonnesPerM3)}
	}
	return out
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
	add := func(s model.Source) {
		for _, known := range all {
			if known == s {
				return
			}
		}
		all = append(all, s)
	}
	for _, r := range works.HeightRules {
		add(r.Source)
	}
	for _, s := range works.Stones {
		add(s.Source)
	}
	for _, s := range works.StoneSizes {
		add(s.Source)
	}
	for _, r := range works.ApronRules {
		if r.Source.Title != "" {
			add(r.Source)
		}
	}
	return all
}
