package compute

import (
	"cmp"
	"fmt"

	"headcut/model"
	"headcut/model/runoff"
)

type notchIn struct {
	FlowM3S         optional `json:"flowM3S,omitempty" plusMinus:"flowPlusMinusM3S" unit:"m3/s" doc:"peak flow; give two of flowM3S, headM and crestLengthM, and the third is calculated"`
	HeadM           optional `json:"headM,omitempty" plusMinus:"headPlusMinusM" unit:"m" doc:"depth of the water above the bottom of the notch, a little upstream"`
	CrestLengthM    optional `json:"crestLengthM,omitempty" plusMinus:"crestLengthPlusMinusM" unit:"m" doc:"length of the notch's level bottom"`
	SideRunPerRise  *float64 `json:"sideRunPerRise,omitempty" unit:"1" doc:"lean of the notch's sides, outwards; 0, upright, if not given"`
	Weir            string   `json:"weir,omitempty" choices:"loose rock|broad crest" doc:"named discharge coefficient; loose rock, the lower, if not given"`
	Coefficient     optional `json:"coefficient,omitempty" plusMinus:"coefficientPlusMinus" unit:"m0.5/s" doc:"discharge coefficient in metres instead of a named one" plusMinusDoc:"one standard deviation; of a named coefficient 0.016, of another not known if not given"`
	FreeboardM      *float64 `json:"freeboardM,omitempty" unit:"m" doc:"from the water up to the dam's ends; 0.15 if not given"`
	GullyBottomM    *float64 `json:"gullyBottomM,omitempty" unit:"m" doc:"width of the gully's bottom at the dam"`
	EndsAboveCrestM *float64 `json:"endsAboveCrestM,omitempty" unit:"m" doc:"how far the lower end of a standing dam rises above the bottom of its notch: it is then checked"`
}

type notchOut struct {
	runoff.Overflow
	Coefficient       float64         `json:"coefficient" unit:"m0.5/s" doc:"the discharge coefficient used"`
	CoefficientSource string          `json:"coefficientSource" doc:"whose it is"`
	EndsHold          *bool           `json:"endsHold,omitempty" doc:"whether the standing ends are high enough, if endsAboveCrestM was given"`
	EndsLackM         *float64        `json:"endsLackM,omitempty" unit:"m" doc:"how much they lack"`
	Cautions          []model.Caution `json:"cautions" doc:"what to watch for on the ground"`
}

var notchDoc = Doc{
	Name:    "notch",
	Growth:  Linear,
	Summary: "how deep the peak flow stands in a dam's notch, and how high its ends must be",
	Limits: []string{
		fmt.Sprintf("Heads to %v m, notches from %v to %d m long: more is no low dam and is for an engineer.", runoff.MaxHeadM, runoff.MinCrestLengthM, runoff.MaxCrestLengthM),
		"The dam's crest is level along the notch, the water below does not back up to it, and the water above comes slowly.",
		"Leaning sides are answered by critical flow, with the coefficient's loss carried over.",
		"A coefficient for feet (about 3) is refused: with metres it claims 1.8 times the flow. A handbook prints 3.0 beside metres.",
		"Flow through the dam is not counted: no published formula for small porous dams is at hand.",
	},
	Cautions: cautionTexts(runoff.NotchCautions),
	Sources: []model.Source{
		{Title: "V. M. Ponce, San Diego State University CIVE 530 solutions", Place: "midterm, fall 2005: Q = C L H^1.5 and C = (2/3)√(2g/3)", How: model.LookedUp},
		{Title: "Critical flow between leaning sides: Q² T = g A³, textbooks of open channels", How: model.Derived},
		{Title: "Coefficient of loose rock 1.65, notch no longer than the gully's bottom: Heede 1976, USDA Forest Service Research Paper RM-169", How: model.FromMemory},
		{Title: "Ends at least 0.15 m above the crest: Catchments & Creeks fact sheet CDT-3", Place: "installation step 7", How: model.LookedUp},
		{Title: "At most 0.6 m of water: Toronto and Region Conservation, LID planning and design guide (STEP), check dams", How: model.LookedUp},
		{Title: "Speeds that bare soil bears: Minnesota Pollution Control Agency", Place: "maximum runoff velocity", How: model.LookedUp},
		{Title: "Freeboard of 0.15 to 0.3 m", How: model.CommonPractice},
	},
}

var notch = define(notchDoc, func(in notchIn, _ *model.Work) (notchOut, error) {
	n, err := in.notch()
	if err != nil {
		return notchOut{}, err
	}
	for _, width := range []struct {
		path string
		m    *float64
		most float64
	}{{"gullyBottomM", in.GullyBottomM, 100}, {"endsAboveCrestM", in.EndsAboveCrestM, 5}} {
		if width.m != nil && !(*width.m > 0 && *width.m <= width.most) {
			return notchOut{}, &model.Problem{Path: width.path, Reason: fmt.Sprintf("%v is not a size above 0 and up to %v m", *width.m, width.most), Fix: "give metres"}
		}
	}
	o, err := in.overflow(n)
	if err != nil {
		return notchOut{}, err
	}
	out := notchOut{Overflow: o, Coefficient: o.Weir.Coefficient.Value, CoefficientSource: cmp.Or(o.Weir.Source.String(), o.Weir.Name), Cautions: o.Cautions(orElse(in.GullyBottomM, 0))}
	if in.EndsAboveCrestM != nil {
		hold, lackM := o.EndsHold(*in.EndsAboveCrestM)
		out.EndsHold, out.EndsLackM = &hold, &lackM
	}
	return out, nil
}).after(notchFeeds()...)

func (in notchIn) notch() (runoff.Notch, error) {
	n := runoff.Notch{SideRunPerRise: orElse(in.SideRunPerRise, 0), FreeboardM: orElse(in.FreeboardM, runoff.MinFreeboardM), Weir: runoff.Weirs[0]}
	if w, ok := model.Find(runoff.Weirs, func(w runoff.Weir) bool { return w.Name == in.Weir }); ok {
		n.Weir = w
	}
	if in.Coefficient.Value == nil {
		if in.Coefficient.PlusMinus != nil {
			return n, &model.Problem{Path: "coefficientPlusMinus", Reason: "stands there without a coefficient"}
		}
		return n, nil
	}
	if in.Weir != "" {
		return n, &model.Problem{Path: "coefficient", Reason: "cannot be given with a named weir", Fix: "give one of the two"}
	}
	c, err := in.Coefficient.quantity("coefficientPlusMinus")
	if err != nil {
		return n, err
	}
	n.Weir = runoff.Weir{Name: "as given", Coefficient: *c}
	return n, nil
}

// overflow answers the one of flow, head and length that was left out.
func (in notchIn) overflow(n runoff.Notch) (runoff.Overflow, error) {
	var flow, head, length *runoff.Quantity
	if err := measureEach(measuredValue{&flow, in.FlowM3S, "flowPlusMinusM3S"}, measuredValue{&head, in.HeadM, "headPlusMinusM"},
		measuredValue{&length, in.CrestLengthM, "crestLengthPlusMinusM"}); err != nil {
		return runoff.Overflow{}, err
	}
	if length != nil {
		n.CrestLengthM = *length
	}
	switch {
	case flow != nil && length != nil && head == nil:
		return n.Head(*flow)
	case head != nil && length != nil && flow == nil:
		return n.Flow(*head)
	case flow != nil && head != nil && length == nil:
		return n.Length(*flow, *head)
	case flow != nil && head != nil:
		return runoff.Overflow{}, &model.Problem{Path: "headM", Reason: "is given with both flowM3S and crestLengthM", Fix: "give two of the three, the third is calculated"}
	case length == nil:
		return runoff.Overflow{}, &model.Problem{Path: "crestLengthM", Reason: "is missing", Fix: "give two of flowM3S, headM and crestLengthM"}
	}
	return runoff.Overflow{}, &model.Problem{Path: "flowM3S", Reason: "is missing", Fix: "give two of flowM3S, headM and crestLengthM"}
}
