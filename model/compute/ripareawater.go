package compute

import (
	"errors"
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/works"
)

type ripLipIn struct {
	HeightM          float64  `json:"heightM" unit:"m" doc:"depth of water at its toe when it is full; from 0.01 to 1"`
	HeightPlusMinusM *float64 `json:"heightPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of heightM; taken as right if not given"`
	FaceRunPerRise   *float64 `json:"faceRunPerRise,omitempty" unit:"1" doc:"run of its upslope face for each metre of rise; 0, upright, if not given"`
}

type ripSlotIn struct {
	TopWidthM       float64  `json:"topWidthM" unit:"m" doc:"width at the ground"`
	WidthPlusMinusM *float64 `json:"widthPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of topWidthM; taken as right if not given"`
	DepthM          float64  `json:"depthM" unit:"m" doc:"depth that stands open"`
	DepthPlusMinusM *float64 `json:"depthPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of depthM; taken as right if not given"`
	Shape           *string  `json:"shape,omitempty" choices:"triangle|box" doc:"its cross-section; a triangle, as a tine leaves it, if not given"`
}

type ripWaterOut struct {
	PondM3PerM          *float64 `json:"pondM3PerM,omitempty" unit:"m3/m" doc:"behind a metre of level lip"`
	PondPlusMinusM3PerM *float64 `json:"pondPlusMinusM3PerM,omitempty" unit:"m3/m" doc:"one standard deviation of it, for what was given of the lip"`
	BackwaterM          *float64 `json:"backwaterM,omitempty" unit:"m" doc:"how far up the slope the pond would reach if no line stood there"`
	BackwaterPlusMinusM *float64 `json:"backwaterPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of it"`
	SlotM3PerM          *float64 `json:"slotM3PerM,omitempty" unit:"m3/m" doc:"in a metre of open rip"`
	SlotPlusMinusM3PerM *float64 `json:"slotPlusMinusM3PerM,omitempty" unit:"m3/m" doc:"one standard deviation of it, for what was given of the slot"`
	M3PerM              float64  `json:"m3PerM" unit:"m3/m" doc:"both together"`
	PlusMinusM3PerM     float64  `json:"plusMinusM3PerM" unit:"m3/m" doc:"one standard deviation of it"`
	TotalM3             float64  `json:"totalM3" unit:"m3" doc:"by all lines"`
	TotalPlusMinusM3    *float64 `json:"totalPlusMinusM3,omitempty" unit:"m3" doc:"one standard deviation of it; none without an accuracy of the positions"`
	PerHaM3             *float64 `json:"perHaM3,omitempty" unit:"m3/har" doc:"over the treated area; none when there is none"`
	DepthMm             *float64 `json:"depthMm,omitempty" unit:"mm" doc:"the same as a depth of rain"`
	DepthPlusMinusMm    *float64 `json:"depthPlusMinusMm,omitempty" unit:"mm" doc:"one standard deviation of it; none without an accuracy of the positions"`
}

// water works out what ripped lines hold; nil when neither lip nor slot was given.
func (in ripAreaIn) water(r works.Ripped) (*ripWaterOut, []model.Caution, error) {
	if in.Lip == nil && in.Slot == nil {
		return nil, nil, nil
	}
	var out ripWaterOut
	var cautions []model.Caution
	beyondM := 0.0
	if in.Lip != nil {
		if in.GroundSlopePct == nil {
			return nil, nil, &model.Problem{Path: "groundSlopePct", Reason: "is missing, and the water behind a lip depends on it", Fix: "give the slope of the ground square to the lines"}
		}
		reach := math.Inf(1)
		if r.Spacing != nil {
			reach = r.Spacing.MeanM
		}
		pond, err := works.Lip{HeightM: in.Lip.HeightM, HeightPlusMinusM: orElse(in.Lip.HeightPlusMinusM, 0), FaceRunPerRise: orElse(in.Lip.FaceRunPerRise, 0),
			GroundSlopePct: *in.GroundSlopePct, SlopePlusMinusPct: orElse(in.SlopePlusMinusPct, 0)}.Hold(reach)
		if err != nil {
			return nil, nil, lipPath(err)
		}
		out.PondM3PerM, out.PondPlusMinusM3PerM = &pond.M3PerM, &pond.PlusMinusM3PerM
		out.BackwaterM, out.BackwaterPlusMinusM = &pond.BackwaterM, &pond.BackwaterPlusMinM
		out.M3PerM, out.PlusMinusM3PerM, beyondM = pond.M3PerM, pond.PlusMinusM3PerM, pond.BeyondM
		if pond.BackwaterM > reach {
			cautions = append(cautions, model.Caution{About: "waterHeldM3",
				Text: fmt.Sprintf("Full, a lip would back water up %.1f m, past the next line %.1f m away: water is counted up to that line.", pond.BackwaterM, reach)})
		}
	}
	if s := in.Slot; s != nil {
		m3PerM, plusMinus, err := works.Slot{TopWidthM: s.TopWidthM, WidthPlusMinusM: orElse(s.WidthPlusMinusM, 0), DepthM: s.DepthM, DepthPlusMinusM: orElse(s.DepthPlusMinusM, 0),
			Shape: works.SlotShape(orElse(s.Shape, string(works.Triangle)))}.Hold()
		if err != nil {
			return nil, nil, problem(err).Within("slot")
		}
		out.SlotM3PerM, out.SlotPlusMinusM3PerM = &m3PerM, &plusMinus
		out.M3PerM, out.PlusMinusM3PerM = out.M3PerM+m3PerM, math.Hypot(out.PlusMinusM3PerM, plusMinus)
		cautions = append(cautions, model.Caution{About: "waterHeldM3", Text: "The open rip fills with crumbs within a few storms: this is the water held on the day it is cut."})
	}
	ofSizes := out.PlusMinusM3PerM
	if s := r.Spacing; s != nil && s.MeanPlusMinusM >= 0 { // the next line may cut the pond off elsewhere
		out.PlusMinusM3PerM = math.Hypot(ofSizes, beyondM*s.MeanPlusMinusM)
	}
	out.TotalM3 = out.M3PerM * r.LengthM
	if r.LengthPlusMinusM >= 0 {
		plusMinus := math.Hypot(out.PlusMinusM3PerM*r.LengthM, out.M3PerM*r.LengthPlusMinusM)
		out.TotalPlusMinusM3 = &plusMinus
	}
	if r.AreaM2 > 0 {
		mm := 1000 * out.TotalM3 / r.AreaM2
		perHa := 10 * mm
		out.PerHaM3, out.DepthMm = &perHa, &mm
		if s := r.Spacing; s.MeanPlusMinusM >= 0 && s.MeanM > 0 {
			// Length over area is, but for ragged ends, one over the mean spacing; and lines
			// farther apart hold more each where they cut their ponds off.
			ofSpacing := (out.M3PerM/s.MeanM - beyondM) * s.MeanPlusMinusM
			plusMinus := 1000 * r.LengthM / r.AreaM2 * math.Hypot(ofSizes, ofSpacing)
			out.DepthPlusMinusMm = &plusMinus
		}
	}
	return &out, cautions, nil
}

// lipPath puts the values that belong to the lip below it; the slope is the site's.
func lipPath(err error) error {
	p, ok := errors.AsType[*model.Problem](err)
	if ok && p.Path != "groundSlopePct" && p.Path != "slopePlusMinusPct" {
		return p.Within("lip")
	}
	return err
}
