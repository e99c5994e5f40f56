package planning

import (
	"encoding/json"
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/track"
)

// spacing is what is read of the answer of whoa-boys.
type spacing struct {
	Banks []struct {
		ChainageM float64    `json:"chainageM"`
		Side      track.Side `json:"side"`
	} `json:"banks"`
	TableSource  string   `json:"tableSource"`
	BuiltHeightM *float64 `json:"builtHeightM"`
}

// whoaBoys proposes the whoa-boys of an answer.
func (a *adopting) whoaBoys(answer json.RawMessage) error {
	var out spacing
	if err := jsonvalue.Unmarshal(answer, &out); err != nil {
		return &model.Problem{Reason: "the answer is not one of whoa-boys"}
	}
	var planned []proposal
	for _, bank := range out.Banks {
		f := fields{}
		f.put("track", a.d.Of.Feature)
		f.put("chainageM", rounded(a.d.frame.fromTop(bank.ChainageM)))
		f.put("chainageBasis", model.FromPlan)
		f.put("spacedBy", out.TableSource)
		if bank.Side == track.Left || bank.Side == track.Right {
			f.put("outletSide", bank.Side)
		}
		if out.BuiltHeightM != nil {
			f.put("heightM", *out.BuiltHeightM)
			f.put("heightBasis", model.FromPlan)
		}
		planned = append(planned, proposal{atM: bank.ChainageM, fields: f})
	}
	a.write("whoa-boy", "Whoa-boy ", planned, a.d.existing, track.LeastSpacingM)
	return nil
}

// whoaBoysBeside says where the banks of an answer do not meet those that stand: the layout goes by the
// track alone.
func (d *Draft) whoaBoysBeside(answer json.RawMessage) (says []string) {
	var out spacing
	if jsonvalue.Unmarshal(answer, &out) != nil {
		return nil
	}
	for _, e := range d.existing {
		if !e.stands {
			continue
		}
		nearestM := math.Inf(1)
		for _, bank := range out.Banks {
			if math.Abs(bank.ChainageM-e.atM) < math.Abs(nearestM-e.atM) {
				nearestM = bank.ChainageM
			}
		}
		text := fmt.Sprintf("%s is %s at chainage %s, ", e.item.Called(), e.item.Status(), metres(e.atM))
		switch off := math.Abs(nearestM - e.atM); {
		case math.IsInf(off, 1):
			text += "where the plan has none: it stays as it is."
		case off <= track.LeastSpacingM:
			text += "where the plan has one at " + metres(nearestM) + ": it stays as it is."
		default:
			text += fmt.Sprintf("where the plan has none, and the nearest %s m off, at %s: it stays as it is. Mind both when you choose which of the planned ones to build.", metres(off), metres(nearestM))
		}
		says = append(says, text)
	}
	return says
}
