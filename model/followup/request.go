package followup

import (
	"fmt"

	"headcut/model"
	"headcut/model/monitor"
)

// Request is what an officer asks.
type Request struct {
	Today  monitor.Day `json:"-"`
	From   int         `json:"from,omitempty"` // first year that counts; 0: from the first one
	To     int         `json:"to,omitempty"`   // last year that counts; 0: to the last one
	Kind   string      `json:"kind,omitempty"` // only features of this kind; "": all
	Storms []Storm     `json:"storms,omitempty"`
}

// Storm is the rain of one day, as somebody read it.
type Storm struct {
	On     monitor.Day `json:"on"`
	RainMm float64     `json:"rainMm"`
}

// mostRainMm is more than any day has brought: 1825 mm at Foc-Foc, Réunion, 1966 (World
// Meteorological Organization's list of extremes; from memory).
const mostRainMm = 2000

func (r Request) check() *model.Problem {
	for i, s := range r.Storms {
		at := func(p *model.Problem) *model.Problem { return p.Within(fmt.Sprintf("storms[%d]", i)) }
		if p := model.FirstProblem(
			at(model.Require(s.On <= r.Today, "on", "give a day that has passed", "%s has not come yet", model.DayInWords(s.On.String()))),
			at(model.InRange("rainMm", s.RainMm, 0.1, mostRainMm, "", " mm", "give the rain of the day in millimetres"))); p != nil {
			return p
		}
	}
	if _, known := model.KindNamed(r.Kind); r.Kind != "" && !known {
		return &model.Problem{Path: "kind", Reason: "there is no kind " + r.Kind, Fix: nearestKind(r.Kind)}
	}
	return model.Require(r.To == 0 || r.From <= r.To, "years", "give the earlier year first", "%d is after %d", r.From, r.To)
}

func nearestKind(name string) string {
	near := model.NearestName(name, model.Each(model.Kinds, func(k model.Kind) string { return k.Name }))
	if near == "" {
		return "give the name of a kind as exports have it: check-dam"
	}
	return "did you mean " + near + "?"
}

// holds tells whether a day lies in the years asked for.
func (r Request) holds(d monitor.Day) bool { return r.From <= d.Year() && !r.past(d) }

// past tells whether a day lies after the years asked for.
func (r Request) past(d monitor.Day) bool { return r.To != 0 && d.Year() > r.To }
