package runoff

import (
	"math"

	"headcut/model"
	"headcut/model/elementary"
)

// Lining is a channel's surface with its Manning roughness.
type Lining struct {
	Name                string
	Low, ManningN, High float64 // the range that the source gives, and the figure it calls normal
	Source              model.Source
}

// PlusMinus is that of a roughness that may lie anywhere in the range; negative, not known,
// where the source gives a single figure.
func (l Lining) PlusMinus() float64 { return ofRange(l.Low, l.High) }

var chow = model.Source{Title: "Chow's table of channel roughness, in a copy", How: model.LookedUp}

// Linings lists them, the smoothest first.
var Linings = []Lining{
	{"straight earth", 0.022, 0.022, 0.022, chow},
	{"clean straight stream", 0.025, 0.030, 0.033, chow},
	{"short grass", 0.025, 0.030, 0.035, chow},
	{"high grass", 0.030, 0.035, 0.050, chow},
	{"light brush", 0.035, 0.050, 0.060, chow},
}

// Channel is a plain channel of even slope: a level bottom between sides that lean alike.
type Channel struct {
	BedWidthM      Quantity // 0 for a bottom that comes to a point
	SideRunPerRise float64
	SlopePct       Quantity // of the water's surface, which is the bed's in even flow
	ManningN       Quantity
}

// Stream is even flow in a channel.
type Stream struct {
	DepthM           Quantity `json:"depthM" plusMinus:"depthPlusMinusM" unit:"m" doc:"of the water"`
	FlowM3S          Quantity `json:"flowM3S" plusMinus:"flowPlusMinusM3S" unit:"m3/s" doc:"the flow"`
	VelocityMS       float64  `json:"velocityMS" unit:"m/s" doc:"mean"`
	AreaM2           float64  `json:"areaM2" unit:"m2" doc:"of the water across the channel"`
	WettedM          float64  `json:"wettedM" unit:"m" doc:"wetted perimeter"`
	HydraulicRadiusM float64  `json:"hydraulicRadiusM" unit:"m" doc:"area over wetted perimeter"`
	WaterWidthM      float64  `json:"waterWidthM" unit:"m" doc:"of the surface"`
}

// Limits of a channel.
const (
	maxBedM          = 100
	maxSide          = 20
	maxDepthM        = 5
	maxStreamM3S     = 200
	leastN, mostN    = 0.01, 0.2
	leastChannelPct  = 0.01
	steepestChannels = 30
)

// ManningMS is the mean velocity of even flow in m/s by Manning: V = R^(2/3) S^(1/2) / n,
// with the hydraulic radius R, the area over the wetted perimeter, in metres and S as rise
// over run.
func ManningMS(hydraulicRadiusM, slopePct, n float64) float64 {
	return elementary.Pow(hydraulicRadiusM, 2.0/3) * math.Sqrt(slopePct/100) / n
}

// At is the flow at a depth, by ManningMS. It returns a *model.Problem with a path like
// "bedWidthM"; so does For.
func (c Channel) At(depthM Quantity) (Stream, error) {
	if p := model.FirstProblem(c.check(), bound{"depthM", 0.01, maxDepthM, "a depth of water", " m", "give metres from the bed up"}.check(depthM, "depthPlusMinusM")); p != nil {
		return Stream{}, p
	}
	s := c.even(depthM.Value)
	s.DepthM = depthM
	s.FlowM3S.PlusMinus = model.JointPlusMinus(c.spread(s), model.ScaledPlusMinus(c.byDepth(s), depthM.PlusMinus))
	return s, nil
}

// For is the depth at which a flow runs evenly.
func (c Channel) For(flowM3S Quantity) (Stream, error) {
	if p := model.FirstProblem(c.check(), bound{"flowM3S", 1e-4, maxStreamM3S, "a flow in a gully", " m3/s", "give cubic metres a second: 1000 l/s is 1"}.check(flowM3S, "flowPlusMinusM3S")); p != nil {
		return Stream{}, p
	}
	if c.even(maxDepthM).FlowM3S.Value < flowM3S.Value {
		return Stream{}, &model.Problem{Path: "flowM3S", Reason: "would run deeper than 5 m", Fix: "check the width and the slope; a river is for an engineer"}
	}
	s := c.even(bisect(0, maxDepthM, func(y float64) bool { return c.even(y).FlowM3S.Value < flowM3S.Value }))
	s.FlowM3S = flowM3S
	s.DepthM.PlusMinus = model.ScaledPlusMinus(1/c.byDepth(s), model.JointPlusMinus(flowM3S.PlusMinus, c.spread(s)))
	return s, nil
}

func (c Channel) even(y float64) Stream {
	b, z := c.BedWidthM.Value, c.SideRunPerRise
	s := Stream{DepthM: Unsure(y), AreaM2: y * (b + z*y), WettedM: b + 2*y*math.Sqrt(1+z*z), WaterWidthM: b + 2*z*y}
	if s.WettedM == 0 {
		return s
	}
	s.HydraulicRadiusM = s.AreaM2 / s.WettedM
	s.VelocityMS = ManningMS(s.HydraulicRadiusM, c.SlopePct.Value, c.ManningN.Value)
	s.FlowM3S = Unsure(s.VelocityMS * s.AreaM2)
	return s
}

// byDepth is how the flow changes with the depth, in m³/s a metre: Q = A^(5/3) P^(-2/3) k
// differentiated.
func (c Channel) byDepth(s Stream) float64 {
	z := c.SideRunPerRise
	return s.FlowM3S.Value * (5*s.WaterWidthM/s.AreaM2 - 2*2*math.Sqrt(1+z*z)/s.WettedM) / 3
}

// spread is the plus-minus of the flow at a given depth, from width, slope and roughness.
func (c Channel) spread(s Stream) float64 {
	q, y := s.FlowM3S.Value, s.DepthM.Value
	return model.JointPlusMinus(
		model.ScaledPlusMinus(q*(5*y/s.AreaM2-2/s.WettedM)/3, c.BedWidthM.PlusMinus),
		model.ScaledPlusMinus(q/2, c.SlopePct.relative()),
		model.ScaledPlusMinus(q, c.ManningN.relative()))
}

func (c Channel) check() *model.Problem {
	return model.FirstProblem(
		model.Require(c.BedWidthM.Value != 0 || c.SideRunPerRise != 0, "bedWidthM", "", "a channel without a bottom and with upright sides carries no water"),
		bound{"bedWidthM", 0, maxBedM, "a bottom", " m", "give metres"}.check(c.BedWidthM, "bedWidthPlusMinusM"),
		bound{"sideRunPerRise", 0, maxSide, "a side", "", "give run over rise: 45 degrees is 1"}.exactly(c.SideRunPerRise),
		bound{"slopePct", leastChannelPct, steepestChannels, "a slope of a channel", " %", "give percent: 0.5 for 5 mm in a metre"}.check(c.SlopePct, "slopePlusMinusPct"),
		bound{"manningN", leastN, mostN, "Manning's roughness of a channel", "", "short grass is about 0.030, light brush 0.050"}.check(c.ManningN, "manningNPlusMinus"))
}

// ChannelCautions go with every flow in a channel.
var ChannelCautions = []model.Caution{
	{Text: "Manning's formula is for long, even reaches. A gully has bends, drops and backwater: take this for a check on the peak, not for a survey of the flood."},
	{Text: "Old flood marks are from a flood of unknown rarity: ask when it came."},
}

// Cautions are those of this flow.
func (s Stream) Cautions() []model.Caution {
	all := append(model.Cautions(nil), ChannelCautions...)
	all.AddIf(s.VelocityMS > bareSandMS, "velocityMS", "The water runs at %.1f m/s; bare sandy ground bears %v m/s, bare clay %v, good grass more.", s.VelocityMS, bareSandMS, bareClayMS)
	return all
}
