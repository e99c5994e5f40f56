package works

import (
	"cmp"

	"headcut/model"
)

// DamKind is what a porous dam is built from.
type DamKind string

// The kinds of dam whose quantities are known.
const (
	LooseRock DamKind = "loose rock"        // heaped between two sloping faces
	Netting   DamKind = "netting and posts" // one or two upright fences that hold rock
	Brushwood DamKind = "brushwood"         // packed between two rows of stakes
	HayBales  DamKind = "hay bales"         // one row, one bale high
)

// DamKinds lists every kind.
var DamKinds = []DamKind{LooseRock, Netting, Brushwood, HayBales}

// DamBuild is a porous dam to be built across a gully. The gully is either Section, as it
// was levelled or taped across at the downstream toe, or a bed of BedWidthM between banks of
// so much run for one of rise. Of the sizes, only CrestHeightM and one form of the gully
// must be given; what the zero value of the others means is told beside each.
//
// The dam's two faces are planes; its shoulders stand NotchDepthM above the sill of the
// notch and run level into the banks.
type DamBuild struct {
	Kind                 DamKind      `json:"material,omitempty" choices:"loose rock|netting and posts|brushwood|hay bales" doc:"what the dam is built from; loose rock if not given"`
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
	Fences               Fences       `json:"fences,omitempty" doc:"of a dam of netting and posts"`
	Brush                Brush        `json:"brush,omitempty" doc:"of a dam of brushwood"`
	Bale                 Bale         `json:"bale,omitempty" doc:"of a dam of hay bales, which needs it"`
	AccuracyM            float64      // one standard deviation of each size and offset given, metres; not above 0: not known

	stone *FlowStone // by FlowM3S
}

// DamQuantities is what a dam takes. Each PlusMinus is one standard deviation, -1 when the
// accuracy of the sizes is not known. Numbers of pieces are rounded up and have none.
type DamQuantities struct {
	Kind                 DamKind `json:"material" doc:"what the dam is built from"`
	TotalHeightM         float64 `json:"totalHeightM" unit:"m" doc:"from the bed to the shoulders"`
	CrestLengthM         float64 `json:"shoulderLengthM" unit:"m" doc:"from bank to bank along the shoulders, keys not counted"`
	BaseBreadthM         float64 `json:"baseBreadthM" unit:"m" doc:"along the stream over the lowest point of the bed"`
	FillM3               float64 `json:"fillM3" unit:"m3" doc:"of the body before the notch is subtracted"`
	NotchM3              float64 `json:"notchM3" unit:"m3" doc:"subtracted from the body"`
	RockM3               float64 `json:"rockM3" unit:"m3" doc:"rock in the body"`
	RockPlusMinusM3      float64 `json:"rockPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	KeyM3                float64 `json:"keyM3" unit:"m3" doc:"trench to dig; filled with rock or brush as the dam is"`
	KeyPlusMinusM3       float64 `json:"keyPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	ApronM3              float64 `json:"apronM3" unit:"m3" doc:"rock below the toe"`
	ApronPlusMinusM3     float64 `json:"apronPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	ApronLengthM         float64 `json:"apronLengthM" unit:"m" doc:"along the stream"`
	ApronWidthM          float64 `json:"apronWidthM" unit:"m" doc:"across the stream"`
	ApronThicknessM      float64 `json:"apronThicknessM" unit:"m" doc:"of the apron; 0 without one"`
	WastageM3            float64 `json:"wastageM3" unit:"m3" doc:"rock lost and left over"`
	TotalRockM3          float64 `json:"totalRockM3" unit:"m3" doc:"body, key, apron and wastage: what to cart"`
	TotalRockPlusMinusM3 float64 `json:"totalRockPlusMinusM3" unit:"m3" doc:"one standard deviation; none when not known"`
	RockTonnes           float64 `json:"rockTonnes,omitempty" unit:"t" doc:"of all rock; none without its bulk density"`
	NetM2                float64 `json:"netM2,omitempty" unit:"m2" doc:"netting with its foot in the key and its overlap"`
	NetPlusMinusM2       float64 `json:"netPlusMinusM2,omitempty" unit:"m2" doc:"one standard deviation; none when not known"`
	Posts                int     `json:"posts,omitempty" unit:"1" doc:"in all fences"`
	PostLengthM          float64 `json:"postLengthM,omitempty" unit:"m" doc:"of a post with what is in the ground"`
	Ties                 int     `json:"ties,omitempty" unit:"1" doc:"wires between two fences"`
	TieWireM             float64 `json:"tieWireM,omitempty" unit:"m" doc:"wire for them, there and back"`
	BrushM3              float64 `json:"brushM3,omitempty" unit:"m3" doc:"brush as packed, in body and key; a loose heap is more"`
	BrushPlusMinusM3     float64 `json:"brushPlusMinusM3,omitempty" unit:"m3" doc:"one standard deviation; none when not known"`
	Bundles              int     `json:"bundles,omitempty" unit:"1" doc:"of brush; none without their size"`
	Stakes               int     `json:"stakes,omitempty" unit:"1" doc:"in two rows, or through the bales"`
	StakeLengthM         float64 `json:"stakeLengthM,omitempty" unit:"m" doc:"of a stake of a row with what is in the ground"`
	Bales                int     `json:"bales,omitempty" unit:"1" doc:"in one row, those at the ends included"`

	WastagePlusMinusM3  float64
	BulkTonnesPerM3     float64 // of all rock, as it was given; 0 when it was not
	RockTonnesPlusMinus float64
	TieWirePlusMinusM   float64
	Stone               *FlowStone // nil: no flow was given
	Cautions            []model.Caution
}

// Quantities works out what the dam takes: the body exactly between its planes, less the
// notch; key, apron and wastage each by itself. The error is a *model.Problem with a path
// like "crestHeightM" or "section[3]".
func (d DamBuild) Quantities() (DamQuantities, error) {
	d, p := d.settled()
	if p != nil {
		return DamQuantities{}, p
	}
	across, shape, t, pm := d.gully(), d.body(), d.take(), d.spread()
	q := DamQuantities{
		Kind: d.Kind, TotalHeightM: shape.heightM, CrestLengthM: across.WidthM(shape.heightM),
		BaseBreadthM: shape.baseM(), FillM3: t.FillM3, NotchM3: t.NotchM3,
		RockM3: t.RockM3, RockPlusMinusM3: pm.RockM3, KeyM3: t.KeyM3, KeyPlusMinusM3: pm.KeyM3,
		ApronM3: t.ApronM3, ApronPlusMinusM3: pm.ApronM3, ApronLengthM: d.ApronLengthM, ApronWidthM: d.ApronWidthM,
		WastageM3: t.WastageM3, WastagePlusMinusM3: pm.WastageM3, TotalRockM3: t.TotalRockM3, TotalRockPlusMinusM3: pm.TotalRockM3,
		BulkTonnesPerM3: d.BulkTonnesPerM3, RockTonnes: t.TotalRockM3 * d.BulkTonnesPerM3, RockTonnesPlusMinus: model.ScaledPlusMinus(d.BulkTonnesPerM3, pm.TotalRockM3),
		NetM2: t.NetM2, NetPlusMinusM2: pm.NetM2, BrushM3: t.BrushM3, BrushPlusMinusM3: pm.BrushM3,
	}
	switch d.Kind {
	case Netting:
		d.Fences.count(&q, d.CrestBreadthM, cmp.Or(max(d.AccuracyM, 0), -1))
	case Brushwood:
		d.Brush.count(&q)
	case HayBales:
		q.BaseBreadthM = d.Bale.WidthM
		d.Bale.count(&q, across, d.CrestHeightM)
	}
	q.ApronThicknessM, q.Stone = d.ApronThicknessM, d.stone
	q.Cautions = d.cautions()
	return q, nil
}
