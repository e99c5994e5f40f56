package compute

import (
	"headcut/model"
	"headcut/model/runoff"
	"headcut/model/works"
)

// damBuildIn is how all dams of a layout are built; rock-dam looks at one dam more closely.
type damBuildIn struct {
	Kind                 string  `json:"material,omitempty" choices:"loose rock|netting and posts|brushwood|hay bales" doc:"what the dams are built from; loose rock if not given"`
	BedWidthM            float64 `json:"bedWidthM" unit:"m" doc:"of the bed, where a site does not give its own"`
	LeftRunPerRise       float64 `json:"leftRunPerRise,omitempty" unit:"1" doc:"of the left bank, looking downstream; 0, upright, if not given"`
	RightRunPerRise      float64 `json:"rightRunPerRise,omitempty" unit:"1" doc:"of the right bank"`
	CrestBreadthM        float64 `json:"crestBreadthM,omitempty" unit:"m" doc:"along the stream, from 0.2 m; hay bales do without; of netting and brushwood, from fence to fence"`
	UpstreamRunPerRise   float64 `json:"upstreamRunPerRise,omitempty" unit:"1" doc:"of the upstream face; loose rock needs it"`
	DownstreamRunPerRise float64 `json:"downstreamRunPerRise,omitempty" unit:"1" doc:"of the downstream face; loose rock needs it"`
	KeyDepthM            float64 `json:"keyDepthM,omitempty" unit:"m" doc:"of the trench along the dam; 0: none. About 0.6 by Heede 1976, from memory"`
	KeyWidthM            float64 `json:"keyWidthM,omitempty" unit:"m" doc:"of the trench; about 0.6 by the same"`
	KeyIntoBankM         float64 `json:"keyIntoBankM,omitempty" unit:"m" doc:"into each bank; 1.2 to 1.8 by the same"`
	ApronRule            string  `json:"apronRule,omitempty" choices:"Heede|2 m of large stone|none" doc:"how far below the toe rock is laid; Heede, 1.5 heights on beds to 15 % and 1.75 above (from memory), if not given"`
	ApronThicknessM      float64 `json:"apronThicknessM,omitempty" unit:"m" doc:"of the apron; twice its median stone, where a notch gives the flow, and 0.3 at least if not given"`
	WastagePct           float64 `json:"wastagePct,omitempty" unit:"%" doc:"of rock lost and left over"`
	AccuracyM            float64 `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of the sizes given; not known if not given"`
}

// build is the dam that all are built like; the notch is as deep as the flow asks.
func (in damBuildIn) build(overflow *damOverflow) works.DamBuild {
	b := works.DamBuild{Kind: works.DamKind(in.Kind), BedWidthM: in.BedWidthM, LeftRunPerRise: in.LeftRunPerRise, RightRunPerRise: in.RightRunPerRise,
		CrestBreadthM: in.CrestBreadthM, UpstreamRunPerRise: in.UpstreamRunPerRise, DownstreamRunPerRise: in.DownstreamRunPerRise,
		KeyDepthM: in.KeyDepthM, KeyWidthM: in.KeyWidthM, KeyIntoBankM: in.KeyIntoBankM,
		ApronRule: in.ApronRule, ApronThicknessM: in.ApronThicknessM, WastagePct: in.WastagePct, AccuracyM: in.AccuracyM}
	if overflow != nil {
		b.FlowM3S = &overflow.flowM3S
		b.NotchDepthM, b.NotchLengthM = overflow.AbutmentHeightM.Value, overflow.NotchLengthM
	}
	return b
}

// damOverflow is the notch that every dam of the layout has.
type damOverflow struct {
	HeadM           estimate `json:"headM" plusMinus:"headPlusMinusM" unit:"m" doc:"of the peak flow above the bottom of the notch, which is the crest"`
	FreeboardM      float64  `json:"freeboardM" unit:"m" doc:"from the water up to the dam's ends"`
	AbutmentHeightM estimate `json:"abutmentHeightM" plusMinus:"abutmentPlusMinusM" unit:"m" doc:"of the ends above the crest: head and freeboard"`
	NotchLengthM    float64  `json:"notchLengthM" unit:"m" doc:"along the crest"`
	flowM3S         float64
	cautions        []model.Caution
}

func (in notchIn) damOverflow(bedWidthM float64) (*damOverflow, error) {
	n, err := in.notch()
	var o runoff.Overflow
	if err == nil {
		o, err = in.overflow(n)
	}
	if err != nil {
		return nil, model.Within(err, "notch")
	}
	out := &damOverflow{HeadM: estimate(o.HeadM), FreeboardM: o.FreeboardM, AbutmentHeightM: estimate(o.AbutmentHeightM), NotchLengthM: o.CrestLengthM.Value,
		flowM3S: o.FlowM3S.Value, cautions: o.Cautions(orElse(in.GullyBottomM, bedWidthM))}
	out.AbutmentHeightM.Value = max(out.AbutmentHeightM.Value, works.EndsAboveCrestM) // whatever the flow, as every handbook of low dams asks
	return out, nil
}

// damOut is a dam of the layout with what it takes to build.
type damOut struct {
	works.DamSite
	damNotch
	AbutmentLevelM optional `json:"abutmentLevelM,omitempty" plusMinus:"abutmentPlusMinusM" unit:"m" doc:"of the dam's ends: crest, head and freeboard; with a notch" plusMinusDoc:"one standard deviation of that level; none when not known"`
	ApronLengthM   *float64 `json:"apronLengthM,omitempty" unit:"m" doc:"of rock below the toe; with a build, as are those below"`
	RockM3         optional `json:"rockM3,omitempty" plusMinus:"rockPlusMinusM3" unit:"m3" doc:"body, key, apron and wastage" plusMinusDoc:"one standard deviation; none when not known"`
	KeyM3          *float64 `json:"keyM3,omitempty" unit:"m3" doc:"trench to dig"`
	NetM2          *float64 `json:"netM2,omitempty" unit:"m2" doc:"netting"`
	Posts          *int     `json:"posts,omitempty" unit:"1" doc:"number of posts"`
	BrushM3        *float64 `json:"brushM3,omitempty" unit:"m3" doc:"brush, packed"`
	Bales          *int     `json:"bales,omitempty" unit:"1" doc:"number of bales"`
}

// sameNotch are so many dams with one notch, of which no cross-section is given.
func sameNotch(dams int, overflow *damOverflow) []damAcross {
	all := make([]damAcross, dams)
	for i := range all {
		all[i].overflow = overflow
	}
	return all
}

func damOuts(dams []works.DamSite, across []damAcross, levelPlusMinusM float64, bill *works.DamBill) []damOut {
	out := make([]damOut, len(dams))
	for i, d := range dams {
		out[i].DamSite, out[i].damNotch = d, across[i].damNotch
		if overflow := across[i].overflow; overflow != nil {
			level, plusMinus := d.CrestLevelM+overflow.AbutmentHeightM.Value, model.JointPlusMinus(levelPlusMinusM, overflow.AbutmentHeightM.PlusMinus)
			out[i].AbutmentLevelM = optional{&level, &plusMinus}
		}
		if bill != nil {
			out[i].take(bill.Dams[i])
		}
	}
	return out
}

func (d *damOut) take(q works.DamQuantities) {
	d.ApronLengthM, d.RockM3, d.KeyM3 = &q.ApronLengthM, optional{&q.TotalRockM3, &q.TotalRockPlusMinusM3}, &q.KeyM3
	switch q.Kind {
	case works.Netting:
		d.NetM2, d.Posts = &q.NetM2, &q.Posts
	case works.Brushwood:
		d.BrushM3 = &q.BrushM3
	case works.HayBales:
		d.Bales = &q.Bales
	}
}

// billOut is what all dams of one layout take.
type billOut struct {
	RockM3   estimate     `json:"rockM3" plusMinus:"rockPlusMinusM3" unit:"m3" doc:"body, keys, aprons and wastage" plusMinusDoc:"one standard deviation, the sizes being shared by all dams; none when not known"`
	Hours    optional     `json:"hours,omitempty" plusMinus:"hoursPlusMinus" unit:"h" doc:"of what has a rate for hours" plusMinusDoc:"one standard deviation from the quantities alone; none when not known"`
	Cost     optional     `json:"cost,omitempty" plusMinus:"costPlusMinus" decimals:"2" unit:"1" doc:"of what has a rate for cost, in your currency" plusMinusDoc:"one standard deviation from the quantities alone; none when not known"`
	Rows     []billRowOut `json:"rows" doc:"item by item"`
	Unpriced []string     `json:"unpriced" doc:"items without a rate: the sums lack them"`
}

type billRowOut struct {
	Item     string   `json:"item" doc:"what is needed"`
	Quantity estimate `json:"quantity" plusMinus:"plusMinus" unit:"1" decimals:"1" doc:"how much, in the row's unit" plusMinusDoc:"one standard deviation in the row's unit; none when not known"`
	Unit     string   `json:"unit" doc:"of the quantity"`
	Hours    *float64 `json:"hours,omitempty" unit:"h" doc:"by the rate"`
	Cost     *float64 `json:"cost,omitempty" decimals:"2" unit:"1" doc:"by the rate"`
	Note     string   `json:"note,omitempty" doc:"which rate is lacking"`
}

func billOf(b *works.DamBill) *billOut {
	if b == nil {
		return nil
	}
	out := &billOut{RockM3: estimate{b.RockM3, b.RockPlusMinusM3}, Unpriced: b.Unpriced}
	if b.Hours != nil {
		out.Hours = optional{b.Hours, &b.HoursPlusMinus}
	}
	if b.Cost != nil {
		out.Cost = optional{b.Cost, &b.CostPlusMinus}
	}
	for _, r := range b.Rows {
		out.Rows = append(out.Rows, billRowOut{r.Item, estimate{r.Amount, r.PlusMinus}, r.Unit, r.Hours, r.Cost, r.Note})
	}
	return out
}
