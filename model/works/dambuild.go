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
	Kind DamKind // "": loose rock

	Section                         [][2]float64 // offset across and level, metres, from bank to bank; the datum does not matter
	BedWidthM                       float64
	LeftRunPerRise, RightRunPerRise float64 // of the banks, 0 upright
	BedSlopePct                     float64 // of the bed going upstream; 0: taken as level under the dam

	CrestHeightM                               float64 // from the bed at the downstream toe up to the notch
	CrestBreadthM                              float64 // along the stream; of netting with two fences and of brushwood, from fence to fence
	UpstreamRunPerRise, DownstreamRunPerRise   float64 // of the faces, 0 upright
	NotchDepthM, NotchLengthM                  float64 // 0: no notch
	KeyDepthM, KeyWidthM, KeyIntoBankM         float64 // trench along the dam and into each bank; 0: none
	Stone                                      string  // a name of Stones; "": not known, the faces are held to the steepest
	HeightRule                                 string  // a name of HeightRules; "": none but the metre that holds for all
	ApronRule                                  string  // a name of ApronRules; "": the first of them
	ApronLengthM, ApronWidthM, ApronThicknessM float64 // 0: by the rule; the bed's width; ApronThicknessM
	WastagePct                                 float64 // rock lost and left over, of all rock; 0: none reckoned
	BulkTonnesPerM3                            float64 // of rock as it lies in the dam; 0: not known, no tonnes
	CatchmentHa                                float64 // above the dam; 0: not known

	Fences    Fences  // of netting
	Brush     Brush   // of brushwood
	Bale      Bale    // of hay bales
	AccuracyM float64 // one standard deviation of each size and offset given, metres; not above 0: not known

	FlowM3S *float64   // over the notch, to size the stone by; nil: not known
	stone   *FlowStone // by that flow
}

// DamQuantities is what a dam takes. Each PlusMinus is one standard deviation, -1 when the
// accuracy of the sizes is not known. Numbers of pieces are rounded up and have none.
type DamQuantities struct {
	Kind                 DamKind
	TotalHeightM         float64 // from the bed to the shoulders
	CrestLengthM         float64 // from bank to bank along the shoulders, keys not counted
	BaseBreadthM         float64 // along the stream over the lowest point of the bed
	FillM3               float64 // the body between its faces, before the notch is taken out
	NotchM3              float64 // taken out of the body
	RockM3               float64 // rock in the body
	RockPlusMinusM3      float64
	KeyM3                float64 // trench to be dug and, but for bales, filled with what the dam is made of
	KeyPlusMinusM3       float64
	ApronM3              float64 // rock below the dam
	ApronPlusMinusM3     float64
	ApronLengthM         float64
	ApronWidthM          float64
	WastageM3            float64
	WastagePlusMinusM3   float64
	TotalRockM3          float64 // body, key, apron and wastage: what to cart
	TotalRockPlusMinusM3 float64
	BulkTonnesPerM3      float64 // of all rock, as it was given; 0 when it was not
	RockTonnes           float64 // of TotalRockM3; 0 when the bulk density was not given
	RockTonnesPlusMinus  float64

	NetM2             float64 // overlap and foot included
	NetPlusMinusM2    float64
	Posts             int
	PostLengthM       float64
	Ties              int // of wire, between two fences
	TieWireM          float64
	TieWirePlusMinusM float64

	BrushM3          float64 // packed, in the body and the key
	BrushPlusMinusM3 float64
	Bundles          int
	Stakes           int
	StakeLengthM     float64

	Bales int

	ApronThicknessM float64
	Stone           *FlowStone // nil: no flow was given

	Cautions []model.Caution
}

// Quantities works out what the dam takes: the body exactly between its planes, less the
// notch; key, apron and wastage each by itself. The error is a *model.Problem with a path
// like "crestHeightM" or "section[3]".
func (d DamBuild) Quantities() (DamQuantities, error) {
	d, p := d.settled()
	if p != nil {
		return DamQuantities{}, p
	}
	section, shape, t, pm := d.gully(), d.body(), d.take(), d.spread()
	q := DamQuantities{
		Kind: d.Kind, TotalHeightM: shape.heightM, CrestLengthM: section.widthM(shape.heightM),
		BaseBreadthM: shape.baseM(), FillM3: t.FillM3, NotchM3: t.NotchM3,
		RockM3: t.RockM3, RockPlusMinusM3: pm.RockM3, KeyM3: t.KeyM3, KeyPlusMinusM3: pm.KeyM3,
		ApronM3: t.ApronM3, ApronPlusMinusM3: pm.ApronM3, ApronLengthM: d.ApronLengthM, ApronWidthM: d.ApronWidthM,
		WastageM3: t.WastageM3, WastagePlusMinusM3: pm.WastageM3, TotalRockM3: t.TotalRockM3, TotalRockPlusMinusM3: pm.TotalRockM3,
		BulkTonnesPerM3: d.BulkTonnesPerM3, RockTonnes: t.TotalRockM3 * d.BulkTonnesPerM3, RockTonnesPlusMinus: scaled(d.BulkTonnesPerM3, pm.TotalRockM3),
		NetM2: t.NetM2, NetPlusMinusM2: pm.NetM2, BrushM3: t.BrushM3, BrushPlusMinusM3: pm.BrushM3,
	}
	switch d.Kind {
	case Netting:
		d.Fences.count(&q, d.CrestBreadthM, cmp.Or(max(d.AccuracyM, 0), -1))
	case Brushwood:
		d.Brush.count(&q)
	case HayBales:
		q.BaseBreadthM = d.Bale.WidthM
		d.Bale.count(&q, section, d.CrestHeightM)
	}
	q.ApronThicknessM, q.Stone = d.ApronThicknessM, d.stone
	q.Cautions = d.cautions()
	return q, nil
}
