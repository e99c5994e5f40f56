package compute

import (
	"fmt"

	"headcut/model"
	"headcut/model/runoff"
)

type stormRunoffIn struct {
	RainMm      valueIn  `json:"rainMm" plusMinus:"rainPlusMinusMm" unit:"mm" doc:"depth of the storm"`
	CurveNumber optional `json:"curveNumber,omitempty" plusMinus:"curveNumberPlusMinus" unit:"1" doc:"a curve number of the officer's own; or give soilGroup with coverPct or condition"`
	SoilGroup   string   `json:"soilGroup,omitempty" choices:"A|B|C|D" doc:"hydrologic soil group, from A that drains freely to D that seals or swells"`
	CoverPct    *float64 `json:"coverPct,omitempty" unit:"%" doc:"ground cover of pasture: under 50 is poor, over 75 good"`
	Condition   string   `json:"condition,omitempty" choices:"poor|fair|good|dirt road" doc:"instead of coverPct; heavily grazed pasture is poor at any cover"`
	AreaHa      *float64 `json:"areaHa,omitempty" unit:"har" doc:"of the land, for the volume"`
}

type stormRunoffOut struct {
	RunoffMm    estimate        `json:"runoffMm" plusMinus:"runoffPlusMinusMm" unit:"mm" doc:"depth that runs off"`
	VolumeM3    *float64        `json:"volumeM3,omitempty" unit:"m3" doc:"over areaHa"`
	RetentionMm float64         `json:"retentionMm" unit:"mm" doc:"the most that the ground retains once rain runs off"`
	CurveNumber float64         `json:"curveNumber" unit:"1" doc:"the curve number used"`
	Condition   string          `json:"condition,omitempty" doc:"the condition it belongs to"`
	ByCondition []conditionOut  `json:"byCondition" doc:"the same storm on the same soil in each condition"`
	Cautions    []model.Caution `json:"cautions" doc:"what to watch for"`
}

type conditionOut struct {
	Condition   string  `json:"condition" doc:"of pasture, or a dirt road"`
	CurveNumber float64 `json:"curveNumber" unit:"1" doc:"its curve number"`
	RunoffMm    float64 `json:"runoffMm" unit:"mm" doc:"what runs off it"`
}

var stormRunoffCautions = []model.Caution{
	{Text: "Curve numbers are for ground neither dry nor soaked, and came from small catchments elsewhere: use them to compare cover with cover on one soil."},
	{Text: "A depth of runoff is no peak: peak-flow has that."},
}

var stormRunoffDoc = Doc{
	Name:    "storm-runoff",
	Growth:  Linear,
	Summary: "how much of a storm runs off pasture in each condition of its cover, by curve number",
	Limits: []string{
		"Storms from 1 to 1500 mm, curve numbers from 30 to 100.",
		"A fifth of what the ground can hold is taken up before any runs off, as the method has it.",
		"A storm that barely runs off gets no ±.",
	},
	Cautions: cautionTexts(stormRunoffCautions),
	Sources:  []model.Source{runoff.CurveSource},
}

var stormRunoff = define(stormRunoffDoc, func(in stormRunoffIn, _ *model.Work) (stormRunoffOut, error) {
	rain, err := in.RainMm.quantity("rainPlusMinusMm")
	if err != nil {
		return stormRunoffOut{}, err
	}
	number, condition, err := in.curveNumber()
	if err != nil {
		return stormRunoffOut{}, err
	}
	out := stormRunoffOut{CurveNumber: number.Value, Condition: condition, Cautions: stormRunoffCautions}
	q, retentionMm, err := runoff.StormRunoff(*rain, *number)
	if err != nil {
		return stormRunoffOut{}, err
	}
	out.RunoffMm, out.RetentionMm = estimate(q), retentionMm
	if in.AreaHa != nil {
		if !(*in.AreaHa > 0 && *in.AreaHa <= 100_000) {
			return stormRunoffOut{}, &model.Problem{Path: "areaHa", Reason: fmt.Sprintf("%v is not an area above 0 and up to 100000 ha", *in.AreaHa)}
		}
		volumeM3 := 10 * q.Value * *in.AreaHa // a millimetre on a hectare is 10 m³
		out.VolumeM3 = &volumeM3
	}
	for _, c := range runoff.Conditions {
		n, err := c.CurveNumber(in.SoilGroup)
		if err != nil {
			break // no soil group was given: there is nothing to compare
		}
		each, _, err := runoff.StormRunoff(*rain, runoff.Unsure(n))
		if err != nil {
			return stormRunoffOut{}, err
		}
		out.ByCondition = append(out.ByCondition, conditionOut{c.Name, n, each.Value})
	}
	return out, nil
})

// curveNumber is the one given, or that of the named or measured condition.
func (in stormRunoffIn) curveNumber() (*runoff.Quantity, string, error) {
	var c runoff.Condition
	switch {
	case in.CurveNumber.Value != nil && (in.CoverPct != nil || in.Condition != ""):
		return nil, "", &model.Problem{Path: "curveNumber", Reason: "cannot be given with a cover or a condition", Fix: "give one of the two"}
	case in.CurveNumber.Value != nil:
		n, err := in.CurveNumber.quantity("curveNumberPlusMinus")
		return n, "", err
	case in.CoverPct != nil && in.Condition != "":
		return nil, "", &model.Problem{Path: "condition", Reason: "cannot be given with coverPct", Fix: "give one of the two"}
	case in.CoverPct != nil:
		var err error
		if c, err = runoff.Pasture(*in.CoverPct); err != nil {
			return nil, "", err
		}
	case in.Condition == "":
		return nil, "", &model.Problem{Path: "curveNumber", Reason: "is missing", Fix: "give it, or soilGroup with coverPct or condition"}
	}
	if named, ok := model.Find(runoff.Conditions, func(named runoff.Condition) bool { return named.Name == in.Condition }); ok {
		c = named
	}
	value, err := c.CurveNumber(in.SoilGroup)
	if err != nil {
		return nil, "", err
	}
	n, err := valueIn{value, in.CurveNumber.PlusMinus}.quantity("curveNumberPlusMinus")
	return n, c.Name, err
}
