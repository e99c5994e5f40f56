package planning

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"headcut/model"
	graded "headcut/model/banks"
	"headcut/model/jsonvalue"
)

// sameBankM is how near to each other on the slope a planned and a proposed bank are taken for one. Common
// practice, no source: no rule puts two so near.
const sameBankM = 5

// bankLayout is what is read of the answer of bank-layout.
type bankLayout struct {
	Verdict model.Verdict  `json:"verdict"`
	Reasons []string       `json:"reasons"`
	LengthM float64        `json:"lengthM"`
	FallM   float64        `json:"fallM"`
	EarthM3 float64        `json:"earthM3"`
	Reaches []graded.Reach `json:"reaches"`
	Spacing *struct{}      `json:"spacing"` // nil: the bank stands alone

	FlowDepthM     float64 `json:"flowDepthM"`
	SettledHeightM float64 `json:"settledHeightM"`
	BuiltHeightM   float64 `json:"builtHeightM"`
	BaseWidthM     float64 `json:"baseWidthM"`
}

// gradedBanks proposes the banks of a layout, each at the level of the ground where it lets its water out.
func (a *adopting) gradedBanks(answer json.RawMessage) error {
	var out bankLayout
	if err := jsonvalue.Unmarshal(answer, &out); err != nil {
		return &model.Problem{Reason: "the answer is not one of bank-layout"}
	}
	if out.Verdict != model.OK {
		return &model.Problem{Reason: "the bank fails, and cannot be adopted: " + strings.Join(out.Reasons, " "), Fix: "change it until its verdict is OK"}
	}
	var in struct {
		Outlet struct {
			Kind graded.OutletKind `json:"kind"`
		} `json:"outlet"`
	}
	if err := jsonvalue.Unmarshal(a.d.Input, &in); err != nil {
		return &model.Problem{Reason: "the draft is not one of bank-layout"}
	}
	var planned []proposal
	for i, m := range a.d.placesM {
		f := fields{}
		f.put("slope", a.d.Of.Feature)
		f.put("chainageM", rounded(a.d.frame.up(m)))
		f.put("chainageBasis", model.FromPlan)
		f.put("gradePct", out.gradePct())
		f.put("outlet", in.Outlet.Kind)
		f.put("crestLengthM", out.LengthM)
		f.put("crestLengthBasis", model.FromPlan)
		f.put("heightM", out.SettledHeightM)
		f.put("heightBasis", model.FromPlan)
		f.put("targetOutletLevelM", rounded(a.d.levelsM[i]))
		f.put("targetTopLevelM", rounded(rounded(a.d.levelsM[i])+out.FallM))
		f.put("takes", fmt.Sprintf("%s m³ of earth", metres2(out.EarthM3)))
		if line, why := a.d.placed.bank(m, a.d.levelsM[i]+out.FallM, out.LengthM); why == "" {
			f["geometry"] = model.AppendGeometry(nil, line)
			f.put("positionBasis", model.FromPlan)
		}
		planned = append(planned, proposal{atM: m, fields: f})
	}
	if out.Spacing == nil {
		a.write("diversion-bank", "Graded diversion bank ", planned, a.d.existing, sameBankM)
	} else {
		a.write("contour-bank", "Contour bank ", planned, a.d.existing, sameBankM)
	}
	return nil
}

// gradePct is the grade of a bank on the whole.
func (out bankLayout) gradePct() float64 {
	if len(out.Reaches) == 1 {
		return out.Reaches[0].GradePct
	}
	return math.Round(1e5*out.FallM/out.LengthM) / 1e3
}

// gradedBanksBeside says how the bank is built and whether it fails, where each lies, and what stands on the slope.
func (d *Draft) gradedBanksBeside(answer json.RawMessage) (says []string) {
	var out bankLayout
	if jsonvalue.Unmarshal(answer, &out) != nil {
		return nil
	}
	says = append(says, out.Reasons...)
	says = append(says, fmt.Sprintf("Build it %s m high on a base of %s m: %s m when it has settled, over %s m of water. It takes %s m³ of earth.",
		metres2(out.BuiltHeightM), metres(out.BaseWidthM), metres2(out.SettledHeightM), metres2(out.FlowDepthM), metres(out.EarthM3)))
	for i, m := range d.placesM {
		says = append(says, fmt.Sprintf("Bank %d lets its water out at chainage %s: peg its channel at %s m there and %s m at its top.", i+1, metres(m), model.ToMillimetre(d.levelsM[i]), model.ToMillimetre(rounded(d.levelsM[i])+out.FallM)))
	}
	says = append(says, d.placesSay(out.FallM, out.LengthM)...)
	for _, e := range d.existing {
		if e.stands {
			goes := "the others go on from it"
			if out.Spacing == nil {
				goes = "mind it when you choose where to build"
			}
			says = append(says, fmt.Sprintf("%s is %s at chainage %s: it stays as it is, and %s.", e.item.Called(), e.item.Status(), metres(e.atM), goes))
		}
	}
	return says
}
