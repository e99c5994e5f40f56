package compute

import (
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/section"
	"headcut/model/works"
)

type damLayoutIn struct {
	Bed             []section.Point `json:"bed" doc:"surveyed points of the bed from the downstream end up, at least two"`
	CrestHeightM    *float64        `json:"crestHeightM,omitempty" unit:"m" doc:"lowest point of the crest above the bed, foundation not counted; 0.4 if not given, usually 0.3 to 0.5, at most 1"`
	FromM           *float64        `json:"fromM,omitempty" unit:"m" doc:"chainage of the first toe; the downstream end, or the first place above a reach without dams there, if not given"`
	ToM             *float64        `json:"toM,omitempty" unit:"m" doc:"no toe beyond this chainage; the upstream end if not given"`
	DepositSlopePct *float64        `json:"depositSlopePct,omitempty" unit:"%" doc:"slope that silt settles at behind the dams; 0, level, if not given"`
	turnedIn
	surveyed
	placeIn
	Notch    *notchIn       `json:"notch,omitempty" doc:"peak flow and notch of every dam, as in notch: the level of its ends is then answered"`
	Build    *damBuildIn    `json:"build,omitempty" doc:"how the dams are built: what they take is then answered"`
	Sections []damSectionIn `json:"sections,omitempty" doc:"cross-sections of the gully, with a notch or a build: a dam within 10 m of one is built into the nearest, and where the notch has neither a length nor a head its own is as long as the gully's bottom is wide there, 0.1 m above the lowest point"`
	Rates    []works.Rate   `json:"rates,omitempty" doc:"your hours and costs, with a build; one for dam is for each dam of any size"`
	HeightsM *[]float64     `json:"heightsM,omitempty" unit:"m" doc:"crest heights to lay out side by side; an empty list stands for 0.3, 0.4 and 0.5"`
	SetOut   *damSetOutIn   `json:"setOut,omitempty" doc:"a set-up of the level: what to look for on the staff for each peg of the layout"`
}

type damLayoutOut struct {
	Dams               []damOut        `json:"dams" doc:"from the lowest up"`
	SpacingsM          []float64       `json:"spacingsM" unit:"m" doc:"horizontal, from each toe to the next"`
	SpacingsPlusMinusM []float64       `json:"spacingsPlusMinusM" unit:"m" doc:"one standard deviation each; the whole list is left out when one of them is not known"`
	Count              int             `json:"count" doc:"number of dams"`
	CrestHeightM       float64         `json:"crestHeightM" unit:"m" doc:"the height used"`
	DepositSlopePct    float64         `json:"depositSlopePct" unit:"%" doc:"the deposit slope used"`
	MaxBedSlopePct     *float64        `json:"maxBedSlopePct,omitempty" unit:"%" doc:"the limit for the slope of the bed used; none where there is none"`
	Bed                []section.Point `json:"bed" doc:"the points of the bed, from the downstream end up"`
	turnedIn
	ChainagePlusMinusM *float64              `json:"chainagePlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a chainage of the bed; none when not known"`
	LevelPlusMinusM    float64               `json:"levelPlusMinusM" unit:"m" doc:"one standard deviation of each level of bed and crest; none when not known"`
	GuardedM           estimate              `json:"guardedM" plusMinus:"guardedPlusMinusM" unit:"m" doc:"length of bed, from the first toe up, that silt will cover"`
	Bare               []works.BareReach     `json:"bare" doc:"bed within reaches without dams that no silt will cover"`
	Unguarded          []works.UnguardedHead `json:"unguarded" doc:"gully heads below which no dam could be put"`
	Basis              string                `json:"basis" doc:"what the levels come from"`
	Notch              *damOverflow          `json:"notch,omitempty" doc:"of every dam, if a notch was given"`
	Bill               *billOut              `json:"bill,omitempty" doc:"what all dams take, if a build was given"`
	Layouts            []layoutOut           `json:"layouts,omitempty" doc:"side by side, if heightsM was given"`
	Compare            []string              `json:"compare,omitempty" doc:"the layouts in plain words; which matters most is for you to say"`
	SetOut             []works.PegSight      `json:"setOut,omitempty" doc:"pegs of the first layout, if a set-up was given"`
	Handbooks          []works.ByHandbook    `json:"handbooks" doc:"how many dams other rules for the deposit slope lead to"`
	Cautions           []model.Caution       `json:"cautions" doc:"what to watch for on the ground"`
}

// layoutOut is one of several layouts of the same bed.
type layoutOut struct {
	CrestHeightM float64  `json:"crestHeightM" unit:"m" doc:"of its dams"`
	Count        int      `json:"count" unit:"1" doc:"number of dams"`
	GuardedM     estimate `json:"guardedM" plusMinus:"guardedPlusMinusM" unit:"m" doc:"length of bed that silt will cover"`
	Bill         *billOut `json:"bill,omitempty" doc:"what its dams take, if a build was given"`
	Dams         []damOut `json:"dams" doc:"from the lowest up"`
}

var damLayoutDoc = Doc{
	Name:    "dam-layout",
	Growth:  LogLinear,
	Summary: "where check dams go on a surveyed bed, each toe level with the crest below",
	Limits: []string{
		"Crests from 0.1 to 1 m above the bed; a higher structure is a matter for an engineer and is refused. 0.3 to 0.5 m is usual.",
		"The first toe is at fromM whether a dam is needed there or not. Each next one is the first place upstream where the bed rises to the line from the crest below; reaches that fall going upstream are passed over.",
		"A dam stands lower than that for a good site or below a head, never higher, which would leave bare bed; only a reach without dams is passed over, and what stays bare in it is listed.",
		"The deposit slope is from 0 to 20 %. Handbooks differ threefold over it, so it is an input and the counts by other rules are given too.",
		"The bed's slope is judged between neighbouring points: survey no closer than the levels can tell.",
		"All dams have the same notch and are built alike, each to its own width and slope of bed, unless cross-sections are given. A dam with none within 10 m of it then has no notch. Scour and strength are not looked at.",
		"A staff reading is given for the pegs that one set-up can see; the others say which way to move the instrument.",
	},
	Cautions: cautionTexts(works.DamCautions),
	Sources:  append(slices.Clone(damSources), layoutSources()...),
}

var damLayout = define(damLayoutDoc, func(in damLayoutIn, _ *model.Work) (damLayoutOut, error) {
	bed, err := in.bedFrom(in.Bed)
	if err != nil {
		return damLayoutOut{}, err
	}
	q, err := in.quality(bed.byPosition)
	if err != nil {
		return damLayoutOut{}, err
	}
	bed.turnPlace(&in)
	l := works.DamLayout{Bed: bed.Bed, Quality: q, CrestHeightM: orElse(in.CrestHeightM, works.DefaultCrestM),
		FromM: in.FromM, ToM: in.ToM, DepositSlopePct: orElse(in.DepositSlopePct, 0)}
	if err := in.place(&l); err != nil {
		return damLayoutOut{}, err
	}
	plan, err := l.Plan()
	if err != nil {
		return damLayoutOut{}, err
	}
	out := damLayoutOut{Count: len(plan.Dams), CrestHeightM: l.CrestHeightM, DepositSlopePct: l.DepositSlopePct,
		LevelPlusMinusM: max(q.LevelPlusMinusM, -1), GuardedM: estimate{plan.GuardedM, l.GuardedPlusMinusM(plan)}, Bare: plan.Bare, Unguarded: plan.Unguarded,
		Bed: bed.points, turnedIn: turnedIn{bed.turnedAtM}, ChainagePlusMinusM: known(q.ChainagePlusMinusM), Basis: string(q.Basis), Cautions: append(bed.cautions(), l.Cautions(plan)...)}
	if l.MaxBedSlopePct > 0 {
		out.MaxBedSlopePct = &l.MaxBedSlopePct
	}
	for i := 1; i < len(plan.Dams); i++ {
		out.SpacingsM = append(out.SpacingsM, plan.Dams[i].ChainageM-plan.Dams[i-1].ChainageM)
	}
	out.SpacingsPlusMinusM = l.SpacingsPlusMinusM(plan)
	out.Handbooks = l.ByHandbooks()
	err = in.build(&out, l, plan)
	out.Cautions = once(out.Cautions)
	return out, err
}).after(damLayoutFeeds()...)

// build adds to an answer what its layout takes, the layouts of other heights, and the
// readings of a set-up.
func (in damLayoutIn) build(out *damLayoutOut, l works.DamLayout, plan works.DamPlan) error {
	if in.Build == nil && len(in.Rates) > 0 {
		return &model.Problem{Path: "rates", Reason: "there is nothing to price", Fix: "give build: how the dams are built"}
	}
	if err := in.checkSections(); err != nil {
		return err
	}
	if in.Notch != nil && !in.notchEach() {
		bedWidthM := 0.0
		if in.Build != nil {
			bedWidthM = in.Build.BedWidthM
		}
		overflow, err := in.Notch.damOverflow(bedWidthM)
		if err != nil {
			return err
		}
		out.Notch, out.Cautions = overflow, append(out.Cautions, overflow.cautions...)
	}
	across, err := in.across(l, plan.Dams, out.Notch)
	if err != nil {
		return err
	}
	for _, of := range across {
		if of.overflow != nil && of.overflow != out.Notch {
			out.Cautions = append(out.Cautions, of.overflow.cautions...)
		}
	}
	var build *works.DamBuild
	var bill *works.DamBill
	if in.Build != nil {
		b := in.Build.build(out.Notch)
		made, err := l.BillEach(plan.Dams, func(i int) (works.DamBuild, int) { return across[i].build(*in.Build) }, in.Rates)
		if err != nil {
			return err
		}
		build, bill = &b, &made
		out.Bill, out.Cautions = billOf(bill), append(out.Cautions, made.Cautions...)
	}
	out.Dams = damOuts(plan.Dams, across, out.LevelPlusMinusM, bill)
	if in.HeightsM != nil {
		heights := *in.HeightsM
		if len(heights) == 0 {
			heights = works.ComparedHeightsM
		}
		all, err := l.Alternatives(heights, build, in.Rates)
		if err != nil {
			return err
		}
		for _, a := range all {
			out.Layouts = append(out.Layouts, layoutOut{a.CrestHeightM, len(a.Dams), estimate{a.GuardedM, a.GuardedPlusMinusM}, billOf(a.Bill), damOuts(a.Dams, sameNotch(len(a.Dams), out.Notch), out.LevelPlusMinusM, a.Bill)})
		}
		out.Compare = works.Compare(all)
	}
	if in.SetOut != nil {
		var err error
		out.SetOut, err = in.SetOut.pegs(plan.Dams, out.Notch, max(l.Quality.StepPlusMinusM(), -1))
		return err
	}
	return nil
}

// damSources are behind the layout and the check of check dams alike.
var damSources = []model.Source{
	{Title: "Crest level with the toe of the next dam: Dane County (Wisconsin) Erosion Control and Stormwater Manual", Place: "stone check dam", How: model.LookedUp},
	{Title: "Deposit slope between crest and toe: US Army correspondence course EN5465", Place: "ditch check dams, worked example", How: model.LookedUp},
	{Title: "From dam to dam along a surveyed bed; meeting points solved on each straight reach", How: model.Derived},
	{Title: "Overfall seldom above 0.38 m: Jepson, USDA Farmers' Bulletin 1813", How: model.LookedUp},
	{Title: "Ends at least 0.15 m above the crest: Catchments & Creeks fact sheet CDT-3", Place: "installation step 7", How: model.LookedUp},
	{Title: "Porous dams 0.3 to 0.5 m high; a step of 0.05 m counts as level", How: model.CommonPractice},
}

// layoutSources are behind what is the layout's alone.
func layoutSources() []model.Source {
	all := []model.Source{
		works.HeadSource,
		{Title: "No dam within one depth above a lip; a dam on a good site keeps half its height clear of silt", How: model.CommonPractice},
		{Title: "Several low dams rather than one tall one: Jepson, USDA Farmers' Bulletin 1813", How: model.LookedUp},
		{Title: "Key trench and apron: Heede 1976, USDA Forest Service Research Paper RM-169", How: model.FromMemory},
		{Title: "Staff reading: level of the line of sight less the level wanted", How: model.Derived},
	}
	for _, limit := range works.SlopeLimits {
		source := limit.Source
		source.Title = fmt.Sprintf("Slope limit, %s, %v %%: %s", limit.Key, limit.Pct, source.Title)
		all = append(all, source)
	}
	for _, rule := range works.DepositRules {
		source := rule.Source
		source.Title = fmt.Sprintf("Deposit rule, %s: %s", rule.Key, source.Title)
		all = append(all, source)
	}
	return all
}

func cautionTexts(cautions []model.Caution) []string {
	return model.Each(cautions, func(c model.Caution) string { return c.Text })
}
