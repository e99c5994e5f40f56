package planning

import (
	"encoding/json"

	"headcut/model"
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

// banks proposes the whoa-boys of an answer.
func (a *adopting) banks(answer json.RawMessage) error {
	var out spacing
	if err := json.Unmarshal(answer, &out); err != nil {
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
		planned = append(planned, proposal{bank.ChainageM, f})
	}
	a.write("whoa-boy", "Whoa-boy ", planned, a.d.existing, track.LeastSpacingM)
	for _, e := range a.d.existing {
		if e.stands && !near(planned, e.atM) {
			a.say("%s is %s at chainage %s, where the plan has none: it stays as it is.", e.item.called(), e.item.Status(), metres(e.atM))
		}
	}
	return nil
}

func near(planned []proposal, atM float64) bool {
	_, ok := model.Find(planned, func(w proposal) bool { return w.atM-atM <= track.LeastSpacingM && atM-w.atM <= track.LeastSpacingM })
	return ok
}
