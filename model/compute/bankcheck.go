package compute

import (
	"math"

	"headcut/model"
	"headcut/model/banks"
	"headcut/model/levelling"
	"headcut/model/runoff"
)

type bankCheckIn struct {
	Pegs            []banks.Found `json:"pegs" doc:"levelled pegs along the bank, in order"`
	OutletAt        string        `json:"outletAt" choices:"first peg|last peg" doc:"end at which the water leaves"`
	Reaches         []banks.Reach `json:"reaches" doc:"grades that the channel should have, from its top down to the outlet: one, or more that steepen; the top one goes on if the bank is longer"`
	Basis           string        `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the levels came about; levelled if not given, and nothing else can pass"`
	LevelPlusMinusM *float64      `json:"levelPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a level; that of one set-up, 0.0028, if levelled and not given"`
	BankRunPerRise  *float64      `json:"bankRunPerRise,omitempty" unit:"1" doc:"lean of the bank's face towards the water; with it, the flow is calculated"`
	FreeboardM      float64       `json:"freeboardM,omitempty" unit:"m" doc:"to keep below the lowest crest; 0 if not given"`
	bankChannelIn
	Feature string `json:"feature,omitempty" doc:"whose rows to take of a level run that has those of several features"`
}

type bankLimitOut struct {
	Peg       int             `json:"peg" unit:"1" doc:"number of the peg, counted from 1"`
	Name      string          `json:"name,omitempty" doc:"its name"`
	ChainageM float64         `json:"chainageM" unit:"m" doc:"along the bank"`
	HeightM   runoff.Quantity `json:"heightM" plusMinus:"heightPlusMinusM" unit:"m" doc:"of the crest above the bed there"`
	Flow      *banks.Flow     `json:"flow,omitempty" doc:"that passes there below the freeboard, in long grass, at the mean grade or that wanted there, whichever is flatter; none where none passes, the bank as a whole is too flat, or nothing is known of the channel"`
}

type bankCheckOut struct {
	Verdict           string          `json:"verdict" choices:"OK|fails|not levelled" doc:"OK, fails, or not levelled: these levels cannot decide it"`
	Reasons           []string        `json:"reasons" doc:"why it fails"`
	MeanGradePct      runoff.Quantity `json:"meanGradePct" plusMinus:"meanGradePlusMinusPct" unit:"%" doc:"fall of the whole channel to its outlet; minus climbs"`
	Lengths           []banks.Length  `json:"lengths" doc:"between neighbouring pegs, by growing chainage"`
	WorstFirst        []banks.Off     `json:"worstFirst" doc:"the pegs, farthest off the grade first"`
	Pools             []banks.Pool    `json:"pools" doc:"low parts where water stands and runs over"`
	Lowest            *bankLimitOut   `json:"lowest,omitempty" doc:"the crest at which the least water passes, or without a channel the lowest above its bed; none where no crest was levelled"`
	PermissibleMS     *float64        `json:"permissibleMS,omitempty" unit:"m/s" doc:"velocity that the channel bears; none when not given"`
	PermissibleSource string          `json:"permissibleSource,omitempty" doc:"whose figure that is"`
	Basis             string          `json:"basis" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the levels came about"`
	Cautions          []model.Caution `json:"cautions" doc:"what to watch for on the ground"`
}

var bankCheckDoc = Doc{
	Name:    "bank-check",
	Growth:  LogLinear,
	Summary: "whether a bank's channel falls to its outlet as it should, where water stands, and what its lowest crest lets pass",
	Limits: []string{
		"Only levels by level and staff, from a run that closes, can pass; otherwise the verdict is always \"not levelled\".",
		"A length is too flat below half of its grade and too steep above twice, or where the peak runs faster than the channel bears.",
		"Between pegs the channel is taken as straight; a low crest between two pegs is not seen. The upper end is turned up and lets no water out.",
		"What the bank carries is the flow below its limiting crest, by the mean grade of the whole bank or the grade wanted there, whichever is flatter.",
	},
	Cautions: cautionTexts(banks.Cautions),
	Sources: append(append(append([]model.Source(nil), bankSources...), velocitySources()...),
		model.Source{Title: "Half and twice the grade: a peg 20 mm out on 20 m turns 0.3 % into 0.2 %", How: model.Derived},
		model.Source{Title: "Flow up to the lowest crest: Burnett Mary Regional Group, February 2015", How: model.LookedUp}),
}

var bankCheck = define(bankCheckDoc, func(in bankCheckIn, _ *model.Work) (bankCheckOut, error) {
	if in.Feature != "" {
		return bankCheckOut{}, &model.Problem{Path: "feature", Reason: "is not for pegs that are given", Fix: "give it with the answer of level-run"}
	}
	c := banks.Check{Pegs: in.Pegs, OutletAt: banks.Outfall, Reaches: in.Reaches, Basis: model.Levelled, FreeboardM: in.FreeboardM, ShortN: orElse(in.ShortManningN, 0)}
	if in.OutletAt == "last peg" {
		c.OutletAt = banks.Top
	}
	if in.Basis != "" {
		c.Basis = model.Basis(in.Basis)
	}
	var err error
	if c.PlusMinusM, err = in.levelPlusMinusM(c.Basis); err != nil {
		return bankCheckOut{}, err
	}
	if c.FlowM3S, err = in.peak(); err != nil {
		return bankCheckOut{}, err
	}
	switch {
	case in.BankRunPerRise != nil:
		channel, _, err := in.channel(*in.BankRunPerRise)
		if err != nil {
			return bankCheckOut{}, err
		}
		c.Channel = &channel
	case in.Lining != "" || in.ManningN.Value != nil:
		return bankCheckOut{}, &model.Problem{Path: "bankRunPerRise", Reason: "is missing", Fix: "give the lean of the bank's face: without it no flow can be calculated"}
	}
	if p := (banks.Line{Reaches: in.Reaches}).Check(); p != nil {
		return bankCheckOut{}, p
	}
	if c.Bearing, err = in.bearing(in.Reaches[len(in.Reaches)-1].GradePct); err != nil {
		return bankCheckOut{}, err
	}
	r, err := c.Run()
	if err != nil {
		return bankCheckOut{}, err
	}
	out := bankCheckOut{Verdict: string(r.Verdict), Reasons: r.Reasons, MeanGradePct: r.MeanGradePct, Lengths: r.Lengths, WorstFirst: r.Offs, Pools: r.Pools, Basis: string(c.Basis)}
	if r.Limit != nil {
		out.Lowest = new(bankLimitOut(*r.Limit))
	}
	if c.Bearing.VelocityMS > 0 {
		out.PermissibleMS, out.PermissibleSource = &c.Bearing.VelocityMS, c.Bearing.Source
	}
	out.Cautions = append(banks.SiteCautions(orElse(in.LandSlopePct.Value, 0), in.AreaHa, in.Dispersive), c.Cautions(r)...)
	return out, nil
}).after(bankCheckFeeds()...)

// levelPlusMinusM is how sure each level is, negative when nobody knows.
func (in bankCheckIn) levelPlusMinusM(basis model.Basis) (float64, error) {
	switch {
	case in.LevelPlusMinusM != nil:
		return *in.LevelPlusMinusM, model.InRange("levelPlusMinusM", *in.LevelPlusMinusM, 0, 100, "a ± of a level", " m", "give one standard deviation in metres").Err()
	case basis == model.Levelled:
		return math.Sqrt2 * levelling.DefaultReadingMm / 1000, nil // a backsight and a sight
	}
	return -1, nil
}
