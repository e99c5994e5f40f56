package works

import (
	"fmt"
	"math"
	"slices"

	"headcut/model"
)

// Lip is the bank, or the thrown-up edge of a furrow, that holds water on the slope above
// it. Each plus-minus is one standard deviation, 0 for taken as right.
type Lip struct {
	HeightM           float64 // depth of water at its toe when it is full, 0.01 to 1 m
	HeightPlusMinusM  float64
	FaceRunPerRise    float64 // of its upslope face, run for each metre of rise, 0 to 10
	GroundSlopePct    float64 // of the ground it stands on, square to the line
	SlopePlusMinusPct float64
}

// Pond is the water that a level lip holds on a metre of line.
type Pond struct {
	M3PerM, PlusMinusM3PerM       float64
	BackwaterM, BackwaterPlusMinM float64 // how far up the slope it reaches, from the toe
	// BeyondM is how deep it stands where the next line cuts it off, 0 where it ends before;
	// so much more water, m3/m, a metre of line holds for each metre farther that line stands.
	BeyondM float64
}

// Bounds of what is taken for a lip and a slot. Common practice, no source, but for the
// tines: 0.3 to 0.7 m deep is what the ripping papers of GRDC have.
const (
	leastLipM, highestLipM       = 0.01, 1.0
	flattestFace                 = 10.0
	flattestPct, steepestPondPct = 0.1, 100.0
	deepestSlotM, widestSlotM    = 1.5, 2.0
)

// Hold is what the lip ponds when all of it stands at one level. With depth h at the toe,
// ground slope s and face z, the water is a wedge h/s long on the ground and, on the face, a
// triangle z h wide (geometry):
//
//	h²/(2s) + z h²/2
//
// It grows as the ground flattens: below 0.1 % it is refused, for no slope is known so
// well. reachM is how far up the slope the next line stands, where the pond must end: +Inf
// when there is none.
func (l Lip) Hold(reachM float64) (Pond, error) {
	if p := l.check(); p != nil {
		return Pond{}, p
	}
	h, s, z := l.HeightM, l.GroundSlopePct/100, l.FaceRunPerRise
	// What the next line cuts off is a wedge too, as deep as the water stands there.
	beyond := max(0, h-s*reachM)
	p := Pond{BackwaterM: h / s, BeyondM: beyond}
	p.M3PerM = (h*h-beyond*beyond)/(2*s) + z*h*h/2
	dh, ds := (h-beyond)/s+z*h, -(h*h-beyond*beyond)/(2*s*s)
	if beyond > 0 {
		ds += beyond * reachM / s
	}
	p.PlusMinusM3PerM = math.Hypot(dh*l.HeightPlusMinusM, ds*l.SlopePlusMinusPct/100)
	p.BackwaterPlusMinM = math.Hypot(l.HeightPlusMinusM/s, h/(s*s)*l.SlopePlusMinusPct/100)
	return p, nil
}

func (l Lip) check() *model.Problem {
	return model.FirstProblem(
		between("heightM", l.HeightM, leastLipM, highestLipM, "give metres above the ground at its toe"),
		between("heightPlusMinusM", l.HeightPlusMinusM, 0, highestLipM, ""),
		between("faceRunPerRise", l.FaceRunPerRise, 0, flattestFace, "give metres of run for each metre of rise"),
		between("groundSlopePct", l.GroundSlopePct, flattestPct, steepestPondPct, "give per cent, not degrees or metres per metre; on flatter ground the end of the pond cannot be calculated"),
		between("slopePlusMinusPct", l.SlopePlusMinusPct, 0, steepestPondPct, ""),
	)
}

// SlotShape is the shape of the cross-section of an open rip.
type SlotShape string

// The shapes: a tine leaves a triangle, a wide blade a box.
const (
	Triangle SlotShape = "triangle"
	Box      SlotShape = "box"
)

// SlotShapes lists them all.
var SlotShapes = []SlotShape{Triangle, Box}

// Slot is an open rip on the day it is cut. It fills with crumbs within a few storms.
type Slot struct {
	TopWidthM, WidthPlusMinusM float64
	DepthM, DepthPlusMinusM    float64
	Shape                      SlotShape
}

// Hold is what a metre of the slot holds, m³, and one standard deviation: half the width times
// the depth for a triangle, all of it for a box (geometry).
func (s Slot) Hold() (m3PerM, plusMinus float64, err error) {
	if p := model.FirstProblem(
		between("topWidthM", s.TopWidthM, 0.01, widestSlotM, "give metres"),
		between("widthPlusMinusM", s.WidthPlusMinusM, 0, widestSlotM, ""),
		between("depthM", s.DepthM, 0.01, deepestSlotM, "give metres"),
		between("depthPlusMinusM", s.DepthPlusMinusM, 0, deepestSlotM, ""),
		model.Require(slices.Contains(SlotShapes, s.Shape), "shape", fmt.Sprintf("give one of %q", SlotShapes), "%q is no shape of a slot", s.Shape),
	); p != nil {
		return 0, 0, p
	}
	share := 1.0
	if s.Shape == Triangle {
		share = 0.5
	}
	return share * s.TopWidthM * s.DepthM, share * math.Hypot(s.DepthM*s.WidthPlusMinusM, s.TopWidthM*s.DepthPlusMinusM), nil
}

// between refuses a value out of its bounds, NaN too.
func between(path string, v, low, high float64, fix string) *model.Problem {
	if v >= low && v <= high {
		return nil
	}
	return &model.Problem{Path: path, Reason: fmt.Sprintf("%v is not between %v and %v", v, low, high), Fix: fix}
}
