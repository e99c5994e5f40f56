package compute

import (
	"cmp"
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/section"
)

type siltDam struct {
	Name            string          `json:"name,omitempty" doc:"what the dam is called; its place in the list if not given"`
	CrestHeightM    float64         `json:"crestHeightM" unit:"m" doc:"of the notch over the old bed at the dam"`
	BedWidthM       float64         `json:"bedWidthM" unit:"m" doc:"across the old bed; 0 for a gully like a V"`
	WidthAtCrestM   float64         `json:"widthAtCrestM" unit:"m" doc:"of the gully, bank to bank, at the level of the crest"`
	BedSlopePct     valueIn         `json:"bedSlopePct" plusMinus:"bedSlopePlusMinusPct" unit:"%" doc:"of the old bed upstream of the dam" plusMinusDoc:"one standard deviation of that slope; not known if not given, and then neither is that of a wedge"`
	DepositSlopePct float64         `json:"depositSlopePct,omitempty" unit:"%" doc:"slope of the silt's surface; 0, level, if not given"`
	SiltHeightM     *float64        `json:"siltHeightM,omitempty" unit:"m" doc:"of the silt over the old bed, at the dam; this or probes"`
	Probes          []monitor.Probe `json:"probes,omitempty" doc:"depths of the silt from the dam upstream, the first at the dam"`
}

type sedimentIn struct {
	Dams             []siltDam `json:"dams" doc:"the dams, in any order"`
	HeightPlusMinusM *float64  `json:"heightPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a height or depth; 0.05, a tape's, if not given"`
	WidthPlusMinusM  *float64  `json:"widthPlusMinusM,omitempty" unit:"m" doc:"one standard deviation of a width or a distance; 0.05, a tape's, if not given"`
	soilDensity
}

type sedimentOut struct {
	CaughtM3     estimate         `json:"caughtM3" plusMinus:"plusMinusM3" unit:"m3" doc:"behind all the dams"`
	CaughtTonnes optional         `json:"caughtTonnes,omitempty" plusMinus:"caughtTonnesPlusMinusT" unit:"t" doc:"dry mass; none without a bulk density" plusMinusDoc:"one standard deviation; none when not known"`
	CapacityM3   float64          `json:"capacityM3" unit:"m3" doc:"of all the wedges to their crests"`
	FilledPct    float64          `json:"filledPct" unit:"%" doc:"caught over capacity"`
	FilledDams   int              `json:"filledDams" unit:"1" doc:"dams that have done their job"`
	Dams         []monitor.Caught `json:"dams" doc:"each dam, as they were given"`
	Basis        string           `json:"basis" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"what the volumes rest on"`
	Cautions     []model.Caution  `json:"cautions" doc:"what to watch for"`
}

var sedimentDoc = Doc{
	Name:    "sediment",
	Growth:  Linear,
	Summary: "silt caught behind check dams, how far each has filled, and what it weighs",
	Limits: []string{
		"The gully behind a dam is taken as a trapezoid on an even bed: a bend, a hollow or a neighbouring dam within the silt's reach is not seen.",
		"Crests from 0.05 to 5 m, beds from 0.1 to 100 % and steeper than the silt; silt up to 0.5 m above the crest, which is questioned.",
		"Probes start at the dam, 100 at most; beyond the last the silt runs out as a wedge.",
		"The ± takes every measurement as independent; the slope's is not known unless given.",
	},
	Cautions: cautionTexts(monitor.TrapCautions),
	Sources: []model.Source{
		{Title: "Wedge behind a crest in a trapezoid, V = b H²/(2G) + z H³/(3G)", How: model.Derived},
		{Title: "Minnesota Stormwater Manual, check dams for stormwater swales", Place: "its shorter formula averages end areas and reads high; it is not used", How: model.LookedUp},
		{Title: "A dam that has filled has done its job", How: model.CommonPractice},
		{Title: "Law of propagation of errors: JCGM 100:2008", Place: "5.1.2 and 5.1.3", How: model.FromMemory},
	},
}

var sediment = define(sedimentDoc, func(in sedimentIn, _ *model.Work) (sedimentOut, error) {
	if len(in.Dams) == 0 {
		return sedimentOut{}, &model.Problem{Path: "dams", Reason: "is empty", Fix: "give at least one dam"}
	}
	var accuracy monitor.TrapAccuracy
	var err error
	if accuracy.HeightM, err = plusMinusOf("heightPlusMinusM", in.HeightPlusMinusM, section.TapePlusMinusM); err != nil {
		return sedimentOut{}, err
	}
	if accuracy.WidthM, err = plusMinusOf("widthPlusMinusM", in.WidthPlusMinusM, section.TapePlusMinusM); err != nil {
		return sedimentOut{}, err
	}
	accuracy.DistanceM = accuracy.WidthM
	mass, err := in.mass()
	if err != nil {
		return sedimentOut{}, err
	}
	out := sedimentOut{Basis: string(model.Taped), Cautions: slices.Clone(monitor.TrapCautions)}
	all := make([]monitor.Caught, len(in.Dams))
	for i, d := range in.Dams {
		path := fmt.Sprintf("dams[%d]", i)
		if accuracy.SlopePct, err = plusMinusOf("bedSlopePlusMinusPct", d.BedSlopePct.PlusMinus, -1); err != nil {
			return sedimentOut{}, problem(err).Within(path)
		}
		if all[i], err = d.trap().Caught(accuracy); err != nil {
			p := problem(err)
			if p.Path == "heightPlusMinusM" || p.Path == "widthPlusMinusM" { // those of all dams
				return sedimentOut{}, p
			}
			return sedimentOut{}, p.Within(path)
		}
		c := &all[i]
		c.Name = cmp.Or(d.Name, fmt.Sprintf("dam %d", i+1))
		out.Cautions = append(out.Cautions, d.trap().Cautions(c.Name)...)
		c.CaughtTonnes = mass(c.CaughtM3, c.CaughtPlusMinusM3).Value
		if c.State == monitor.Filled {
			out.FilledDams++
		}
	}
	out.Dams = all
	out.CaughtM3.Value, out.CaughtM3.PlusMinus, out.CapacityM3 = monitor.Total(all)
	out.FilledPct = 100 * out.CaughtM3.Value / out.CapacityM3
	out.CaughtTonnes = mass(out.CaughtM3.Value, out.CaughtM3.PlusMinus)
	return out, nil
})

func (d siltDam) trap() monitor.SiltTrap {
	return monitor.SiltTrap{CrestHeightM: d.CrestHeightM, BedWidthM: d.BedWidthM, WidthAtCrestM: d.WidthAtCrestM,
		BedSlopePct: d.BedSlopePct.Value, DepositSlopePct: d.DepositSlopePct, SiltHeightM: d.SiltHeightM, Probes: d.Probes}
}
