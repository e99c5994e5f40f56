package planning

import (
	"encoding/json"
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/compute"
	"headcut/model/grazing"
	"headcut/model/jsonvalue"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/model/treatment"
)

// paddocks takes in those under their residual or cover target, and those that are recorded as a cause.
func (o *ordering) paddocks() {
	for paddock := range o.p.of("paddock") {
		place := Place{step: treatment.Prevention, after: notFoundWanting}
		named := false
		for _, e := range o.bare {
			grazed := e.cause == "grazing" || e.cause == "stock pad"
			for _, in := range e.paddocks {
				if in.ID != paddock.ID || !grazed {
					continue
				}
				named = true
				place.why("%s lies in it, and its recorded cause is: %s.", e.item.Called(), e.cause)
				place.causes(e)
			}
		}
		if named {
			place.do("Take stock off the eroding ground and rest it until grass covers it.")
		}
		if o.wanting(&place, paddock) {
			place.after = min(place.after, foundWanting)
		} else if !named {
			o.leaveOut(paddock, o.notWanting(place))
			continue
		}
		o.stockNow(&place, paddock)
		o.add(place, paddock, nil)
	}
}

// notWanting says why a paddock is no place of the order.
func (o *ordering) notWanting(place Place) string {
	if len(place.Record) == 0 {
		return "its feed and cover are not below what was set for it"
	}
	return "nothing tells that its feed or cover is below what was set for it; not known: " + place.Record[0]
}

// wanting tells whether the feed is surely under the residual, or the cover under its target.
func (o *ordering) wanting(place *Place, paddock *recorded.Item) (under bool) {
	d := &drafting{p: o.p, item: paddock, request: Request{Of: paddock.ID, Plans: Forage, Given: map[string]json.RawMessage{"unpalatablePct": json.RawMessage("0")}}}
	if !place.settled(paddock, "geometry", "residualKgHa", "coverTargetPct") {
		return false
	}
	if area, ok := o.p.Sheet(paddock).Figure("areaM2"); ok {
		d.feed(area)
		under = d.underResidual(place)
	} else {
		place.lack("Its area: walk or draw its boundary, closed and not crossing itself.")
	}
	d.groundCover()
	if d.underCover(place) {
		under = true
	}
	for _, why := range append(d.Refused, d.Missing...) {
		place.lack("%s", why)
	}
	return under
}

// underResidual tells whether even the upper limit of all feed on offer, palatable or not, is less than the
// residual.
func (d *drafting) underResidual(place *Place) bool {
	residual, set := d.item.Number("residualKgHa")
	if !set {
		place.lack("The residual to leave on it is not set.")
	}
	if len(d.Refused) > 0 || !d.in.has("landTypes") || !set {
		return false
	}
	d.in.put("residualKgHa", residual)
	for _, name := range []string{"unpalatablePct", "detachmentPct"} { // the feed on offer is before both
		d.in.put(name, 0)
	}
	d.in.put("intakeKgDay", 10) // of no effect on the feed
	answer, err := compute.Run("forage-budget", d.in.json())
	var out struct {
		LandTypes []struct {
			FeedKgHa float64  `json:"feedKgHa"`
			HighKgHa *float64 `json:"highKgHa"`
		} `json:"landTypes"`
	}
	if err != nil {
		place.lack("Its feed on offer: %v", err)
		return false
	}
	if jsonvalue.Unmarshal(answer, &out) != nil || len(out.LandTypes) == 0 {
		return false
	}
	feed := out.LandTypes[0]
	switch {
	case feed.HighKgHa != nil && *feed.HighKgHa < residual:
		place.why("Its feed on offer is %.0f kg/ha, under the residual of %v kg/ha.", feed.FeedKgHa, residual)
		if slices.ContainsFunc(d.p.stocked(d.item), func(s *recorded.Item) bool { head, known := s.Number("head"); return !known || head > 0 }) {
			place.do("Take the stock out: what stands is less than what was to be left.")
		} else {
			place.do("Let no stock in until more stands than what is to be left.")
		}
		return true
	case feed.FeedKgHa < residual:
		place.lack("Whether %.0f kg/ha are under the residual of %v kg/ha: cut more quadrats.", feed.FeedKgHa, residual)
	}
	return false
}

// underCover tells whether even the upper limit of the ground cover is below its target.
func (d *drafting) underCover(place *Place) bool {
	number := func(name string) *float64 {
		m, ok := model.Find(d.in, func(m member) bool { return m.name == name })
		var v float64
		if !ok || jsonvalue.Unmarshal(m.raw, &v) != nil {
			return nil
		}
		return &v
	}
	cover, target := number("coverPct"), number("coverTargetPct")
	if cover == nil || target == nil {
		return false
	}
	ground := grazing.GroundCover{Pct: grazing.Quantity{Value: *cover, PlusMinus: -1}, LowPct: number("coverLowPct"), HighPct: number("coverHighPct"), TargetPct: *target}
	switch meets, err := ground.Meets(); {
	case err != nil:
		place.lack("Its ground cover: %v", err)
	case meets == monitor.No:
		place.why("Its ground cover is %.0f %%, below its target of %v %%.", *cover, *target)
		place.do("%s", grazing.WhatFollows(meets))
		return true
	case meets == monitor.CannotTell:
		place.lack("Whether its ground cover of %.0f %% meets its target of %v %%: read more points.", *cover, *target)
	}
	return false
}

// stockNow says what stock are recorded in a paddock now.
func (o *ordering) stockNow(place *Place, paddock *recorded.Item) {
	in := o.p.stocked(paddock)
	for _, s := range in {
		if !place.settled(s, "paddock", "head", "stockInOn", "stockOutOn") {
			continue
		}
		since := ""
		if day := s.Text("stockInOn"); day != "" {
			since = " since " + model.DayInWords(day)
		}
		switch head, ok := s.Number("head"); {
		case !ok:
		case head == 0:
			place.why("It is rested%s.", since)
		default:
			place.why("%s are in it%s.", fmt.Sprintf("%.0f head", head), since)
		}
	}
	if len(in) == 0 {
		place.lack("What stock are in it: record them, or that it is rested.")
	}
}
