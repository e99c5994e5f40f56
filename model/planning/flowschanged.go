package planning

import (
	"headcut/model"
	"headcut/model/compute"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
)

// flowsChanged are the peak flows that were adopted since for the heads of a plan that rests on one, and that
// would be used now.
func (p *Property) flowsChanged(plan *recorded.Item, used map[string]bool) (all []BaseChange) {
	before := map[string]float64{} // by head, the largest flow that the plan used
	rests := false
	for _, id := range model.Keys(used) {
		switch item := p.items[id]; {
		case item == nil:
		case isPeakFlow(item):
			head := item.Text("of")
			flow, _ := peakOf(item)
			before[head], rests = max(before[head], flow.FlowM3S), true
		case item.Kind == "gully-head":
			before[id] = max(before[id], 0)
		}
	}
	if !rests {
		return nil
	}
	for flow := range p.of(model.PlanKind) {
		most, uses := before[flow.Text("of")]
		if !uses || used[flow.ID] || !isPeakFlow(flow) || len(p.Changed(flow)) > 0 {
			continue
		}
		now, err := peakOf(flow)
		if err != nil || plan.Text("plans") == string(Dams) && now.FlowM3S <= most {
			continue // notches go by the largest
		}
		all = append(all, BaseChange{flow.ID, flow.Called() + " was adopted since, with " + metres2(now.FlowM3S) + " m³/s, and the plan goes without it."})
	}
	return all
}

// peakOf calculates the peak flow of a plan.
func peakOf(plan *recorded.Item) (flow peak, err error) {
	answer, err := compute.Run(ComputationOf(PeakFlow), []byte(plan.Text("input")))
	if err == nil {
		err = jsonvalue.Unmarshal(answer, &flow)
	}
	return flow, err
}
