package followup

import (
	"iter"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// Report answers a Request.
type Report struct {
	On monitor.Day `json:"on"`
	Request
	Wet              Wet             `json:"wet"`
	StormThresholdMm *float64        `json:"stormThresholdMm,omitempty"`
	Due              []Due           `json:"due"`
	Heads            []Head          `json:"heads"`
	Edges            []Edge          `json:"edges"`
	Silt             []Change        `json:"silt"`
	Cover            []Change        `json:"cover"`
	Held             []Held          `json:"held"`
	Ages             []Age           `json:"ages"`
	Spent            Spending        `json:"spent"`
	LeftOut          []LeftOut       `json:"leftOut"`
	Cautions         []model.Caution `json:"cautions"`
}

// Of answers a request from the features of a property, also those struck out, in any order.
func Of(property string, items iter.Seq[recorded.Item], r Request) (Report, error) {
	if p := r.check(); p != nil {
		return Report{}, p
	}
	p := survey(property, r.Today, items)
	s := p.settings()
	works := p.standing(r.Kind)
	out := Report{On: r.Today, Request: r, Wet: s.wet}
	if s.thresholdMm > 0 {
		out.StormThresholdMm = &s.thresholdMm
	}
	out.Due = p.due(r, works, s)
	out.Heads = p.heads(r, s)
	out.Edges = p.edges(r)
	out.Silt = p.changes(r, "sedimentDepthM", siltChange)
	out.Cover = p.changes(r, "coverPct", coverChange)
	out.Held, out.Ages = held(works, r), ages(works, r, s.wet)
	out.Spent = p.spent(works, r, s.currency)
	out.LeftOut = p.leftOut
	if out.LeftOut == nil {
		out.LeftOut = []LeftOut{}
	}
	out.Cautions = out.cautions(s)
	return out, nil
}

// cautions are those of the whole report; what is to be minded of a row stands with the row.
func (r Report) cautions(s settings) []model.Caution {
	all := model.Cautions{}
	all.AddIf(!s.wet.Set, "wet", "The wet season of this property is not set: until it is, November to April is taken (common practice, no source).")
	for _, storm := range r.Storms {
		day, mm := model.DayInWords(storm.On.String()), millimetres(storm.RainMm)
		all.AddIf(s.thresholdMm == 0, "storms", "No storm threshold is set for this property: the %s of %s are taken for a storm.", mm, day)
		all.AddIf(storm.RainMm < s.thresholdMm, "storms", "The %s of %s are less than the %s that count as a storm here: nothing is due by them.", mm, day, millimetres(s.thresholdMm))
	}
	built, judged := 0, 0
	for _, h := range r.Held {
		built, judged = built+h.Built, judged+h.Works()
	}
	all.AddIf(judged > 0 && judged < built, "held", "%d of %d works were not judged in these years: the conditions are of the others alone.", built-judged, built)
	if len(r.Heads)+len(r.Edges) > 0 {
		all = append(all, monitor.GullyCautions...)
	}
	if len(r.Silt) > 0 {
		all = append(all, monitor.TrapCautions[0])
	}
	if len(r.Cover) > 0 {
		all = append(all, monitor.CoverCautions...)
	}
	return all
}
