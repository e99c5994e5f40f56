package compute

import (
	"errors"
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/works"
)

type ripLipIn struct {
	HeightM        valueIn  `json:"heightM" plusMinus:"heightPlusMinusM" unit:"m" doc:"depth of water at its toe when it is full; from 0.01 to 1" plusMinusDoc:"one standard deviation of heightM; taken as right if not given"`
	FaceRunPerRise *float64 `json:"faceRunPerRise,omitempty" unit:"1" doc:"run of its upslope face for each metre of rise; 0, upright, if not given"`
}

type ripSlotIn struct {
	TopWidthM valueIn `json:"topWidthM" plusMinus:"widthPlusMinusM" unit:"m" doc:"width at the ground" plusMinusDoc:"one standard deviation of topWidthM; taken as right if not given"`
	DepthM    valueIn `json:"depthM" plusMinus:"depthPlusMinusM" unit:"m" doc:"depth that stands open" plusMinusDoc:"one standard deviation of depthM; taken as right if not given"`
	Shape     *string `json:"shape,omitempty" choices:"triangle|box" doc:"its cross-section; a triangle, as a tine leaves it, if not given"`
}

type ripWaterOut struct {
	PondM3PerM optional `json:"pondM3PerM,omitempty" plusMinus:"pondPlusMinusM3PerM" unit:"m3/m" doc:"behind a metre of level lip" plusMinusDoc:"one standard deviation of it, for what was given of the lip"`
	BackwaterM optional `json:"backwaterM,omitempty" plusMinus:"backwaterPlusMinusM" unit:"m" doc:"how far up the slope the pond would reach if no line stood there" plusMinusDoc:"one standard deviation of it"`
	SlotM3PerM optional `json:"slotM3PerM,omitempty" plusMinus:"slotPlusMinusM3PerM" unit:"m3/m" doc:"in a metre of open rip" plusMinusDoc:"one standard deviation of it, for what was given of the slot"`
	M3PerM     estimate `json:"m3PerM" plusMinus:"plusMinusM3PerM" unit:"m3/m" doc:"both together" plusMinusDoc:"one standard deviation of it"`
	TotalM3    valueIn  `json:"totalM3" plusMinus:"totalPlusMinusM3" unit:"m3" doc:"by all lines" plusMinusDoc:"one standard deviation of it; none without an accuracy of the positions"`
	PerHaM3    *float64 `json:"perHaM3,omitempty" unit:"m3/har" doc:"over the treated area; none when there is none"`
	DepthMm    optional `json:"depthMm,omitempty" plusMinus:"depthPlusMinusMm" unit:"mm" doc:"the same as a depth of rain" plusMinusDoc:"one standard deviation of it; none without an accuracy of the positions"`
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
		pond, err := works.Lip{HeightM: in.Lip.HeightM.Value, HeightPlusMinusM: orElse(in.Lip.HeightM.PlusMinus, 0), FaceRunPerRise: orElse(in.Lip.FaceRunPerRise, 0),
			GroundSlopePct: *in.GroundSlopePct, SlopePlusMinusPct: orElse(in.SlopePlusMinusPct, 0)}.Hold(reach)
		if err != nil {
			return nil, nil, lipPath(err)
		}
		out.PondM3PerM, out.BackwaterM = optional{&pond.M3PerM, &pond.PlusMinusM3PerM}, optional{&pond.BackwaterM, &pond.BackwaterPlusMinM}
		out.M3PerM, beyondM = estimate{pond.M3PerM, pond.PlusMinusM3PerM}, pond.BeyondM
		if pond.BackwaterM > reach {
			cautions = append(cautions, model.Caution{About: "waterHeldM3",
				Text: fmt.Sprintf("Full, a lip would back water up %.1f m, past the next line %.1f m away: water is counted up to that line.", pond.BackwaterM, reach)})
		}
	}
	if s := in.Slot; s != nil {
		m3PerM, plusMinus, err := works.Slot{TopWidthM: s.TopWidthM.Value, WidthPlusMinusM: orElse(s.TopWidthM.PlusMinus, 0), DepthM: s.DepthM.Value, DepthPlusMinusM: orElse(s.DepthM.PlusMinus, 0),
			Shape: works.SlotShape(orElse(s.Shape, string(works.Triangle)))}.Hold()
		if err != nil {
			return nil, nil, problem(err).Within("slot")
		}
		out.SlotM3PerM = optional{&m3PerM, &plusMinus}
		out.M3PerM = estimate{out.M3PerM.Value + m3PerM, math.Hypot(out.M3PerM.PlusMinus, plusMinus)}
		cautions = append(cautions, model.Caution{About: "waterHeldM3", Text: "The open rip fills with crumbs within a few storms: this is the water held on the day it is cut."})
	}
	ofSizes := out.M3PerM.PlusMinus
	if s := r.Spacing; s != nil && s.MeanPlusMinusM >= 0 { // the next line may cut the pond off elsewhere
		out.M3PerM.PlusMinus = math.Hypot(ofSizes, beyondM*s.MeanPlusMinusM)
	}
	if out.TotalM3.Value = out.M3PerM.Value * r.LengthM; r.LengthPlusMinusM >= 0 {
		out.TotalM3.PlusMinus = new(math.Hypot(out.M3PerM.PlusMinus*r.LengthM, out.M3PerM.Value*r.LengthPlusMinusM))
	}
	if r.AreaM2 > 0 {
		mm := 1000 * out.TotalM3.Value / r.AreaM2
		out.PerHaM3, out.DepthMm.Value = new(10*mm), &mm
		if s := r.Spacing; s.MeanPlusMinusM >= 0 && s.MeanM > 0 {
			// Length over area is, but for ragged ends, one over the mean spacing; and lines
			// farther apart hold more each where they cut their ponds off.
			ofSpacing := (out.M3PerM.Value/s.MeanM - beyondM) * s.MeanPlusMinusM
			out.DepthMm.PlusMinus = new(1000 * r.LengthM / r.AreaM2 * math.Hypot(ofSizes, ofSpacing))
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
