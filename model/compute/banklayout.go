package compute

import (
	"cmp"

	"headcut/model"
	"headcut/model/banks"
	"headcut/model/levelling"
	"headcut/model/runoff"
)

type bankOutletIn struct {
	Kind        string  `json:"kind" choices:"grassed waterway|natural depression|grassed area|level spreader|none" doc:"what the bank lets its water out on to"`
	LevelM      float64 `json:"levelM" unit:"m" doc:"of the channel's bed at the outlet"`
	Stable      bool    `json:"stable" doc:"whether it is grassed and will stand the water when it comes"`
	ToGullyHead bool    `json:"toGullyHead" doc:"whether water runs from there to a gully head"`
	ToNeighbour bool    `json:"toNeighbour,omitempty" doc:"whether it is sent across a boundary"`
}

type bankLayoutIn struct {
	Outlet       bankOutletIn  `json:"outlet" doc:"where the water leaves the bank"`
	Reaches      []banks.Reach `json:"reaches" doc:"lengths of the bank from its top down to the outlet, with their grades: one, or more that steepen"`
	ChainageFrom string        `json:"chainageFrom,omitempty" choices:"outlet|top" doc:"end from which chainages are measured and pegs are set; outlet if not given"`
	PegSpacingM  *float64      `json:"pegSpacingM,omitempty" unit:"m" doc:"20 if not given"`
	LengthLimit  string        `json:"lengthLimit,omitempty" choices:"sandveld|red soil" doc:"named limit of a bank's length: 300 m on sandveld, 400 m on red soil, of contour ridges in South Africa; or give lengthLimitM"`
	LengthLimitM *float64      `json:"lengthLimitM,omitempty" unit:"m" doc:"longest bank by the local rule"`

	InstrumentLevelM *float64 `json:"instrumentLevelM,omitempty" unit:"m" doc:"level of the line of sight of this set-up, for readings"`
	StaffLengthM     *float64 `json:"staffLengthM,omitempty" unit:"m" doc:"longest reading of the staff; 5 if not given"`

	bankChannelIn
	DepthM          optional `json:"depthM,omitempty" plusMinus:"depthPlusMinusM" unit:"m" doc:"of water to build for; what the peak takes in the flattest reach if not given"`
	BankRunPerRise  float64  `json:"bankRunPerRise" unit:"1" doc:"lean of the bank's face towards the water, run over rise"`
	OuterRunPerRise *float64 `json:"outerRunPerRise,omitempty" unit:"1" doc:"lean of its downhill face; bankRunPerRise if not given"`
	TopWidthM       float64  `json:"topWidthM" unit:"m" doc:"of the crest; a grader builds about 3 m"`
	FreeboardM      float64  `json:"freeboardM" unit:"m" doc:"of the settled crest above the water; guides keep 0.09 to 0.3 m"`
	SettlementPct   float64  `json:"settlementPct" unit:"%" doc:"of the height as built that settling takes: 10 on small earth works, 20 to 25 of earth tipped loose (from memory)"`

	bankSpacingIn
}

type bankAdviceOut struct {
	Item   string   `json:"item" doc:"what of the bank"`
	For    string   `json:"for" doc:"the banks that the guide is about"`
	Low    float64  `json:"low" unit:"1" doc:"least that the guide gives, in the unit beside"`
	High   *float64 `json:"high,omitempty" unit:"1" doc:"most that it gives; none where it gives a least figure alone"`
	Unit   string   `json:"unit" doc:"of both"`
	Inside bool     `json:"inside" doc:"whether this bank is as the guide says"`
	Source string   `json:"source" doc:"the guide"`
}

type bankLayoutOut struct {
	Verdict string          `json:"verdict" choices:"OK|fails" doc:"fails when the peak does not pass, the water runs too fast or the bank is too long"`
	Reasons []string        `json:"reasons" doc:"why it fails, and what to do"`
	SetOut  []banks.Peg     `json:"setOut" doc:"pegs to set, in the order of their chainages"`
	LengthM float64         `json:"lengthM" unit:"m" doc:"of the bank"`
	FallM   float64         `json:"fallM" unit:"m" doc:"of its channel from the top to the outlet"`
	Spacing *bankSpacingOut `json:"spacing,omitempty" doc:"of banks down the slope; none without a rule"`
	banks.Heights
	TopWidthM    float64         `json:"topWidthM" unit:"m" doc:"of the crest"`
	BaseWidthM   float64         `json:"baseWidthM" unit:"m" doc:"of the bank as built"`
	EarthM3PerM  runoff.Quantity `json:"earthM3PerM" plusMinus:"earthPlusMinusM3PerM" unit:"m3/m" doc:"in each metre of bank as built, before it settles"`
	EarthM3      runoff.Quantity `json:"earthM3" plusMinus:"earthPlusMinusM3" unit:"m3" doc:"in the whole bank"`
	CapacityM3S  runoff.Quantity `json:"capacityM3S" plusMinus:"capacityPlusMinusM3S" unit:"m3/s" doc:"that the channel carries at the flow depth in its flattest reach"`
	Deepest      banks.Flow      `json:"deepest" doc:"the water in the flattest reach, in long grass"`
	Fastest      banks.Flow      `json:"fastest" doc:"the water in the steepest reach, in short grass"`
	BearsUpToPct *float64        `json:"bearsUpToPct,omitempty" unit:"%" doc:"steepest grade at which the channel bears that water, at most 5; none where what it bears is not given"`
	PrintedSize  *banks.Size     `json:"printedSize,omitempty" doc:"a storm drain printed for such a catchment, to compare: falls 1 in 150, sandy clay, medium cover"`
	AreaFrom     string          `json:"areaFrom,omitempty" choices:"given|spacing" doc:"where the catchment's area comes from: given, or the length times the spacing"`
	Advice       []bankAdviceOut `json:"advice" doc:"what guides say of a bank's measures; where they differ all stand here"`

	// As given or worked out: what bank-check needs of it.
	Reaches           []banks.Reach   `json:"reaches" doc:"as given"`
	ChainageFrom      string          `json:"chainageFrom" choices:"outlet|top" doc:"end from which chainages are measured"`
	BankRunPerRise    float64         `json:"bankRunPerRise" unit:"1" doc:"as given"`
	UphillRunPerRise  runoff.Quantity `json:"uphillRunPerRise" plusMinus:"uphillRunPerRisePlusMinus" unit:"1" doc:"lean of the channel's upper side"`
	BedWidthM         float64         `json:"bedWidthM" unit:"m" doc:"of the channel"`
	ManningN          runoff.Quantity `json:"manningN" plusMinus:"manningNPlusMinus" unit:"1" doc:"the roughness used for what it carries"`
	ShortManningN     float64         `json:"shortManningN" unit:"1" doc:"the roughness used for the velocity"`
	RoughnessSource   string          `json:"roughnessSource" doc:"whose they are"`
	PermissibleMS     *float64        `json:"permissibleMS,omitempty" unit:"m/s" doc:"velocity that the channel bears; none when not given"`
	PermissibleSource string          `json:"permissibleSource,omitempty" doc:"whose figure that is"`
	FreeboardM        float64         `json:"freeboardM" unit:"m" doc:"as given"`
	FlowM3S           optional        `json:"flowM3S,omitempty" plusMinus:"flowPlusMinusM3S" unit:"m3/s" doc:"the peak, as given"`
	LandSlopePct      optional        `json:"landSlopePct,omitempty" plusMinus:"landSlopePlusMinusPct" unit:"%" doc:"as given"`
	AreaHa            *float64        `json:"areaHa,omitempty" unit:"har" doc:"of the catchment"`
	Cautions          []model.Caution `json:"cautions" doc:"what to watch for on the ground"`
}

var bankLayoutDoc = Doc{
	Name:    "bank-layout",
	Growth:  Linear,
	Summary: "a graded diversion or contour bank: levels to peg down to its outlet, its size, earth and spacing",
	Limits: []string{
		"Grades from 0.05 to 5 %, banks to 5 km, land from 0.1 to 60 %, catchments to 130 ha. A grade that flattens towards the outlet is refused.",
		"An outlet that is missing, not stable, towards a gully head or on to a neighbour is refused.",
		"The whole peak runs in every reach: the flattest sets the depth of the water and the steepest its velocity. Flow is even; bends and backwater are not looked at.",
		"Spacing rules are not blended. None is published for grazing land; the Queensland, New South Wales, Victorian and Western Australian tables are not held: give the local one.",
		"The bank's earth is counted on level ground, and what is cut from the channel is not taken off.",
		"Waterways, level spreaders, ponds and chutes are not designed.",
	},
	Cautions: cautionTexts(banks.Cautions),
	Sources:  bankLayoutSources(),
}

func bankLayoutSources() []model.Source {
	all := append(append(append([]model.Source(nil), bankSources...), ruleSources()...), velocitySources()...)
	for _, a := range banks.BankAdvice {
		if all[len(all)-1] != a.Source {
			all = append(all, a.Source)
		}
	}
	return append(all, model.Source{Title: "The settled height divided by what settling leaves; earth by the section", How: model.Derived})
}

var bankLayout = define(bankLayoutDoc, func(in bankLayoutIn, _ *model.Work) (bankLayoutOut, error) {
	l, lining, err := in.layout()
	if err != nil {
		return bankLayoutOut{}, err
	}
	spacing, err := in.spacingOut()
	if err != nil {
		return bankLayoutOut{}, err
	}
	from := banks.End(cmp.Or(in.ChainageFrom, string(banks.Outfall)))
	plan, err := l.Lay()
	if err != nil {
		return bankLayoutOut{}, err
	}
	pegs, err := l.Line.Pegs(orElse(in.PegSpacingM, 20), from)
	if err == nil && in.InstrumentLevelM != nil {
		err = banks.SetReadings(pegs, *in.InstrumentLevelM, orElse(in.StaffLengthM, levelling.StaffLengthM))
	}
	if err != nil {
		return bankLayoutOut{}, err
	}
	out := bankLayoutOut{
		Verdict: string(plan.Verdict), Reasons: plan.Reasons, SetOut: pegs, LengthM: l.Line.LengthM(), FallM: l.Line.FallM(), Spacing: spacing,
		Heights: plan.Heights, TopWidthM: in.TopWidthM, BaseWidthM: plan.BaseWidthM, EarthM3PerM: plan.EarthPerM, EarthM3: plan.EarthM3,
		CapacityM3S: plan.CapacityM3S, Deepest: plan.Flattest, Fastest: plan.Steepest,
		Reaches: in.Reaches, ChainageFrom: string(from), BankRunPerRise: in.BankRunPerRise, UphillRunPerRise: l.Channel.UphillRunPerRise, BedWidthM: in.BedWidthM,
		ManningN: l.Channel.ManningN, ShortManningN: cmp.Or(l.ShortN, l.Channel.ManningN.Value), RoughnessSource: cmp.Or(lining.Source.String(), "as given"),
		FreeboardM: in.FreeboardM, FlowM3S: in.FlowM3S, LandSlopePct: in.LandSlopePct, AreaHa: in.AreaHa,
	}
	if in.AreaHa != nil {
		out.AreaFrom = "given"
	} else if spacing != nil {
		out.AreaHa, out.AreaFrom = new(banks.LandAboveHa(out.LengthM, spacing.HorizontalM.Value)), "spacing"
		if p := banks.CheckCatchment(*out.AreaHa); p != nil {
			return bankLayoutOut{}, p
		}
	}
	if out.AreaHa != nil {
		if size, ok := banks.SizeFor(*out.AreaHa); ok {
			out.PrintedSize = &size
		}
	}
	if l.Bearing.VelocityMS > 0 {
		out.PermissibleMS, out.PermissibleSource, out.BearsUpToPct = &l.Bearing.VelocityMS, l.Bearing.Source, &plan.SteepestPct
	}
	out.advise(in)
	out.Cautions = banks.SiteCautions(orElse(in.LandSlopePct.Value, 0), out.AreaHa, in.Dispersive)
	out.Cautions = append(append(out.Cautions, spacing.cautions()...), l.Cautions(plan)...)
	return out, nil
}).after(bankLayoutFeeds()...)

// layout is the bank of the input, and the named lining it has, if any.
func (in bankLayoutIn) layout() (l banks.Layout, lining runoff.Lining, err error) {
	l.Line = banks.Line{Reaches: in.Reaches, OutletLevelM: in.Outlet.LevelM}
	l.Outlet = banks.Outlet{Kind: banks.OutletKind(in.Outlet.Kind), LevelM: in.Outlet.LevelM, Stable: in.Outlet.Stable, ToGullyHead: in.Outlet.ToGullyHead, ToNeighbour: in.Outlet.ToNeighbour}
	if p := model.FirstProblem(l.Outlet.Check().Within("outlet"), l.Line.Check()); p != nil {
		return l, lining, p
	}
	if l.Channel, lining, err = in.channel(in.BankRunPerRise); err != nil {
		return l, lining, err
	}
	l.ShortN = orElse(in.ShortManningN, 0)
	l.Shape = banks.Shape{TopWidthM: in.TopWidthM, BankRunPerRise: in.BankRunPerRise, OuterRunPerRise: orElse(in.OuterRunPerRise, in.BankRunPerRise), FreeboardM: in.FreeboardM, SettlePct: in.SettlementPct}
	if l.FlowM3S, err = in.peak(); err != nil {
		return l, lining, err
	}
	if l.DepthM, err = in.DepthM.quantity("depthPlusMinusM"); err != nil {
		return l, lining, err
	}
	if l.Bearing, err = in.bearing(in.Reaches[len(in.Reaches)-1].GradePct); err != nil {
		return l, lining, err
	}
	l.LengthLimitM, err = in.lengthLimitM()
	return l, lining, err
}

func (in bankLayoutIn) lengthLimitM() (float64, error) {
	switch {
	case in.LengthLimit != "" && in.LengthLimitM != nil:
		return 0, &model.Problem{Path: "lengthLimitM", Reason: "cannot be given with a named limit", Fix: "give one of the two"}
	case in.LengthLimitM != nil:
		return *in.LengthLimitM, model.InRange("lengthLimitM", *in.LengthLimitM, 1, banks.MaxLengthM, "a limit of a length", " m", "give metres").Err()
	}
	a, _ := model.Find(banks.BankAdvice, func(a banks.Advice) bool {
		return a.Item == banks.LengthItem && a.Of == "contour ridges on "+in.LengthLimit
	})
	return a.High, nil
}

func (in bankLayoutIn) spacingOut() (*bankSpacingOut, error) {
	land, err := in.LandSlopePct.quantity("landSlopePlusMinusPct")
	if err != nil {
		return nil, err
	}
	return in.spacing(land)
}

// advise compares the bank with the guides.
func (out *bankLayoutOut) advise(in bankLayoutIn) {
	for _, a := range banks.BankAdvice {
		var low, high *float64
		switch a.Item {
		case banks.GradeItem:
			low, high = &in.Reaches[0].GradePct, &in.Reaches[len(in.Reaches)-1].GradePct
		case banks.LandSlopeItem:
			low = in.LandSlopePct.Value
		case banks.LengthItem:
			low = &out.LengthM
		case banks.CatchmentItem:
			low = out.AreaHa
		case banks.FreeboardItem:
			low = &in.FreeboardM
		case banks.SettlementItem:
			low = &in.SettlementPct
		case banks.TopWidthItem:
			low = &in.TopWidthM
		}
		if low == nil {
			continue
		}
		one := bankAdviceOut{Item: string(a.Item), For: a.Of, Low: a.Low, Unit: a.Unit, Inside: a.Inside(*low, *cmp.Or(high, low)), Source: a.Source.String()}
		if a.High >= 0 {
			one.High = &a.High
		}
		out.Advice = append(out.Advice, one)
	}
}
