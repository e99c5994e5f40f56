package works

import "headcut/model"

// BuildCautions go with every dam whose quantities are worked out, beside DamCautions.
var BuildCautions = []model.Caution{
	{Text: "Quantities are of the drawing, not of the strength: flow, scour and founding are not looked at. Local codes and a licensed engineer come before any number here."},
	{Text: "Rock, netting and posts are heavy and sharp: lift with care, and keep machines back from banks that are cracked or undercut."},
}

// maxStoneCheckHa is 10 acres (Dane County Erosion Control and Stormwater Manual, stone
// check dam; looked up).
const maxStoneCheckHa = 10 * acreHa

// largestStoneMM is the largest of StoneSizes.
const largestStoneMM = 450

// deepPitM is how deep a pit is that traps whoever kneels in it. Common practice, no source.
const deepPitM = 0.8

func (d DamBuild) cautions() []model.Caution {
	all := append(append(model.Cautions(nil), DamCautions...), BuildCautions...)
	for _, r := range HeightRules {
		all.AddIf(r.Holds(d.Kind) && !r.Allows(d.CrestHeightM), "crestHeightM", "%v m is above the %.2f m of %s: handbooks differ, and this one would not have it.", d.CrestHeightM, r.MaxM, r.Source)
	}
	if bed := d.BedSlopePct / 100; bed > 0 && d.Kind != HayBales {
		from, to := d.body().lowered(d.NotchDepthM).crest()
		if meets := d.CrestHeightM / bed; meets < to {
			all.Add("bedSlopePct", "On a bed of %v %% the ground comes up to the bottom of the notch %.1f m upstream of the toe, and the notch reaches from %.1f to %.1f m: dig it free, make the top narrower, or choose a flatter place. Behind such a dam there is no room for silt.", d.BedSlopePct, meets, from, to)
		}
	}
	all.AddIf(d.Section == nil && d.NotchLengthM > d.BedWidthM, "notchLengthM", "The notch is longer than the bed is wide: water over its ends falls on the banks (Heede 1976, from memory).")
	steepest := min(d.UpstreamRunPerRise, d.DownstreamRunPerRise)
	all.AddIf(d.Stone == "" && d.Kind == LooseRock && steepest < 2, "stone", "No stone was named: a face of 1 in %v is stable for some stone and not for other. County manuals want 1 in 2.", steepest)
	all.AddIf(d.Kind == LooseRock && d.CatchmentHa > maxStoneCheckHa, "catchmentHa", "Dane County keeps stone check dams to drains of %.1f ha; %v ha need a design by the flow.", maxStoneCheckHa, d.CatchmentHa)
	all.AddIf(d.KeyDepthM*d.KeyWidthM == 0 && d.Kind != HayBales, "keyM3", "No key was given: a dam that is not let into its bed and banks is soon gone round.")
	if d.stone != nil {
		all = append(all, d.stone.Cautions...)
		if least := ApronThicknessM(d.stone.ApronM); d.ApronLengthM > 0 && d.ApronThicknessM < least {
			all.Add("apronThicknessM", "The apron is %.2f m thick: twice its median stone of %.0f mm is %.2f m (NRCS, 2008). A thinner layer is picked apart stone by stone.", d.ApronThicknessM, 1000*d.stone.ApronM, least)
		}
		if median := max(d.stone.ApronM, orDefault(d.stone.FaceM, 0)); 1000*median > largestStoneMM {
			less := "lower the dam"
			if d.stone.FaceM != nil {
				less = "lay its face back"
			}
			all.Add("apronStoneMM", "The flow asks for stone of %.0f mm at the median, larger than any that handbooks of low dams name: lengthen the notch, %s, or ask an engineer.", 1000*median, less)
		}
	}
	all.AddIf(d.ApronThicknessM >= deepPitM || d.KeyDepthM >= deepPitM, "apronThicknessM", "The pit for apron or key is %.1f m deep at the foot of walls that fall without warning: lay its sides back, never work in it alone, and keep out of it when it is wet. One of 1.5 m buries a person.", max(d.ApronThicknessM, d.KeyDepthM))
	all.AddIf(d.ApronLengthM == 0, "apronM3", "Without rock below it the fall digs out the toe.")
	if d.Kind == HayBales {
		limit, _ := baleLimitOn(d.BedSlopePct)
		all.AddIf(d.CatchmentHa == 0, "catchmentHa", "The catchment was not given: on a bed of up to %v %% NRCS Wyoming allows bales below no more than %.1f ha.", limit.slopePct, limit.catchmentHa)
		all.Add("bedSlopePct", "On such a bed bales are for slopes no longer than %.0f m above them (NRCS Wyoming).", limit.slopeLengthM)
		all.Add("material", "Authorities disagree about bales: NRCS Wyoming allows them in very small drains; Washington State (BMP C207) does not allow them as check dams, nor Broken Arrow (2023, citing Minnesota) in concentrated flow.")
		all.Add("material", "Bales rot: they last a season or two, and hay brings weed seed. A trial saw them full after the first storms, with no less soil lost over the year (Robichaud and others 2019).")
	}
	return all
}
