package followup

import (
	"slices"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// standing is a work on the ground, and since when as far as that is known.
type standing struct {
	*recorded.Item
	built   monitor.Day
	isDated bool
	looks   []look // since it was built
}

// standing are the works of the property that stand or have failed, by name. What tells nothing of how they hold is left out and said.
func (p *property) standing(kind string) (all []standing) {
	for _, item := range p.order {
		if !recorded.KindOf(item.Kind).Work || kind != "" && item.Kind != kind {
			continue
		}
		if what := item.Unsettled("status", "builtOn"); what != "" {
			p.leaveOut(item.Named(), "", "%s", unsettledWords(what))
			continue
		}
		w := standing{Item: item}
		status, on := item.Status(), item.Text("builtOn")
		if status != model.Built && status != model.Failed {
			p.notBuilt(item, status)
			continue
		}
		if on != "" {
			day, err := monitor.ParseDay(on)
			if err != nil || day > p.today {
				p.leaveOut(item.Named(), on, "the day it was built has not come yet, or is none: correct the date")
				continue
			}
			w.built, w.isDated = day, true
		}
		for _, l := range p.looks[item.ID] {
			if l.day >= w.built || !w.isDated {
				w.looks = append(w.looks, l)
			} else if l.Condition != "" {
				p.leftOut = append(p.leftOut, LeftOut{item.Named(), l.ID, l.On, "it was before the work was built on " + model.DayInWords(on) + ", and says nothing of its condition since"})
			}
		}
		all = append(all, w)
	}
	return all
}

// notBuilt says where a visit judged a work that is not recorded as built.
func (p *property) notBuilt(item *recorded.Item, status model.Status) {
	if status == model.Removed {
		return
	}
	for _, l := range slices.Backward(p.looks[item.ID]) {
		if l.Condition != "" {
			p.leftOut = append(p.leftOut, LeftOut{item.Named(), l.ID, l.On, "it found the work " + string(l.Condition) + ", and the work is not recorded as built: record when it was"})
			return
		}
	}
}

// newestCondition is the newest visit that says what condition the work was in.
func newestCondition(looks []look) (look, bool) {
	for _, l := range slices.Backward(looks) {
		if l.Condition != "" {
			return l, true
		}
	}
	return look{}, false
}
