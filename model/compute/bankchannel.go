package compute

import (
	"cmp"

	"headcut/model"
	"headcut/model/banks"
	"headcut/model/runoff"
)

// bankChannelIn is what the layout and the check of a bank take of its channel and its water.
type bankChannelIn struct {
	LandSlopePct      optional `json:"landSlopePct,omitempty" plusMinus:"landSlopePlusMinusPct" unit:"%" doc:"of the land across the bank, which is the channel's upper side too unless uphillRunPerRise is given"`
	UphillRunPerRise  optional `json:"uphillRunPerRise,omitempty" plusMinus:"uphillRunPerRisePlusMinus" unit:"1" doc:"lean of the channel's upper side where it is cut"`
	BedWidthM         float64  `json:"bedWidthM,omitempty" unit:"m" doc:"of a level bed between the sides; 0, where the bank's face meets the slope, if not given"`
	Lining            string   `json:"lining,omitempty" choices:"straight earth|clean straight stream|short grass|high grass|light brush" doc:"named roughness, with the grass long; or give manningN"`
	ManningN          optional `json:"manningN,omitempty" plusMinus:"manningNPlusMinus" unit:"1" doc:"Manning's roughness with the grass long, for what the channel carries" plusMinusDoc:"one standard deviation; of a named one with a range, range/√12; not known otherwise"`
	ShortManningN     *float64 `json:"shortManningN,omitempty" unit:"1" doc:"roughness with the grass short, for the velocity; manningN if not given"`
	Cover             string   `json:"cover,omitempty" choices:"couch|sod grasses|grass mixture|lovegrass|annuals|bare sandy loam|bare loess|bare fine sand" doc:"what the channel's ground is, for the velocity it bears; or give permissibleMS"`
	EasilyEroded      bool     `json:"easilyEroded,omitempty" doc:"whether the soil is easily eroded; resistant if not given"`
	Dispersive        bool     `json:"dispersive,omitempty" doc:"whether the subsoil is dispersive: the channel then bears the lowest velocity listed, with any cover"`
	PermissibleMS     *float64 `json:"permissibleMS,omitempty" unit:"m/s" doc:"velocity that the channel bears, by a local table"`
	PermissibleSource string   `json:"permissibleSource,omitempty" doc:"whose figure that is"`
	FlowM3S           optional `json:"flowM3S,omitempty" plusMinus:"flowPlusMinusM3S" unit:"m3/s" doc:"peak of the design storm from the catchment, as of peak-flow"`
	AreaHa            *float64 `json:"areaHa,omitempty" unit:"har" doc:"of the catchment; at most 130"`
}

// channel is the channel behind a bank's face, with the source of its roughness.
func (in bankChannelIn) channel(bankRunPerRise float64) (banks.Channel, runoff.Lining, error) {
	var land, uphill *runoff.Quantity
	if err := measureEach(measuredValue{&land, in.LandSlopePct, "landSlopePlusMinusPct"}, measuredValue{&uphill, in.UphillRunPerRise, "uphillRunPerRisePlusMinus"}); err != nil {
		return banks.Channel{}, runoff.Lining{}, err
	}
	if land != nil {
		if p := banks.CheckLandSlope(*land); p != nil {
			return banks.Channel{}, runoff.Lining{}, p
		}
	}
	switch {
	case uphill == nil && land == nil:
		return banks.Channel{}, runoff.Lining{}, &model.Problem{Path: "landSlopePct", Reason: "is missing", Fix: "give the land's slope, or uphillRunPerRise"}
	case uphill == nil:
		uphill = new(banks.Uphill(*land))
	}
	n, lining, err := roughness(in.Lining, in.ManningN)
	return banks.Channel{BedWidthM: in.BedWidthM, BankRunPerRise: bankRunPerRise, UphillRunPerRise: *uphill, ManningN: n}, lining, err
}

// bearing is what the channel bears at its steepest grade; the zero Bearing where nobody said.
func (in bankChannelIn) bearing(steepestPct float64) (banks.Bearing, error) {
	switch {
	case in.PermissibleMS != nil && in.Cover != "":
		return banks.Bearing{}, &model.Problem{Path: "permissibleMS", Reason: "cannot be given with a cover", Fix: "give one of the two"}
	case in.PermissibleMS != nil:
		v := *in.PermissibleMS
		return banks.Bearing{VelocityMS: v, Source: cmp.Or(in.PermissibleSource, "as given")}, model.InRange("permissibleMS", v, 0.1, 5, "a velocity that a channel bears", " m/s", "give metres a second").Err()
	case in.PermissibleSource != "":
		return banks.Bearing{}, &model.Problem{Path: "permissibleSource", Reason: "stands there without permissibleMS", Fix: "give the velocity, or leave its source out"}
	case in.Cover == "" && !in.Dispersive:
		return banks.Bearing{}, nil
	}
	return banks.Permissible(in.Cover, in.EasilyEroded, in.Dispersive, steepestPct)
}

// peak is the catchment's peak, nil when not given, with the catchment looked at.
func (in bankChannelIn) peak() (*runoff.Quantity, error) {
	if in.AreaHa != nil {
		if p := banks.CheckCatchment(*in.AreaHa); p != nil {
			return nil, p
		}
	}
	return in.FlowM3S.quantity("flowPlusMinusM3S")
}

// bankSources are behind the layout and the check of banks alike.
var bankSources = []model.Source{
	{Title: "Manning's formula in the section between a bank's face and the slope", How: model.Derived},
	{Title: "A grade that steepens towards the outlet and never flattens: Grain SA, August 2022", How: model.LookedUp},
	{Title: "Capacity with long grass, velocity with short: a student waterway design", How: model.LookedUp},
	{Title: "Water only on to stable grass: Soil Conservation Guidelines for Queensland", Place: "chapter 7, key points", How: model.LookedUp},
	{Title: "Propagation of errors: JCGM 100:2008", Place: "5.1.2", How: model.FromMemory},
}

// velocitySources are those of the velocities that covers bear.
func velocitySources() (all []model.Source) {
	for _, c := range banks.Covers {
		if len(all) == 0 || all[len(all)-1] != c.Source {
			all = append(all, c.Source)
		}
	}
	return all
}
