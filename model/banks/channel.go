package banks

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/elementary"
	"headcut/model/runoff"
)

// Channel is where a bank's water runs: between the bank's face and the slope above it, with
// or without a level bed between.
type Channel struct {
	BedWidthM        float64 // 0 where the face meets the slope
	BankRunPerRise   float64 // the bank's face towards the water
	UphillRunPerRise runoff.Quantity
	ManningN         runoff.Quantity
}

// Uphill is the natural slope as the channel's upper side: a slope s as rise over run leans by
// 1/s.
func Uphill(landSlopePct runoff.Quantity) runoff.Quantity {
	s := landSlopePct.Value
	return runoff.Quantity{Value: 100 / s, PlusMinus: model.ScaledPlusMinus(100/(s*s), landSlopePct.PlusMinus)}
}

// Flow is even flow in a channel.
type Flow struct {
	GradePct    float64         `json:"gradePct" unit:"%" doc:"fall of the channel that it is calculated for"`
	DepthM      runoff.Quantity `json:"depthM" plusMinus:"depthPlusMinusM" unit:"m" doc:"of the water at its deepest"`
	FlowM3S     runoff.Quantity `json:"flowM3S" plusMinus:"flowPlusMinusM3S" unit:"m3/s" doc:"the flow"`
	VelocityMS  float64         `json:"velocityMS" unit:"m/s" doc:"mean"`
	AreaM2      float64         `json:"areaM2" unit:"m2" doc:"of the water across the channel"`
	WettedM     float64         `json:"wettedM" unit:"m" doc:"wetted perimeter"`
	WaterWidthM float64         `json:"waterWidthM" unit:"m" doc:"of the surface"`
}

// Limits of a channel. Water a metre deep and more is beyond a bank of earth; the rest guards
// against slipped units.
const (
	maxBedM    = 30
	maxBank    = 20
	maxUphill  = 100 / GentlestLandPct
	leastDepth = 0.01
	MaxDepthM  = 3
	leastFlow  = 0.001
	mostFlow   = 100
	leastN     = 0.01
	mostN      = 0.4 // tall dense grass that water only just covers
)

// at is the flow at a depth y, with a bed b, sides z and u and a grade S:
//
//	A = b y + y² (z + u)/2   P = b + y ((1 + z²)^0.5 + (1 + u²)^0.5)   T = b + y (z + u)
//
// and Manning's velocity. Where the face meets a natural slope, b is 0 and u is 1/slope.
func (c Channel) at(y, gradePct float64) Flow {
	z, u := c.BankRunPerRise, c.UphillRunPerRise.Value
	f := Flow{GradePct: gradePct, DepthM: runoff.Unsure(y), AreaM2: y * (c.BedWidthM + y*(z+u)/2), WettedM: c.BedWidthM + y*c.wettedPerDepth(), WaterWidthM: c.BedWidthM + y*(z+u)}
	f.VelocityMS = runoff.ManningMS(f.AreaM2/f.WettedM, gradePct, c.ManningN.Value)
	f.FlowM3S = runoff.Unsure(f.VelocityMS * f.AreaM2)
	return f
}

func (c Channel) wettedPerDepth() float64 {
	return math.Hypot(1, c.BankRunPerRise) + math.Hypot(1, c.UphillRunPerRise.Value)
}

// At is the flow at a depth. It returns a *model.Problem with a path like "depthM"; so does For.
func (c Channel) At(depthM, gradePct runoff.Quantity) (Flow, error) {
	if p := model.FirstProblem(c.Check(), checkGrade("gradePct", gradePct.Value),
		model.InRange("depthM", depthM.Value, leastDepth, MaxDepthM, "a depth of water behind a bank", " m", "give metres")); p != nil {
		return Flow{}, p
	}
	f := c.at(depthM.Value, gradePct.Value)
	f.DepthM = depthM
	f.FlowM3S.PlusMinus = model.JointPlusMinus(c.spread(f, gradePct), model.ScaledPlusMinus(c.byDepth(f), depthM.PlusMinus))
	return f, nil
}

// For is the depth at which a flow runs evenly.
func (c Channel) For(flowM3S, gradePct runoff.Quantity) (Flow, error) {
	if p := model.FirstProblem(c.Check(), checkGrade("gradePct", gradePct.Value), checkFlow(flowM3S.Value)); p != nil {
		return Flow{}, p
	}
	f, fits := c.running(flowM3S.Value, gradePct.Value)
	if !fits {
		return Flow{}, &model.Problem{Path: "flowM3S", Reason: fmt.Sprintf("%v m3/s would run deeper than %d m", flowM3S.Value, MaxDepthM), Fix: "make the channel wider, or divide the catchment"}
	}
	f.FlowM3S = flowM3S
	f.DepthM.PlusMinus = model.ScaledPlusMinus(1/c.byDepth(f), model.JointPlusMinus(flowM3S.PlusMinus, c.spread(f, gradePct)))
	return f, nil
}

func checkFlow(flowM3S float64) *model.Problem {
	return model.InRange("flowM3S", flowM3S, leastFlow, mostFlow, "a flow along a bank", " m3/s", "give cubic metres a second: 1000 l/s is 1")
}

// running is a flow at any grade that falls, false where it would be deeper than MaxDepthM.
func (c Channel) running(flowM3S, gradePct float64) (Flow, bool) {
	low, high := 0.0, float64(MaxDepthM)
	for range 60 { // halved until no digit is left
		if y := (low + high) / 2; c.at(y, gradePct).FlowM3S.Value < flowM3S {
			low = y
		} else {
			high = y
		}
	}
	return c.at(high, gradePct), high < MaxDepthM
}

// byDepth is how the flow changes with the depth, in m³/s a metre: Q = A^(5/3) P^(-2/3) k
// differentiated.
func (c Channel) byDepth(f Flow) float64 {
	return f.FlowM3S.Value * (5*f.WaterWidthM/f.AreaM2 - 2*c.wettedPerDepth()/f.WettedM) / 3
}

// spread is the plus-minus of the flow at a given depth, from the slope above, the roughness
// and the grade.
func (c Channel) spread(f Flow, gradePct runoff.Quantity) float64 {
	q, y, u := f.FlowM3S.Value, f.DepthM.Value, c.UphillRunPerRise.Value
	return model.JointPlusMinus(
		model.ScaledPlusMinus(q*(5*y*y/2/f.AreaM2-2*y*u/math.Hypot(1, u)/f.WettedM)/3, c.UphillRunPerRise.PlusMinus),
		model.ScaledPlusMinus(q/c.ManningN.Value, c.ManningN.PlusMinus),
		model.ScaledPlusMinus(q/2/gradePct.Value, gradePct.PlusMinus))
}

// GradeForPct is the grade at which a flow runs at a velocity: that of the area flow/velocity,
// whose depth is found first.
func (c Channel) GradeForPct(flowM3S, velocityMS float64) float64 {
	area, b, lean := flowM3S/velocityMS, c.BedWidthM, c.BankRunPerRise+c.UphillRunPerRise.Value
	y := 2 * area / (b + math.Sqrt(b*b+2*lean*area))
	r := area / (b + y*c.wettedPerDepth())
	s := velocityMS * c.ManningN.Value / elementary.Pow(r, 2.0/3)
	return 100 * s * s
}

// short is the channel once its grass is short, at a roughness; 0 is as it was.
func (c Channel) short(n float64) Channel {
	if n > 0 {
		c.ManningN = runoff.Quantity{Value: n}
	}
	return c
}

func (c Channel) checkShort(n float64) *model.Problem {
	if n == 0 {
		return nil
	}
	return model.InRange("shortManningN", n, leastN, c.ManningN.Value, "a roughness of short grass", "", "short grass slows water less than long grass: give no more than manningN")
}

// Check tells what is no channel of a bank.
func (c Channel) Check() *model.Problem {
	return model.FirstProblem(
		model.InRange("bedWidthM", c.BedWidthM, 0, maxBedM, "a bed", " m", "give metres"),
		model.InRange("bankRunPerRise", c.BankRunPerRise, 0, maxBank, "a lean of the bank's face", "", "give run over rise: 3 for 3 m out to 1 m up"),
		model.InRange("uphillRunPerRise", c.UphillRunPerRise.Value, 0, maxUphill, "a lean of the upper side", "", "give run over rise, or the land's slope"),
		model.Require(c.BedWidthM+c.BankRunPerRise+c.UphillRunPerRise.Value > 0, "bedWidthM", "", "a channel without a bed and with upright sides carries no water"),
		model.InRange("manningN", c.ManningN.Value, leastN, mostN, "Manning's roughness of a channel", "", "short grass is about 0.030, light brush 0.050"),
		model.Require(c.ManningN.PlusMinus < c.ManningN.Value, "manningNPlusMinus", "give one standard deviation, or leave it out when it is not known", "%v is not less than the roughness itself", c.ManningN.PlusMinus))
}
