package compute

import (
	"cmp"

	"headcut/model"
	"headcut/model/runoff"
)

type channelFlowIn struct {
	BedWidthM          float64  `json:"bedWidthM" unit:"m" doc:"of the level bottom; 0 where the sides meet"`
	BedWidthPlusMinusM *float64 `json:"bedWidthPlusMinusM,omitempty" unit:"m" doc:"one standard deviation; not known if not given"`
	SideRunPerRise     float64  `json:"sideRunPerRise" unit:"1" doc:"lean of both sides; 0 is upright"`
	SlopePct           float64  `json:"slopePct" unit:"%" doc:"of the water's surface along the reach, or of the bed"`
	SlopePlusMinusPct  *float64 `json:"slopePlusMinusPct,omitempty" unit:"%" doc:"one standard deviation; not known if not given"`
	Lining             string   `json:"lining,omitempty" choices:"straight earth|clean straight stream|short grass|high grass|light brush" doc:"named roughness; or give manningN"`
	ManningN           *float64 `json:"manningN,omitempty" unit:"1" doc:"Manning's roughness"`
	ManningNPlusMinus  *float64 `json:"manningNPlusMinus,omitempty" unit:"1" doc:"one standard deviation; of a named one with a range, range/√12; not known otherwise"`
	DepthM             *float64 `json:"depthM,omitempty" unit:"m" doc:"of the water, or of a flood mark above the bed; give this or flowM3S, and the other is calculated"`
	DepthPlusMinusM    *float64 `json:"depthPlusMinusM,omitempty" unit:"m" doc:"one standard deviation; not known if not given"`
	FlowM3S            *float64 `json:"flowM3S,omitempty" unit:"m3/s" doc:"the flow"`
	FlowPlusMinusM3S   *float64 `json:"flowPlusMinusM3S,omitempty" unit:"m3/s" doc:"one standard deviation; not known if not given"`
}

type channelFlowOut struct {
	DepthM           float64         `json:"depthM" unit:"m" doc:"of the water"`
	DepthPlusMinusM  float64         `json:"depthPlusMinusM" unit:"m" doc:"one standard deviation; none when not known"`
	FlowM3S          float64         `json:"flowM3S" unit:"m3/s" doc:"the flow"`
	FlowPlusMinusM3S float64         `json:"flowPlusMinusM3S" unit:"m3/s" doc:"one standard deviation; none when not known"`
	VelocityMS       float64         `json:"velocityMS" unit:"m/s" doc:"mean"`
	AreaM2           float64         `json:"areaM2" unit:"m2" doc:"of the water across the channel"`
	WettedM          float64         `json:"wettedM" unit:"m" doc:"wetted perimeter"`
	HydraulicRadiusM float64         `json:"hydraulicRadiusM" unit:"m" doc:"area over wetted perimeter"`
	WaterWidthM      float64         `json:"waterWidthM" unit:"m" doc:"of the surface"`
	ManningN         float64         `json:"manningN" unit:"1" doc:"the roughness used"`
	RoughnessSource  string          `json:"roughnessSource" doc:"whose it is"`
	Cautions         []model.Caution `json:"cautions" doc:"what to watch for"`
}

var channelFlowDoc = Doc{
	Name:    "channel-flow",
	Growth:  Linear,
	Summary: "the flow that left a flood mark in a plain channel, or how deep and fast a flow runs",
	Limits: []string{
		"Even flow in a long reach of one shape; drops, bends and backwater are not looked at.",
		"Slopes from 0.01 to 30 %, bottoms to 100 m, depths to 5 m, flows to 200 m3/s, roughness from 0.01 to 0.2.",
	},
	Cautions: cautionTexts(runoff.ChannelCautions),
	Sources: []model.Source{
		{Title: "Manning's formula V = R^(2/3) S^(1/2) / n: V. M. Ponce, San Diego State University CIVE 530 solutions", How: model.LookedUp},
		runoff.Linings[0].Source,
		{Title: "Speeds that bare soil bears: Minnesota Pollution Control Agency", Place: "maximum runoff velocity", How: model.LookedUp},
	},
}

var channelFlow = define(channelFlowDoc, func(in channelFlowIn, _ *model.Work) (channelFlowOut, error) {
	c, lining, err := in.channel()
	if err != nil {
		return channelFlowOut{}, err
	}
	var depth, flow *runoff.Quantity
	if err := measureEach(measuredValue{&depth, in.DepthM, in.DepthPlusMinusM, "depthPlusMinusM"}, measuredValue{&flow, in.FlowM3S, in.FlowPlusMinusM3S, "flowPlusMinusM3S"}); err != nil {
		return channelFlowOut{}, err
	}
	var s runoff.Stream
	switch {
	case depth != nil && flow != nil:
		return channelFlowOut{}, &model.Problem{Path: "flowM3S", Reason: "cannot be given with depthM", Fix: "give one of the two, the other is calculated"}
	case depth != nil:
		s, err = c.At(*depth)
	case flow != nil:
		s, err = c.For(*flow)
	default:
		return channelFlowOut{}, &model.Problem{Path: "depthM", Reason: "is missing", Fix: "give it or flowM3S"}
	}
	if err != nil {
		return channelFlowOut{}, err
	}
	return channelFlowOut{
		DepthM: s.DepthM.Value, DepthPlusMinusM: s.DepthM.PlusMinus, FlowM3S: s.FlowM3S.Value, FlowPlusMinusM3S: s.FlowM3S.PlusMinus,
		VelocityMS: s.VelocityMS, AreaM2: s.AreaM2, WettedM: s.WettedM, HydraulicRadiusM: s.HydraulicRadiusM, WaterWidthM: s.WaterWidthM,
		ManningN: c.ManningN.Value, RoughnessSource: cmp.Or(lining.Source.String(), "as given"), Cautions: s.Cautions(),
	}, nil
})

// channel is the channel of the input, and the named lining it has, if any.
func (in channelFlowIn) channel() (runoff.Channel, runoff.Lining, error) {
	var lining runoff.Lining
	if in.Lining != "" {
		if in.ManningN != nil {
			return runoff.Channel{}, lining, &model.Problem{Path: "manningN", Reason: "cannot be given with a named lining", Fix: "give one of the two"}
		}
		lining, _ = model.Find(runoff.Linings, func(l runoff.Lining) bool { return l.Name == in.Lining })
		in.ManningN = &lining.ManningN
	}
	var width, slope, n *runoff.Quantity
	if err := measureEach(measuredValue{&width, &in.BedWidthM, in.BedWidthPlusMinusM, "bedWidthPlusMinusM"}, measuredValue{&slope, &in.SlopePct, in.SlopePlusMinusPct, "slopePlusMinusPct"},
		measuredValue{&n, in.ManningN, in.ManningNPlusMinus, "manningNPlusMinus"}); err != nil {
		return runoff.Channel{}, lining, err
	}
	if n == nil {
		return runoff.Channel{}, lining, &model.Problem{Path: "manningN", Reason: "is missing", Fix: "give it, or a lining"}
	}
	if in.ManningNPlusMinus == nil {
		n.PlusMinus = lining.PlusMinus()
	}
	return runoff.Channel{BedWidthM: *width, SideRunPerRise: in.SideRunPerRise, SlopePct: *slope, ManningN: *n}, lining, nil
}
