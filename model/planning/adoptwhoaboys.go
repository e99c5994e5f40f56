package planning

import (
	"encoding/json"
	"fmt"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/section"
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
	samePlaceM := track.LeastSpacingM - section.LeastApartM // a layout puts two as near as the least spacing, and no nearer
	a.write("whoa-boy", "Whoa-boy ", planned, a.d.existing, samePlaceM)
	return nil
}

// whoaBoysBeside says from which banks that stand the layout went on.
func (d *Draft) whoaBoysBeside(json.RawMessage) (says []string) {
	for _, e := range d.existing {
		if e.stands {
			says = append(says, fmt.Sprintf("%s is %s at chainage %s: it stays as it is, and the layout goes on from it.", e.item.Called(), e.item.Status(), metres(e.atM)))
		}
	}
	return says
}
