package works

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/elementary"
)

// Bounds of the equations of rock chutes: slopes they were fitted to, and more flow than any
// low dam passes. Above them, to a face of 1 in 2, the stone grows by overtopping.
const (
	leastChutePct = 2
	mostChutePct  = 40
	mostFacePct   = 50
	maxChuteM2S   = 2
)

// StoneFactor is the factor of safety on every stone that is sized by the flow (Catchments &
// Creeks, Gully Erosion Part 3, Design of rock chutes: 1.2 at least; looked up).
const StoneFactor = 1.2

const (
	ChuteRule     = "rock chute"       // ChuteStoneM, on a slope of 2 to 40 %
	SteepFaceRule = "steep rock chute" // FaceStoneM, from 40 % to 1 in 2
	ImpactRule    = "foot of the fall" // ImpactStoneM, below an upright face
)

// ChuteStoneM is the median stone, in metres, that does not move on a steep face that
// carries unitFlowM2S, cubic metres a second for each metre of width, down slopePct:
//
//	d₅₀ = (q S^1.5 / 0.00475)^(1/1.89)   2 to 10 %
//	d₅₀ = (q S^0.58 / 0.0393)^(1/1.89)   10 to 40 %
//
// with d₅₀ in inches and q in cubic feet a second and foot (Robinson, Rice and Kadavy 1998,
// rock chutes; looked up, the units by comparison with a design sheet of the same equations
// in millimetres). StoneFactor comes on top.
func ChuteStoneM(unitFlowM2S, slopePct float64) (float64, *model.Problem) {
	const foot = 0.3048
	if p := model.FirstProblem(
		model.Require(unitFlowM2S > 0 && unitFlowM2S <= maxChuteM2S, "unitFlowM2S", "a larger flow is a matter for an engineer",
			"%v is not a flow above 0 and up to %d m3/s for each metre of width", unitFlowM2S, maxChuteM2S),
		model.Require(slopePct >= leastChutePct && slopePct <= mostChutePct, "slopePct", "",
			"%v %% is outside the %d to %d %% the equations were fitted to", slopePct, leastChutePct, mostChutePct)); p != nil {
		return 0, p
	}
	q, slope := unitFlowM2S/(foot*foot), slopePct/100
	inches := elementary.Pow(q*elementary.Pow(slope, 0.58)/0.0393, 1/1.89)
	if slope <= 0.10 {
		inches = elementary.Pow(q*elementary.Pow(slope, 1.5)/0.00475, 1/1.89)
	}
	return inches * foot / 12, nil
}

// Isbash's coefficient in very turbulent water, and how heavy rock is beside water.
const (
	isbashTurbulent = 0.86
	rockToWater     = 2.65
)

// IsbashStoneM is the stone, in metres, that very turbulent water of this speed does not
// move: D = V² / (2 g C² (s - 1)), with C 0.86 and rock of 2.65 (Isbash, by
// Hydraulic Design Criteria 712-1 of the US Army Corps of Engineers; from memory). StoneFactor comes on top.
func IsbashStoneM(velocityMS float64) float64 {
	const gravityMS2 = 9.80665
	return velocityMS * velocityMS / (2 * gravityMS2 * isbashTurbulent * isbashTurbulent * (rockToWater - 1))
}

// ImpactStoneM is the stone at the foot of water that falls dropM from a level crest over an
// upright face with unitFlowM2S over each metre of it, by its speed there, flow over depth.
func ImpactStoneM(unitFlowM2S, dropM float64) float64 {
	return IsbashStoneM(unitFlowM2S / footDepthM(unitFlowM2S, dropM))
}

// footDepthM is how deep the water leaves the foot of a fall: 0.54 h D^0.425 with the drop
// number D = q²/(g h³) (Rand 1955, Flow geometry at straight drop spillways, ASCE Proceedings
// 81, paper 791; the coefficients from memory).
func footDepthM(unitFlowM2S, dropM float64) float64 {
	const gravityMS2 = 9.80665
	number := unitFlowM2S * unitFlowM2S / (gravityMS2 * dropM * dropM * dropM)
	return 0.54 * dropM * elementary.Pow(number, 0.425)
}

// FaceStoneM is ChuteStoneM carried on to a face of 1 in 2. Above 40 % the stone grows as
// overtopping has it, and so without a jump: no chute of the equations was steeper, while
// overtopped banks of 1 in 2 were tried.
func FaceStoneM(unitFlowM2S, slopePct float64) (float64, *model.Problem) {
	if !(slopePct > mostChutePct && slopePct <= mostFacePct) {
		return ChuteStoneM(unitFlowM2S, slopePct)
	}
	m, p := ChuteStoneM(unitFlowM2S, mostChutePct)
	return m * overtopping(slopePct) / overtopping(mostChutePct), p
}

// overtopping is how the median stone of a bank that water runs over grows with its slope:
//
//	S^-0.75 (sin α / ((s cos α - 1)(cos α tan φ - sin α)))^1.11
//
// with s the rock's density to that of water and φ its angle of repose: 37°, the least of
// Stones by Chow (FHWA HEC-23, volume 2, design guideline 5, after Mishra 1998, tried on banks
// to 1 in 2; from memory).
func overtopping(slopePct float64) float64 {
	slope, repose := slopePct/100, 1/runAt(37)
	cos := 1 / math.Sqrt(1+slope*slope)
	sin := slope * cos
	return elementary.Pow(slope, -0.75) * elementary.Pow(sin/((rockToWater*cos-1)*(cos*repose-sin)), 1.11)
}

// FlowStone is the median stone that a flow over a dam asks for, StoneFactor included.
// Each part is sized at the slope it stands on: the face by its own slope, and the apron by
// the fall that ends on it, never by the gentler slope of the gully's bed.
type FlowStone struct {
	FaceM     *float64 // nil on an upright face, which has no stone on a slope
	FaceRule  string   // the rule; "" where FaceM is nil
	ApronM    float64
	ApronRule string
	Cautions  []model.Caution
}

// FlowStone sizes the stone of the downstream face and of the apron for a flow over the
// notch, spread no wider than that. It returns a *model.Problem with the path "flowM3S" for
// a flow that no low dam passes, "notchLengthM" where there is no notch to spread it, and
// "downstreamRunPerRise" for a face steeper than any rule for stone under water.
func (d DamBuild) FlowStone(flowM3S float64) (FlowStone, *model.Problem) {
	if d.NotchLengthM == 0 {
		return FlowStone{}, model.FirstProblem(inRange("flowM3S", flowM3S, 1e-6, 100, "m3/s"),
			&model.Problem{Path: "notchLengthM", Reason: "is missing, and stone is sized by the flow over each metre of notch", Fix: "give the notch, or leave out flowM3S"})
	}
	unit := flowM3S / d.NotchLengthM
	if p := inRange("flowM3S", unit, 1e-6, maxChuteM2S, "m3/s for each metre of notch"); p != nil {
		return FlowStone{}, p
	}
	var cautions model.Cautions
	cautions.Add("apronStoneMM", "Water and stone meet hardest at the foot of the fall: pack the apron tight from the largest stone, level with the bed, and look at it after the first flow.")
	if d.DownstreamRunPerRise == 0 {
		return FlowStone{ApronM: StoneFactor * ImpactStoneM(unit, d.CrestHeightM), ApronRule: ImpactRule, Cautions: cautions}, nil
	}
	facePct := 100 / d.DownstreamRunPerRise
	if facePct > mostFacePct {
		return FlowStone{}, &model.Problem{Path: "downstreamRunPerRise", Reason: fmt.Sprintf("no rule that we know sizes loose stone for water on a face of 1 in %.3g: rock chutes and overtopped banks were tried to 1 in 2", d.DownstreamRunPerRise),
			Fix: "lay the face back to 1 in 2, or build of netting and posts; leave the flow out for the quantities alone"}
	}
	face, p := FaceStoneM(unit, max(facePct, leastChutePct))
	if p != nil {
		return FlowStone{}, p
	}
	face *= StoneFactor
	rule := ChuteRule
	if facePct > mostChutePct {
		rule = SteepFaceRule
		cautions.Add("faceStoneMM", "The rule for rock chutes ends at 1 in 2.5. On this face of 1 in %.3g the stone is %.2f times that, as overtopped banks have it (FHWA HEC-23, from memory): lay the face back where there is room.", d.DownstreamRunPerRise, overtopping(facePct)/overtopping(mostChutePct))
	}
	cautions.AddIf(facePct > 100.0/3, "faceStoneMM", "Rock chutes are not built steeper than 1 in 3 (EFH notice on rock chutes, 2006): this face falls 1 in %.3g.", d.DownstreamRunPerRise)
	// The face is a chute, and its stone is carried on over the apron: there is no fall.
	return FlowStone{FaceM: &face, FaceRule: rule, ApronM: face, ApronRule: rule, Cautions: cautions}, nil
}
