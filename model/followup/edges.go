package followup

import (
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// Edge is how much a gully's edge gained that was walked round on several days, or why that is not known.
// Walks are of one edge where they are called the same and lie over each other; Named is the newest.
type Edge struct {
	recorded.Named
	Since *Growth `json:"since,omitempty"` // from the first walk that counts
	Last  *Growth `json:"last,omitempty"`  // from the last walk but one, where there are more than two
	Why   string  `json:"why,omitempty"`   // why it is not known
}

// Growth is what an edge gained between two walks.
type Growth struct {
	From            monitor.Day    `json:"from"`
	To              monitor.Day    `json:"to"`
	Growth          Figure         `json:"growth"`
	Rate            *Figure        `json:"rate,omitempty"` // none where much less than a year lies between
	LeastProvableM2 *float64       `json:"leastProvableM2,omitempty"`
	MoreThanNoise   monitor.Answer `json:"moreThanNoise"`
}

const (
	growthRule     = "head-growth: difference of the areas inside the walks"
	growthRateRule = "head-growth: over the years between"
)

// walk is an edge as it was walked round on a day.
type walk struct {
	*recorded.Item
	monitor.Outline
}

// edges tells of each edge that was walked more than once what it gained, by the years asked for.
func (p *property) edges(r Request) []Edge {
	var groups [][]walk
	named := map[string][]int{} // groups, by their name
	for _, item := range p.order {
		w, ok := p.walked(item)
		if !ok || r.Kind != "" && r.Kind != item.Kind {
			continue
		}
		name := strings.ToLower(item.Text("name"))
		at, ok := model.Find(named[name], func(at int) bool { return groups[at][0].Ring.Bound().Intersects(w.Ring.Bound()) })
		if ok {
			groups[at] = append(groups[at], w)
		} else {
			named[name] = append(named[name], len(groups))
			groups = append(groups, []walk{w})
		}
	}
	all := []Edge{}
	for _, group := range groups {
		model.SortStable(group, func(a, b walk) int { return int(a.Day - b.Day) })
		if group = within(group, r, func(w walk) monitor.Day { return w.Day }); len(group) > 1 {
			all = append(all, grown(group))
		}
	}
	return all
}

// walked reads a gully edge that was walked round on a day that is known.
func (p *property) walked(item *recorded.Item) (walk, bool) {
	area, ok := item.Geometry.(orb.Polygon)
	if item.Kind != "gully-edge" || !ok || len(area) != 1 {
		return walk{}, false
	}
	day, err := monitor.ParseDay(item.Text("observedOn"))
	if err != nil || day > p.today || item.Text("name") == "" {
		return walk{}, false
	}
	if what := item.Unsettled("geometry", "observedOn", "name"); what != "" {
		p.leaveOut(item.Named(), item.Text("observedOn"), "%s", unsettledWords(what))
		return walk{}, false
	}
	accuracyM, ok := item.Number("accuracyM")
	if !ok || accuracyM <= 0 {
		accuracyM = -1
	}
	return walk{item, monitor.Outline{Day: day, Ring: area[0], AccuracyM: accuracyM}}, true
}

// grown compares walks in the order of their days.
func grown(walks []walk) Edge {
	n := len(walks)
	e := Edge{Named: walks[n-1].Named()}
	overall, steps, err := monitor.GrowthOf(model.Each(walks, func(w walk) monitor.Outline { return w.Outline }), nil)
	if err != nil {
		e.Why = inWords(err)
		return e
	}
	e.Since = growthOf(overall, walks[0], walks[n-1])
	if n > 2 {
		e.Last = growthOf(steps[n-2], walks[n-2], walks[n-1])
	}
	return e
}

func growthOf(g monitor.Growth, from, to walk) *Growth {
	basis := model.Weakest(from.Basis("geometry"), to.Basis("geometry"))
	out := &Growth{From: g.From, To: g.To, MoreThanNoise: g.MoreThanNoise,
		Growth: computed(figure("growthM2", "Growth", g.GrowthM2, g.PlusMinusM2, "m2", basis, growthRule), from.ID, to.ID)}
	if float64(g.To-g.From) >= leastYears*365.25 {
		out.Rate = new(computed(figure("rateM2PerYear", "Growth a year", g.RateM2PerYear, g.RatePlusMinusM2PerYear, "m2/a", basis, growthRateRule), from.ID, to.ID))
	}
	if g.LeastProvableM2 != nil {
		out.LeastProvableM2 = new(cut(*g.LeastProvableM2, 1))
	}
	return out
}
