package planning

import (
	"cmp"
	"strings"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/followup"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/model/treatment"
)

// causeFirst is what to do about a cause before anything else.
var causeFirst = map[string]string{
	"grazing":         "Take stock off it and the ground above it until grass covers both.",
	"stock pad":       "Move the pad: shift the water, lick or gate that draws stock past it.",
	"track":           "Turn the water off the track above it by whoa-boys.",
	"fence":           "Turn the water off the fence line above it by whoa-boys.",
	"drain or bywash": "Turn the drain or bywash away from it, onto ground that can carry the water.",
	"other":           "Take away first what started it, as whoever recorded it knows.",
}

// cutBack is how far a head went, where that is more than its measurements err; nil otherwise.
func (o *ordering) cutBack(head *recorded.Item) *followup.Retreat {
	r := o.retreat[head.ID].Since
	if r == nil || r.MoreThanNoise != monitor.Yes || r.Retreat.Basis == model.Taped && r.Retreat.Value <= 0 {
		return nil
	}
	return r
}

// ofBare takes in a head, in the step of water, or a scald, in that of grass; one that sheds water into
// the catchment of a head stands with the causes.
func (o *ordering) ofBare(e *erodedPlace) {
	place := Place{step: treatment.Water, after: notFoundWanting}
	if e.item.Kind == "scald" {
		place.step = treatment.Grass
		o.shedsTo(&place, e)
	}
	switch {
	case e.moving:
		place.after = causeOfMoving
	case e.quiet:
		place.after = quiet
	}
	o.howItIs(&place, e)
	works := o.at(e.item)
	for hazard := range o.p.of("hazard") {
		if hazard.Geometry != nil && e.item.Geometry != nil && apartM(hazard.Geometry, e.item.Geometry) <= reachM {
			place.do("Mind %s: %s", hazard.Called(), cmp.Or(hazard.Text("danger"), "its danger is not recorded"))
		}
	}
	o.cause(&place, e)
	if o.mend(&place, works) {
		place.after = min(place.after, foundWanting)
	}
	if e.quiet {
		place.do("Keep stock off its rim, and look at it after each wet.")
	} else {
		o.treat(&place, e, works)
	}
	o.add(place, e.item, works)
}

// shedsTo puts a scald that lies in the catchment of a head among the causes.
func (o *ordering) shedsTo(place *Place, e *erodedPlace) {
	if e.item.Geometry == nil {
		return
	}
	for _, head := range o.bare {
		for _, c := range head.catchments {
			if holds(c.Geometry, e.item.Geometry.Bound().Center()) {
				place.step = treatment.Prevention
				place.why("It lies in %s, the catchment of %s: bare ground sheds its rain to it.", c.Called(), head.item.Called())
			}
		}
	}
}

// howItIs says what was recorded and measured of it.
func (o *ordering) howItIs(place *Place, e *erodedPlace) {
	if e.item.Kind == "gully-head" && place.settled(e.item, "active") {
		h := o.retreat[e.item.ID]
		switch r := o.cutBack(e.item); {
		case r != nil:
			place.why("It cut back %s m from %s to %s, more than measurement error.", withPlusMinus(r.Retreat.Figure, 2), model.DayInWords(r.From.String()), model.DayInWords(r.To.String()))
		case h.Since == nil:
			place.lack("How fast it cuts back: %s.", h.Why)
		case h.Since.MoreThanNoise == monitor.No:
			place.why("It cut back no more than measurement error from %s to %s.", model.DayInWords(h.Since.From.String()), model.DayInWords(h.Since.To.String()))
		default:
			place.lack("Whether it cuts back: the ± of its measurements is not known.")
		}
		switch {
		case e.item.Fields["active"] == nil:
			place.lack("Whether it is still cutting back: look at the face for fresh soil, and record it.")
		case e.item.Yes("active"):
			place.why("It is recorded as still cutting back.")
		case e.moving:
			place.lack("It is recorded as no longer cutting back, and its measurements say that it does: correct the record.")
		default:
			place.why("It is recorded as no longer cutting back.")
		}
	}
	for _, text := range o.harm[e.item.ID] {
		place.why("%s", strings.ToUpper(text[:1])+text[1:])
	}
	if cover := newest(o.p.Sheet(e.item), "coverPct"); cover != nil {
		place.why("Its ground cover was %v %%%s.", cover.Value, strings.Replace(ofDay(cover.On), " of ", " on ", 1))
	} else if e.item.Kind == "scald" {
		place.lack("Its ground cover: read it on plots or points.")
	}
}

// newest is the newest reading of a field that visits measure; nil: none.
func newest(s figures.Sheet, field string) *figures.Measured {
	if s.Visited == nil {
		return nil
	}
	if m, ok := model.Find(s.Visited.Measured, func(m figures.Measured) bool { return m.Name == field }); ok {
		return &m
	}
	return nil
}

// cause says what started it and what to do about that first.
func (o *ordering) cause(place *Place, e *erodedPlace) {
	if e.item.Geometry == nil {
		place.lack("Where it lies: stand at it and record its place.")
	} else if place.settled(e.item, "geometry") && e.item.Kind == "gully-head" && len(e.catchments) == 0 {
		place.lack("Its catchment is not mapped: draw it, to see what sheds water to it.")
	}
	if !place.settled(e.item, "cause") {
		return
	}
	var near, sound []string
	for _, s := range e.beside {
		switch {
		case e.cause == "":
			near = append(near, s.item.Called())
		case e.cause == s.item.Kind:
			near = append(near, s.item.Called())
			if o.treated[s.item.ID] {
				sound = append(sound, s.item.Called())
			}
		}
	}
	switch {
	case e.cause == "" && len(near) > 0:
		place.lack("What started it: walk upslope after rain, look first at %s, and record the cause.", strings.Join(near, ", "))
	case e.cause == "":
		place.lack("What started it: walk upslope after rain, look for stock, a pad, a track, a fence or a drain, and record the cause.")
	default:
		place.why("Its recorded cause is: %s.", e.cause)
		if len(sound) > 0 && len(sound) == len(near) {
			place.do("See after rain that the whoa-boys of %s still keep its water away.", strings.Join(sound, ", "))
		} else if todo := causeFirst[e.cause]; todo != "" {
			place.do("%s", todo)
		}
		if (e.cause == "track" || e.cause == "fence") && len(near) == 0 {
			place.lack("Which %s: none is recorded in its catchment or within %d m of it.", e.cause, besideM)
		}
		if (e.cause == "grazing" || e.cause == "stock pad") && len(e.paddocks) == 0 {
			place.lack("Which paddock it lies in: none is recorded round it.")
		}
	}
}

// site is what the rules of treatment-choice are asked of.
func (o *ordering) site(place *Place, e *erodedPlace, works []*recorded.Item) treatment.Site {
	site := treatment.Site{What: treatment.What(e.item.Kind)}
	for _, one := range []struct {
		name  string
		field treatment.Field
	}{{"headDepthM", treatment.HeadDepthM}, {"catchmentHa", treatment.CatchmentHa}} {
		if v, ok := e.item.Number(one.name); ok && v > 0 && place.settled(e.item, one.name) {
			site.Measure(one.field, v, -1)
		}
	}
	if cover := newest(o.p.Sheet(e.item), "coverPct"); cover != nil {
		site.Measure(treatment.CoverPct, cover.Value, -1)
	}
	if e.item.Fields["dispersive"] != nil && place.settled(e.item, "dispersive") {
		site.Answer(treatment.Dispersive, e.item.Yes("dispersive"))
	} else if e.item.Kind == "gully-head" && e.item.Fields["dispersive"] == nil {
		place.lack("Whether its subsoil disperses: put a crumb of it in still water, and record it.")
	}
	if e.moving {
		site.Answer(treatment.Active, true)
	}
	if e.cause != "" {
		site.Answer(treatment.TrackWater, e.cause == "track" || e.cause == "fence")
	}
	for _, w := range works {
		if w.Kind == string(treatment.StockControl) && w.Status() == model.Built {
			site.Answer(treatment.StockOut, true)
		}
	}
	for _, c := range o.p.Sheet(e.item).Cautions {
		if c.About == "catchmentHa" {
			place.lack("%s", c.Text)
		}
	}
	return site
}

// treat says what fits by the rules of treatment-choice: of each step the first, unless it stands already.
// What would have to be known of others is listed.
func (o *ordering) treat(place *Place, e *erodedPlace, works []*recorded.Item) {
	all, err := treatment.Choose(o.site(place, e, works))
	if err != nil {
		place.lack("What fits: %v", err)
		return
	}
	done := map[treatment.Step]bool{treatment.Advice: true}
	if ask, ok := model.Find(all, func(c treatment.Outcome) bool { return c.Treatment == treatment.Engineer }); ok && ask.Verdict == treatment.Fitting {
		place.do("%s before any earth or rock is moved.", ask.Label)
	}
	last := "" // grass does not hold while the head moves
	for _, c := range all {
		kind, _ := c.Treatment.Work()
		stands := ""
		for _, w := range works {
			if w.Kind == kind && w.Status() == model.Built {
				stands = w.Called()
			}
		}
		switch {
		case c.Verdict != treatment.Fitting && c.Verdict != treatment.Undecided || done[c.Step]:
		case stands != "":
			if done[c.Step] = true; c.Treatment == treatment.StockControl {
				place.do("Keep stock out of %s.", stands)
			}
		case c.Treatment == treatment.WhoaBoys, c.Treatment == treatment.StockControl && e.cause == "grazing": // said of the cause
		case c.Verdict == treatment.Fitting:
			done[c.Step] = true
			needs := strings.Join(model.Each(c.Needs, func(r treatment.Rule) string { return strings.TrimSuffix(r.Why, ".") }), "; ")
			if needs != "" {
				needs = ". It needs: " + needs
			}
			text := c.Label + needs
			if e.moving && c.Treatment == treatment.Revegetation {
				last = text
				continue
			}
			place.do("%s", text)
		}
	}
	if last != "" {
		place.do("%s", last)
	}
	if turn, ok := model.Find(all, func(c treatment.Outcome) bool { return c.Treatment == treatment.Diversion }); ok && turn.Verdict == treatment.Undecided {
		place.lack("Whether its water can be turned away above it; it depends on: %s.", strings.Join(model.Each(turn.Lacks, func(l treatment.Lack) string { return treatment.Condition{Field: l.Field, Is: treatment.Yes}.String() }), "; "))
	}
}
