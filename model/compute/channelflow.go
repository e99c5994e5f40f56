package compute

import (
	"cmp"

	"headcut/model"
	"headcut/model/runoff"
)

type channelFlowIn struct {
	BedWidthM      valueIn  `json:"bedWidthM" plusMinus:"bedWidthPlusMinusM" unit:"m" doc:"of the level bottom; 0 where the sides meet"`
	SideRunPerRise float64  `json:"sideRunPerRise" unit:"1" doc:"lean of both sides; 0 is upright"`
	SlopePct       valueIn  `json:"slopePct" plusMinus:"slopePlusMinusPct" unit:"%" doc:"of the water's surface along the reach, or of the bed"`
	Lining         string   `json:"lining,omitempty" choices:"straight earth|clean straight stream|short grass|high grass|light brush" doc:"named roughness; or give manningN"`
	ManningN       optional `json:"manningN,omitempty" plusMinus:"manningNPlusMinus" unit:"1" doc:"Manning's roughness" plusMinusDoc:"one standard deviation; of a named one with a range, range/√12; not known otherwise"`
	DepthM         optional `json:"depthM,omitempty" plusMinus:"depthPlusMinusM" unit:"m" doc:"of the water, or of a flood mark above the bed; give this or flowM3S, and the other is calculated"`
	FlowM3S        optional `json:"flowM3S,omitempty" plusMinus:"flowPlusMinusM3S" unit:"m3/s" doc:"the flow"`
}

type channelFlowOut struct {
	runoff.Stream
	ManningN        float64         `json:"manningN" unit:"1" doc:"the roughness used"`
	RoughnessSource string          `json:"roughnessSource" doc:"whose it is"`
	Cautions        []model.Caution `json:"cautions" doc:"what to watch for"`
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
	if err := measureEach(measuredValue{&depth, in.DepthM, "depthPlusMinusM"}, measuredValue{&flow, in.FlowM3S, "flowPlusMinusM3S"}); err != nil {
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
	return channelFlowOut{Stream: s, ManningN: c.ManningN.Value, RoughnessSource: cmp.Or(lining.Source.String(), "as given"), Cautions: s.Cautions()}, nil
})

// channel is the channel of the input, and the named lining it has, if any.
func (in channelFlowIn) channel() (runoff.Channel, runoff.Lining, error) {
	var width, slope *runoff.Quantity
	if err := measureEach(measuredValue{&width, in.BedWidthM.optional(), "bedWidthPlusMinusM"}, measuredValue{&slope, in.SlopePct.optional(), "slopePlusMinusPct"}); err != nil {
		return runoff.Channel{}, runoff.Lining{}, err
	}
	n, lining, err := roughness(in.Lining, in.ManningN)
	return runoff.Channel{BedWidthM: *width, SideRunPerRise: in.SideRunPerRise, SlopePct: *slope, ManningN: n}, lining, err
}

// roughness is Manning's, as given or of a named lining.
func roughness(name string, given optional) (runoff.Quantity, runoff.Lining, error) {
	var lining runoff.Lining
	if name != "" {
		if given.Value != nil {
			return runoff.Quantity{}, lining, &model.Problem{Path: "manningN", Reason: "cannot be given with a named lining", Fix: "give one of the two"}
		}
		lining, _ = model.Find(runoff.Linings, func(l runoff.Lining) bool { return l.Name == name })
		given.Value = &lining.ManningN
	}
	n, err := given.quantity("manningNPlusMinus")
	switch {
	case err != nil:
		return runoff.Quantity{}, lining, err
	case n == nil:
		return runoff.Quantity{}, lining, &model.Problem{Path: "manningN", Reason: "is missing", Fix: "give it, or a lining"}
	case given.PlusMinus == nil:
		n.PlusMinus = lining.PlusMinus()
	}
	return *n, lining, nil
}
