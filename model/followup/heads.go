package followup

import (
	"maps"
	"slices"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/model/section"
)

// Head is how far a gully head cut back, or why that is not known.
type Head struct {
	recorded.Named
	Since    *Retreat        `json:"since,omitempty"` // from the first visit that counts
	Last     *Retreat        `json:"last,omitempty"`  // from the last visit but one, where there are more than two
	Trend    *Trend          `json:"trend,omitempty"` // of three visits or more, over nearly a year or more
	Why      string          `json:"why,omitempty"`   // why it is not known
	Cautions []model.Caution `json:"cautions"`
}

// Retreat is how far a head went between two visits, and what that is in a year.
type Retreat struct {
	From           monitor.Day    `json:"from"`
	To             monitor.Day    `json:"to"`
	Retreat        Figure         `json:"retreat"`
	Rate           *Figure        `json:"rate,omitempty"` // none where much less than a year lies between
	LeastProvableM *float64       `json:"leastProvableM,omitempty"`
	MoreThanNoise  monitor.Answer `json:"moreThanNoise"`
	WetSeasons     *float64       `json:"wetSeasons,omitempty"` // between them; none until the property's wet season is set
}

// Trend is the straight line through all visits.
type Trend struct {
	Rate          Figure         `json:"rate"`
	MoreThanNoise monitor.Answer `json:"moreThanNoise"`
}

// leastYears is how much of a year must lie between two visits for a rate: heads move in the wet, and visits
// of one season come some weeks early or late. Common practice, no source.
const leastYears = 0.9

const (
	retreatRule = "retreat: difference of the distances taped to the lip, or of its positions"
	rateRule    = "retreat: over the years between, an anniversary being whole years"
	trendRule   = "retreat: least squares through all visits"
)

// heads tells of each gully head what visits measured of it up to the last year asked for, from the newest visit
// before the first one on.
func (p *property) heads(r Request, s settings) []Head {
	heads := []Head{}
	for _, item := range p.order {
		if item.Kind != "gully-head" || r.Kind != "" && r.Kind != item.Kind {
			continue
		}
		h := Head{Named: item.Named(), Cautions: []model.Caution{}}
		h.measure(r, s, p.looks[item.ID])
		heads = append(heads, h)
	}
	return heads
}

// measurement is where a head stood on a day.
type measurement struct {
	monitor.Visit
	id    string
	basis model.Basis
}

func (h *Head) measure(r Request, s settings, looks []look) {
	visits := within(ofOneSort(looks), r, func(m measurement) monitor.Day { return m.Day })
	if len(visits) < 2 {
		h.Why = "no two visits measured it"
		if r.From > 0 || r.To > 0 {
			h.Why += " in these years or just before them"
		}
		h.Why += ": tape from its hub peg to the lip at each visit"
		return
	}
	record := monitor.HeadRecord{Visits: model.Each(visits, func(m measurement) monitor.Visit { return m.Visit })}
	if s.wet.Set {
		record.Season = &s.wet.Season
	}
	out, err := record.Retreat()
	if err != nil {
		h.Why = inWords(err)
		return
	}
	n := len(visits)
	since := retreatOf(out.Overall, visits[0], visits[n-1])
	h.Since = &since
	if n > 2 {
		last := retreatOf(out.Steps[n-2], visits[n-2], visits[n-1])
		h.Last = &last
	}
	if out.Trend != nil && out.Overall.Years >= leastYears {
		basis := model.Weakest(model.Each(visits, func(m measurement) model.Basis { return m.basis })...)
		h.Trend = &Trend{computed(figure("rateMPerYear", "Retreat a year, by all visits", out.Trend.RateMPerYear, out.Trend.PlusMinusMPerYear, "m/a", basis, trendRule),
			model.Each(visits, func(m measurement) string { return m.id })...), out.Trend.MoreThanNoise}
	}
	h.Cautions = record.Cautions(out)[len(monitor.GullyCautions):] // which are said once, of all heads
}

func figure(name, label string, value, plusMinus float64, unit string, basis model.Basis, rule string) model.Figure {
	return model.Figure{Name: name, Label: label, Value: value, Unit: unit, PlusMinus: model.Known(plusMinus), Basis: basis, Rule: rule}
}

func retreatOf(s monitor.Step, from, to measurement) Retreat {
	basis := model.Weakest(from.basis, to.basis)
	out := Retreat{From: s.From, To: s.To, MoreThanNoise: s.MoreThanNoise,
		Retreat: computed(figure("retreatM", "Retreat", s.RetreatM, s.PlusMinusM, "m", basis, retreatRule), from.id, to.id)}
	if s.Years >= leastYears {
		out.Rate = new(computed(figure("rateMPerYear", "Retreat a year", s.RateMPerYear, s.RatePlusMinusMPerYear, "m/a", basis, rateRule), from.id, to.id))
	}
	if s.LeastProvableM != nil {
		out.LeastProvableM = new(cut(*s.LeastProvableM, 2))
	}
	if s.Seasons != nil {
		out.WetSeasons = new(cut(*s.Seasons, 2))
	}
	return out
}

// ofOneSort are the distances taped from the hub peg, where there are two; else the positions of the head: they
// are not compared with each other. A day counts once, with what was measured last.
func ofOneSort(looks []look) (visits []measurement) {
	taped, placed := map[monitor.Day]measurement{}, map[monitor.Day]measurement{}
	for _, l := range looks {
		if m, ok := l.measured("headOffsetM"); ok {
			taped[l.day] = measurement{monitor.Visit{Day: l.day, OffsetM: &m.Value, PlusMinusM: section.TapePlusMinusM}, l.ID, m.Basis}
		}
		if l.Head != nil {
			plusMinusM, ok := l.item.Number("accuracyM")
			if !ok || plusMinusM <= 0 {
				plusMinusM = -1
			}
			placed[l.day] = measurement{monitor.Visit{Day: l.day, Position: l.Head, PlusMinusM: plusMinusM}, l.ID, l.item.Basis("geometry")}
		}
	}
	sort := taped
	if len(taped) < 2 && len(placed) > 1 {
		sort = placed
	}
	for _, day := range slices.Sorted(maps.Keys(sort)) {
		visits = append(visits, sort[day])
	}
	return visits
}

// within are those of the years asked for, with the newest before them, from which they are counted.
func within[T any](inOrder []T, r Request, day func(T) monitor.Day) []T {
	first, end := 0, 0
	for i, one := range inOrder {
		if r.past(day(one)) {
			break
		}
		if !r.holds(day(one)) {
			first = i
		}
		end = i + 1
	}
	if end > 0 && !r.holds(day(inOrder[end-1])) {
		return nil // nothing was measured in these years
	}
	return inOrder[first:end]
}
