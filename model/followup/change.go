package followup

import (
	"math"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/jsonvalue"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/model/section"
)

// Reading is what a visit measured.
type Reading struct {
	On monitor.Day `json:"on"`
	Figure
	Low  *float64 `json:"low,omitempty"` // 95 % limits of a cover that was counted
	High *float64 `json:"high,omitempty"`
}

// Change is what a figure gained from the last reading of one year to the last of the next year that has one.
type Change struct {
	recorded.Named
	Before        Reading        `json:"before"`
	After         Reading        `json:"after"`
	Change        Figure         `json:"change"`
	Low           *float64       `json:"low,omitempty"` // 95 % limits of the change of a cover that was counted
	High          *float64       `json:"high,omitempty"`
	MoreThanNoise monitor.Answer `json:"moreThanNoise"`
	Notes         []string       `json:"notes"`
}

// changes compares the years asked for, with the newest reading before them as the first.
func (p *property) changes(r Request, field string, compare func(item *recorded.Item, before, after look) Change) []Change {
	type pair struct {
		item          *recorded.Item
		before, after look
	}
	var all []pair
	for _, item := range p.order {
		if r.Kind != "" && item.Kind != r.Kind {
			continue
		}
		var years []look // the last of each year
		for _, l := range p.looks[item.ID] {
			if _, ok := l.measured(field); !ok {
				continue
			}
			if n := len(years); n > 0 && years[n-1].day.Year() == l.day.Year() {
				years[n-1] = l
			} else {
				years = append(years, l)
			}
		}
		years = within(years, r, func(l look) monitor.Day { return l.day })
		for i := 1; i < len(years); i++ {
			all = append(all, pair{item, years[i-1], years[i]})
		}
	}
	return model.Each(all, func(one pair) Change { return compare(one.item, one.before, one.after) })
}

func readingOf(l look, m figures.Measured, plusMinus float64) Reading {
	return Reading{On: l.day, Figure: observed(figure(m.Name, m.Label, m.Value, plusMinus, m.Unit, m.Basis, ""), l.ID)}
}

// siltPlusMinusM is one standard deviation of a depth of silt, by how it was measured.
func siltPlusMinusM(basis model.Basis) float64 {
	switch basis {
	case model.Levelled:
		return section.StaffPlusMinusM
	case model.Taped:
		return section.TapePlusMinusM
	}
	return -1
}

const noiseRule = "after less before; more than noise beyond 1.96 standard deviations of the difference"

func siltChange(item *recorded.Item, before, after look) Change {
	a, _ := before.measured("sedimentDepthM")
	b, _ := after.measured("sedimentDepthM")
	aM, bM := siltPlusMinusM(a.Basis), siltPlusMinusM(b.Basis)
	gain, plusMinus := b.Value-a.Value, model.JointPlusMinus(aM, bM)
	c := Change{Named: item.Named(), Before: readingOf(before, a, aM), After: readingOf(after, b, bM), MoreThanNoise: monitor.Changed(gain, plusMinus), Notes: []string{},
		Change: computed(figure("sedimentDepthChangeM", "Sediment caught, change", gain, plusMinus, "m", model.Weakest(a.Basis, b.Basis), noiseRule), before.ID, after.ID)}
	if c.MoreThanNoise == monitor.Yes && gain < 0 {
		c.Notes = append(c.Notes, "Less silt than before: see whether water has cut through, under or round it.")
	}
	if crestM, ok := item.Number("crestHeightM"); ok && item.Unsettled("crestHeightM") == "" && item.Basis("crestHeightM") != model.FromPlan {
		trap := monitor.SiltTrap{CrestHeightM: crestM, SiltHeightM: &b.Value}
		for _, caution := range trap.Cautions(item.Called()) {
			c.Notes = append(c.Notes, caution.Text)
		}
		if len(c.Notes) == 0 && b.Value >= crestM-monitor.FilledToleranceM {
			c.Notes = append(c.Notes, "Filled to its crest: it has done its job.")
		}
	}
	return c
}

// seasonsApart is how many days of the year two counts of cover may lie apart: grass comes and goes in a year. Common practice, no source.
const seasonsApart = 60

func coverChange(item *recorded.Item, before, after look) Change {
	a, first := before.cover()
	b, second := after.cover()
	out := monitor.CoverChangeOf(first, second)
	c := Change{Named: item.Named(), Before: coverReading(before, a, first), After: coverReading(after, b, second), MoreThanNoise: out.MoreThanNoise, Notes: []string{},
		Change: computed(figure("coverChangePct", "Ground cover, change", out.ChangePct, out.PlusMinusPct, "%", model.Weakest(a.Basis, b.Basis), "cover: after less before, with Newcombe's limits (Statistics in Medicine 17:873, 1998, method 10; from memory)"), before.ID, after.ID)}
	if out.PlusMinusPct >= 0 {
		c.Low, c.High = new(cut(out.LowPct, 1)), new(cut(out.HighPct, 1))
	}
	const year = 365.25
	days := math.Mod(float64(after.day-before.day), year)
	if min(days, year-days) > seasonsApart {
		c.Notes = append(c.Notes, "Counted at different times of the year: cover comes and goes with the seasons, and this compares them too.")
	}
	return c
}

func coverReading(l look, m figures.Measured, c monitor.Cover) Reading {
	reading := readingOf(l, m, c.PlusMinusPct)
	if c.PlusMinusPct >= 0 {
		reading.Low, reading.High = new(cut(c.LowPct, 1)), new(cut(c.HighPct, 1))
	}
	return reading
}

// roundedCoverPct is by how much a cover may differ from what it was counted from: pages write whole per cents.
const roundedCoverPct = 0.6

// cover is the cover of a visit, with limits where what it was counted from is there and says the same.
func (l look) cover() (figures.Measured, monitor.Cover) {
	m, _ := l.measured("coverPct")
	counted := monitor.UnknownCover(m.Value)
	var plots []float64
	var err error
	hits, hasHits := l.item.Number("coverHits")
	points, hasPoints := l.item.Number("coverPoints")
	switch {
	case l.item.Unsettled("coverHits", "coverPoints", "coverPlotsPct") != "":
	case hasHits && hasPoints:
		counted, err = monitor.OfPoints(int(hits), int(points))
	case jsonvalue.Unmarshal(l.item.Fields["coverPlotsPct"], &plots) == nil && len(plots) > 0:
		counted, err = monitor.OfPlots(plots, -1)
	}
	if err != nil || math.Abs(counted.CoverPct-m.Value) > roundedCoverPct {
		counted = monitor.UnknownCover(m.Value)
	}
	return m, counted
}
