package runoff

import "headcut/model"

// PeakCautions go with every peak flow.
var PeakCautions = []model.Caution{
	{Text: "This is an estimate for a small catchment. Look for old flood marks (debris in branches, silt lines, scour), ask when they came, calculate their flow by channel-flow, and build for the higher of the two."},
	{Text: "A larger storm than the one designed for will come. Structures for soil conservation in Queensland are commonly designed for a 1 in 10 year event."},
	{Text: "A part that lies near, or sheds more, can peak above the whole catchment: try it alone with its own shorter time."},
	{Text: "Where a local guide, a permit or a code has another method, use it. Where lives, roads, houses or dams depend on the structure, have an engineer calculate the flow."},
}

// TimeCautions go with every time of concentration.
var TimeCautions = []model.Caution{
	{Text: "The formulas differ more than the ground is known: compare the others, and where nothing speaks for one take the shorter time, which gives the higher peak."},
}

// NotchCautions go with every notch.
var NotchCautions = []model.Caution{
	{Text: "Only the flow over the crest is counted. What seeps through a porous dam is not, and it stops when silt fills the dam."},
	{Text: "Carry both ends into firm bank above the water: a notch that is too small or blocked sends the flow round, and a dam that fails does more harm than none."},
	{Text: "Works in a watercourse may need a permit, and services or heritage may lie below: ask before digging. Above low dams have an engineer design it."},
}

// Speeds that bare soil bears, in m/s (Minnesota Pollution Control Agency, permissible
// velocity, converted from 1.5 and 2.5 ft/s).
const (
	bareSandMS = 0.46
	bareClayMS = 0.76
)

// Cautions are those of this notch. gullyBottomM is the width of the gully's bottom where
// the dam stands, 0 when it was not measured.
func (o Overflow) Cautions(gullyBottomM float64) []model.Caution {
	all := append(model.Cautions(nil), NotchCautions...)
	all.AddIf(o.VelocityMS > bareSandMS, "velocityMS", "Water leaves the crest at %.1f m/s, and faster at the foot of the fall; bare sandy ground bears %v m/s, bare clay %v: lay an apron.", o.VelocityMS, bareSandMS, bareClayMS)
	all.AddIf(gullyBottomM > 0 && o.CrestLengthM.Value > gullyBottomM, "crestLengthM", "The notch is longer than the gully's bottom, %.2f m: the jet at its ends falls on the banks. Shorten it and raise the ends, or armour the banks.", gullyBottomM)
	if freeboard := o.AbutmentHeightM.Value - o.HeadM.Value; freeboard < MinFreeboardM-1e-9 {
		all.Add("freeboardM", "%.2f m of freeboard is less than the usual %v m: waves and drift reach the ends.", freeboard, MinFreeboardM)
	}
	return all
}

// LeastAbutmentM is how far the ends of a dam rise above the crest whatever the flow
// (Catchments & Creeks fact sheet CDT-3, installation step 7).
const LeastAbutmentM = 0.15

// EndsHold tells whether ends that stand this far above the bottom of the notch keep the
// flow off the banks, and how much they lack when they do not.
func (o Overflow) EndsHold(aboveCrestM float64) (hold bool, lackM float64) {
	const rounding = 1e-9
	lackM = max(o.AbutmentHeightM.Value, LeastAbutmentM) - aboveCrestM
	if lackM <= rounding {
		return true, 0
	}
	return false, lackM
}
